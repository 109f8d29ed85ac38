"""How far what cannot be made is from what can."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.solve import point_tubes
from frame3d.chart.solve import solve_chart
from frame3d.explore.evaluate.distance import MOST, chart_distance, rear_distance
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading.reader import loads
from tests.explore.evaluate.studies import study_of


def spec_of(demo: str, *sets: str) -> FrameSpec:
    return loads(study_of(demo, ()).bike_text, demo, sets)


def test_a_good_chart_is_no_way_off() -> None:
    assert chart_distance(spec_of("trail_hardtail_29")) == pytest.approx(0.0, abs=1e-6)


def test_a_chainstay_too_short_is_off_by_what_lacks() -> None:
    """The axle lies 120 mm above or below the bottom bracket, so no chainstay is shorter than that."""
    distances = [
        chart_distance(
            spec_of(
                "trail_hardtail_29",
                "geometry.bb_drop=120",
                f"geometry.chainstay_length={120 - lacks}",
            )
        )
        for lacks in (5, 10, 20, 40)
    ]
    assert all(np.diff(distances) > 1)
    assert all(0 < one <= MOST for one in distances)


def test_a_redundant_figure_is_off_by_what_it_disagrees() -> None:
    spec = spec_of("trail_hardtail_29")
    stack = solve_chart(spec).figures()["stack"]
    assert stack is not None
    near, far = (
        chart_distance(spec_of("trail_hardtail_29", f"geometry.stack={stack + by:.6f}"))
        for by in (2, 10)
    )
    assert 0 < near < far


def rear(*sets: str) -> float:
    spec = spec_of("trail_full_140", *sets)
    solved = solve_chart(spec)
    return rear_distance(spec, solved, point_tubes(spec, solved))


def test_a_shock_too_long_is_off_by_its_length() -> None:
    """A shock that is 10 mm longer than the room for it, and one that is 20 mm longer."""
    off = [
        rear(
            f"suspension.shock={{start: shock_front, end: rocker_shock, eye_to_eye: {length}, stroke: 52.5}}"
        )
        for length in (210, 220, 230)
    ]
    assert off[2] - off[1] == pytest.approx(10.0, abs=1e-6)
    assert off[0] < off[1]


def test_a_locked_linkage_is_off_by_the_rest_of_its_stroke() -> None:
    free = ("suspension.travel=null", "suspension.solve_for=null", "suspension.spring=null")
    off = [rear(f"suspension.points.rocker_rear.forward={by}", *free) for by in (-100, 120, 150)]
    assert off[0] < 0.1
    assert off[0] < off[1] < off[2] < 52.5


def test_a_wheel_that_goes_down_is_off_by_how_much_it_does() -> None:
    free = ("suspension.travel=null", "suspension.solve_for=null", "suspension.spring=null")
    off = [rear(f"suspension.points.rocker_rear.above={by}", *free) for by in (32, -80, -120)]
    assert off[0] < 0.1
    assert 52.5 < min(off[1:]) < max(off[1:]) < MOST
