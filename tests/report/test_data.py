"""The data of the page: positions, curves, and charts along the fork's travel."""

from __future__ import annotations

from functools import cache

import pytest

from frame3d.bike.exchange import exchange_values
from frame3d.bike.travel import over_travel
from frame3d.report.data import ReportData, fork_charts, gather, page_document, plots_of
from frame3d.report.texts import texts
from tests.report.samples import bare, four_link_layout, hardtail_bike, minimal_bike


@cache
def sprung() -> ReportData:
    """The four-link bike over its travel, neither checked nor meshed."""
    bike = four_link_layout()
    return bare(bike, travelled=over_travel(bike, 5))


def test_positions() -> None:
    poses = {p["key"]: p["at"] for p in page_document(sprung(), texts())["poses"]}
    assert list(poses) == ["static", "sag", "bottom_out"]
    assert poses["static"]["rear"] == 0
    assert poses["bottom_out"]["fork"] == 150
    assert poses["sag"]["fork"] == pytest.approx(33)
    assert set(poses["sag"]) == {"rear", "fork"}


def test_a_chart_along_the_forks_travel_is_that_of_a_shorter_fork() -> None:
    """The frame with a fork that is shorter by the travel: another way, an exchange of the part."""
    bike = hardtail_bike()
    charts = fork_charts(bike)
    travels = [travel for travel, _ in charts]
    assert (travels[0], travels[-1], len(travels)) == (0.0, 130.0, 27)
    fork = bike.spec.build.fork
    assert fork is not None
    assert fork.axle_to_crown is not None
    for travel, chart in (charts[0], charts[13]):
        values = {
            "build.fork.axle_to_crown": bike.solved.values["fork_axle_to_crown"] - travel,
            "build.fork.measured": "along_axis",
        }
        other = exchange_values(bike, values).chart
        for figure in ("head_tube_angle", "trail", "bb_height", "wheelbase"):
            assert chart[figure] == pytest.approx(other[figure], abs=1e-6), figure


def test_without_suspension_there_is_nothing_to_move() -> None:
    data = bare(minimal_bike())
    assert fork_charts(minimal_bike()) == ()
    assert plots_of(data, texts()) == ()
    assert page_document(data, texts())["poses"] == []


def test_curves_are_of_the_fork_alone_or_of_the_rear() -> None:
    front = bare(hardtail_bike(), fork_charts=fork_charts(hardtail_bike()))
    assert {plot.motion for plot in plots_of(front, texts())} == {"fork"}
    assert {plot.motion for plot in plots_of(sprung(), texts())} == {"rear"}
    drawn = [plot["key"] for plot in page_document(front, texts())["plots"]]
    own = [plot.key for plot in plots_of(front, texts())]
    assert drawn[: len(own)] == own
    assert {"return_front", "frequency"} <= set(drawn[len(own) :])


def test_what_is_being_done_is_said_with_a_share_that_rises() -> None:
    said: list[tuple[str, float]] = []
    data = gather(minimal_bike(), progress=lambda what, share: said.append((what, share)))
    shares = [share for _, share in said]
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert shares[-1] < 1.0
    assert data.bike is minimal_bike()
    assert data.travelled is None
