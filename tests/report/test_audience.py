"""The rider's page: the builder's figures, without file keys, with what carries each verdict."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import pytest

import frame3d
from frame3d.bike.exchange import as_built
from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.caution import CAUTION
from frame3d.clearance.result import Report
from frame3d.formats.documents import solve_document
from frame3d.parameters.reading.reader import load, loads
from frame3d.parameters.starters.starter import starter
from frame3d.report.audience import RIDERS_CHECKS, plain_source, riders_results, without_keys
from frame3d.report.data import ReportData, fork_charts, page_document
from frame3d.report.markup import Markup
from frame3d.report.page import body
from frame3d.report.texts import texts
from tests.report.samples import CONFIGS, bare, hardtail, words
from tests.sampling import everyday

SAY = texts()
DEMOS = tuple(sorted(path.stem for path in CONFIGS.glob("*.yaml")))
STARTERS = (None, "single-pivot")
"""The other two are demos under another name: tests/parameters/test_starter.py holds them equal."""


def data(name: str | None) -> ReportData:
    """A demo or a starter with its curves; nothing checked."""
    known = name in DEMOS
    bike = solve(load(CONFIGS / f"{name}.yaml") if known else loads(starter("My bike", name)))
    moving = None if bike.linkage is None else over_travel(bike, 9)
    return bare(bike, travelled=moving, fork_charts=() if moving else fork_charts(bike))


def table(page: str) -> list[list[str]]:
    """The chart's rows: title without the mark of given figures, and every number."""
    found = re.findall(r'<tr data-figure="[^"]*">.*?</tr>|<tr [^>]*data-figure.*?</tr>', page)
    return [words(Markup(row)).replace(" •", "").split() for row in found]


def drawings(page: str) -> list[str]:
    return re.findall(r"<svg.*?</svg>", page, re.DOTALL)


def keys_in(said: str) -> list[str]:
    """Keys of the file in a text: words joined by underscores, or a section with its key."""
    said = said.replace("set_up_sheet.pdf", "")
    sections = r"\b(?:build|geometry|suspension|tubes|clearance|rider)\.[a-z_]+"
    return re.findall(rf"\b[a-z0-9]+_[a-z0-9_]+|{sections}", said)


@pytest.mark.parametrize(
    "name", everyday(("minimal", "trail_full_140", "trail_hardtail_29"), [*DEMOS, *STARTERS])
)
def test_figures_are_the_builders_and_the_solvers_and_no_key_of_the_file_is_read(
    name: str | None,
) -> None:
    bike = data(name)
    builder, rider = body(bike, SAY), body(bike, SAY, "rider")
    assert table(rider) == table(builder)
    chart = solve_document(bike.bike)["chart"]
    shown = {row[0]: row for row in table(rider)}
    assert len(table(rider)) == sum(value is not None for value in chart.values())
    assert f"{chart['reach']:.1f}" in shown["Reach"]
    # Every drawing and curve of the rider's page is one of the builder's; none but bars is missing.
    assert set(drawings(rider)) <= set(drawings(builder))
    plots = [d for d in drawings(builder) if "data-plot" in d or "sheet drawing" in d]
    assert set(plots) <= set(drawings(rider))
    for page in (rider, builder):
        assert CAUTION in words(page)
    own = bike.bike.spec.notes or ""
    assert [key for key in keys_in(words(rider)) if key not in own] == []
    # Curves over the travel have a verdict each; other plots have their sentences beside them.
    travels = re.findall(r'<section id="(?:suspension|fork)".*?</section>', rider, re.DOTALL)
    curves = sum(section.count("data-plot=") for section in travels)
    assert rider.count('class="carried-by"') == curves
    assert rider.count(SAY("verdict.says")) == (1 if curves else 0)
    assert 'class="carried-by"' not in builder


def test_the_riders_checks_alone_are_shown_each_at_its_tightest() -> None:
    made = body(hardtail(), SAY, "rider")
    report = hardtail().report
    shown = re.findall(r'<tr[^>]* id="check-(\d+)"', made)
    assert [report.results[int(i)].name for i in shown] == [
        r.name for _, r in riders_results(report)
    ]
    for i in map(int, shown):
        same = [r.margin for r in report.results if r.name == report.results[i].name]
        assert report.results[i].margin == min(same)
        assert f"{report.results[i].least:.1f}" in words(Markup(made))
    assert {r.name for _, r in riders_results(report)} <= RIDERS_CHECKS
    assert "Chainstay bridge" not in made or "Not checked" not in made
    assert keys_in(words(made)) == []
    said = json.dumps(page_document(hardtail(), SAY, "rider")["scene"]["parts"])
    assert "build." not in said
    assert "110 mm hub" in said


def test_a_check_that_falls_short_is_told_to_the_rider_too() -> None:
    first = next(r for _, r in riders_results(hardtail().report))
    result = replace(first, gap=first.required - 1.0, error=0.0, mend=("build.fork.offset: 44",))
    short = bare(hardtail().bike, report=Report((result,), ()))
    made = words(body(short, SAY, "rider"))
    assert "1 of 1" in made
    assert "fall" in made
    assert "What would mend it" not in made
    assert keys_in(made) == []


def test_what_is_short_for_the_builder_alone_is_counted() -> None:
    first = hardtail().report.results[0]
    short = replace(first, name="chain_to_frame", gap=first.required - 1.0, error=0.0)
    report = Report((short,), ())
    made = words(body(bare(hardtail().bike, report=report), SAY, "rider"))
    assert "the shop still has 1 of its own to settle" in made
    assert "Nothing was checked that you meet while riding" in made


def test_exchanged_parts_are_named_in_plain_words() -> None:
    bike = hardtail().bike
    longer = frame3d.exchange(bike, {"build.fork.axle_to_crown": 541})
    swaps = ("build.fork.axle_to_crown=541", "tubes.x=1")
    made = words(body(bare(longer, built=as_built(bike, longer), swaps=swaps), SAY, "rider"))
    assert "parts are exchanged (fork, other parts)" in made


def test_sources_and_assumptions_lose_their_keys() -> None:
    result = hardtail().report.results[0]
    own = replace(result, source="the file's own limit, line 12")
    assert plain_source(own, SAY) == "set by the shop"
    assert plain_source(result, SAY) == result.source
    assert without_keys("mass 3 kg (suspension.unsprung_kg)") == "mass 3 kg"
    said = "good to 10°; build.rider.knee_angle, measured, makes that 4°; side view"
    assert without_keys(said) == "good to 10°; side view"
    assert without_keys("a (no source; suspension.unsprung_kg gives it)") == "a (no source)"
