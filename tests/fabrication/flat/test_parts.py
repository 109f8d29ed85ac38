"""Flat parts in axes of their own."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from frame3d.fabrication.flat.parts import at_datum, letters, sheet_parts
from frame3d.geometry.outline import Hole, Outline
from tests.fabrication.flat.samples import BEARINGS, own_plate, strip, trail


def test_the_links_plate_of_the_demo() -> None:
    """Hole centres are as far apart as the linkage's points; left and right are one part."""
    bike = trail()
    (part,) = sheet_parts(bike)
    assert (part.name, part.count, part.mirrored, part.thickness) == ("plate_rocker", 2, 0, 6)
    assert bike.linkage is not None
    points = [bike.linkage.drawn[name] for name in ("rocker_pivot", "rocker_rear", "rocker_shock")]
    far = sorted(math.dist(a, b) for a, b in combinations(points, 2))
    found = sorted(math.dist(a.at, b.at) for a, b in combinations(part.outline.holes, 2))
    assert found == pytest.approx(far, abs=1e-6)
    assert [hole.fit for hole in part.outline.holes] == ["H7"] * 3
    assert any("15.00 mm out of the inner face" in line for line in part.remarks)


def test_a_bearing_in_a_link_is_pressed() -> None:
    (part,) = sheet_parts(trail(BEARINGS))
    assert {(h.diameter, h.fit) for h in part.outline.holes} == {(28, "N7"), (8, "H7")}


def test_mass_is_volume_times_density() -> None:
    """A rectangle with holes: (260 · 90 - (4 - π) 5² - 16 π 3²) · 4 mm³ of 7.85 g/cm³."""
    area = 260 * 90 - (4 - math.pi) * 25 - 16 * math.pi * 9
    assert strip().grams == pytest.approx(area * 4 * 7.85e-3)


def test_datum() -> None:
    """From the first hole, x toward the furthest; the corner of the box where there is no hole."""
    outline = own_plate().outline
    assert outline.holes[0].at == (0, 0)
    assert outline.holes[1].y == 0
    assert outline.holes[1].x == pytest.approx(math.hypot(76, 6))
    single = at_datum(Outline.rounded([(0, 0, 0), (9, 0, 1), (9, 9, 1)], [Hole(6, 3, 2)]))
    assert single.bounds[:2] == pytest.approx((-6, -3))
    none = at_datum(Outline.rounded([(5, 6, 1), (9, 6, 1), (9, 9, 1)]))
    assert none.bounds[:2] == pytest.approx((0, 0), abs=1e-12)


def test_letters_leave_out_those_that_look_like_numbers() -> None:
    found = letters(Outline(own_plate().outline.outer, (Hole(0, 0, 1),) * 26))
    assert found[7:9] == ["H", "J"]
    assert found[-2:] == ["A1", "B1"]
