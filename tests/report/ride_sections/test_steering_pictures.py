"""Pictures of the levers: to scale, with the bike's own figures."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from frame3d.report.ride_sections.steering_pictures import from_above, lever
from frame3d.report.texts import texts
from frame3d.ride.steering.of_bike import steering_of
from tests.report.samples import bare
from tests.ride.steering.bikes import FULL, HARDTAIL, NO_RIDER, RIGID, bike

SAY = texts()


def levers(made: str) -> list[list[tuple[float, float]]]:
    """Points of the levers that are drawn, z up [mm]."""
    found = re.findall(r'<path d="M([^"]*)" class="lever">', made)
    return [
        [(float(x), -float(z)) for x, z in (pair.split() for pair in one.split("L"))]
        for one in found
    ]


@pytest.mark.parametrize("name", [HARDTAIL, FULL, RIGID, NO_RIDER])
def test_side_view_has_the_lever_from_contact_to_axis(name: str) -> None:
    data = bare(bike(name))
    figures = steering_of(bike(name))
    made = lever(data.side, figures, SAY)
    ((start, end),) = levers(made)
    x, _, z = bike(name).nodes["front_contact"]
    assert start == pytest.approx((x, z), abs=0.06)
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    assert length == pytest.approx(figures.drawn.mechanical_trail, abs=0.1)
    assert SAY.quantity(figures.drawn.mechanical_trail, "mm", 0) in made


def test_no_dimension_of_no_trail() -> None:
    data = bare(bike(NO_RIDER))
    figures = steering_of(bike(NO_RIDER))
    none = replace(figures, drawn=replace(figures.drawn, mechanical_trail=0.0))
    assert 'class="arrow"' in lever(data.side, figures, SAY)
    assert 'class="arrow"' not in lever(data.side, none, SAY)


def test_down_the_axis_torques_are_in_balance() -> None:
    """Push times its drawn lever is the hand's force times the hand's."""
    figures = steering_of(bike(HARDTAIL))
    made = from_above(bare(bike(HARDTAIL)), figures, SAY)
    assert made is not None
    push, hand = levers(made)
    assert push[1] == pytest.approx((0.0, -figures.drawn.mechanical_trail), abs=0.06)
    assert figures.drawn.grip_force_n is not None
    assert -push[1][1] * figures.push_n == pytest.approx(
        hand[1][0] * figures.drawn.grip_force_n, rel=1e-3
    )


def test_both_stand_on_the_page_and_one_without_a_bar() -> None:
    assert from_above(bare(bike(NO_RIDER)), steering_of(bike(NO_RIDER)), SAY) is None
    assert from_above(bare(bike(RIGID)), steering_of(bike(RIGID)), SAY) is not None
