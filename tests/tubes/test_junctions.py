"""Junctions: where ends sit, by distance, by angle, on shell, dropout, node and free point."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.geometry.vector import vector
from tests.tubes.placing import (
    HEAD_UP,
    NODES,
    OTHER,
    SEAT_UP,
    Faulty,
    assert_fault,
    one,
    place,
    refused,
    strut,
)


@pytest.mark.parametrize(
    ("junction", "where"),
    [
        ({"below_top": 40.0}, 390.0),
        ({"above_bottom": 150.0}, 150.0),
        ({"from_start": 150.0}, 150.0),
        ({"from_end": 40.0}, 390.0),
    ],
)
def test_distances_along_the_seat_tube(junction: dict[str, float], where: float) -> None:
    tube = one({"on": "seat_tube", **junction}, {"on": "head_tube", "above_bottom": 60.0})
    assert tube.start.point == pytest.approx(where * SEAT_UP)
    assert tube.end.point == pytest.approx(vector(NODES["head_tube_bottom"]) + 60.0 * HEAD_UP)


def test_top_and_bottom_of_other_tubes_are_their_higher_and_lower_end() -> None:
    """The seatstay starts at the seat tube, above; the down tube ends at the head tube, above."""
    tube = one(
        {"on": "seatstay", "side": "left", "below_top": 120.0},
        {"on": "down_tube", "below_top": 200.0},
    )
    tubes = {t.name: t for t in place({}).tubes}
    assert tube.start.point == pytest.approx(tubes["seatstay_left"].axis.at(120.0))
    down = tubes["down_tube"].axis
    assert tube.end.point == pytest.approx(down.at(down.length - 200.0))


def test_distance_along_a_bent_tube_follows_its_axis() -> None:
    stay = next(t for t in place({}).tubes if t.name == "chainstay_left")
    tube = one(
        {"on": "chainstay", "side": "left", "from_start": 250.0},
        {"on": "seat_tube", "above_bottom": 200.0},
    )
    assert tube.start.point == pytest.approx(stay.axis.at(250.0))


def test_on_the_shell() -> None:
    tube = one({"on": "bottom_bracket"}, {"on": "top_tube", "from_start": 300.0})
    assert tube.start.point == (0.0, 0.0, 0.0)
    assert (tube.start.target, tube.start.cut) == ("bottom_bracket", "mitre")
    assert tube.start.angle == pytest.approx(90.0)
    tube = one({"on": "bottom_bracket", "y": -20.0}, {"on": "top_tube", "from_start": 300.0})
    assert tube.start.point == (0.0, -20.0, 0.0)


def test_on_the_rear_dropout() -> None:
    """Default y: the middle of the plate, half the hub's width and half its thickness out."""
    placed = place({})
    left = next(t for t in placed.tubes if t.name == "chainstay_left")
    straight = vector(left.end.point)
    x, _, z = NODES["rear_axle"]
    assert left.end.cut == "square"
    assert left.end.target == "rear_dropout_left"
    assert np.linalg.norm(straight - [x, 77.5, z]) == pytest.approx(26.0)  # stop_short
    end = {"on": "rear_dropout", "side": "right", "forward": 40.0, "above": 12.0}
    tube = one({"on": "seat_tube", "above_bottom": 60.0}, end)
    assert tube.end.point == pytest.approx((x + 40.0, -77.5, z + 12.0))
    tube = one({"on": "seat_tube", "above_bottom": 60.0}, end | {"y": -60.0})
    assert tube.end.point == pytest.approx((x + 40.0, -60.0, z + 12.0))


def test_on_a_node_and_at_a_point() -> None:
    tube = one(
        {"on": "rear_axle", "forward": 30.0, "above": 5.0, "y": 70.0}, {"at": [-100.0, 20.0, 150.0]}
    )
    x, _, z = NODES["rear_axle"]
    assert tube.start.point == pytest.approx((x + 30.0, 70.0, z + 5.0))
    assert tube.end.point == (-100.0, 20.0, 150.0)
    assert tube.start.target is None
    assert tube.end.angle is None


def test_stop_short_follows_the_last_leg() -> None:
    tube = one({"on": "saddle"}, {"on": "rear_axle", "stop_short": 50.0})
    gap = vector(NODES["rear_axle"]) - vector(tube.end.point)
    assert np.linalg.norm(gap) == pytest.approx(50.0)
    assert gap / 50.0 == pytest.approx(tube.axis.tangent(tube.axis.length))


def test_bend_corners() -> None:
    """Along the straight line, raised square to it in the upright plane, y as asked for."""
    bends = [{"along": 100.0, "y": 15.0, "rise": 20.0, "radius": 30.0}]
    tube = one({"at": [0.0, 0.0, 900.0]}, {"at": [300.0, 0.0, 900.0]}, bends=bends)
    first, last = tube.axis.pieces[0], tube.axis.pieces[-1]
    corner = np.array([100.0, 15.0, 920.0])
    for piece in (first, last):
        a, b = vector(piece.start), vector(piece.end)
        off = np.cross(b - a, corner - a) / np.linalg.norm(b - a)
        assert np.linalg.norm(off) == pytest.approx(0.0, abs=1e-9)


FAULTS: dict[str, Faulty] = {
    "past its end": (
        strut({"on": "seat_tube", "above_bottom": 445.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.above_bottom",
        "lies 15.0 mm past the end of seat_tube",
    ),
    "before its start": (
        strut({"on": "seat_tube", "from_start": -12.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.from_start",
        "lies 12.0 mm past the end",
    ),
    "beside the shell": (
        strut({"on": "bottom_bracket", "y": 50.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.y",
        "lies 13.5 mm past the face of the shell",
    ),
    "which of a pair": (
        strut({"on": "seatstay", "from_start": 80.0}, OTHER),
        "junction-target",
        "tubes.strut.start.on",
        "seatstay is a pair",
    ),
    "side of a single tube": (
        strut({"on": "seat_tube", "side": "left", "from_start": 80.0}, OTHER),
        "junction-target",
        "tubes.strut.start.side",
        "seat_tube is no pair",
    ),
    "which dropout": (
        strut({"on": "rear_dropout"}, OTHER),
        "junction-target",
        "tubes.strut.start.on",
        "there are two rear dropouts",
    ),
    "top of a level tube": (
        strut({"on": "chainstay_bridge", "below_top": 20.0}, OTHER),
        "junction-target",
        "tubes.strut.start.below_top",
        "lies nearly level",
    ),
    "no length": (
        strut({"at": [0.0, 0.0, 50.0]}, {"at": [0.0, 0.0, 50.0]}),
        "junction-miss",
        "tubes.strut",
        "starts and ends at the same point",
    ),
    "pair in the centre plane": (
        strut({"on": "seat_tube", "below_top": 50.0}, OTHER, pair=True),
        "inconsistent",
        "tubes.strut.pair",
        "in the same place",
    ),
    "pair on the right": (
        strut({"on": "seat_tube", "below_top": 50.0, "y": -5.0}, OTHER, pair=True),
        "inconsistent",
        "tubes.strut.pair",
        "this one lies to the right",
    ),
    "pair on a lopsided tube": (
        {
            "beam": {
                "od": 20.0,
                "wall": 1.0,
                "start": {"at": [-250.0, -80.0, 500.0]},
                "end": {"at": [-250.0, 90.0, 520.0]},
            },
            **strut(
                {"on": "beam", "from_start": 120.0},
                {"on": "seatstay", "from_start": 90.0},
                pair=True,
            ),
        },
        "junction-miss",
        "tubes.strut.start.on",
        "not the same on both sides",
    ),
    "mitre that stops short": (
        strut({"on": "bottom_bracket", "stop_short": 30.0, "cut": "mitre"}, OTHER),
        "inconsistent",
        "tubes.strut.start.stop_short",
        "cannot stop short",
    ),
}


@pytest.mark.parametrize(("tubes", "code", "path", "words"), FAULTS.values(), ids=FAULTS)
def test_faults(tubes: dict[str, Any], code: str, path: str, words: str) -> None:
    assert_fault(tubes, code, path, words)


def test_parts_that_ends_need() -> None:
    found = refused({}, drop=("bottom_bracket",))
    assert [(f.code, f.path) for f in found] == [
        ("junction-target", "tubes.down_tube.start.on"),
        ("junction-target", "tubes.chainstay.start.on"),
    ]
    found = refused({}, drop=("rear_wheel",))
    assert [(f.code, f.path) for f in found] == [
        ("junction-target", "tubes.chainstay.end.on"),
        ("junction-target", "tubes.seatstay.end.on"),
    ]
    assert "hub: 148x12" in found[0].hint


def test_all_faults_at_once_and_no_echoes() -> None:
    """Each cause once: what sits on a tube that cannot be placed says nothing of its own."""
    tubes = {
        "down_tube": {
            "od": 38.1,
            "wall": 0.9,
            "start": {"on": "bottom_bracket"},
            "end": {"on": "hed_tube", "above_bottom": 32.0},
        },
        "gusset": {
            "od": 20.0,
            "wall": 1.0,
            "start": {"on": "down_tube", "below_top": 60.0},
            "end": OTHER,
        },
        **FAULTS["past its end"][0],
    }
    found = refused(tubes)
    assert [f.path for f in found] == ["tubes.down_tube.end.on", "tubes.strut.start.above_bottom"]
