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
    assert blank.radii == (20.0,)
    # Sheet keeps its volume: the blank's, less the hole's.
    hole = 1.2 * 16 * math.pi
    assert blank.outline.area * 1.2 - hole == pytest.approx(weighed(one)[0], rel=0.02)


RECTANGLE = {"height": 40, "width": 30, "corner": 5}
D = {"height": 40, "width": 36, "corner": 5, "flat": "above"}


def test_a_blank_on_a_flat_side_is_the_disc_itself() -> None:
    """16 mm over the side of 30 by 40 less two corners of 5: a circle, as seen square to it."""
    bike = one_tube(PORT | {"patch_margin": 4, "angle": 90}, od=RECTANGLE)
    (one,) = patches(of(bike, "it"), bike.tube("beam"))
    blank = blank_of(one, bike.tube("beam"))
    assert blank.outline.bounds == pytest.approx((-8, -8, 8, 8), abs=1e-3)
    assert blank.outline.area == pytest.approx(64 * math.pi, rel=1e-3)
    assert blank.radii == ()
    (part,) = flat_parts_of(bike.frame)
    assert part.remarks[0].startswith("stays flat across, on a flat side of beam")


def test_a_blank_around_corners_is_as_long_as_the_sides_and_the_arcs_at_the_middle_of_its_sheet() -> (
    None
):
    """25 mm over a top of 30: flat for 20, and an arc of 5.6 mm radius whose sine is 2.5 / 5.6."""
    bike = one_tube(PORT | {"patch_margin": 8.5, "angle": 0}, od=RECTANGLE)
    (one,) = patches(of(bike, "it"), bike.tube("beam"))
    blank = blank_of(one, bike.tube("beam"))
    half = 10 + 5.6 * math.asin(2.5 / 5.6)
    assert blank.outline.bounds == pytest.approx((-12.5, -half, 12.5, half), abs=0.02)
    assert blank.radii == (5.0,)


def test_a_blank_under_a_d_is_rolled_to_its_half_round() -> None:
    """Its flat is above: below it is a cylinder of half its width, 18 and 0.6 mm."""
    bike = one_tube(PORT | {"angle": 180}, od=D)
    (one,) = patches(of(bike, "it"), bike.tube("beam"))
    blank = blank_of(one, bike.tube("beam"))
    half = 18.6 * math.asin(12 / 18.6)
    assert blank.outline.bounds == pytest.approx((-12, -half, 12, half), abs=0.02)
    assert blank.radii == (18.0,)


@pytest.mark.parametrize(
    ("od", "angle"), [(40.0, 0), (40.0, 90), (RECTANGLE, 0), ({"height": 36, "width": 44}, 180)]
)
def test_a_blank_for_a_bend_has_the_volume_of_its_patch(od: Any, angle: float) -> None:
    """Sheet keeps its volume: the blank's, less the hole's, to what it is stretched by."""
    bike = one_tube(
        PORT | {"angle": angle}, od=od, bends=[{"along": 200, "rise": 40, "radius": 200}]
    )
    (one,) = patches(of(bike, "it"), bike.tube("beam"))
    blank = blank_of(one, bike.tube("beam"))
    hole = 1.2 * 16 * math.pi
    assert blank.outline.area * 1.2 - hole == pytest.approx(weighed(one)[0], rel=0.03)
    assert 0 <= blank.stretch < 0.05
    assert not blank.outline.flaws()
    low, _, high, _ = blank.outline.bounds
    assert high - low == pytest.approx(24, abs=0.6)


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
