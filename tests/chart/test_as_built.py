"""As built: the frame stays rigid, both wheels stay on the ground, parts are exchanged."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.chart.as_built import (
    PARTS,
    Pitched,
    along_axis,
    exchanged,
    pitch,
    sagged_parts,
    swap,
)
from frame3d.chart.givens import held
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import Solved, solve_chart
from frame3d.errors import GeometryError, SpecError
from frame3d.parameters.models.frame import FrameSpec
from tests.charts import MULLET, ROAD, TRAIL, spec, without

BIKES = {"trail": TRAIL, "mullet": MULLET, "road": ROAD}
FRAME = (
    "bottom_bracket",
    "rear_axle",
    "head_tube_top",
    "head_tube_bottom",
    "seat_tube_top",
)
"""Nodes that belong to the frame itself."""
FORK = {"axle_to_crown": 531.0, "measured": "straight", "offset": 44.0}
PARTS_GIVEN = ("fork_axle_to_crown", "fork_offset", "lower_headset_stack", "front_wheel_radius")
TOP_TUBE = {
    "top_tube": {
        "start": {"on": "seat_tube", "below_top": 40},
        "end": {"on": "head_tube", "angle": 77},
        "od": 31.8,
        "wall": 0.8,
    }
}


def solved_with_parts(
    build: Mapping[str, Any], figures: Mapping[str, float] = TRAIL
) -> tuple[Solved, FrameSpec]:
    bike = spec(without(figures, *PARTS_GIVEN, "rear_wheel_radius"), build)
    return solve_chart(bike), bike


def parts_of(**changes: Any) -> dict[str, Any]:
    """A build; `changes` go by part: fork={...}."""
    build: dict[str, Any] = {
        "fork": dict(FORK),
        "headset": {"lower_stack": 4.0},
        "front_wheel": {"tyre": "61-622"},
        "rear_wheel": {"tyre": "61-622"},
    }
    for part, values in changes.items():
        build[part] = build.get(part, {}) | values
    return build


def distances(nodes: Mapping[str, Any]) -> list[float]:
    return [math.dist(nodes[a], nodes[b]) for a, b in itertools.combinations(FRAME, 2)]


def stands(pitched: Pitched) -> None:
    """Both wheels on level ground, on the nodes themselves."""
    nodes = nodes_of(pitched.values)
    for end in ("front", "rear"):
        axle, contact = nodes[f"{end}_axle"], nodes[f"{end}_contact"]
        assert axle[0] == pytest.approx(contact[0], abs=1e-9)
        assert axle[2] - contact[2] == pytest.approx(
            pitched.values[f"{end}_wheel_radius"], abs=1e-8
        )
    assert nodes["front_contact"][2] == pytest.approx(nodes["rear_contact"][2], abs=1e-9)


changes = st.fixed_dictionaries(
    {
        "cup_angle": st.floats(-2, 2).map(lambda x: held("cup_angle", x)),
        "lower_headset_stack": st.floats(0, 30),
        "fork_axle_to_crown": st.floats(350, 620),
        "fork_offset": st.floats(-10, 70),
        "front_wheel_radius": st.floats(300, 390),
        "rear_wheel_radius": st.floats(300, 390),
    }
)


@pytest.mark.parametrize("bike", BIKES)
@settings(max_examples=25, deadline=None)
@given(parts=changes)
def test_frame_stays_rigid_and_stands(bike: str, parts: dict[str, float]) -> None:
    solved = solve_chart(spec(BIKES[bike]))
    pitched = pitch(solved, parts)
    assert pitched is not None
    for name, value in parts.items():
        assert pitched.values[name] == value
    before, after = nodes_of(solved.values), nodes_of(pitched.values)
    assert distances(after) == pytest.approx(distances(before), abs=1e-8)
    # Nose up turns the frame from the front upward: the angle of any frame line tells the pitch.
    turned = [math.atan2(p["head_tube_top"][2], p["head_tube_top"][0]) for p in (before, after)]
    assert turned[1] - turned[0] == pytest.approx(pitched.values["pitch"], abs=1e-10)
    stands(pitched)
    # The fork keeps its own measures on the turned bike.
    crown, axle = after["crown_race"], after["front_axle"]
    length = math.hypot(parts["fork_axle_to_crown"], parts["fork_offset"])
    assert math.dist(crown, axle) == pytest.approx(length, abs=1e-9)


@pytest.mark.parametrize("bike", BIKES)
def test_without_an_exchange_nothing_moves(bike: str) -> None:
    solved = solve_chart(spec(BIKES[bike]))
    pitched = pitch(solved, {})
    assert pitched is not None
    assert pitched.values["pitch"] == pytest.approx(0, abs=1e-12)
    for name, value in solved.values.items():
        assert pitched.values[name] == pytest.approx(value, abs=1e-9), name


@pytest.mark.parametrize("bike", BIKES)
@settings(max_examples=10, deadline=None)
@given(parts=changes)
def test_there_and_back_is_the_same_bike(bike: str, parts: dict[str, float]) -> None:
    solved = solve_chart(spec(BIKES[bike]))
    there = pitch(solved, parts)
    assert there is not None
    again = Solved(solved.relations, there.values, solved.basis, solved.stated, ())
    back = pitch(again, {name: solved.values[name] for name in PARTS})
    assert back is not None
    for name, value in solved.values.items():
        assert back.values[name] == pytest.approx(value, abs=1e-7), name


def test_standover_turns_with_the_frame() -> None:
    """The top tube is part of the frame: its ends keep their places on seat tube and head tube."""
    solved = solve_chart(spec(MULLET, {}, TOP_TUBE))
    pitched = pitch(solved, {"fork_axle_to_crown": 560.0})
    assert pitched is not None
    for name in ("top_tube_at_seat", "top_tube_at_head"):
        assert pitched.values[name] == solved.values[name]
    after = nodes_of(pitched.values)
    seat, top = after["seat_tube_top"], after["head_tube_top"]
    head = after["head_tube_bottom"]
    along = solved.values["top_tube_at_head"] / MULLET["head_tube_length"]
    q = [top[i] + along * (head[i] - top[i]) for i in (0, 2)]
    B = pitched.values["actual_seat_tube_angle"]
    p = [seat[0] + 40 * math.cos(B), seat[2] - 40 * math.sin(B)]
    slope = math.atan2(q[1] - p[1], q[0] - p[0])
    ground, half = after["front_contact"][2], 31.8 / 2 / math.cos(slope)
    middle, over = (p[1] + q[1]) / 2, p[1] - p[0] * math.tan(slope)
    assert pitched.values["standover_mid_tube"] == pytest.approx(middle + half - ground, abs=1e-9)
    assert pitched.values["standover"] == pytest.approx(over + half - ground, abs=1e-9)


# --- what is exchanged --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("paths", "changed", "expected"),
    [
        (
            ("build.fork.axle_to_crown",),
            {"fork": {"axle_to_crown": 551.0}},
            {"fork_axle_to_crown": math.sqrt(551**2 - 44**2), "fork_offset": 44.0},
        ),
        (
            ("build.fork.offset",),
            {"fork": {"offset": 51.0}},
            {"fork_axle_to_crown": math.sqrt(531**2 - 51**2), "fork_offset": 51.0},
        ),
        (
            ("build.fork.measured",),
            {"fork": {"measured": "along_axis"}},
            {"fork_axle_to_crown": 531.0, "fork_offset": 44.0},
        ),
        (
            ("build.fork",),
            {"fork": {"axle_to_crown": 500.0, "measured": "along_axis", "offset": 40.0}},
            {"fork_axle_to_crown": 500.0, "fork_offset": 40.0},
        ),
        (
            ("build.headset.lower_stack",),
            {"headset": {"lower_stack": 12.0}},
            {"lower_headset_stack": 12.0, "cup_angle": 0.0},
        ),
        (
            ("build.headset.angle",),
            {"headset": {"angle": -1.0}},
            {"lower_headset_stack": 4.0, "cup_angle": math.radians(-1)},
        ),
        (
            ("build.front_wheel.tyre",),
            {"front_wheel": {"tyre": "66-622"}},
            {"front_wheel_radius": (622 + 2 * 66) / 2},
        ),
        (
            ("build.rear_wheel.radius",),
            {"rear_wheel": {"radius": 350.0}},
            {"rear_wheel_radius": 350.0},
        ),
        (
            ("build.rear_wheel.tyre", "build.rear_wheel.radius"),
            {"rear_wheel": {"tyre": "66-584", "radius": 351.0}},
            {"rear_wheel_radius": 351.0},
        ),
        (
            ("build.front_wheel.tyre", "build.fork.axle_to_crown"),
            {"front_wheel": {"tyre": "66-584"}, "fork": {"axle_to_crown": 511.0}},
            {
                "front_wheel_radius": (584 + 2 * 66) / 2,
                "fork_axle_to_crown": math.sqrt(511**2 - 44**2),
                "fork_offset": 44.0,
            },
        ),
    ],
    ids=str,
)
def test_exchanged_parts(
    paths: tuple[str, ...], changed: dict[str, Any], expected: dict[str, float]
) -> None:
    solved, before = solved_with_parts(parts_of())
    after = spec(without(TRAIL, *PARTS_GIVEN, "rear_wheel_radius"), parts_of(**changed))
    parts = along_axis(exchanged(before, after, paths), solved)
    assert parts == pytest.approx(expected, abs=1e-9)
    pitched = swap(solved, before, after, paths)
    for name, value in expected.items():
        assert pitched.values[name] == pytest.approx(value, abs=1e-9)
    stands(pitched)


@pytest.mark.parametrize(
    ("figure", "value"),
    [
        ("fork_axle_to_crown", 549.0),
        ("fork_offset", 51.0),
        ("lower_headset_stack", 12.0),
        ("front_wheel_radius", 350.0),
        ("rear_wheel_radius", 350.0),
    ],
)
def test_a_part_named_as_a_chart_figure(figure: str, value: float) -> None:
    before, after = spec(TRAIL), spec(TRAIL | {figure: value})
    path = f"geometry.{figure}"
    pitched = swap(solve_chart(before), before, after, (path,))
    assert pitched.values[figure] == value
    for other in PARTS:
        if other != figure:
            assert pitched.values[other] == pytest.approx(TRAIL.get(other, 0.0), abs=1e-12)
    stands(pitched)


def test_a_straight_fork_keeps_its_length_when_the_offset_alone_changes() -> None:
    figures = without(TRAIL, "fork_axle_to_crown")
    build = {"fork": {"axle_to_crown": 531.0, "measured": "straight"}}
    before, after = spec(figures, build), spec(figures | {"fork_offset": 54.0}, build)
    pitched = swap(solve_chart(before), before, after, ("geometry.fork_offset",))
    assert pitched.values["fork_length_straight"] == pytest.approx(531, abs=1e-9)
    assert pitched.values["fork_axle_to_crown"] == pytest.approx(math.sqrt(531**2 - 54**2))


@pytest.mark.parametrize(
    "path",
    [
        "geometry.reach",
        "geometry.head_tube_angle",
        "geometry.chainstay_length",
        "geometry.seat_tube_offset",
        "build.forks.axle_to_crown",
        "build.bottom_bracket.shell",
        "tubes.top_tube.od",
        "name",
    ],
)
def test_what_is_no_part_is_refused(path: str) -> None:
    bike = spec(TRAIL)
    with pytest.raises(SpecError) as caught:
        swap(solve_chart(bike), bike, bike, (path, "build.dropout.boss"))
    faults = caught.value.faults
    assert [(f.code, f.path) for f in faults] == [
        ("override", path),
        ("override", "build.dropout.boss"),
    ]
    assert "geometry.fork_offset" in faults[0].hint


def test_a_tyre_under_a_measured_radius_is_refused() -> None:
    """The measured radius would still count: better said than silently nothing."""
    figures = without(TRAIL, "rear_wheel_radius")
    before = spec(figures, {"rear_wheel": {"tyre": "61-622", "radius": 369.0}})
    after = spec(figures, {"rear_wheel": {"tyre": "66-622", "radius": 369.0}})
    solved = solve_chart(before)
    with pytest.raises(SpecError, match=r"build\.rear_wheel\.radius"):
        swap(solved, before, after, ("build.rear_wheel.tyre",))


def test_a_fork_shorter_than_its_offset_is_refused() -> None:
    solved, _ = solved_with_parts(parts_of())
    with pytest.raises(ValueError, match="longer than its offset"):
        along_axis({"fork_length_straight": 40.0, "fork_offset": 44.0}, solved)


def test_wheels_that_cannot_reach_the_ground() -> None:
    """Axles 1191 mm apart cannot differ by more than that in height."""
    solved = solve_chart(spec(TRAIL))
    assert pitch(solved, {"front_wheel_radius": 372.0 + 1195.0}) is None
    assert pitch(solved, {"front_wheel_radius": 372.0 + 700.0}) is not None


def test_an_exchange_that_leaves_no_bicycle() -> None:
    """Wheels that overlap on a short built frame."""
    short = without(TRAIL, "chainstay_length", chainstay_length=330.0)
    short |= {"reach": 300.0, "front_wheel_radius": 300.0, "rear_wheel_radius": 300.0}
    before = spec(short)
    after = spec(short | {"front_wheel_radius": 500.0, "rear_wheel_radius": 480.0})
    paths = ("geometry.front_wheel_radius", "geometry.rear_wheel_radius")
    with pytest.raises(GeometryError) as caught:
        swap(solve_chart(before), before, after, paths)
    fault = caught.value.faults[0]
    assert (fault.code, fault.path) == ("impossible", "geometry.front_wheel_radius")
    assert "run into each other" in fault.message


# --- sag ------------------------------------------------------------------------------------------


def test_sag_is_the_fork_shorter_by_its_share() -> None:
    solved, bike = solved_with_parts(parts_of(fork={"travel": 130.0, "sag": "25%"}))
    parts = sagged_parts(bike, solved)
    assert parts == {
        "fork_axle_to_crown": pytest.approx(math.sqrt(531**2 - 44**2) - 32.5, abs=1e-9)
    }
    sagged = pitch(solved, parts)
    # The same as a fork that much shorter, swapped in by its length along the axis.
    shorter = math.sqrt(531**2 - 44**2) - 32.5
    after = spec(
        without(TRAIL, *PARTS_GIVEN, "rear_wheel_radius"),
        parts_of(fork={"axle_to_crown": shorter, "measured": "along_axis"}),
    )
    swapped = swap(solved, bike, after, ("build.fork",))
    assert sagged is not None
    for name, value in swapped.values.items():
        assert sagged.values[name] == pytest.approx(value, abs=1e-9), name


@pytest.mark.parametrize("fork", [None, {"travel": 130.0}, {"travel": 130.0, "sag": "0%"}], ids=str)
def test_nothing_sags_without_travel_and_sag(fork: dict[str, Any] | None) -> None:
    bike = spec(TRAIL, {} if fork is None else {"fork": fork})
    assert sagged_parts(bike, solve_chart(bike)) is None
