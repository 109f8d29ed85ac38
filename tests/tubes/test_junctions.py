"""Junctions: where ends sit, by distance, by angle, on shell, dropout, node and free point."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from frame3d.bike.place_tubes import PlacedTubes, place_tubes
from frame3d.errors import Fault, TubeError
from frame3d.geometry.vector import vector
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.tube import Tube
from tests.bikes import hardtail_chart, hardtail_data, hardtail_nodes

NODES = hardtail_nodes()


def place(tubes: dict[str, Any], drop: tuple[str, ...] = (), **build: Any) -> PlacedTubes:
    """The hardtail with some tubes added or replaced, and some parts dropped."""
    data = hardtail_data()
    data["tubes"] |= tubes
    for key in drop:
        data["tubes"].pop(key, None)
        data["build"].pop(key, None)
    data["build"] |= build
    return place_tubes(FrameSpec.model_validate(data), NODES, hardtail_chart())


def one(start: dict[str, Any], end: dict[str, Any], **more: Any) -> Tube:
    """A plain tube of 20 mm named `strut` on the hardtail; the left one of a pair."""
    strut = {"od": 20.0, "wall": 1.0, "start": start, "end": end, **more}
    placed = place({"strut": strut})
    return next(t for t in placed.tubes if t.key == "strut")


def refused(tubes: dict[str, Any], drop: tuple[str, ...] = (), **build: Any) -> list[Fault]:
    with pytest.raises(TubeError) as caught:
        place(tubes, drop, **build)
    return list(caught.value.faults)


def strut(start: dict[str, Any], end: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"strut": {"od": 20.0, "wall": 1.0, "start": start, "end": end, **more}}


HEAD = vector(NODES["head_tube_top"]) - vector(NODES["head_tube_bottom"])
HEAD_UP = HEAD / np.linalg.norm(HEAD)
SEAT_UP = vector(NODES["seat_tube_top"]) / 430.0


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


def test_angle_by_hand() -> None:
    """By hand, s = w_par − w_perp / tan θ: from a point 300 behind a vertical tube."""
    post = {"od": 30.0, "wall": 1.0, "start": {"at": [0.0, 0.0, 500.0]}, "end": {"at": [0, 0, 900]}}
    arm = {"start": {"at": [-300.0, 0.0, 800.0]}, "end": {"on": "post", "angle": 60.0}}
    tubes = {"post": post, "arm": {"od": 20.0, "wall": 1.0, **arm}}
    tube = next(t for t in place(tubes).tubes if t.name == "arm")
    # The arm rises from the post toward its start: at 60 degrees it meets 300 / tan 60 below.
    assert tube.end.point == pytest.approx((0.0, 0.0, 800.0 - 300.0 / np.tan(np.radians(60.0))))
    assert tube.end.angle == pytest.approx(60.0)


@given(
    angle=st.floats(70.0, 100.0),
    which=st.sampled_from(["start", "end"]),
    bends=st.lists(
        st.tuples(st.floats(60.0, 250.0), st.floats(-30.0, 30.0), st.floats(-30.0, 30.0)),
        max_size=2,
    ),
)
@settings(max_examples=40, deadline=None)
def test_an_end_placed_by_an_angle_has_it(
    angle: float, which: str, bends: list[tuple[float, float, float]]
) -> None:
    bends = sorted(bends)
    assume(len(bends) < 2 or bends[1][0] - bends[0][0] > 120.0)
    by_angle = {"on": "seat_tube", "angle": angle}
    fixed = {"on": "head_tube", "below_top": 50.0}
    ends = (
        {"start": by_angle, "end": fixed} if which == "start" else {"end": by_angle, "start": fixed}
    )
    shape = [{"along": a + 80, "y": y, "rise": rise, "radius": 60.0} for a, y, rise in bends]
    try:
        tube = next(
            t
            for t in place({"strut": {"od": 20.0, "wall": 1.0, "bends": shape, **ends}}).tubes
            if t.name == "strut"
        )
    except TubeError as error:  # beyond the seat tube's ends, or bent too sharply
        codes = {f.code for f in error.faults}
        assume(not codes <= {"junction-miss", "bend"})
        raise
    end = tube.start if which == "start" else tube.end
    assert end.angle == pytest.approx(angle, abs=1e-7)
    off = np.linalg.norm(np.cross(vector(end.point), SEAT_UP))
    assert off == pytest.approx(0.0, abs=1e-9)


def test_angle_with_a_lateral_position() -> None:
    tube = one(
        {"on": "seat_tube", "angle": 75.0, "y": 6.0},
        {"on": "head_tube", "below_top": 50.0, "y": 4.0},
    )
    assert tube.start.point[1] == 6.0
    assert tube.start.angle == pytest.approx(75.0, abs=1e-9)
    assert tube.start.offset == pytest.approx(6.0, abs=0.01)


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


def test_square_cut_on_a_tube_clears_it() -> None:
    tube = one(
        {"on": "down_tube", "from_start": 250.0, "cut": "square"},
        {"on": "top_tube", "from_start": 250.0},
    )
    assert tube.start.cut == "square"
    assert tube.start.target == "down_tube"
    assert (tube.start.long_point, tube.start.short_point) == (0.0, 0.0)
    down = next(t for t in place({}).tubes if t.name == "down_tube")
    height, width = tube.axis.frame(0.0)
    turn = np.linspace(0.0, 2 * np.pi, 3600)
    rim = vector(tube.start.point) + 10.0 * (
        np.outer(np.cos(turn), height) + np.outer(np.sin(turn), width)
    )
    _, distance = down.axis.approach(rim)
    assert distance.min() == pytest.approx(19.05, abs=1e-4)
    assert "down_tube" not in tube.cut_by


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


def test_seat_tube_foot_with_an_offset() -> None:
    """The axis passes the bottom bracket `seat_tube_offset` ahead; length counts from the foot."""
    data = hardtail_data()
    angle, offset, length = np.radians(72.0), 12.0, 420.0
    foot = offset * np.array([np.sin(angle), 0.0, np.cos(angle)])
    top = foot + length * np.array([-np.cos(angle), 0.0, np.sin(angle)])
    chart = hardtail_chart() | {
        "actual_seat_tube_angle": 72.0,
        "seat_tube_offset": offset,
        "seat_tube_length": length,
    }
    nodes = NODES | {"seat_tube_top": (float(top[0]), 0.0, float(top[2]))}
    seat = place_tubes(FrameSpec.model_validate(data), nodes, chart).tubes[1]
    assert seat.start.point == pytest.approx(foot)
    assert seat.start.target == "bottom_bracket"
    assert seat.start.offset == pytest.approx(12.0)
    assert seat.axis.length == pytest.approx(420.0)

    data["tubes"]["seat_tube"]["start"] = {"on": "down_tube"}
    placed = place_tubes(FrameSpec.model_validate(data), nodes, chart)
    assert [t.name for t in placed.tubes[:3]] == ["head_tube", "down_tube", "seat_tube"]
    seat = placed.tubes[2]
    down = placed.tubes[1].axis
    s = down.nearest(np.array([seat.start.point]))
    assert down.points(s)[0] == pytest.approx(seat.start.point, abs=1e-8)
    assert np.cross(vector(seat.start.point) - top, foot - top) == pytest.approx(0.0, abs=1e-6)
    assert seat.start.target == "down_tube"

    data["tubes"]["seat_tube"]["start"] = {"above_bottom": 90.0}
    seat = place_tubes(FrameSpec.model_validate(data), nodes, chart).tubes[1]
    assert np.linalg.norm(vector(seat.start.point) - foot) == pytest.approx(90.0)
    assert (seat.start.cut, seat.start.target) == ("square", None)

    far = chart | {"seat_tube_offset": 60.0}
    foot = 60.0 * np.array([np.sin(angle), 0.0, np.cos(angle)])
    top = foot + length * np.array([-np.cos(angle), 0.0, np.sin(angle)])
    del data["tubes"]["seat_tube"]["start"]
    nodes |= {"seat_tube_top": (float(top[0]), 0.0, float(top[2]))}
    with pytest.raises(TubeError, match=r"passes the bottom bracket 60.0 mm away"):
        place_tubes(FrameSpec.model_validate(data), nodes, far)


OTHER = {"on": "head_tube", "below_top": 50.0}
FAULTS: dict[str, tuple[dict[str, Any], str, str, str]] = {
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
    "beside a tube": (
        strut({"on": "seat_tube", "below_top": 50.0, "y": 28.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.y",
        "their outsides reach 10.0 and 17.4 mm",
    ),
    "beside the shell": (
        strut({"on": "bottom_bracket", "y": 50.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.y",
        "lies 13.5 mm past the face of the shell",
    ),
    "above the shell": (
        strut({"on": "bottom_bracket", "above": 200.0, "forward": 100.0}, OTHER),
        "junction-miss",
        "tubes.strut.start",
        "strut passes the shell by",
    ),
    "unknown name": (
        strut({"on": "sead_tube", "below_top": 50.0}, OTHER),
        "junction-target",
        "tubes.strut.start.on",
        "there is no tube or node sead_tube",
    ),
    "two angles": (
        strut({"on": "seat_tube", "angle": 80.0}, {"on": "head_tube", "angle": 80.0}),
        "junction-target",
        "tubes.strut.end.angle",
        "both ends are placed by an angle",
    ),
    "angle on a bent tube": (
        strut({"on": "seatstay", "side": "left", "angle": 80.0}, OTHER),
        "junction-target",
        "tubes.strut.start.angle",
        "seatstay is bent",
    ),
    "angle out of reach": (
        strut({"on": "seat_tube", "angle": 30.0}, OTHER),
        "junction-miss",
        "tubes.strut.start.angle",
        "past the end of seat_tube",
    ),
    "angle along the target": (
        strut(
            {"on": "seat_tube", "angle": 30.0},
            {"at": list(600.0 / 430 * vector(NODES["seat_tube_top"]))},
        ),
        "junction-miss",
        "tubes.strut.start.angle",
        "lies along the axis of seat_tube",
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
    "nothing left": (
        strut({"on": "seat_tube", "above_bottom": 30.0}, {"on": "down_tube", "from_start": 30.0}),
        "junction-miss",
        "tubes.strut",
        "nothing is left of strut between its cuts",
    ),
    "stops too short": (
        strut({"at": [-400.0, 0.0, 100.0]}, {"on": "rear_axle", "stop_short": 200.0}),
        "junction-miss",
        "tubes.strut",
        "nothing is left of strut",
    ),
    "in a circle": (
        {
            "one": {
                "od": 20.0,
                "wall": 1.0,
                "start": {"on": "two", "from_start": 50.0},
                "end": OTHER,
            },
            "two": {
                "od": 20.0,
                "wall": 1.0,
                "start": OTHER,
                "end": {"on": "strut", "from_start": 50.0},
            },
            **strut({"on": "one", "from_start": 50.0}, OTHER),
        },
        "junction-cycle",
        "tubes.one.start.on",
        "in a circle: one → two → strut → one",
    ),
    "on itself": (
        strut({"on": "strut", "from_start": 50.0}, OTHER),
        "junction-cycle",
        "tubes.strut.start.on",
        "in a circle: strut → strut",
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
    "member's name": (
        {"seatstay_left": strut({"on": "seat_tube", "below_top": 50.0}, OTHER)["strut"]},
        "bad-name",
        "tubes.seatstay_left",
        "has this name already",
    ),
    "mitre that stops short": (
        strut({"on": "bottom_bracket", "stop_short": 30.0, "cut": "mitre"}, OTHER),
        "inconsistent",
        "tubes.strut.start.stop_short",
        "cannot stop short",
    ),
    "seat tube by distance": (
        {"seat_tube": {"od": 34.9, "wall": 1.65, "start": {"on": "down_tube", "from_start": 9.0}}},
        "inconsistent",
        "tubes.seat_tube.start.from_start",
        "the chart says where",
    ),
    "seat tube beside its host": (
        {
            "beam": {
                "od": 20.0,
                "wall": 1.0,
                "start": {"at": [-250.0, 60.0, 100.0]},
                "end": {"at": [250.0, 60.0, 100.0]},
            },
            "seat_tube": {"od": 34.9, "wall": 1.65, "start": {"on": "beam"}},
        },
        "junction-miss",
        "tubes.seat_tube.start.on",
        "passes beam 60.0 mm away",
    ),
    "seat tube of no length": (
        {"seat_tube": {"od": 34.9, "wall": 1.65, "start": {"above_bottom": 440.0}}},
        "junction-miss",
        "tubes.seat_tube.start.above_bottom",
        "above the seat tube's top",
    ),
}


@pytest.mark.parametrize(("tubes", "code", "path", "words"), FAULTS.values(), ids=FAULTS)
def test_faults(tubes: dict[str, Any], code: str, path: str, words: str) -> None:
    found = refused(tubes)
    assert [(f.code, f.path) for f in found] == [(code, path)]
    assert words in found[0].message
    assert found[0].hint


def test_names_are_suggested() -> None:
    (fault,) = refused(FAULTS["unknown name"][0])
    assert "did you mean seat_tube?" in fault.hint
    assert "rear_dropout" in fault.hint
    assert "strut" not in fault.hint
    (fault,) = refused(strut({"on": "seatstay_left", "from_start": 50.0}, OTHER))
    assert fault.hint == "seatstay_left is one of the pair seatstay: write on: seatstay, side: left"


SEAT_LOW = {
    "start": {"on": "bottom_bracket"},
    "end": {"on": "seat_tube", "from_start": 0.0, "cut": "square"},
    "od": 34.9,
    "wall": 0.9,
}


def test_a_tube_butted_to_the_end_of_another_stands_on_it() -> None:
    """The lower part of a seat tube in two, in line with the upper: nothing is cut back."""
    upper = {"start": {"above_bottom": 190.0}, "od": 34.9, "wall": 1.2}
    placed = place({"seat_tube": upper, "seat_low": SEAT_LOW})
    low = next(tube for tube in placed.tubes if tube.name == "seat_low")
    seat = next(tube for tube in placed.tubes if tube.name == "seat_tube")
    assert low.end.point == pytest.approx(seat.start.point, abs=1e-9)
    assert low.end.cut == "square"


def test_tubes_in_line_are_told_from_tubes_that_pass_by() -> None:
    upper = {"start": {"above_bottom": 190.0}, "od": 34.9, "wall": 1.2}
    mitred = {**SEAT_LOW, "end": {"on": "seat_tube", "from_start": 0.0}}
    (fault,) = refused({"seat_tube": upper, "seat_low": mitred})
    assert fault.code == "junction-miss"
    assert "seat_low runs along seat_tube (their axes at 0.0°, 0.0 mm apart)" in fault.message
    assert "butt it to the very end" in fault.hint
    assert "toward the target's axis" not in fault.hint


def test_the_range_of_angles_is_named() -> None:
    (fault,) = refused(FAULTS["angle out of reach"][0])
    low, high = (float(word) for word in fault.hint.split() if word[0].isdigit())
    for angle, fits in ((low + 0.1, True), (high - 0.1, True)):
        tube = one({"on": "seat_tube", "angle": angle}, OTHER)
        assert (tube.start.angle == pytest.approx(angle)) == fits
    assert low < high


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
