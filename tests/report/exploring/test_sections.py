"""The sections: what was asked, how far it came, the best, what bears on it; without scripts."""

from __future__ import annotations

import re
from dataclasses import replace

from frame3d.clearance.result import Report, Result
from frame3d.explore.evaluate.evaluator import Proof
from frame3d.explore.exploration import Exploration
from frame3d.explore.study.quantities import stiffness_in
from frame3d.explore.study.study import Wish
from frame3d.report.exploring.sections import (
    Page,
    asked,
    best,
    front,
    pointed,
    sensitivities,
)
from frame3d.report.texts import texts
from tests.report.exploring.samples import exploration

SHORT = Result("rear_tyre_to_frame", "", None, 1.0, 0.0, 4.0, "mm", "")
"""A check that falls short."""


def page(found: Exploration | None = None) -> Page:
    return Page(exploration() if found is None else found, texts("en"))


def said(markup: str | None) -> str:
    """The text alone, cells apart."""
    assert markup is not None
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", markup)).strip()


def test_stiffness_is_asked_for_by_its_load_case_with_what_it_cannot_say() -> None:
    found = exploration()
    wish = Wish("stiffness.head_twist", stiffness_in("head_twist"), 95.0, None, 0.95)
    study = replace(found.study, wishes=(*found.study.wishes, wish))
    text = said(asked(page(replace(found, study=study))))
    assert "Stiffness (Head tube, twist): at least 95.0 N·m/°" in text
    assert "Stiffer is not stronger" in text
    assert "Stiffer" not in said(asked(page()))


def test_what_was_asked_in_words() -> None:
    text = said(asked(page()))
    assert "Reach 430 to 490 mm 455" in text
    assert "Build, rear wheel, tyre 58-622, 61-622 61-622" in text
    assert "Trail: from 115.0 mm to 130.0 mm" in text
    assert "Wheelbase: at most 1240" in text
    assert "Wheelbase: as little as can be" in text


def test_checks_and_sizes_are_told() -> None:
    found = exploration()
    study = replace(found.study, checks="all", sizes=("S", "L"))
    text = said(asked(page(replace(found, study=study))))
    assert "Every clearance and check of the bike" in text
    assert "One set of values for the sizes S, L" in text
    study = replace(found.study, checks=("rear_tyre_to_frame",))
    text = said(asked(page(replace(found, study=study))))
    assert f"These checks: {texts('en')('check.rear_tyre_to_frame')}" in text


def test_the_best_with_their_verdicts() -> None:
    text = said(best(page()))
    assert text.count("Meets every wish; full check not made") == 2
    assert "Design 1" in text
    assert "Design 3" not in text
    assert said(best(page(replace(exploration(), best=())))) == "No design is kept."


def test_a_design_is_proved_where_the_check_of_every_size_passes() -> None:
    found = exploration()
    report = Report((), ())
    for report_ok, verdict in ((True, "full check passed"), (False, "Full check falls short")):
        own = report if report_ok else Report((SHORT,), ())
        proofs = (Proof("S", report), Proof("L", own))
        kept = replace(found.best[0], report=report, proofs=proofs)
        assert verdict in said(best(page(replace(found, best=(kept,)))))


def test_a_trade_off_needs_two() -> None:
    found = exploration(200)
    table = front(page(found))
    assert said(table).count("Design ") == len(found.front) + 1
    assert front(page(replace(found, front=found.front[:1]))) is None


def test_the_panel_says_what_stopped_a_design() -> None:
    whole = page()
    assert "Meets every wish; full check not made." in said(pointed(whole))
    third = next(i for i, e in enumerate(whole.shown.rows) if i > 1 and e.feasible)
    assert "Meets every wish." in said(pointed(whole, third))
    assert "<svg" in pointed(whole)
    last = len(whole.shown.rows) - 1
    text = said(pointed(whole, last))
    assert re.search(r"Stopped by: (Trail|Wheelbase)\.", text)
    assert "Side views are drawn of the kept designs." in text
    assert "<svg" not in pointed(whole, last)


def test_sensitivities_name_step_and_effect() -> None:
    text = said(sensitivities(page()))
    assert "Reach +1 mm +1.00 −1.90 –" in text
    assert "Head tube angle +0.1 ° – – −0.64" in text
    assert sensitivities(page(replace(exploration(), sensitivities=()))) is None
