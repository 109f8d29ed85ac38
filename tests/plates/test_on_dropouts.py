"""Eyes and brake mounts on rear dropouts, worked out by hand."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import pytest
import shapely

import frame3d
from frame3d.bike.bike import Bike
from frame3d.errors import TubeError
from frame3d.parameters.models.flat_parts.on_dropouts import FLOOR
from frame3d.parameters.models.frame import FrameSpec
from frame3d.plates.on_dropouts import BEYOND, LAP
from tests.bikes import hardtail_data, placed_layout
from tests.with_mount import BEHIND, POST, RACK, with_mount

APART = 74.2
"""Between the bolts of a post mount [mm]; value from memory of the post mount's open drawings."""
OWN = [[-80, 0], [0, -30], [60, -20], [60, 30], [40, 90], [-80, 90]]


SHORT = [[-40, -30, 5], [60, -30, 5], [60, 30, 5], [-40, 30, 5]]


def bike(*given: Any, **more: Any) -> Bike:
    return placed_layout(with_mount(*given, **more))


@pytest.mark.parametrize("kind", ["plain", "hooded"])
@pytest.mark.parametrize("lean", [0.0, 8.0])
def test_the_faces_hold_the_caliper_on_the_rotor_s_radius(kind: str, lean: float) -> None:
    """By trigonometry: the caliper's middle at 180 / 2 + 12 - 36 / 2 from the axle, the faces half its
    depth back along the bolts, which are 12.5 mm beside the rotor's middle at 74 - 17.9.
    """
    left, right = bike({"brake": {"kind": "post_mount", "lean": lean}}, kind=kind).dropouts
    assert right.mount is None
    assert left.mount is not None
    first, second = (np.array(one.face) for one in left.mount.blocks)
    assert np.linalg.norm(first - second) == pytest.approx(APART)
    turn = math.radians(BEHIND + lean)
    way = np.array([math.cos(turn), 0.0, math.sin(turn)])
    assert left.mount.blocks[0].way == pytest.approx(tuple(way))
    assert float((first - second) @ way) == pytest.approx(0.0, abs=1e-9)
    axle = np.array([left.axle[0], 0.0, left.axle[2]])
    radial = np.array([math.cos(math.radians(BEHIND)), 0.0, math.sin(math.radians(BEHIND))])
    middle = axle + 84.0 * radial - 18.0 * way
    middle[1] = 74 - 17.9 + 12.5
    assert (first + second) / 2 == pytest.approx(middle)


def test_the_plate_s_edge_is_straight_under_the_blocks() -> None:
    """Its metal ends at the thread's floor, and goes on beside the blocks for the weld."""
    left, right = bike(POST).dropouts
    assert left.plate is not None
    assert right.plate is not None
    assert left.mount is not None
    assert left.plate.outline.area > right.plate.outline.area + 1000
    assert left.plate.outline.flaws() == ()
    for block in left.mount.blocks:
        assert block.length == 12 + FLOOR + LAP
        for along in (-block.width / 2, 0.0, block.width / 2):
            foot = np.array(block.face) - (12 + FLOOR) * np.array(block.way) + along * block.along
            at = (foot[0] - left.axle[0], foot[2] - left.axle[2])
            assert left.plate.outline.outer.distance(at) == pytest.approx(0.0, abs=1e-6)
    ends = [
        np.array(one.face) - (12 + FLOOR + BEYOND) * np.array(one.way) for one in left.mount.blocks
    ]
    weld = ends[0] + (ends[0] - ends[1]) / APART * (7.0 + 0.9 * BEYOND)
    assert left.plate.outline.outer.contains((weld[0] - left.axle[0], weld[2] - left.axle[2]))


def test_an_eye_is_a_tapped_hole_with_metal_about_it() -> None:
    """3 mm of metal about M5, drilled 5 - 0.8 (value from memory of ISO 261)."""
    for dropout in bike(RACK).dropouts:
        plate = dropout.plate
        assert plate is not None
        hole = plate.outline.holes[1]
        assert (hole.at, hole.diameter, hole.thread) == ((-24, 6), 4.2, "M5")
        assert plate.outline.wall(hole) == pytest.approx(11 / 2 - 4.2 / 2)
        (eye,) = dropout.eyes
        assert eye.at == pytest.approx((dropout.axle[0] - 24, dropout.axle[1], dropout.axle[2] + 6))
    only = bike({"guard": {"kind": "eye", "at": [-8, -26], "side": "left"}}).dropouts
    assert [len(one.eyes) for one in only] == [1, 0]


def test_a_plain_dropout_reaches_out_with_ears() -> None:
    """Against shapely: the hull of boss and the round about the eye."""
    left, right = bike(POST | RACK, kind="plain").dropouts
    assert [len(left.ears), len(right.ears)] == [2, 1]
    (ear,) = right.ears
    x, _, z = right.axle
    rounds = [shapely.Point(x, z).buffer(15, 4096), shapely.Point(x - 24, z + 6).buffer(5.5, 4096)]
    hull = shapely.union_all(rounds).convex_hull
    assert ear.volume == pytest.approx(7 * hull.area, rel=1e-5)
    assert (ear.low, ear.high) == (-81, -74)


def refused(*given: Any, **more: Any) -> tuple[str, str]:
    """Path and message of the only fault."""
    with pytest.raises(TubeError) as caught:
        bike(*given, **more)
    (fault,) = caught.value.faults
    return fault.path, fault.message


@pytest.mark.parametrize(
    ("given", "more", "path", "said"),
    [
        (POST, {"angle": None}, "brake", "where about the axle its caliper stands is not said"),
        (POST, {"angle": 80.0}, "brake", "hole of block 1, 12 mm deep, reaches .* into the (stay|seat)"),
        ({"brake": {"kind": "flat_mount", "outward": 8, "length": 40}}, {"rotor": 140.0},
         "brake", "block 1 stands .* mm in the 30 mm about the axle"),
        (POST, {"kind": "hooded", "outline": {"corners": SHORT}},
         "brake", "block 1 does not fit on its plate: 14.0 of the 14 mm"),
        ({"brake": {"kind": "post_mount", "outward": 16}}, {"kind": "hooded", "outline": {"path": OWN}},
         "brake", "the plate reaches 12.0 mm into the hole of block"),
        ({"brake": {"kind": "flat_mount", "outward": 16}}, {}, "brake.outward", "no room beside"),
        ({"e": {"kind": "eye", "at": [10, 10]}}, {}, "e.at", "3.0 mm in the 30 mm about the axle"),
        ({"e": {"kind": "eye", "at": [24, 18]}}, {}, "e.at", "into the .*(seatstay|socket)"),
        (POST | {"e": {"kind": "eye", "at": [-48, 44]}}, {}, "e.at", "lies under block 2"),
        ({"e": {"kind": "eye", "at": [-80, 10]}}, {"kind": "hooded", "outline": {"path": OWN}}, "e.at",
         "breaks the edge"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused(
    given: dict[str, Any], more: dict[str, Any], path: str, said: str
) -> None:
    found, message = refused(given, **({"kind": "plain"} | more))
    assert found == f"build.dropout.features.{path}"
    assert re.search(said, message), message


def test_a_second_mount_on_a_stay_is_refused() -> None:
    data = hardtail_data()
    data["build"]["rear_wheel"]["rotor"] = 180
    data["build"] |= {"rear_brake": {"angle": BEHIND}, "dropout": {"features": POST}}
    data["tubes"]["chainstay"]["features"] = {"other": {"kind": "flat_mount"}}
    with pytest.raises(TubeError, match="has its mount on the chainstay already"):
        placed_layout(FrameSpec.model_validate(data))


def test_the_outline_of_one_s_own_carries_the_blocks_where_it_is_large_enough() -> None:
    made = bike(POST, outline={"path": OWN, "holes": []}, angle=BEHIND)
    mount = made.dropouts[0].mount
    assert mount is not None
    plain = bike(POST).dropouts[0].mount
    assert plain is not None
    for own, other in zip(mount.blocks, plain.blocks, strict=True):
        assert own.face == other.face
        assert own.volume < other.volume  # the plate reaches up beside it


def test_a_plate_that_runs_into_a_stay_is_told_of() -> None:
    notes = [note.message for note in frame3d.solve(with_mount(POST)).notes]
    assert any("runs into the seatstay beyond its hood" in note for note in notes)


def test_it_moves_with_the_frame() -> None:
    """A longer fork pitches the frame: the blocks keep their place beside the axle."""
    made = frame3d.solve(with_mount(POST | RACK, "plain"))
    other = frame3d.exchange(made, {"build.fork.axle_to_crown": 571.0})
    assert abs(other.frame.pitch) > 1

    def away(one: Bike) -> list[float]:
        left = one.dropouts[0]
        assert left.mount is not None
        places = [block.face for block in left.mount.blocks] + [left.eyes[0].at]
        return [math.dist(place, left.axle) for place in places]

    assert away(other) == pytest.approx(away(made))
    first, second = (one.dropouts[0].mount for one in (made, other))
    assert first is not None
    assert second is not None
    turns = [math.atan2(one.blocks[0].way[2], one.blocks[0].way[0]) for one in (first, second)]
    assert math.degrees(turns[1] - turns[0]) == pytest.approx(other.frame.pitch)
