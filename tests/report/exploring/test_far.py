"""How far it came: designs, rate, what stops most, what would help, why it ended."""

from __future__ import annotations

from dataclasses import replace

from frame3d.explore.search.bearing import Bearing, Gain
from frame3d.report.exploring.far import progress
from tests.report.exploring.samples import exploration
from tests.report.exploring.test_sections import page, said


def test_how_far_it_came() -> None:
    found = exploration()
    text = said(progress(page()))
    assert "Designs known 60" in text
    assert f"Meet every wish {found.feasible}" in text
    assert "Designs a second 40 of 60 this time" in text
    label, count = max(found.blocking.items(), key=lambda one: one[1])
    assert f"Share {label.capitalize()} {count} {100 * count / 60:.1f} %" in text


def test_without_a_run_there_is_no_rate() -> None:
    text = said(progress(page(replace(exploration(), evaluated=0, blocking={}))))
    assert "Designs a second –" in text
    assert "What stops most" not in text


def test_what_would_help() -> None:
    bearings = (
        Bearing("trail", "geometry.head_tube_angle", -0.9),
        Bearing("trail", "build.fork.offset", 0.4),
        Bearing("trail", "geometry.reach", 0.05),
    )
    text = said(progress(page(replace(exploration(), bearings=bearings, unmoved=("wheelbase",)))))
    assert "Trail: less of Head tube angle, more of Fork, offset Wheelbase: none of the" in text
    assert "What would help" not in said(progress(page()))


def test_what_else_might_vary() -> None:
    unvaried = (
        Gain("trail", "geometry.bb_drop", -1.0, 0.5, 0.25),
        Gain("trail", "build.stem.length", 2.0, 3.0, 1.5),
    )
    text = said(progress(page(replace(exploration(), unvaried=unvaried))))
    assert "Trail: geometry.bb_drop by −1 would mend 25 % of what is missed" in text
    assert "build.stem.length by +2 would mend all that is missed" in text
    assert "What else might vary" not in said(progress(page()))


def test_why_it_ended() -> None:
    text = said(progress(page(replace(exploration(), ended="nothing improves"))))
    assert "Ended: nothing improves any more." in text
    assert "Ended" not in said(progress(page()))
