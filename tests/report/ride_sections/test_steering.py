"""The section on steering: its sentences, table, plots and pictures say what the solver has."""

from __future__ import annotations

from dataclasses import replace

import pytest

from frame3d.report.audience import AUDIENCES
from frame3d.report.ride_sections.steering import section, sentences
from frame3d.report.texts import texts
from frame3d.ride.steering.of_bike import steering_of
from tests.report.samples import bare, words
from tests.ride.steering.bikes import FULL, HARDTAIL, MIXED, NO_RIDER, RIGID, bike
from tests.sampling import diagonal

SAY = texts()


@pytest.mark.parametrize(
    ("name", "audience"), diagonal(2, [HARDTAIL, FULL, MIXED, RIGID, NO_RIDER], list(AUDIENCES))
)
def test_every_demo_has_its_section(name: str, audience: str) -> None:
    data = bare(bike(name))
    made = section(data, SAY, audience)  # type: ignore[arg-type]
    assert made is not None
    said = words(made)
    figures = steering_of(bike(name))
    assert SAY.quantity(figures.ridden.mechanical_trail, "mm", 0) in said
    assert SAY.quantity(figures.drawn.push_torque_nm, "N·m", 1) in said
    for sentence in sentences(figures, SAY):
        assert sentence in said
    assert ("Not known from the file" in said) == (name == NO_RIDER and audience == "builder")
    if audience == "rider":
        assert "build." not in said


def test_the_sentence_of_turned_bars() -> None:
    figures = steering_of(bike(FULL))
    at = figures.ridden.at(30.0)
    assert at.falling_in_nm is not None
    assert (
        f"Turn the bars by 30° standing still: the front goes down by {at.drop:.0f} mm and wants to fall "
        f"in with {at.falling_in_nm:.0f} N·m."
    ) in list(sentences(figures, SAY))


def test_sentences_of_bikes_that_are_not_usual() -> None:
    figures = steering_of(bike(HARDTAIL))
    assert figures.sagged is not None
    no_trail = replace(figures, sagged=replace(figures.sagged, mechanical_trail=0.1))
    assert "on the steering axis" in next(sentences(no_trail, SAY))
    ahead = replace(
        figures, sagged=replace(figures.sagged, mechanical_trail=-20.0, push_torque_nm=-2.0)
    )
    said = list(sentences(ahead, SAY))
    assert "20 mm ahead of" in said[0]
    assert "with 2 N·m" in said[1]
    stopped = steering_of(bike(FULL, "build.bumper.stop=20"))
    told = list(sentences(replace(stopped, stop_angle=15.0), SAY))
    assert any("Turn the bars by 15°" in one for one in told)
    steep = steering_of(bike(NO_RIDER, "geometry.fork_offset=143.789"))
    assert any(
        "the front goes up by" in one and one.endswith("mm.") for one in sentences(steep, SAY)
    )
