"""The chart: each figure as drawn and at sag, what is given, what exchanged parts changed."""

from __future__ import annotations

import re

import pytest

from frame3d.bike.exchange import as_built, exchange_values
from frame3d.parameters.models.figures import FIGURES
from frame3d.report.sections.figures import figures
from frame3d.report.texts import texts
from tests.report.samples import bare, four_link_layout, hardtail_bike, minimal_bike, rows, words


def cells(made: str) -> dict[str, list[str]]:
    """The chart's rows by figure."""
    found = re.findall(r'<tr data-figure="(\w+)">', made)
    chart = rows(made[made.index('<table class="chart">') :])  # type: ignore[arg-type]
    return dict(zip(found, chart, strict=False))


def plain(shown: str) -> float:
    return float(shown.partition(" ")[0].rstrip("°").replace("−", "-"))


@pytest.mark.parametrize("name", ["hardtail", "four_link", "minimal"])
def test_every_figure_that_is_known_has_its_row(name: str) -> None:
    makers = {"hardtail": hardtail_bike, "four_link": four_link_layout, "minimal": minimal_bike}
    bike = makers[name]()
    found = cells(figures(bare(bike), texts()))
    assert set(found) == {figure for figure in FIGURES if bike.chart[figure] is not None}
    for figure, row in found.items():
        value = bike.chart[figure]
        assert value is not None
        assert plain(row[1]) == pytest.approx(value, abs=0.051)
        given = getattr(bike.spec.geometry, figure) is not None
        assert ("•" in row[0]) == given, figure
        if bike.sagged is None:
            assert len(row) == 2
            continue
        under = bike.sagged.chart[figure]
        assert under is not None
        assert plain(row[2]) == pytest.approx(under, abs=0.051)
        if abs(under - value) < 0.049:
            assert row[3] == ""
        elif abs(under - value) > 0.051:
            assert plain(row[3]) == pytest.approx(under - value, abs=0.051)


def test_sag_is_told_by_what_is_sprung() -> None:
    said = words(figures(bare(hardtail_bike()), texts()))
    assert "At sag: fork 32.5 mm into its travel." in said  # 25 % of 130
    assert re.search(
        r"At sag: fork 33\.0 mm, rear wheel \d", words(figures(bare(four_link_layout()), texts()))
    )
    assert "At sag:" not in words(figures(bare(minimal_bike()), texts()))


def test_every_row_leads_to_its_definition() -> None:
    made = figures(bare(minimal_bike()), texts())
    meant = set(re.findall(r'aria-describedby="([^"]+)"', made))
    there = set(re.findall(r'class="ride" id="([^"]+)"', made))
    assert meant == there
    assert meant


def test_exchanged_parts_are_told_with_each_figure_that_they_change() -> None:
    bike = hardtail_bike()
    swap = "build.fork.axle_to_crown"
    other = exchange_values(bike, {swap: 551.0})
    built = as_built(bike, other)
    made = figures(bare(other, built=built, swaps=(f"{swap}=551",)), texts())
    assert f"parts are exchanged ({swap}=551)" in words(made)
    pitch = texts().quantity(built.after.pitch, "degrees", 2)
    assert f"pitches by {pitch}." in words(made)
    table = made[made.index('<table class="chart exchanged">') :]
    found = {row[0]: row for row in rows(table[: table.index("</table>")])}  # type: ignore[arg-type]
    moved = {
        f for f in FIGURES if built.change[f] is not None and abs(built.change[f] or 0) > 0.005
    }
    assert set(found) == {texts()(f"figure.{figure}.title") for figure in moved}
    row = found["Fork axle to crown"] if "Fork axle to crown" in found else found["Fork length"]
    assert plain(row[2]) - plain(row[1]) == pytest.approx(plain(row[3]), abs=0.11)
    assert figures(bare(bike), texts()).count("exchanged") == 0
