"""The picture of the contact points: dimensions as long as what they say."""

from __future__ import annotations

import re

import pytest

from frame3d.report.ride_sections.fit_picture import fit_picture
from frame3d.report.texts import texts
from frame3d.ride.fit.stances import contacts_of
from tests.report.samples import bare, words
from tests.ride.fit.samples import FULL, HARDTAIL, bike


@pytest.mark.parametrize("name", [HARDTAIL, FULL])
def test_every_distance_is_written(name: str) -> None:
    demo = bike(name)
    drawn = contacts_of(demo)[0]
    made = words(fit_picture(bare(demo), drawn, texts()))
    for figure in (
        "grip_reach",
        "grip_stack",
        "saddle_setback",
        "saddle_height",
        "saddle_to_grips",
    ):
        assert f"{getattr(drawn, figure):.0f} mm" in made
    assert drawn.grips_above_saddle is not None
    assert f"{drawn.grips_above_saddle:+.0f} mm".replace("-", "−") in made


def test_the_triangle_has_the_contact_points_as_corners() -> None:
    demo = bike(HARDTAIL)
    drawn = contacts_of(demo)[0]
    made = fit_picture(bare(demo), drawn, texts())
    found = re.search(r'<path d="([^"]*)" class="triangle"', made)
    assert found is not None
    corners = [tuple(map(float, p.split())) for p in re.findall(r"[-\d.]+ [-\d.]+", found[1])]
    assert drawn.saddle_setback is not None
    wanted = [
        (0.0, 0.0),
        (-drawn.saddle_setback, -(drawn.saddle_stack or 0.0)),
        (drawn.grip_reach, -(drawn.grip_stack or 0.0)),
    ]
    assert corners == [pytest.approx(point, abs=0.06) for point in wanted]


def test_without_grips_only_the_saddle_is_drawn() -> None:
    demo = bike(HARDTAIL, "build.stem=null")
    drawn = contacts_of(demo)[0]
    made = words(fit_picture(bare(demo), drawn, texts()))
    assert made.split() == ["180", "mm", "720", "mm"]
    without = bike(HARDTAIL, "build.seatpost=null", "build.rider=null")
    made = words(fit_picture(bare(without), contacts_of(without)[0], texts()))
    assert made.split() == ["448", "mm", "720", "mm"]
