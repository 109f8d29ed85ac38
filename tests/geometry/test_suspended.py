"""The rear suspension on the solved bike: sag, charts over the travel, what the command prints."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from frame3d import cli
from frame3d.errors import GeometryError
from frame3d.geometry.layout import Layout
from frame3d.geometry.solve import solve
from frame3d.geometry.travel import over_travel
from frame3d.linkage import Coil
from frame3d.spec.reader import load, loads

MINIMAL = (Path(__file__).parents[2] / "configs" / "minimal.yaml").read_text()
SINGLE = """
build:
  rider: {mass_kg: 80, height: 1765, inseam: 830}
  stem: {length: 45}
  bike_mass_kg: 15
  fork: {travel: 140, sag: 20%}
  chainring: {teeth: 32}
  cassette: {cogs: [10, 18, 28, 51]}
suspension:
  sag: 30%
  points:
    main_pivot: [10, 70]
    shock_front: [150, 240]
    shock_rear: [-60, 210]
  links:
    frame: [main_pivot, shock_front]
    swingarm: [main_pivot, shock_rear]
  axle: {on: swingarm}
  shock: {start: shock_front, end: shock_rear, eye_to_eye: 212.132, stroke: 60}
  spring: {coil: {}}
"""


@pytest.fixture(scope="module")
def bike() -> Layout:
    """A single pivot that drives its shock itself; invented."""
    return solve(loads(MINIMAL + SINGLE))


def test_the_axle_turns_about_the_pivot(bike: Layout) -> None:
    assert bike.linkage is not None
    pivot = np.array([10.0, 70.0])
    arms = np.linalg.norm(bike.linkage.axle - pivot, axis=1)
    assert np.ptp(arms) < 1e-9


def test_sag_stands_on_the_ground_with_the_rear_wheel_moved(bike: Layout) -> None:
    assert bike.linkage is not None
    assert bike.sagged is not None
    chart, nodes = bike.sagged.chart, bike.sagged.nodes
    ground = nodes["rear_contact"][2]
    assert nodes["rear_axle"][2] - ground == pytest.approx(368, abs=1e-9)
    assert nodes["front_axle"][2] - ground == pytest.approx(368, abs=1e-9)
    travel = over_travel(bike).asked
    assert travel is not None
    assert travel.stroke == pytest.approx(18, abs=1e-9)  # 30 % of 60
    x, z = bike.linkage.axle_at(travel.travel)
    assert chart["chainstay_length"] == pytest.approx(float(np.hypot(x, z)), abs=1e-9)
    bb = bike.chart["bb_height"]
    assert bb is not None
    assert chart["bb_height"] is not None
    assert chart["bb_height"] < bb


def test_charts_start_as_drawn_and_stay_on_level_ground(bike: Layout) -> None:
    result = over_travel(bike, 5)
    for figure, value in bike.chart.items():
        if value is not None:
            assert result.charts[0][figure] == pytest.approx(value, abs=1e-9)
    heights = [chart["bb_height"] for chart in result.charts]
    assert heights == sorted(heights, reverse=True)  # type: ignore[type-var]


def test_the_open_coil_is_the_one_that_gives_the_asked_sag(bike: Layout) -> None:
    result = over_travel(bike)
    assert isinstance(result.spring, Coil)
    assert result.found is not None
    assert result.found.stroke == pytest.approx(18, abs=1e-6)
    soft, hard = result.sold
    assert soft.rate_n_mm <= result.spring.k <= hard.rate_n_mm
    assert soft.sag is not None
    assert hard.sag is not None
    assert soft.sag.stroke > result.found.stroke > hard.sag.stroke


def test_a_hardtail_has_no_travel_to_follow() -> None:
    with pytest.raises(GeometryError, match="no rear suspension"):
        over_travel(solve(loads(MINIMAL)))


def test_the_command_prints_a_table_and_arrays(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(MINIMAL + SINGLE)
    with pytest.raises(SystemExit) as left:
        cli.main(["solve", str(file), "--travel"])
    text = capsys.readouterr().out
    assert left.value.code == 0
    assert "anti-squat 32/28" in text
    assert "Sold coil" in text
    with pytest.raises(SystemExit):
        cli.main(["solve", str(file), "--travel", "--json"])
    document = json.loads(capsys.readouterr().out)["travel"]
    n = len(document["travel"])
    assert n == 101
    assert all(len(gear["anti_squat"]) == n for gear in document["gears"])
    assert len(document["charts"]) == n
    assert document["travel"][-1] == pytest.approx(document["mean_leverage"] * 60, abs=1e-6)
