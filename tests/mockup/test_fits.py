"""Pegs with a flat: sections by closed form, holes wider all round, one way in."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.mockup.fits import FLAT, TIP, Peg, keyed
from frame3d.mockup.solid import bounds

X, Y, Z = np.eye(3)


def segment(radius: float, flat: float = FLAT) -> float:
    """A circle's area less what a chord at a share of its radius cuts off."""
    a = math.acos(flat)
    return math.pi * radius**2 - radius**2 * (a - math.sin(a) * math.cos(a))


def peg(keyed_: bool = True) -> Peg:
    return Peg(np.array([1.0, 2.0, 3.0]), X, -Z, 2.0, keyed=keyed_)


@pytest.mark.parametrize("radius", [1.5, 4.0])
def test_a_section_is_a_circle_cut_off_at_its_flat(radius: float) -> None:
    section = keyed(radius)
    assert section.area() == pytest.approx(segment(radius), rel=0.01)
    low = section.bounds()
    assert low[1] == pytest.approx(-FLAT * radius)
    assert low[3] == pytest.approx(radius)


def test_a_peg_stands_along_its_axis_with_its_flat_where_it_is_told() -> None:
    box = bounds(peg().solid(0.0, 9.0, (False, False)))
    assert box[:, 0] == pytest.approx([1.0, 10.0])
    assert box[0, 2] == pytest.approx(3.0 - FLAT * 2.0)
    assert box[1, 2] == pytest.approx(5.0)
    assert box[:, 1] == pytest.approx([0.0, 4.0], abs=0.02)
    assert peg().solid(0.0, 9.0, (False, False)).volume() == pytest.approx(
        9 * segment(2.0), rel=0.01
    )


@pytest.mark.parametrize("bevels", [(True, True), (True, False), (False, True)])
def test_bevelled_tips_take_a_little(bevels: tuple[bool, bool]) -> None:
    plain = peg().solid(0.0, 9.0, (False, False)).volume()
    taken = plain - peg().solid(0.0, 9.0, bevels).volume()
    around = 2 * math.pi * 2.0
    assert 0 < taken < sum(bevels) * around * TIP**2 / 2 * 1.1
    assert bounds(peg().solid(0.0, 9.0, bevels))[:, 0] == pytest.approx([1.0, 10.0])


@pytest.mark.parametrize("clearance", [0.1, 0.3])
def test_a_hole_is_wider_by_its_clearance_all_round(clearance: float) -> None:
    solid, hole = peg().solid(0.0, 9.0), peg().hole(0.0, 9.0, clearance)
    assert (solid - hole).volume() < 1e-6
    for way in (Y, -Y, Z, -Z):
        assert (solid.translate(tuple(0.97 * clearance * way)) - hole).volume() < 1e-6
        assert (solid.translate(tuple(1.3 * clearance * way)) - hole).volume() > 1e-4


def test_a_flat_lets_a_peg_in_one_way_and_a_round_hole_every_way() -> None:
    solid = peg().solid(0.0, 9.0)
    turned = solid.translate((0, -2, -3)).rotate((180, 0, 0)).translate((0, 2, 3))
    assert (turned - peg().hole(0.0, 9.0, 0.2)).volume() > 1.0
    assert (turned - peg(keyed_=False).hole(0.0, 9.0, 0.2)).volume() < 1e-6
