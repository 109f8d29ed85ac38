"""The heading: verdict, main figures, what the bike is in words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from frame3d.clearance.result import Report, Result, Unchecked
from frame3d.parameters.models.figures import unit
from frame3d.parameters.reading.reader import loads
from frame3d.report.sections.heading import GLANCE, glance, heading, summary, verdict
from frame3d.report.texts import texts
from tests.report.samples import bare, four_link_layout, hardtail_bike, minimal_bike, words

FORKS = {
    "travel: 130, sag: 25%, ": (
        "Hardtail, 130 mm fork",
        "Full suspension, 140 mm rear, 130 mm fork",
    ),
    "travel: 0, ": ("Rigid", "Rear suspension, 140 mm, rigid fork"),
    "": (
        "No rear suspension, fork travel not given",
        "Rear suspension, 140 mm, fork travel not given",
    ),
}
"""How a file tells its fork's travel, and what the summary makes of it."""


@pytest.mark.parametrize("said", FORKS)
def test_only_a_fork_that_the_file_says_has_no_travel_is_rigid(said: str) -> None:
    small = Path(__file__).parents[1] / "live" / "small.yaml"
    spec = loads(small.read_text("utf-8").replace("travel: 130, sag: 25%, ", said), "small.yaml")
    for bike, shown in zip((hardtail_bike(), four_link_layout()), FORKS[said], strict=True):
        assert next(summary(bare(replace(bike, spec=spec)), texts("en"))) == shown


def checks(*margins: float, missing: int = 0) -> Report:
    made = (Result("a", "A", None, m, 0.0, 0.0, "mm", "s") for m in margins)
    return Report(tuple(made), (Unchecked("b", "B", "no reason"),) * missing)


@pytest.mark.parametrize(
    ("report", "state", "said"),
    [
        (checks(), "close", "Nothing was checked"),
        (checks(1.0, 2.0), "holds", "All 2 clearances and checks hold"),
        (checks(-1.0, 2.0), "short", "1 of 2 checks falls short"),
        (checks(-1.0, -0.1, 0.0), "short", "2 of 3 checks fall short"),
        (checks(1.0, missing=3), "holds", "All 1 clearances and checks hold; 3 not made"),
    ],
)
def test_the_verdict_is_said_in_words_beside_its_mark(
    report: Report, state: str, said: str
) -> None:
    made = verdict(bare(minimal_bike(), report=report), texts())
    assert words(made).partition(" ")[2] == said
    assert f'class="verdict {state}"' in made
    assert 'href="#clearances"' in made


def test_main_figures_are_the_charts_static_and_at_sag() -> None:
    bike = hardtail_bike()
    assert bike.sagged is not None
    said = words(glance(bare(bike), texts()))
    for figure in GLANCE:
        value, under = bike.chart[figure], bike.sagged.chart[figure]
        mark = "°" if unit(figure) == "degrees" else "mm"
        title = texts()(f"figure.{figure}.title")
        assert f"{title} {value:.1f} {mark} {under:.1f}{' ' * (mark == 'mm')}{mark} at sag" in said
    assert "at sag" not in words(glance(bare(minimal_bike()), texts()))


TYRES = {"width": 61.5, "diameter": 744.0}


@pytest.mark.parametrize(
    ("front", "rear", "said"),
    [
        ("61-622", "61-622", "61-622 tyres"),
        ("61-622", "64-584", "tyres 61-622 front, 64-584 rear"),
        (None, "64-584", "tyres – front, 64-584 rear"),
        (TYRES, TYRES, "61.5 × 744 tyres"),
        (None, None, None),
    ],
)
def test_tyres_are_named_once_where_they_are_alike(front: Any, rear: Any, said: str | None) -> None:
    text = "format: 1\nname: T\ngeometry: {}\nbuild: {rider: {mass_kg: 72.5}}\n"
    spec = loads(text, sets=[f"build.{end}_wheel.tyre={str(tyre).replace(chr(39), '')}"
                             for end, tyre in (("front", front), ("rear", rear)) if tyre])  # fmt: skip
    found = list(summary(bare(replace(minimal_bike(), spec=spec)), texts()))
    assert found[1:] == ([said] if said else []) + ["rider 72.5 kg"]


def test_the_heading_has_name_summary_and_verdict() -> None:
    bike = minimal_bike()
    spec = bike.spec.model_copy(update={"name": "<b>Name</b>"})
    made = heading(bare(replace(bike, spec=spec)), texts())
    assert "<h1>&lt;b&gt;Name&lt;/b&gt;</h1>" in made
    assert words(made).endswith("Nothing was checked")


def test_the_shop_and_a_stated_date_are_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without SOURCE_DATE_EPOCH the page holds no date, so that its bytes are the same on every day."""
    bike = minimal_bike()
    shop = replace(bike, spec=bike.spec.model_copy(update={"shop": "Hill & Dale <Frames> Ltd."}))
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    made = heading(bare(shop), texts())
    assert "from Hill & Dale <Frames> Ltd." in words(made)
    assert "<Frames>" not in made
    assert "Made on" not in words(made)
    assert 'class="on-paper"' in made
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    dated = heading(bare(bike), texts())
    assert "Made on 2023-11-14" in words(dated)
    assert "on-paper" not in dated
    assert "from" not in words(dated)
