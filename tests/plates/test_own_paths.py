"""Outlines of the user's own: planes in the side view, edges, holes, slots and pockets."""

from __future__ import annotations

import math

import pytest

from frame3d.errors import TubeError
from tests.plates.parts import OWN, bike, plate


def test_the_outline_is_as_written() -> None:
    """A square with one round side, written down by hand."""
    own = plate(OWN)
    bulge = 0.3
    angle = 4 * math.atan(bulge)
    radius = 50 / (2 * math.sin(angle / 2))
    segment = radius**2 / 2 * (angle - math.sin(angle))
    slot = 9 * 5 + math.pi / 4 * 25
    area = 2500 + segment - math.pi * 9 - slot
    assert own.outline.area == pytest.approx(area, rel=1e-9)
    assert own.plane.at((15, 15)) == (215.0, 0.0, 165.0)


def test_a_path_may_be_written_clockwise() -> None:
    turned = [[0, 50], [50, 50, -0.3], [50, 0], [0, 0]]
    assert plate(OWN, path=turned).outline.area == pytest.approx(plate(OWN).outline.area)


def test_corners_are_rounded() -> None:
    square = {key: value for key, value in OWN.items() if key != "path"}
    corners = [[0, 0, 5], [50, 0, 5], [50, 50, 5], [0, 50, 5]]
    own = plate(square, corners=corners, holes=[], slots=[], pockets=[])
    assert own.outline.area == pytest.approx(2500 - (4 - math.pi) * 25)


def test_a_turned_plate_is_turned_nose_up() -> None:
    own = plate(OWN, turn=90, at="bottom_bracket")
    assert own.plane.at((10.0, 0.0)) == pytest.approx((0.0, 0.0, 10.0))


def test_a_pair_lies_on_both_sides() -> None:
    left, right = bike(brace=OWN | {"pair": True, "y": 40}).plates
    assert left.plane.at((0, 0), left.low)[1] == pytest.approx(42.5)
    assert right.plane.at((0, 0), right.high)[1] == pytest.approx(-42.5)


def test_a_pocket_may_have_a_rim_of_its_own() -> None:
    pocket = {"path": [[10, 30], [20, 30], [20, 40]], "depth": 2, "face": "back"}
    (made,) = plate(OWN, pockets=[pocket]).outline.pockets
    assert made.path.area == pytest.approx(50)
    assert made.face == "back"


@pytest.mark.parametrize(
    ("changes", "path", "said"),
    [
        ({"path": [[0, 0], [50, 50], [50, 0], [0, 50]]}, "path", "crosses"),
        ({"holes": [{"at": [1, 20], "diameter": 6}]}, "holes.0", "breaks the edge"),
        ({"slots": [{"at": [16, 15], "length": 14, "width": 5}]}, "slots.0", "between the two"),
    ],
)
def test_outlines_that_cannot_be_cut_say_where(
    changes: dict[str, object], path: str, said: str
) -> None:
    with pytest.raises(TubeError) as raised:
        plate(OWN, **changes)
    fault = raised.value.faults[0]
    assert fault.path == f"plates.brace.{path}"
    assert said in fault.message


def test_corners_without_room_for_their_radius_say_how_much_there_is() -> None:
    square = {key: value for key, value in OWN.items() if key != "path"}
    with pytest.raises(TubeError) as raised:
        plate(square, corners=[[0, 0, 30], [50, 0, 30], [50, 50], [0, 50]])
    (fault,) = raised.value.faults
    assert fault.path.startswith("plates.brace.corners.")
    assert fault.hint == "a radius of at most 20.00"
