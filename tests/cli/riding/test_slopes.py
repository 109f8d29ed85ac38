"""Slopes on a terminal."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.cli.riding.slopes import text
from frame3d.parameters import load
from frame3d.ride.slopes.of_bike import slopes_of
from tests.linkage.demos import CONFIGS


@pytest.mark.parametrize("name", ["trail_full_140", "trail_hardtail_29", "adventure_rigid"])
def test_bands_are_whole_percents_and_hundredths_of_g(name: str) -> None:
    part = slopes_of(solve(load(CONFIGS / f"{name}.yaml")))
    shown = text(part, 100)
    assert max(map(len, shown.splitlines())) <= 100
    seated = part.posture("seated")
    assert seated is not None
    lifts = next(line for line in shown.splitlines() if line.startswith("lifts  "))
    band = seated.lifts_percent
    assert lifts.split()[1:4] == [f"{band.low:.0f}", "to", f"{band.high:.0f}"]
    level = next(line for line in shown.splitlines() if line.startswith("level"))
    still = seated.stop_on(0).without_dive_g
    assert f"{still.low:.2f} to {still.high:.2f}" in level
    # Only what gives is shown to give.
    assert ("rear travel" in shown) == (name == "trail_full_140")
    assert ("fork [mm]" in shown) == ("with dive" in shown) == (name != "adventure_rigid")
    assert ("anti-squat 32/50" in shown) == (name == "trail_full_140")


def test_a_saddle_that_nobody_sits_on_is_left_out() -> None:
    part = slopes_of(solve(load(CONFIGS / "minimal.yaml")))
    assert text(part, 100) == ""
