"""The chart against published values, textbook formulas, and triangles worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from frame3d.chart.as_built import pitch
from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import solve_chart
from tests.charts import MULLET, ROAD, TRAIL, spec, without

BIKES = {"trail": TRAIL, "mullet": MULLET, "road": ROAD}


def test_benchmark_bicycle() -> None:
    """Meijaard, Papadopoulos, Ruina and Schwab, Proc. R. Soc. A 463 (2007), table 1.

    Wheelbase 1.02 m, trail 0.08 m, steer axis tilt π/10 from the vertical, radii 0.3 and 0.35 m. The
    fork offset that these imply is 0.0320714267 m (their formula for trail, solved for the offset).
    """
    figures = without(
        ROAD,
        "fork_offset",
        "chainstay_length",
        "front_wheel_radius",
        "rear_wheel_radius",
        "bb_drop",
        head_tube_angle=90 - 18,
        wheelbase=1020,
        trail=80,
        rear_wheel_radius=300,
        front_wheel_radius=350,
        bb_drop=30,
    )
    chart = solve_chart(spec(figures)).figures()
    assert chart["fork_offset"] == pytest.approx(32.0714267, abs=5e-8)
    assert chart["wheelbase"] == pytest.approx(1020, abs=1e-9)


@pytest.mark.parametrize("bike", BIKES)
def test_forms_of_trail(bike: str) -> None:
    """Trail by its textbook forms: from the angle against the ground, and against the vertical."""
    chart = solve_chart(spec(BIKES[bike])).figures()
    R, o, H = (chart[n] for n in ("front_wheel_radius", "fork_offset", "head_tube_angle"))
    assert R is not None
    assert o is not None
    assert H is not None
    steep, tilt = math.radians(H), math.radians(90 - H)
    for form in (
        (R * math.cos(steep) - o) / math.sin(steep),
        R / math.tan(steep) - o / math.sin(steep),
        (R * math.sin(tilt) - o) / math.cos(tilt),
    ):
        assert chart["trail"] == pytest.approx(form, abs=1e-9)
    assert chart["mechanical_trail"] == pytest.approx(form * math.cos(tilt), abs=1e-9)
    assert chart["wheel_flop"] == pytest.approx(form * math.sin(tilt) * math.cos(tilt), abs=1e-9)


def test_crossing_height() -> None:
    """Where the steering axis crosses the upright through the front axle: 65°, R 368, offset 44.

    R - offset/cos(head angle) = 263.89 mm, 71.7 % of the radius (derived; the figure itself is in
    ISO 4210-2, informative annex, from memory).
    """
    figures = without(TRAIL, "front_wheel_radius", "rear_wheel_radius", "head_tube_angle")
    figures |= {"front_wheel_radius": 368.0, "rear_wheel_radius": 368.0, "head_tube_angle": 65.0}
    nodes = nodes_of(solve_chart(spec(figures)).values)
    top, crown, axle = (nodes[n] for n in ("head_tube_top", "crown_race", "front_axle"))
    slope = (crown[2] - top[2]) / (crown[0] - top[0])
    height = crown[2] + slope * (axle[0] - crown[0]) - nodes["front_contact"][2]
    assert height == pytest.approx(263.89, abs=0.005)
    assert height / 368 == pytest.approx(0.717, abs=0.0005)


def test_fork_measured_straight() -> None:
    """A fork of 525 mm from axle to crown seat with 44 mm offset is 523.15 mm along the axis."""
    fork = {"axle_to_crown": 525, "measured": "straight", "offset": 44}
    figures = without(TRAIL, "fork_axle_to_crown", "fork_offset")
    chart = solve_chart(spec(figures, {"fork": fork})).figures()
    assert chart["fork_axle_to_crown"] == pytest.approx(523.15, abs=0.005)


THREE_FOUR_FIVE = math.degrees(math.atan2(4, 3))
FIVE_TWELVE = math.degrees(math.atan2(12, 5))


def turned(angle: float, vector: np.ndarray, head_tube_angle: float) -> np.ndarray:
    """A vector turned with the front wheel, about a steering axis at that angle [degrees]."""
    slope = math.radians(head_tube_angle)
    axis = np.array([-math.cos(slope), 0.0, math.sin(slope)])
    return Rotation.from_rotvec(math.radians(angle) * axis).apply(vector)


@pytest.mark.parametrize("bike", BIKES)
def test_wheel_flop_is_a_measure_of_the_drop(bike: str) -> None:
    """The wheel as a thin disc turned by scipy's rotations, the frame held as it is.

    At 90° of turn the point of the tyre that touched the ground has risen by the flop; the disc's
    lowest point has not. A small turn brings the disc up by (1 - cos) of the flop, 1.5 % at 10°.
    """
    chart = solve_chart(spec(BIKES[bike])).figures()
    angle, radius = chart["head_tube_angle"], chart["front_wheel_radius"]
    offset, flop = chart["fork_offset"], chart["wheel_flop"]
    assert angle is not None
    assert radius is not None
    assert offset is not None
    assert flop is not None
    slope = math.radians(angle)
    hub = offset * np.array([math.sin(slope), 0.0, math.cos(slope)])
    contact = hub - np.array([0.0, 0.0, radius])

    def rise(turn: float) -> float:
        axle = turned(turn, np.array([0.0, 1.0, 0.0]), angle)
        lowest = turned(turn, hub, angle)[2] - radius * math.hypot(axle[0], axle[1])
        return float(lowest - contact[2])

    assert turned(90, contact, angle)[2] - contact[2] == pytest.approx(flop, abs=1e-9)
    assert 0 < rise(90) < 0.5 * flop
    assert rise(10) == pytest.approx(0.015 * flop, rel=0.02)


def test_bike_of_right_triangles() -> None:
    """Worked by hand with cos H = 3/5, sin H = 4/5; cos B = 5/13, sin B = 12/13.

    Along the axis 100 + 500 mm of head tube and fork run 360 forward and 480 down; the offset of 50
    runs 40 forward and 30 up. From reach 400 the front axle is at 400 + 360 + 40 = 800. It lies at
    the drop, 50 above the bottom bracket, so the stack is 50 + 480 - 30 = 500. Chainstay 5-12-13:
    setback 120, so wheelbase 920. Trail (350·3/5 - 50)/(4/5) = 200, square to the axis 160, flop
    160·3/5 = 96. The seat tube's foot is 26 mm off: (24, 10); at the stack it has gone back
    490·5/12 = 204.1667, to -180.1667.
    """
    figures = {
        "reach": 400.0,
        "head_tube_angle": THREE_FOUR_FIVE,
        "head_tube_length": 100.0,
        "lower_headset_stack": 0.0,
        "fork_axle_to_crown": 500.0,
        "fork_offset": 50.0,
        "front_wheel_radius": 350.0,
        "rear_wheel_radius": 350.0,
        "bb_drop": 50.0,
        "chainstay_length": 130.0,
        "actual_seat_tube_angle": FIVE_TWELVE,
        "seat_tube_offset": 26.0,
        "seat_tube_length": 130.0,
    }
    solved = solve_chart(spec(figures))
    chart, nodes = solved.figures(), nodes_of(solved.values)
    expected = {
        "stack": 500,
        "wheelbase": 920,
        "bb_height": 300,
        "front_centre": math.hypot(800, 50),
        "trail": 200,
        "mechanical_trail": 160,
        "wheel_flop": 96,
        "effective_top_tube": 580 + 1 / 6,
        "effective_seat_tube_angle": math.degrees(math.atan2(500, 180 + 1 / 6)),
        "effective_seat_tube_angle_at_stack": math.degrees(math.atan2(500, 180 + 1 / 6)),
    }
    for figure, value in expected.items():
        assert chart[figure] == pytest.approx(value, abs=1e-9), figure
    points = {
        "bottom_bracket": (0, 0, 0),
        "rear_axle": (-120, 0, 50),
        "front_axle": (800, 0, 50),
        "head_tube_top": (400, 0, 500),
        "head_tube_bottom": (460, 0, 420),
        "crown_race": (460, 0, 420),
        "seat_tube_top": (24 - 50, 0, 10 + 120),
        "rear_contact": (-120, 0, -300),
        "front_contact": (800, 0, -300),
        "saddle": (-(180 + 1 / 6), 0, 500),
    }
    assert list(nodes) == list(points)
    for name, p in points.items():
        assert nodes[name] == pytest.approx(p, abs=1e-9), name


def test_saddle_on_right_triangles() -> None:
    """The right triangle 65-2112-2113, a third in size: offset 65/3, along the axis 704, saddle 2113/3.

    The axis passes ahead of the bottom bracket, so the straight line to the saddle is steeper than it
    by asin(65/2113). The saddle is 704 up the axis from its foot at 65/3·(12/13, 5/13) = (20, 25/3).
    At the height of the head tube's top the axis has gone back 5/12 of the way up from that foot.
    """
    figures = without(
        TRAIL,
        "effective_seat_tube_angle",
        actual_seat_tube_angle=FIVE_TWELVE,
        seat_tube_offset=65 / 3,
    )
    solved = solve_chart(spec(figures, {"seatpost": {"saddle_height": 2113 / 3}}))
    saddle = nodes_of(solved.values, 2113 / 3)["saddle"]
    assert saddle == pytest.approx((20 - 704 * 5 / 13, 0, 25 / 3 + 704 * 12 / 13), abs=1e-9)
    assert solved.figures()["effective_seat_tube_angle"] == pytest.approx(
        FIVE_TWELVE + math.degrees(math.asin(65 / 2113)), abs=1e-9
    )
    stack = solved.values["stack"]
    back = (stack - 25 / 3) * 5 / 12 - 20
    assert solved.figures()["effective_seat_tube_angle_at_stack"] == pytest.approx(
        math.degrees(math.atan2(stack, back)), abs=1e-9
    )


@pytest.mark.parametrize("turn", [-2.5, -0.4, 0.3, 1.7])
@pytest.mark.parametrize("bike", BIKES)
def test_as_built_backwards(bike: str, turn: float) -> None:
    """Turn the frame by hand, work out the fork that holds it there, and let as built find the turn.

    With the frame nose up by P, its crown race lies at h = z·cos P + x·sin P above the bottom bracket,
    the ground at the rear axle's turned height less the rear radius. The fork that reaches from the
    crown race to a front wheel on that ground is (h - ground - R + offset·cos H)/sin H long, H being
    the head angle less P.
    """
    solved = solve_chart(spec(BIKES[bike]))
    nodes = nodes_of(solved.values)
    p = math.radians(turn)

    def turned_height(name: str) -> float:
        return nodes[name][2] * math.cos(p) + nodes[name][0] * math.sin(p)

    H = solved.values["head_tube_angle"] - p
    ground = turned_height("rear_axle") - solved.values["rear_wheel_radius"]
    rise = turned_height("crown_race") - ground - solved.values["front_wheel_radius"]
    fork = (rise + solved.values["fork_offset"] * math.cos(H)) / math.sin(H)
    pitched = pitch(solved, {"fork_axle_to_crown": fork})
    assert pitched is not None
    assert math.degrees(pitched.values["pitch"]) == pytest.approx(turn, abs=1e-9)
    assert pitched.values["bb_height"] == pytest.approx(-ground, abs=1e-9)
