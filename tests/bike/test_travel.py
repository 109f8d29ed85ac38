"""Curves and charts over the rear travel, what the command prints of them, and the bike where it is asked about most."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.bike.weight import weigh
from frame3d.cli import commands
from frame3d.errors import GeometryError
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE


def test_charts_start_as_drawn_and_stay_on_level_ground(bike: Bike) -> None:
    result = over_travel(bike, 5)
    for figure, value in bike.chart.items():
        if value is not None:
            assert result.charts[0][figure] == pytest.approx(value, abs=1e-9)
    heights = [chart["bb_height"] for chart in result.charts]
    assert heights == sorted(heights, reverse=True)  # type: ignore[type-var]


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
    bike = solve(loads(MINIMAL + SINGLE))
    share = weigh(bike).rear_share
    load = 95 * 9.80665 * share
    assert bike.linkage is not None
    leverage = bike.linkage.at_strokes(np.array([18.0])).leverage[0]
    coil = (load - 4 * 9.80665) * leverage / 18
    for shown in (
        "axle x [mm]", "stroke [mm]", "leverage", "wheel force [N]", "wheel rate [N/mm]",
        "instant centre x [mm]", "32/10 [%]", "32/51 [%]", "anti-rise [%]", "brake line [°]",
        "chain line 32/28 [°]", "chain growth 32/28 [mm]", "kickback 32/28 [°]", "from sag 32/28 [°]", "at sag",
        "full travel", "dive on the fork", "Progression", "Sold coil 450", "Sold coil 475",
        f"Coil {coil:.2f} N/mm", "Bottoms out at",
        f"Load at the rear wheel {load:.0f} N: {100 * share:.1f} % of 95.0 kg; less 4.00 kg unsprung, the spring carries {load - 4 * 9.80665:.0f} N",
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
    assert document["spring"]["rate_lb_in"] == pytest.approx(coil * 25.4 / 4.4482216152605)
    assert [coil["rate_lb_in"] for coil in document["sold_coils"]] == [450, 475]
    assert list(document["standing"]) == ["extended", "sag", "full_travel", "dive"]
    assert document["standing"]["dive"]["pitch"] == pytest.approx(-6.656, abs=1e-3)
    assert document["standing"]["dive"]["chart"]["trail"] < document["charts"][0]["trail"]
    assert document["weight"]["mass_kg"] == 95
    assert document["weight"]["unsprung_kg"] == 4
    assert document["load"] - document["spring_load"] == pytest.approx(4 * 9.80665)
    assert document["sag"]["found"]["stroke_share"] == pytest.approx(0.3, abs=1e-9)
