"""Contact points in every position, against the solver that places the rider there."""

from __future__ import annotations

import math

import pytest

from frame3d.bike.travel import over_travel
from frame3d.ride.fit.contact import Contact
from frame3d.ride.fit.stances import contacts_of, points_of
from tests.ride.fit.samples import FAMILY, FULL, HARDTAIL, RIGID, bike


def by_name(name: str, *sets: str, size: str | None = None) -> dict[str, Contact]:
    return {one.stance: one for one in contacts_of(bike(name, *sets, size=size))}


@pytest.mark.parametrize(
    ("name", "size", "stances"),
    [
        (HARDTAIL, None, ["drawn", "sag", "dive", "saddle_down", "saddle_down_sag"]),
        (FAMILY, "XL", ["drawn", "sag", "dive", "saddle_down", "saddle_down_sag"]),
        (FULL, None, ["drawn", "sag", "full_travel", "dive", "saddle_down", "saddle_down_sag"]),
        (RIGID, None, ["drawn"]),
    ],
)
def test_positions(name: str, size: str | None, stances: list[str]) -> None:
    assert list(by_name(name, size=size)) == stances


def test_the_saddle_by_its_angle() -> None:
    """75.5° and 720 mm, as the demo's file says."""
    drawn = by_name(HARDTAIL)["drawn"]
    turn = math.radians(75.5)
    assert drawn.saddle_setback == pytest.approx(720 * math.cos(turn))
    assert drawn.saddle_stack == pytest.approx(720 * math.sin(turn))
    assert drawn.saddle_to_pedal == pytest.approx(890)


def test_at_sag_as_the_solver_has_it() -> None:
    for name in (HARDTAIL, FULL):
        there, sagged = by_name(name)["sag"], bike(name).sagged
        assert sagged is not None
        x, _, z = sagged.nodes["saddle"]
        assert there.saddle_setback == pytest.approx(-x, abs=1e-6)
        assert there.saddle_stack == pytest.approx(z, abs=1e-6)
        assert sagged.rider is not None
        hands = sagged.rider.contacts["hands"]
        assert there.grip_reach == pytest.approx(hands[0], abs=1e-6)
        assert there.grip_stack == pytest.approx(hands[2], abs=1e-6)
        assert there.saddle_angle == pytest.approx(
            sagged.chart["effective_seat_tube_angle"], abs=1e-6
        )


def test_ends_of_the_travel_as_the_travel_analysis_has_them() -> None:
    there = by_name(FULL)
    for standing in over_travel(bike(FULL), 2).standing:
        name = {"extended": "drawn"}.get(standing.name, standing.name)
        saddle, ground = standing.stance.nodes["saddle"], standing.stance.nodes["rear_contact"][2]
        assert there[name].saddle_stack == pytest.approx(saddle[2], abs=1e-6)
        assert there[name].saddle_above_ground == pytest.approx(saddle[2] - ground, abs=1e-6)
        assert there[name].pitch_degrees == pytest.approx(standing.stance.pitch, abs=1e-9)


def test_a_dive_lowers_the_grips_and_the_saddle_follows_the_frame() -> None:
    there = by_name(HARDTAIL)
    drawn, dive = there["drawn"], there["dive"]
    assert dive.pitch_degrees < -5
    assert dive.saddle_to_grips_straight == pytest.approx(drawn.saddle_to_grips_straight)
    assert dive.grips_above_ground is not None
    assert drawn.grips_above_ground is not None
    assert drawn.grips_above_ground - dive.grips_above_ground == pytest.approx(94, abs=1)


def test_the_saddle_at_full_drop_is_lower_by_the_posts_travel() -> None:
    there = by_name(FULL)
    up, down = there["drawn"], there["saddle_down"]
    assert up.saddle_stack is not None
    assert down.saddle_stack is not None
    # along the seat tube, 73° on this demo
    assert up.saddle_stack - down.saddle_stack == pytest.approx(170 * math.sin(math.radians(73)))
    assert by_name(HARDTAIL, "build.seatpost.travel=0").keys() == {"drawn", "sag", "dive"}


def test_without_a_saddle_height_no_figure_is_made_up() -> None:
    none = bike(HARDTAIL, "build.seatpost=null", "build.rider=null")
    assert points_of(none).saddle is None
    assert all(one.saddle_setback is None for one in contacts_of(none))
    assert "saddle_down" not in {one.stance for one in contacts_of(none)}
