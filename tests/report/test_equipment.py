"""Parts in plain words: names of the trade, values of the file with their units."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import load
from frame3d.report.equipment import equipment
from frame3d.report.texts import texts
from tests.report.samples import CONFIGS, HARDTAIL, four_link_layout


def told(name: str, *sets: str) -> dict[str, str]:
    bike = solve(load(CONFIGS / f"{name}.yaml", sets=sets))
    return {key: said for key, _, said in equipment(bike, texts())}


def test_a_hardtails_parts() -> None:
    found = told(HARDTAIL.stem)
    assert "130 mm of travel" in found["fork"]
    assert "44 mm offset" in found["fork"]
    assert "crown" not in found["fork"].replace("axle to crown", "")
    assert "148 mm hub, 12 mm axle" in found["rear_wheel"]
    assert found["bottom_bracket"] == "threaded shell, 73 mm wide"
    assert found["chainring"] == "32 teeth"
    assert found["rider"].startswith("80 kg")


@pytest.mark.parametrize(
    ("change", "key", "said"),
    [
        ("build.rear_wheel.hub={width: 151, axle: 10}", "rear_wheel", "151 mm hub, 10 mm axle"),
        (
            "build.rear_wheel.tyre={width: 60.5, diameter: 740}",
            "rear_wheel",
            "60.5 mm wide, 740 mm",
        ),
        ("build.chainring.inner_teeth=22", "chainring", "32 / 22 teeth"),
        (
            "build.bottom_bracket.shell={width: 92, od: 46, bore: 41}",
            "bottom_bracket",
            "shell 92 mm",
        ),
        ("build.pedal={}", "pedal", "of the usual sizes"),
    ],
)
def test_plain_millimetres_are_told_as_well(change: str, key: str, said: str) -> None:
    assert said in told(HARDTAIL.stem, change)[key]


def test_a_rigid_fork_and_a_shock() -> None:
    assert told("adventure_rigid")["fork"].startswith("rigid")
    shock = {key: said for key, _, said in equipment(four_link_layout(), texts())}["shock"]
    linkage = four_link_layout().linkage
    assert linkage is not None
    assert shock.startswith(f"{linkage.eye_to_eye:g} mm from eye to eye")
