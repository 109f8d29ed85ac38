"""Pictures of parts: silhouettes of known area, and a window around what is lit."""

from __future__ import annotations

import re

import numpy as np
import pytest

from frame3d.geometry.arrays import Array
from frame3d.report.own_parts.own_part import Lit
from frame3d.report.own_parts.picture import LEAST, SHAPE, picture, silhouette
from tests.report.samples import hardtail_side

SQUARE = np.array([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)])
RIGHT = np.array((50.0, 0.0))


def area(loop: Array) -> float:
    """Signed area of a polygon by the shoelace formula."""
    x, z = loop[:, 0], loop[:, 1]
    return float(x @ np.roll(z, -1) - z @ np.roll(x, -1)) / 2


def test_overlapping_solids_are_one() -> None:
    (loop,) = silhouette([(SQUARE,), (SQUARE + RIGHT,), (SQUARE[::-1] + RIGHT / 2,)])
    assert abs(area(loop)) == pytest.approx(150.0 * 100.0)


def test_a_ring_keeps_its_hole_unless_something_is_in_it() -> None:
    hole = SQUARE[::-1] / 2 + 25.0
    loops = silhouette([(SQUARE, hole)])
    assert sorted(abs(area(loop)) for loop in loops) == pytest.approx([2500.0, 10000.0])
    assert sum(area(loop) for loop in loops) == pytest.approx(7500.0)
    (whole,) = silhouette([(SQUARE, hole), (SQUARE / 2 + 25.0,)])
    assert abs(area(whole)) == pytest.approx(10000.0)


def box(shown: str) -> tuple[float, ...]:
    found = re.search(r'viewBox="([^"]*)"', shown)
    assert found is not None
    return tuple(float(x) for x in found[1].split())


def test_window_holds_what_is_lit() -> None:
    shown = picture(hardtail_side(), Lit(areas=(((SQUARE * 6,),),)), "a square")
    x, y, width, height = box(shown)
    assert width / height == pytest.approx(SHAPE, abs=1e-3)
    assert (x + width / 2, y + height / 2) == pytest.approx((300.0, -300.0), abs=0.2)
    assert height > 600.0
    assert 'aria-label="a square"' in shown
    assert '<use href="#bike"' in shown


def test_small_parts_are_seen_with_what_is_around_them() -> None:
    shown = picture(hardtail_side(), Lit(dots=((0.0, 0.0), (0.0, 100.0))), "two places")
    assert box(shown)[2] == LEAST
    assert shown.count('class="dot"') == 2


def test_lines_and_second_silhouettes() -> None:
    lit = Lit((((SQUARE,),), ((SQUARE * 2,),)), (((0.0, 0.0), (5.0, 5.0)),))
    shown = picture(hardtail_side(), lit, "both")
    assert re.findall(r'class="(lit[^"]*)"', shown) == ["lit", "lit second", "lit-line"]
