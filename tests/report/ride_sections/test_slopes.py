"""The page's section on slopes: bands, the picture's angle, what is left away."""

from __future__ import annotations

import math
import re
from functools import cache

import pytest

from frame3d.bike.solve import solve
from frame3d.parameters import load
from frame3d.report.data import ReportData
from frame3d.report.ride_sections.band_text import band_text
from frame3d.report.ride_sections.slope_picture import picture
from frame3d.report.ride_sections.slope_plots import slope_plots
from frame3d.report.ride_sections.slopes import section
from frame3d.report.texts import texts
from frame3d.ride.slopes.bands import Band
from tests.report.samples import CONFIGS, bare, minimal_bike, words

SAY = texts()


@cache
def _data(name: str) -> ReportData:
    return bare(solve(load(CONFIGS / f"{name}.yaml")))


def test_bands_are_told_as_ranges_with_one_unit() -> None:
    assert band_text(Band(27.6, 30.0, 33.2), "%", 0, SAY) == "28 to 33 %"
    assert band_text(Band(0.0, 0.1, 0.3), "%", 0, SAY) == "0 %"
    assert band_text(Band(0.561, 0.6, 0.634), "gravity", 2, SAY) == "0.56 to 0.63 g"


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
    assert slope_plots(data.ride.slopes, SAY) == ()
    assert slope_plots(None, SAY) == ()


def test_every_posture_has_its_shaded_curve() -> None:
    part = _data("trail_full_140").ride.slopes
    assert part is not None
    (plot,) = slope_plots(part, SAY)
    assert len(plot.series) == len(part.postures)
    for series in plot.series:
        assert len(series.band) == len(plot.x) == len(series.values)
        for value, (low, high) in zip(series.values, series.band, strict=True):
            assert low <= value <= high


def test_the_line_of_gravity_meets_the_ground_between_the_wheels() -> None:
    data = _data("adventure_rigid")
    part = data.ride.slopes
    assert part is not None
    seated = part.posture("seated")
    assert seated is not None
    svg = picture(data, seated, 20, SAY)
    turn = re.search(r'transform="rotate\((-[\d.]+) ', svg)
    assert turn is not None
    assert float(turn.group(1)) == pytest.approx(-math.degrees(math.atan(0.2)), abs=0.005)

    def line(class_: str) -> list[list[float]]:
        path = re.search(rf'<path d="M([^"]*)" class="{class_}">', svg)
        assert path is not None
        return [[float(v) for v in point.split()] for point in path.group(1).split("L")]

    ground, plumb = line("ground"), line("plumb")
    (x0, y0), (x1, y1) = ground
    assert (y0 - y1) / (x1 - x0) == pytest.approx(0.2, abs=1e-3)
    assert plumb[0][0] == plumb[1][0]
    foot = plumb[1]
    assert foot[1] == pytest.approx(y0 - 0.2 * (foot[0] - x0), abs=0.2)
    # Along the slope from the rear contact it divides the wheelbase as the front wheel's share does.
    rear = data.side.at("rear_contact")[0]
    along = (foot[0] - rear) * math.hypot(1, 0.2)
    at = seated.on(20)
    share = at.front_share_percent.middle / 100
    assert along / at.wheelbase == pytest.approx(share, abs=2e-3)
