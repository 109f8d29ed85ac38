"""Nodes: named points from the solved variables."""

from __future__ import annotations

import math

import pytest

from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import solve_chart
from frame3d.parameters.models.base import NODE_NAMES
from tests.bikes import hardtail_nodes
from tests.charts import MULLET, ROAD, TRAIL, spec, without

BIKES = {"trail": TRAIL, "mullet": MULLET, "road": ROAD}
each = pytest.mark.parametrize("bike", BIKES)


def test_names_and_order() -> None:
    assert tuple(nodes_of(solve_chart(spec(TRAIL)).values)) == NODE_NAMES


def test_a_hardtail_worked_by_hand() -> None:
    """The layout that other tests use is written out point by point; its figures lead to the same."""
    figures = without(TRAIL, "fork_axle_to_crown", "fork_offset")
    build = {
        "fork": {"axle_to_crown": 531.0, "measured": "straight", "offset": 44.0},
        "seatpost": {"saddle_height": 720.0},
    }
    nodes = nodes_of(solve_chart(spec(figures, build)).values, 720.0)
    expected = hardtail_nodes()
    assert nodes.keys() == expected.keys()
    for name, p in expected.items():
        assert nodes[name] == pytest.approx(p, abs=1e-9), name


@each
def test_all_lie_in_the_centre_plane(bike: str) -> None:
    for p in nodes_of(solve_chart(spec(BIKES[bike])).values).values():
        assert p[1] == 0
        assert all(math.copysign(1, x) == 1 for x in p if x == 0), "no negative zeros"


@each
def test_distances_are_the_figures(bike: str) -> None:
    solved = solve_chart(spec(BIKES[bike]))
    v, n = solved.values, nodes_of(solved.values)
    pairs = {
        ("bottom_bracket", "rear_axle"): v["chainstay_length"],
        ("bottom_bracket", "front_axle"): v["front_centre"],
        ("head_tube_top", "head_tube_bottom"): v["head_tube_length"],
        ("head_tube_bottom", "crown_race"): v["lower_headset_stack"],
        ("crown_race", "front_axle"): v["fork_length_straight"],
        ("rear_contact", "front_contact"): v["wheelbase"],
        ("rear_axle", "rear_contact"): v["rear_wheel_radius"],
        ("front_axle", "front_contact"): v["front_wheel_radius"],
        ("bottom_bracket", "seat_tube_top"): math.hypot(
            v["seat_tube_length"], v["seat_tube_offset"]
        ),
    }
    for (a, b), length in pairs.items():
        assert math.dist(n[a], n[b]) == pytest.approx(length, abs=1e-9), (a, b)


@each
def test_the_saddle_is_where_it_is_asked_for(bike: str) -> None:
    solved = solve_chart(spec(BIKES[bike]))
    top = nodes_of(solved.values)
    assert top["saddle"][2] == pytest.approx(solved.values["stack"], abs=1e-9)
    assert top["head_tube_top"][0] - top["saddle"][0] == pytest.approx(
        solved.values["effective_top_tube"], abs=1e-9
    )
    high = nodes_of(solved.values, 750.0)
    assert math.dist(high["saddle"], (0, 0, 0)) == pytest.approx(750, abs=1e-9)
    # Both lie on the line of the seat tube.
    a, b = high["seat_tube_top"], high["saddle"]
    angle = math.degrees(math.atan2(b[2] - a[2], a[0] - b[0]))
    assert angle == pytest.approx(math.degrees(solved.values["actual_seat_tube_angle"]), abs=1e-9)


def test_a_saddle_no_higher_than_the_axis_is_off() -> None:
    """A saddle height below the seat tube's offset: as near as the axis comes."""
    solved = solve_chart(spec(MULLET))
    assert math.dist(nodes_of(solved.values, 20.0)["saddle"], (0, 0, 0)) == pytest.approx(38)


@pytest.mark.parametrize("cups", [-1.5, 1.0])
def test_cups_turn_the_axis_about_the_middle_of_the_head_tube(cups: float) -> None:
    solved = solve_chart(spec(TRAIL, {"headset": {"angle": cups}}))
    n = nodes_of(solved.values)
    top, bottom, crown = (n[name] for name in ("head_tube_top", "head_tube_bottom", "crown_race"))
    middle = [(t + b) / 2 for t, b in zip(top, bottom, strict=True)]

    def angle(a: list[float] | tuple[float, ...], b: tuple[float, ...]) -> float:
        return math.degrees(math.atan2(a[2] - b[2], b[0] - a[0]))

    # The chart's head tube angle is the steering axis'; the tube is steeper where cups slacken.
    assert angle(middle, crown) == pytest.approx(65.5, abs=1e-9)
    assert angle(top, bottom) == pytest.approx(65.5 - cups, abs=1e-9)
    assert math.dist(middle, crown) == pytest.approx(115 / 2 + 4, abs=1e-9)
