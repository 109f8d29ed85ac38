"""A rider on an invented trail bike, for tests of this room."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from frame3d.chart.nodes import nodes_of
from frame3d.chart.solve import solve_chart
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.rider.contacts import saddle_height_of
from frame3d.rider.on_bike import BodyOnBike, body_on_bike
from tests.charts import TRAIL, spec

RIDER: dict[str, Any] = {"mass_kg": 80, "height": 1780, "inseam": 830}
PARTS: dict[str, Any] = {
    "crank": {"length": 170},
    "headset": {"upper_stack": 8},
    "stem": {"length": 50, "angle": 0, "spacers": 10, "clamp_height": 40},
    "handlebar": {"rise": 20, "forward": -30},
    "rider": RIDER,
    "seatpost": {"saddle_height": 735},
}
Solved = tuple[FrameSpec, dict[str, Point], dict[str, float | None]]


def bike(figures: Mapping[str, float] = TRAIL, **parts: Any) -> Solved:
    """The file, its nodes and its chart; parts replace the usual ones, None takes one away."""
    file = spec(figures, {k: v for k, v in (PARTS | parts).items() if v is not None})
    solved = solve_chart(file)
    return file, nodes_of(solved.values, saddle_height_of(file)), solved.figures()


def on_bike(figures: Mapping[str, float] = TRAIL, **parts: Any) -> BodyOnBike:
    """The rider's body on it."""
    found = body_on_bike(*bike(figures, **parts))
    assert found is not None
    return found
