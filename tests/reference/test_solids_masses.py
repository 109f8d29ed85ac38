"""Masses of tubes in solids: between the bounds of plain tubes, and by frustums."""

from __future__ import annotations

import math

import pytest

from frame3d.solids import make
from tests.frames import bar, context

STEEL = 7.85e-3
"""4130: 7.85 g/cm³ (ASM data sheet), in g/mm³."""


def plain(od: float, wall: float, length: float) -> float:
    return STEEL * math.pi / 4 * (od**2 - (od - 2 * wall) ** 2) * length


def test_plain_tubes() -> None:
    """590 mm of 28.6: 0.9 wall 362.7 g, 0.6 wall 244.4 g (derived; reference list, section 9)."""
    for wall, grams in ((0.9, 362.7), (0.6, 244.4)):
        model = make(context({"tube": bar(28.6, (0, 0, 0), (590, 0, 0), wall)}))
        assert model.mass == pytest.approx(grams, abs=0.06)
        assert model.mass == pytest.approx(plain(28.6, wall, 590), rel=1e-9)


def test_butted_tube_lies_between_and_is_the_sum_of_its_frustums() -> None:
    """590 mm x 28.6, 0.9/0.6/0.9: between the plain tubes; a maker's 287 g with unknown butts
    (trade page) lies between them too.
    """
    wall = {"butted": [0.9, 0.6, 0.9], "lengths": [80.0, 100.0], "transition": 40.0}
    model = make(context({"tube": bar(28.6, (0, 0, 0), (590, 0, 0), wall)}))
    assert 244.4 < model.mass < 362.7
    thick, thin = (28.6 - 1.8) / 2, (28.6 - 1.2) / 2
    bore = math.pi * (
        thick**2 * 180
        + thin**2 * (590 - 180 - 80)
        + 2 * 40 / 3 * (thick**2 + thick * thin + thin**2)
    )
    expected = STEEL * (math.pi / 4 * 28.6**2 * 590 - bore)
    assert model.mass == pytest.approx(expected, rel=1e-9)


def test_bent_tube_weighs_what_it_weighed_straight() -> None:
    """Pappus: bending about the axis keeps the volume, so the mass follows the axis length."""
    tube = bar(
        20.0, (0, 0, 0), (400, 0, 0), 1.0, bends=[{"along": 200.0, "rise": 60.0, "radius": 150.0}]
    )
    bike = context({"tube": tube})
    model = make(bike)
    assert model.mass == pytest.approx(plain(20.0, 1.0, bike.tubes[0].axis.length), rel=1e-6)
