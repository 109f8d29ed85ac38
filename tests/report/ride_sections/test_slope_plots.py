"""The plot of the weight on the front wheel."""

from __future__ import annotations

from frame3d.bike.solve import solve
from frame3d.parameters import load
from frame3d.report.ride_sections.slope_plots import PLOTTED, slope_plots
from frame3d.report.texts import texts
from frame3d.ride.slopes.of_bike import slopes_of
from tests.report.samples import CONFIGS, minimal_bike

SAY = texts()


def test_every_posture_has_its_shaded_curve() -> None:
    part = slopes_of(solve(load(CONFIGS / "trail_full_140.yaml")))
    (plot,) = slope_plots(part, SAY)
    names = [SAY(f"slopes.share.{name}") for name in PLOTTED]
    assert [series.name for series in plot.series] == names
    for series in plot.series:
        assert len(series.band) == len(plot.x) == len(series.values)
        for value, (low, high) in zip(series.values, series.band, strict=True):
            assert low <= value <= high


def test_without_a_rider_there_is_none() -> None:
    assert slope_plots(slopes_of(minimal_bike()), SAY) == ()
    assert slope_plots(None, SAY) == ()
