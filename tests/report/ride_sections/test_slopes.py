"""The page's section on slopes: sentences, tables, what is left away."""

from __future__ import annotations

from functools import cache

import pytest

from frame3d.bike.solve import solve
from frame3d.parameters import load
from frame3d.report.data import ReportData
from frame3d.report.ride_sections.slopes import section
from frame3d.report.texts import texts
from tests.report.samples import CONFIGS, bare, minimal_bike, words

SAY = texts()


@cache
def _data(name: str) -> ReportData:
    return bare(solve(load(CONFIGS / f"{name}.yaml")))


@pytest.mark.parametrize("name", ["trail_full_140", "adventure_rigid"])
def test_the_sentences_are_the_figures(name: str) -> None:
    data = _data(name)
    part = data.ride.slopes
    assert part is not None
    seated = part.posture("seated")
    assert seated is not None
    said = words(section(data, SAY, "rider"))
    lifts, saddle = seated.lifts_percent, part.saddle_on(20)
    assert f"lifts at {lifts.low:.0f} to {lifts.high:.0f} %." in said
    assert f"{saddle.behind:.0f} mm behind the pedals' axle" in said
    assert f"{saddle.seat_degrees:.0f}° on level ground" in said
    assert ("chain" in said) == (name == "trail_full_140")
    assert ("dives" in said) == (name == "trail_full_140")
    assert ("Rear travel" in said) == (name == "trail_full_140")
    # The builder is told what it rests on as well.
    assert "Assumed:" not in said
    told = words(section(data, SAY, "builder"))
    assert all(line in told for line in part.assumptions)


def test_a_bike_without_a_rider_has_no_section() -> None:
    data = bare(minimal_bike())
    assert section(data, SAY, "builder") is None
