"""Remarks on leverage and wheel rate: made where they are due, and only there."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.cli import commands
from frame3d.linkage.curves.remarks import leverage_rises, rate_falls
from frame3d.linkage.curves.springs import Coil, Table
from frame3d.parameters.reading.reader import load, loads
from tests.bike.single import MINIMAL, SINGLE

CONFIGS = Path(__file__).parents[2] / "configs"
RISING = (
    SINGLE.replace("[150, 240]", "[164, 342]")
    .replace("[-60, 210]", "[-10, 287]")
    .replace("212.132", "182.486")
)
"""The same pivot; the shock stands so that its lever about the pivot shrinks as it goes in."""


def bike(text: str) -> Bike:
    return solve(loads(MINIMAL + text))


def test_a_leverage_that_rises_is_told_wherever_notes_are() -> None:
    layout = bike(RISING)
    linkage = layout.linkage
    assert linkage is not None
    assert linkage.leverage[-1] > 1.05 * linkage.leverage[0]
    (note,) = [n for n in layout.notes if n.message.startswith("leverage rises")]
    assert note.code == "warning"
    low, high = (float(x) for x in re.findall(r"(\d\.\d\d) at", note.message))
    assert low == pytest.approx(linkage.leverage.min(), abs=0.005)
    assert high == pytest.approx(linkage.leverage.max(), abs=0.005)


def test_a_falling_leverage_is_not_worth_a_word() -> None:
    for name in ("trail_full_140", "enduro_170_mixed"):
        layout = solve(load(CONFIGS / f"{name}.yaml"))
        assert layout.linkage is not None
        assert leverage_rises(layout.linkage) is None
        assert over_travel(layout, 3).sprung.notes == ()


def test_a_wheel_rate_that_falls_at_the_end_is_told() -> None:
    """A table that ends softer than it began: force still grows, the rate at the wheel falls."""
    linkage = bike(SINGLE).linkage
    assert linkage is not None
    assert rate_falls(linkage, Coil(80), 18.0) is None
    soft = Table((0.0, 50.0, 60.0), (0.0, 4000.0, 4100.0))
    said = rate_falls(linkage, soft, 18.0)
    assert said is not None
    assert said.startswith("wheel rate falls over the last fifth of the travel")
    first, last = (float(x) for x in re.findall(r"(-?\d+\.\d\d) N/mm", said))
    force, travel = soft.force(linkage.stroke) / linkage.leverage, linkage.travel
    slopes = np.diff(force) / np.diff(travel)
    assert last == pytest.approx(slopes[-10:].min(), rel=0.05)
    assert first == pytest.approx(slopes[70:84].max(), rel=0.1)


def test_a_hole_in_the_middle_is_told_and_a_dip_before_the_sag_is_not() -> None:
    linkage = bike(SINGLE).linkage
    assert linkage is not None
    hole = Table((0.0, 25.0, 35.0, 60.0), (0.0, 2000.0, 2050.0, 6000.0))
    said = rate_falls(linkage, hole, 18.0)
    assert said is not None
    assert said.startswith("wheel rate falls beyond the sag")
    early = Table((0.0, 5.0, 10.0, 60.0), (0.0, 1000.0, 1050.0, 6000.0))
    assert rate_falls(linkage, early, 18.0) is None


def test_the_note_of_the_spring_comes_with_the_curves() -> None:
    text = SINGLE.replace("{coil: {}}", "{table: [[0, 0], [20, 1700], [50, 4000], [60, 4100]]}")
    (note,) = over_travel(bike(text), 3).sprung.notes
    assert note.code == "warning"
    assert "last fifth" in note.message


@pytest.mark.parametrize("also", [[], ["--travel"]])
def test_solve_says_it_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], also: list[str]
) -> None:
    file = tmp_path / "bike.yaml"
    soft = "{table: [[0, 0], [20, 1700], [50, 4000], [60, 4100]]}"
    file.write_text(MINIMAL + SINGLE.replace("{coil: {}}", soft))
    with pytest.raises(SystemExit):
        commands.main(["solve", str(file), *also])
    assert capsys.readouterr().out.count("wheel rate falls over the last fifth") == 1


def test_an_open_spring_that_nothing_settles_still_solves(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "bike.yaml"
    rider = "  rider: {mass_kg: 80, height: 1765, inseam: 830}\n"
    assert rider in SINGLE
    file.write_text(MINIMAL + SINGLE.replace(rider, ""))
    with pytest.raises(SystemExit) as left:
        commands.main(["solve", str(file)])
    assert left.value.code == 0
    assert "wheel rate" not in capsys.readouterr().out
