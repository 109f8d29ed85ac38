"""The chart solver against SolveSpace's constraint solver (package slvs), node by node."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest

from frame3d.chart.as_built import pitch
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import solve_chart
from frame3d.geometry.vector import Point
from frame3d.parameters.models.base import NODE_NAMES
from frame3d.parameters.models.figures import STANDOVERS
from tests.charts import MULLET, ROAD, TRAIL, spec, without
from tests.reference.sketch import Sketch

TOLERANCE = 1e-6
"""[mm]"""

STRAIGHT = {"fork": {"axle_to_crown": 531, "measured": "straight", "offset": 44}}
SADDLE = {"seatpost": {"saddle_height": 720}}

SETS: dict[str, tuple[Mapping[str, float], Mapping[str, Any]]] = {
    "usual": (TRAIL, {}),
    "reach and stack, head tube length open": (without(TRAIL, "head_tube_length", stack=630), {}),
    "reach and stack, head tube angle open": (without(TRAIL, "head_tube_angle", stack=625), {}),
    "reach and stack, drop open": (without(TRAIL, "bb_drop", stack=640), {}),
    "stack and fork length open": (without(TRAIL, "fork_axle_to_crown", stack=660), {}),
    "wheelbase for chainstay": (without(TRAIL, "chainstay_length", wheelbase=1205), {}),
    "wheelbase for reach": (without(TRAIL, "reach", wheelbase=1205), {}),
    "front centre for reach": (without(TRAIL, "reach", front_centre=780), {}),
    "front centre for head tube angle": (without(TRAIL, "head_tube_angle", front_centre=780), {}),
    "trail for fork offset": (without(TRAIL, "fork_offset", trail=118), {}),
    "trail for head tube angle": (without(TRAIL, "head_tube_angle", trail=128), {}),
    "mechanical trail for head tube angle": (
        without(ROAD, "head_tube_angle", mechanical_trail=60),
        {},
    ),
    "wheel flop for fork offset": (without(TRAIL, "fork_offset", wheel_flop=44), {}),
    "wheel flop for head tube angle": (without(ROAD, "head_tube_angle", wheel_flop=18), {}),
    "trail for wheel radius": (without(ROAD, "front_wheel_radius", trail=61), {}),
    "effective top tube for reach": (without(TRAIL, "reach", effective_top_tube=600), {}),
    "effective top tube for seat angle": (
        without(TRAIL, "effective_seat_tube_angle", effective_top_tube=610),
        {},
    ),
    "bb height for drop": (without(TRAIL, "bb_drop", bb_height=305), {}),
    "bb height for wheel radius": (without(TRAIL, "rear_wheel_radius", bb_height=318), {}),
    "unequal wheels, seat tube offset": (MULLET, {}),
    "actual and effective seat angle": (
        without(MULLET, "seat_tube_offset", actual_seat_tube_angle=72.5),
        {},
    ),
    "actual seat angle and offset": (
        without(MULLET, "effective_seat_tube_angle", actual_seat_tube_angle=71.5),
        {},
    ),
    "effective angle at the saddle": (MULLET, SADDLE),
    "effective angle at stack height": (
        without(MULLET, "effective_seat_tube_angle", effective_seat_tube_angle_at_stack=77.5),
        SADDLE,
    ),
    "effective angles at the saddle and at stack height": (
        without(MULLET, "seat_tube_offset", effective_seat_tube_angle_at_stack=77.5),
        SADDLE,
    ),
    "both seat angles, at the saddle": (
        without(MULLET, "seat_tube_offset", actual_seat_tube_angle=71.0),
        SADDLE,
    ),
    "negative seat tube offset": (without(ROAD, seat_tube_offset=-25.0), {}),
    "no drop": (without(ROAD, "bb_drop", bb_drop=0.0), {}),
    "bb above the rear axle": (without(MULLET, "bb_drop", bb_drop=-15.0), {}),
    "fork measured straight": (without(TRAIL, "fork_axle_to_crown", "fork_offset"), STRAIGHT),
    "fork measured straight, offset from trail": (
        without(TRAIL, "fork_axle_to_crown", "fork_offset", trail=115),
        {"fork": {"axle_to_crown": 531, "measured": "straight"}},
    ),
    "fork measured along the axis": (
        without(TRAIL, "fork_axle_to_crown", "fork_offset"),
        {"fork": {"axle_to_crown": 529, "measured": "along_axis", "offset": 44}},
    ),
    "negative fork offset": (without(ROAD, "fork_offset", fork_offset=-20.0), {}),
    "steering from trail and wheelbase": (
        without(ROAD, "head_tube_angle", "chainstay_length", trail=58, wheelbase=1010),
        {},
    ),
    "chart of a road frame": (
        without(
            ROAD,
            "head_tube_length",
            "fork_offset",
            "reach",
            "bb_drop",
            "chainstay_length",
            stack=580,
            trail=60,
            effective_top_tube=560,
            bb_height=270,
            wheelbase=1000,
        ),
        {},
    ),
}


def agree(ours: Mapping[str, Point], theirs: Mapping[str, tuple[float, float]]) -> None:
    """Every node at the same place."""
    for node in NODE_NAMES:
        x, _, z = ours[node]
        assert math.dist((x, z), theirs[node]) < TOLERANCE, node


@pytest.mark.parametrize("name", SETS)
def test_every_node_agrees(name: str) -> None:
    figures, build = SETS[name]
    bike = spec(figures, build)
    solved = solve_chart(bike)
    saddle_height = build.get("seatpost", {}).get("saddle_height")
    nodes = nodes_of(solved.values, saddle_height)

    offset = solved.values["seat_tube_offset"]
    sketch = Sketch(nodes, offset=abs(offset) > 1e-9, shake=8.0, seed=len(name))
    for figure, value in figures.items():
        at_saddle = figure == "effective_seat_tube_angle" and saddle_height is not None
        sketch.figure(f"{figure} at the saddle" if at_saddle else figure, value)
    fork = build.get("fork", {})
    if "axle_to_crown" in fork:
        straight = fork["measured"] == "straight"
        sketch.figure(
            "fork_length_straight" if straight else "fork_axle_to_crown", fork["axle_to_crown"]
        )
    if "offset" in fork:
        sketch.figure("fork_offset", fork["offset"])
    if saddle_height is None:
        # Without a saddle height the node stands at the height of the head tube's top.
        sketch.left_of("saddle", sketch.line("seat_level", "head_tube_top"), 0.0)
    else:
        sketch.figure("saddle_height", saddle_height)

    agree(nodes, sketch.solve())


def test_angle_adjusting_cups() -> None:
    """The cups turn the steering axis about the middle of the head tube."""
    solved = solve_chart(spec(MULLET, {"headset": {"angle": -1.5}}))
    nodes = nodes_of(solved.values)
    sketch = Sketch(nodes, offset=True, shake=3.0, seed=7, cup_angle=-1.5)
    for figure, value in without(MULLET, "lower_headset_stack").items():
        sketch.figure(figure, value)
    sketch.figure("middle_to_crown", MULLET["head_tube_length"] / 2 + 4.0)
    sketch.left_of("saddle", sketch.line("seat_level", "head_tube_top"), 0.0)
    agree(nodes, sketch.solve())


TOP_TUBES: dict[str, tuple[dict[str, Any], dict[str, Any], str]] = {
    "distances": (
        {"on": "seat_tube", "below_top": 45.0},
        {"on": "head_tube", "below_top": 38.0},
        "seat_tube_length",
    ),
    "from the bottom": (
        {"on": "seat_tube", "above_bottom": 385.0},
        {"on": "head_tube", "above_bottom": 77.0},
        "bb_drop",
    ),
    "angle at the seat tube": (
        {"on": "seat_tube", "angle": 66.0},
        {"on": "head_tube", "below_top": 38.0},
        "head_tube_length",
    ),
    "angle at the head tube": (
        {"on": "seat_tube", "below_top": 45.0},
        {"on": "head_tube", "angle": 76.0},
        "seat_tube_length",
    ),
}
"""Start, end, and the figure that standover replaces."""


@pytest.mark.parametrize("figure", STANDOVERS)
@pytest.mark.parametrize("ends", TOP_TUBES)
def test_standover(ends: str, figure: str) -> None:
    """Standover as an input, over the bottom bracket and over the middle of a straight top tube."""
    start, end, left_open = TOP_TUBES[ends]
    tube = {"top_tube": {"start": start, "end": end, "od": 31.8, "wall": 0.8}}
    natural = solve_chart(spec(MULLET, {}, tube)).values[figure]
    figures = without(MULLET, left_open) | {figure: round(natural) + 2.0}
    solved = solve_chart(spec(figures, {}, tube))
    nodes = nodes_of(solved.values)

    sketch = Sketch(nodes, offset=True, shake=3.0, seed=3)
    for name, value in figures.items():
        if name not in STANDOVERS:
            sketch.figure(name, value)
    sketch.left_of("saddle", sketch.line("seat_level", "head_tube_top"), 0.0)
    sketch.point("at_seat", -60.0, 390.0)
    sketch.point("at_head", 470.0, 590.0)
    sketch.on("at_seat", sketch.seat)
    sketch.on("at_head", sketch.head)
    top, back = sketch.line("at_seat", "at_head"), sketch.line("at_head", "at_seat")
    far = {"below_top": "seat_tube_top", "above_bottom": "seat_foot"}
    for key, value in start.items():
        if key == "angle":
            sketch.angle(top, sketch.seat, value)
        elif key in far:
            sketch.apart("at_seat", far[key], value)
    far = {"below_top": "head_tube_top", "above_bottom": "head_tube_bottom"}
    for key, value in end.items():
        if key == "angle":
            sketch.angle(back, sketch.head, value)
        elif key in far:
            sketch.apart("at_head", far[key], value)
    if figure == "standover":
        sketch.point("upper_edge", 0.0, 455.0)
        sketch.above("upper_edge", "bottom_bracket")
    else:
        sketch.middle("middle", top, 200.0, 490.0)
        sketch.point("upper_edge", 200.0, 505.0)
        sketch.above("upper_edge", "middle")
    sketch.left_of("upper_edge", top, 31.8 / 2)
    sketch.left_of("upper_edge", sketch.ground, figures[figure])
    agree(nodes, sketch.solve())


@pytest.mark.parametrize(
    "parts",
    [
        {"fork_axle_to_crown": 551.0},
        {"fork_axle_to_crown": 480.0, "fork_offset": 51.0},
        {"front_wheel_radius": 340.0},
        {"rear_wheel_radius": 372.0},
        {"lower_headset_stack": 14.0},
    ],
    ids=str,
)
def test_as_built(parts: dict[str, float]) -> None:
    """The built frame as a rigid set of points with its mutual distances, on other parts."""
    solved = solve_chart(spec(MULLET))
    built = nodes_of(solved.values)
    pitched = pitch(solved, parts)
    assert pitched is not None
    nodes = nodes_of(pitched.values)
    sketch = Sketch(nodes, offset=True, shake=3.0, seed=11)
    # A rigid triangulation: each further point by two distances, points on a line by one.
    for a, b in (
        ("bottom_bracket", "rear_axle"),
        ("bottom_bracket", "head_tube_top"),
        ("rear_axle", "head_tube_top"),
        ("head_tube_top", "head_tube_bottom"),
        ("bottom_bracket", "head_tube_bottom"),
        ("bottom_bracket", "seat_tube_top"),
        ("rear_axle", "seat_tube_top"),
    ):
        sketch.apart(a, b, math.dist(built[a], built[b]))
    sketch.figure("seat_tube_length", MULLET["seat_tube_length"])
    settled = {
        name: MULLET[name]
        for name in (
            "lower_headset_stack",
            "fork_axle_to_crown",
            "fork_offset",
            "front_wheel_radius",
            "rear_wheel_radius",
        )
    } | parts
    for figure, value in settled.items():
        sketch.figure(figure, value)
    sketch.left_of("saddle", sketch.line("seat_level", "head_tube_top"), 0.0)
    agree(nodes, sketch.solve())
