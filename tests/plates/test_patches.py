"""Blanks of patches: against the arc that a cylinder unrolls to, and as flat parts."""

from __future__ import annotations

import math
from typing import Any

import pytest

from frame3d.plates.flat_parts import flat_parts_of
from frame3d.plates.patches import blank_of
from frame3d.tubes.features.patches import patches, weighed
from tests.featured import featured, of, one_tube

PORT: dict[str, Any] = {"kind": "port", "from_start": 200, "width": 8, "patch": 1.2}


def test_a_blank_is_as_wide_as_the_arc_at_the_middle_of_its_sheet() -> None:
    """A disc of 24 mm over a cylinder of 20 + 0.6 mm: arc of the angle whose sine is 12 / 20.6."""
    bike = one_tube(PORT)
    (one,) = patches(of(bike, "it"), bike.tube("beam"))
    blank = blank_of(one, bike.tube("beam"))
    half = 20.6 * math.asin(12 / 20.6)
    assert blank.outline.bounds == pytest.approx((-12, -half, 12, half), abs=0.02)
    assert blank.radius == 20.0
    # Sheet keeps its volume: the blank's, less the hole's.
    hole = 1.2 * 16 * math.pi
    assert blank.outline.area * 1.2 - hole == pytest.approx(weighed(one)[0], rel=0.02)


def test_left_and_right_are_one_flat_part() -> None:
    port = {"kind": "port", "from_start": 220, "angle": 100, "width": 5, "patch": 0.8}
    bike = featured({"chainstay": {"out": port | {"patch_margin": 3}}})
    (part,) = [one for one in flat_parts_of(bike.frame) if one.kind == "patch"]
    assert part.names == ("chainstay-out_left", "chainstay-out_right")
    assert part.sides == ("left", "right")
    assert (part.count, part.is_mirrored, part.thickness) == (2, False, 0.8)
    assert not part.outline.flaws()
    masses = bike.frame.masses.parts
    assert masses[part.names[0]] == pytest.approx(masses[part.names[1]], rel=1e-3)
