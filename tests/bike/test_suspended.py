"""The rear suspension on the solved bike: sag, charts over the travel, what the command prints."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.cli import commands
from frame3d.errors import GeometryError
from frame3d.linkage import Coil
from frame3d.parameters.reading.reader import loads

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
  unsprung_kg: 4
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
def bike() -> Bike:
    """A single pivot that drives its shock itself; invented."""
    return solve(loads(MINIMAL + SINGLE))


def test_the_axle_turns_about_the_pivot(bike: Bike) -> None:
    assert bike.linkage is not None
    pivot = np.array([10.0, 70.0])
    arms = np.linalg.norm(bike.linkage.axle - pivot, axis=1)
    assert np.ptp(arms) < 1e-9


def test_sag_stands_on_the_ground_with_the_rear_wheel_moved(bike: Bike) -> None:
    assert bike.linkage is not None
    assert bike.sagged is not None
    chart, nodes = bike.sagged.chart, bike.sagged.nodes
    ground = nodes["rear_contact"][2]
    assert nodes["rear_axle"][2] - ground == pytest.approx(368, abs=1e-9)
    assert nodes["front_axle"][2] - ground == pytest.approx(368, abs=1e-9)
    travel = over_travel(bike).sprung.asked
    assert travel is not None
    assert travel.stroke == pytest.approx(18, abs=1e-9)  # 30 % of 60
    x, z = bike.linkage.axle_at(travel.travel)
    assert chart["chainstay_length"] == pytest.approx(float(np.hypot(x, z)), abs=1e-9)
    bb = bike.chart["bb_height"]
    assert bb is not None
    assert chart["bb_height"] is not None
    assert chart["bb_height"] < bb


def test_charts_start_as_drawn_and_stay_on_level_ground(bike: Bike) -> None:
    result = over_travel(bike, 5)
    for figure, value in bike.chart.items():
        if value is not None:
            assert result.charts[0][figure] == pytest.approx(value, abs=1e-9)
    heights = [chart["bb_height"] for chart in result.charts]
    assert heights == sorted(heights, reverse=True)  # type: ignore[type-var]


def test_the_open_coil_is_the_one_that_gives_the_asked_sag(bike: Bike) -> None:
    result = over_travel(bike).sprung
    assert isinstance(result.spring, Coil)
    assert result.found is not None
    assert result.found.stroke == pytest.approx(18, abs=1e-6)
    soft, hard = result.sold
    assert soft.rate_n_mm <= result.spring.k <= hard.rate_n_mm
    assert soft.sag is not None
    assert hard.sag is not None
    assert soft.sag.stroke > result.found.stroke > hard.sag.stroke


def test_the_load_is_that_of_rider_and_bicycle(bike: Bike) -> None:
    """95 kg × 9.80665 × 0.59848, see test_weight; the spring is spared 4 kg × 9.80665."""
    sprung = over_travel(bike, 3).sprung
    assert sprung.load == pytest.approx(557.56, abs=0.02)
    assert sprung.carried == pytest.approx(518.33, abs=0.02)
    assert sprung.unsprung.given
    assert any("4 kg (suspension.unsprung_kg)" in said for said in sprung.assumptions)


def test_where_it_is_asked_about_most(bike: Bike) -> None:
    """Both wheels of one radius: the ground is parallel to the line of the axles. The fork moves its
    axle from (727.63, 55) by 140 mm along 67°, to (672.93, 183.87): dived, the axles rise by
    atan(128.87 / 1104.44) = 6.656° against the frame.
    """
    assert bike.linkage is not None
    by_name = {standing.name: standing for standing in over_travel(bike, 3).standing}
    assert list(by_name) == ["extended", "sag", "full_travel", "dive"]
    for standing in by_name.values():
        nodes, chart = standing.stance.nodes, standing.stance.chart
        ground = nodes["rear_contact"][2]
        assert nodes["front_contact"][2] == pytest.approx(ground, abs=1e-9)
        assert nodes["rear_axle"][2] - ground == pytest.approx(368, abs=1e-9)
        assert chart["fork_axle_to_crown"] == pytest.approx(505 - standing.fork, abs=1e-9)
        assert chart["bb_height"] == pytest.approx(-ground, abs=1e-9)
    dive, full, sag = by_name["dive"], by_name["full_travel"], by_name["sag"]
    assert (dive.rear, dive.fork) == (0, 140)
    assert dive.stance.pitch == pytest.approx(-6.656, abs=1e-3)
    assert dive.stance.chart["head_tube_angle"] == pytest.approx(67 + 6.656, abs=1e-3)
    x, z = bike.linkage.axle_at(full.rear)
    pitch = -np.degrees(np.arctan2(183.87 - z, 672.93 - x))
    assert full.stance.pitch == pytest.approx(pitch, abs=1e-3)
    assert (full.rear, full.fork) == (bike.linkage.full_travel, 140)
    assert sag.fork == pytest.approx(28)
    assert bike.sagged is not None
    assert sag.stance.chart == bike.sagged.chart


def test_curves_and_charts_stand_on_the_same_ground(bike: Bike) -> None:
    """Pitch and wheelbase by the tangent of both wheels, and by the chart's relations."""
    result = over_travel(bike, 5)
    assert [c["wheelbase"] for c in result.charts] == pytest.approx(result.curves.wheelbase)
    angles = np.array([c["head_tube_angle"] for c in result.charts], dtype=float)
    assert angles[0] - angles == pytest.approx(result.curves.pitch, abs=1e-9)
    assert result.curves.pitch[-1] == pytest.approx(result.standing[2].stance.pitch, abs=1e-9)


def test_a_hardtail_has_no_travel_to_follow() -> None:
    with pytest.raises(GeometryError, match="no rear suspension"):
        over_travel(solve(loads(MINIMAL)))


def test_the_command_prints_a_table_and_arrays(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(MINIMAL + SINGLE)
    with pytest.raises(SystemExit) as left:
        commands.main(["solve", str(file), "--travel"])
    text = capsys.readouterr().out
    assert left.value.code == 0
    for shown in (
        "axle x [mm]", "stroke [mm]", "leverage", "wheel force [N]", "wheel rate [N/mm]",
        "instant centre x [mm]", "32/10 [%]", "32/51 [%]", "anti-rise [%]", "brake line [°]",
        "chain line 32/28 [°]", "chain growth 32/28 [mm]", "kickback 32/28 [°]", "from sag 32/28 [°]", "at sag",
        "full travel", "dive on the fork", "Progression", "Sold coil 450", "Sold coil 475",
        "Coil 83.1", "Bottoms out at", "Load at the rear wheel 558 N: 59.8 % of 95.0 kg; less 4.00 kg unsprung, the spring carries 518 N",
        "Assumed: fork at the same share",
    ):  # fmt: skip
        assert shown in text, shown
    with pytest.raises(SystemExit):
        commands.main(["solve", str(file), "--travel", "--json"])
    document = json.loads(capsys.readouterr().out)["travel"]
    n = 101
    assert document["travel"][-1] == pytest.approx(document["mean_leverage"] * 60, abs=1e-6)
    for key in (
        "travel", "stroke", "axle", "leverage", "leverage_rate", "instant_centre",
        "brake_instant_centre", "anti_rise", "brake_slope", "rear_contact", "front_contact",
        "wheelbase", "pitch", "fork", "charts",
    ):  # fmt: skip
        assert len(document[key]) == n, key
    assert [gear["cog"] for gear in document["gears"]] == [10, 18, 28, 51]
    for gear in document["gears"]:
        for key in (
            "anti_squat", "chain_growth", "crank_rotation", "crank_rotation_from_sag", "chain_angle",
            "chain_line",
        ):  # fmt: skip
            assert len(gear[key]) == n, key
    for key in ("shock_force", "shock_rate", "wheel_force", "wheel_rate", "energy"):
        assert len(document["forces"][key]) == n, key
    assert document["forces"]["bottom_out_wheel"] == document["forces"]["wheel_force"][-1]
    assert document["spring"]["kind"] == "coil"
    assert document["spring"]["rate_lb_in"] == pytest.approx(474.6, abs=0.1)
    assert [coil["rate_lb_in"] for coil in document["sold_coils"]] == [450, 475]
    assert list(document["standing"]) == ["extended", "sag", "full_travel", "dive"]
    assert document["standing"]["dive"]["pitch"] == pytest.approx(-6.656, abs=1e-3)
    assert document["standing"]["dive"]["chart"]["trail"] < document["charts"][0]["trail"]
    assert document["weight"]["mass_kg"] == 95
    assert document["weight"]["unsprung_kg"] == 4
    assert document["load"] - document["spring_load"] == pytest.approx(4 * 9.80665)
    assert document["sag"]["found"]["stroke_share"] == pytest.approx(0.3, abs=1e-9)


def test_the_air_pressure_for_the_sag(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """At 18 mm of stroke, 40 mm piston: the chamber shrinks from 130 to 107.38 cm³, isothermally; the
    force (load less 39.23 N) × leverage on 1256.6 mm² says how far above the air outside it must be then. A bar is
    14.503774 pounds a square inch.
    """
    air = SINGLE.replace("{coil: {}}", "{air: {piston: 40, volume_cm3: 130, exponent: 1}}")
    layout = solve(loads(MINIMAL + air))
    assert layout.linkage is not None
    leverage = layout.linkage.at_strokes(np.array([18.0])).leverage[0]
    area, outside = np.pi / 4 * 40**2, 0.101325
    squeezed = (557.56 - 4 * 9.80665) * leverage / area + outside
    pressure = 10 * (squeezed * (130000 - 18 * area) / 130000 - outside)
    file = tmp_path / "bike.yaml"
    file.write_text(MINIMAL + air)
    with pytest.raises(SystemExit):
        commands.main(["solve", str(file), "--travel"])
    text = capsys.readouterr().out
    assert f"Air pressure {pressure:.2f} bar ({14.503774 * pressure:.0f} psi)" in text
    assert "Sold coil" not in text
    with pytest.raises(SystemExit):
        commands.main(["solve", str(file), "--travel", "--json"])
    document = json.loads(capsys.readouterr().out)["travel"]
    assert document["spring"]["kind"] == "air"
    assert document["spring"]["pressure_bar"] == pytest.approx(pressure, abs=1e-3)
    psi = document["spring"]["pressure_bar"] * 1e5 / 6894.757293168
    assert document["spring"]["pressure_psi"] == pytest.approx(psi)
    assert document["sold_coils"] == []
