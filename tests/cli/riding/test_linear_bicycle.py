"""The linearised bicycle on a terminal and in the document."""

from __future__ import annotations

import json

import pytest

from frame3d.cli.commands import main
from frame3d.cli.riding.linear_bicycle import steered, text
from frame3d.formats.documents import dumps
from frame3d.formats.ride_document import steering_document
from frame3d.ride.steering.linear import CAVEAT, linear_bicycle
from frame3d.ride.steering.mass_properties import point_mass
from frame3d.ride.steering.of_bike import linear_left_out, linear_of, steering_of
from tests.ride.steering.benchmark import BENCHMARK
from tests.ride.steering.bikes import CONFIGS, FULL, HARDTAIL, NO_RIDER, bike


def test_tables_of_the_benchmark_bicycle() -> None:
    """Figures of Meijaard et al. (2007), as in tests/ride/steering/test_whipple.py."""
    shown = text(linear_bicycle(BENCHMARK, point_mass(76.0, (0, 0, 0)), at_sag=False), 100)
    assert "as drawn: hands off, rigid rider, thin tyres" in shown
    assert "80.8172" in shown
    assert "33.8664" in shown
    rows = [line.split() for line in shown.splitlines()]
    at_5 = next(row for row in rows if row[:1] == ["5"])
    assert at_5[1:6] == ["-14.078;", "-0.323", "-0.775", "±", "4.465i"]
    assert "Weave: swinging dies out from 4.3 m/s" in shown
    assert "Capsize: begins to fall over slowly from 6.0 m/s" in shown
    assert " ".join(shown.split()).endswith(CAVEAT)


def test_shop_figures_stand_before_it_once() -> None:
    own = bike(HARDTAIL)
    figures, linear = steering_of(own), linear_of(own)
    alone = steered(figures, linear, (), 100, alone=True)
    assert alone.startswith("Steering")
    assert "Assumed:" in alone
    assert "Left out:" not in alone
    assert steered(figures, linear, (), 100, alone=False).startswith("Linearised bicycle")
    assert steered(figures, None, ("its wheel",), 100, alone=False) == "Left out:\n- its wheel"


def test_document() -> None:
    own = bike(FULL)
    made = json.loads(
        dumps(steering_document(steering_of(own), linear_of(own), linear_left_out(own)))
    )
    linear = made["linear_bicycle"]
    assert linear["label"] == "hands off, rigid rider, thin tyres"
    assert [len(linear["matrices"][name]) for name in ("mass", "damping", "gravity", "speed")] == [
        2
    ] * 4
    assert [at["speed_m_s"] for at in linear["over_speed"]] == list(range(13))
    assert {len(at["eigenvalues_per_s"]) for at in linear["over_speed"]} == {4}
    assert len(linear["over_speed"][5]["eigenvalues_per_s"][3]) == 2
    assert made["figures"]["drawn"]["turned"][-1]["bar_angle"] == 75.0
    assert not any(name.startswith("_") for name in made["figures"]["drawn"])
    assert made["units"]["_nm_per_degree"] == "N·m/degree"


def test_a_flag_of_its_own(capsys: pytest.CaptureFixture[str]) -> None:
    def out(*options: str) -> str:
        with pytest.raises(SystemExit) as left:
            main(["solve", str(CONFIGS / f"{NO_RIDER}.yaml"), *options])
        assert left.value.code == 0
        return capsys.readouterr().out

    made = json.loads(out("--steering", "--json"))
    assert made["steering"]["linear_bicycle"] is None
    assert made["steering"]["figures"]["left_out"]
    assert "ride" not in made
    assert any(
        "linearised bicycle, its rider (build.rider" in line
        for line in made["steering"]["left_out"]
    )
    assert "- linearised bicycle, its rider (build.rider)" in out("--steering")
