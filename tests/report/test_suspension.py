"""The rear suspension's section: figures, shares of sag, curves."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from frame3d.bike.travel import over_travel
from frame3d.linkage import Coil
from frame3d.report.data import ReportData, fork_charts, plots_of
from frame3d.report.drawing.plots import plot_document
from frame3d.report.least_spans import LEAST_SPANS
from frame3d.report.sections.suspension import suspension
from frame3d.report.texts import texts
from tests.report.samples import bare, four_link_layout, hardtail_bike, minimal_bike, words


@cache
def data() -> ReportData:
    bike = four_link_layout()
    return bare(bike, travelled=over_travel(bike, 9))


def test_figures_are_the_linkages() -> None:
    made = words(suspension(data(), texts()))
    linkage, moving = data().bike.linkage, data().travelled
    assert linkage is not None
    assert moving is not None
    assert moving.sag is not None
    mean = linkage.full_travel / linkage.full_stroke
    for said in (
        f"Rear wheel travel {linkage.full_travel:.1f} mm",
        f"Shock stroke {linkage.full_stroke:.1f} mm",
        f"Shock eye to eye {linkage.eye_to_eye:.1f} mm",
        f"Mean leverage {mean:.2f}",
        f"Sag at the wheel {moving.sag.travel:.1f} mm ({100 * moving.sag.travel / linkage.full_travel:.0f} %)",
        f"Sag at the shock {moving.sag.stroke:.1f} mm ({100 * moving.sag.stroke / linkage.full_stroke:.0f} %)",
    ):
        assert said in made


def test_a_coil_is_told_in_both_units() -> None:
    """1 lbf/in = 4.4482216152605 N / 25.4 mm, exactly."""
    moving = data().travelled
    assert moving is not None
    coil = replace(moving, sprung=replace(moving.sprung, spring=Coil(80.0)))
    made = words(suspension(replace(data(), travelled=coil), texts()))
    assert f"Spring 80.0 N/mm ({80 * 25.4 / 4.4482216152605:.0f} lb/in)" in made


def test_without_sag_no_share_is_explained() -> None:
    moving = data().travelled
    assert moving is not None
    assert "Sag is" in words(suspension(data(), texts()))
    none = replace(moving, sprung=replace(moving.sprung, asked=None, found=None))
    made = words(suspension(replace(data(), travelled=none), texts()))
    assert "Sag is" not in made
    assert "Sag at the wheel" not in made
    assert "Rear wheel travel" in made


def test_a_hardtail_has_its_forks_curves_and_a_rigid_bike_none() -> None:
    bike = hardtail_bike()
    made = suspension(bare(bike, fork_charts=fork_charts(bike)), texts())
    assert made is not None
    assert made.count("data-plot=") == 3
    assert "Mean leverage" not in words(made)
    assert suspension(bare(minimal_bike()), texts()) is None


def test_the_least_width_of_every_axis_is_told_with_its_reason() -> None:
    """Where a curve changes little its axis has just that width, and the page says which and why."""
    drawn = {d["key"]: d for d in (plot_document(p) for p in plots_of(data(), texts()))}
    said = words(suspension(data(), texts()))
    assert set(drawn) <= set(LEAST_SPANS)
    for key, document in drawn.items():
        low, high = document["yRange"]
        assert high - low >= LEAST_SPANS[key].span
        assert texts()(f"span.why.{LEAST_SPANS[key].why}") in said
    angles = drawn["geometry"]["series"][0]["y"]
    low, high = drawn["geometry"]["yRange"]
    assert max(angles) - min(angles) < (high - low) / 3
    assert "at least 5°" in said
    assert "common practice, no source" in said


@pytest.mark.parametrize("key", ["leverage", "anti_squat", "axle"])
def test_curves_are_there(key: str) -> None:
    made = suspension(data(), texts())
    assert made is not None
    assert f'data-plot="{key}"' in made
