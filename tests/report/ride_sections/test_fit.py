"""The fit's section: every figure with its row, plain sentences, nothing of the file for the rider."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from frame3d.clearance.result import Report
from frame3d.report.ride_sections.fit import FIGURES, section, sentences
from frame3d.report.texts import texts
from frame3d.ride.fit.astride import Astride
from frame3d.ride.fit.contact import Points, contact
from frame3d.ride.fit.of_bike import Fit, fit_of
from tests.report.samples import bare, four_link_layout, hardtail, minimal_bike, rows, words
from tests.ride.fit.samples import HARDTAIL, RIGID, bike

SAY = texts()


def whole() -> Fit:
    found = fit_of(four_link_layout())
    assert found is not None
    return found


def test_every_figure_of_the_contact_points_has_its_row() -> None:
    found, made = whole(), section(bare(four_link_layout()), SAY, "builder")
    told = {row[0]: row[1:] for row in rows(made)}
    for figure in FIGURES:
        cells = told[SAY(f"fit.figure.{figure}")]
        values = [getattr(one, figure) for one in found.contacts]
        shown = [float(re.sub(r"[^\d.-]", "", cell.replace("−", "-"))) for cell in cells]
        assert shown == pytest.approx(values, abs=0.51)


def test_the_builder_sees_all_positions_and_cockpits_the_rider_fewer() -> None:
    demo = bare(bike(HARDTAIL))
    built, ridden = (section(demo, SAY, who) for who in ("builder", "rider"))
    for only in ("fit.stance.dive", "fit.cockpit.sweeps.title", "fit.cockpit.nearest"):
        assert SAY(only) in words(built)
        assert SAY(only) not in words(ridden)
    for both in ("fit.stance.saddle_down", "fit.cockpit.title", "fit.stance.sag"):
        assert SAY(both) in words(built)
        assert SAY(both) in words(ridden)
    assert "build." not in words(ridden)


def test_a_bike_without_contact_points_has_no_section() -> None:
    assert section(bare(minimal_bike()), SAY, "builder") is None


def test_a_bike_without_stem_or_fork_has_no_cockpit() -> None:
    made = words(section(bare(bike(HARDTAIL, "build.stem=null")), SAY, "builder"))
    assert SAY("fit.cockpit.title") not in made
    assert SAY("fit.figure.grip_reach") not in made
    assert SAY("fit.figure.saddle_setback") in made


@pytest.mark.parametrize(
    ("saddle", "said"),
    [
        (720.0, "level with the saddle"),
        (700.0, " 20 mm above the saddle"),
        (760.0, " 40 mm below the saddle"),
    ],
)
def test_grips_against_the_saddle_in_words(saddle: float, said: str) -> None:
    points = Points((-200.0, saddle), (450.0, 720.0), 170.0, (-0.3, 0.95))
    found = replace(whole(), contacts=(contact("drawn", points, 330.0),), astride=(), angles=None)
    lines = list(sentences(found, SAY))
    assert sum(said in line for line in lines) == 1
    assert len(lines) == 3


def test_bare_points_are_told_alone() -> None:
    points = Points((-200.0, 720.0), None, None, (-0.3, 0.95))
    found = replace(whole(), contacts=(contact("drawn", points, 330.0),), astride=(), angles=None)
    (line,) = sentences(found, SAY)
    assert "200 mm behind" in line


def test_room_astride_in_words() -> None:
    for room, said in ((40.0, "leaves 40 mm"), (-15.0, "15 mm more than your inseam")):
        found = replace(whole(), astride=(Astride("drawn", 104.0, 800.0, room),))
        assert any(said in line for line in sentences(found, SAY))


def test_knee_and_trunk_are_bands() -> None:
    found = fit_of(bike(HARDTAIL))
    assert found is not None
    assert found.angles is not None
    assert found.angles.knee_angle is not None
    low, high = found.angles.knee_angle.low, found.angles.knee_angle.high
    lines = list(sentences(found, SAY))
    assert any(f"bent by {low:.0f} to {high:.0f}°" in line for line in lines)
    assert any("your back leans at" in line for line in lines)
    assert found.angles.usual_saddle_heights is not None
    lowest, highest = found.angles.usual_saddle_heights
    assert any(f"a saddle {lowest:.0f} to {highest:.0f} mm from" in line for line in lines)
    measured = replace(found, angles=replace(found.angles, knee_measured=True))
    assert any("going by how it was measured" in line for line in sentences(measured, SAY))
    assert not any("going by how it was measured" in line for line in lines)
    short = replace(found, angles=replace(found.angles, knee_angle=None, trunk_angle=None))
    assert any("does not reach" in line for line in sentences(short, SAY))
    assert not any("leans" in line for line in sentences(short, SAY))


def test_a_drop_bar_is_told_as_ahead_of_its_clamp() -> None:
    made = words(section(bare(bike(RIGID)), SAY, "builder"))
    assert "75 mm ahead of the clamp" in made
    assert SAY("fit.cockpit.sweeps.title") not in made


@pytest.mark.parametrize(
    ("sets", "said"),
    [
        ((), "With the saddle all the way down, 9 mm are left between saddle and rear tyre."),
        (("build.seatpost.travel=0",), None),
    ],
)
def test_room_between_saddle_and_tyre(sets: tuple[str, ...], said: str | None) -> None:
    demo = bike(HARDTAIL, *sets)
    report = Report(
        (replace(hardtail().report.results[0], name="saddle_to_rear_tyre", gap=9.0),), ()
    )
    made = words(section(bare(demo, report=report), SAY, "rider"))
    assert (said is not None and said in made) or (said is None and "all the way down," not in made)


def test_room_between_saddle_and_tyre_at_full_travel() -> None:
    report = Report(
        (replace(hardtail().report.results[0], name="saddle_to_rear_tyre", gap=25.0),), ()
    )
    made = words(section(bare(four_link_layout(), report=report), SAY, "rider"))
    assert "the rear wheel all the way up, 25 mm are left" in made
