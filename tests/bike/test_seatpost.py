"""The seatpost in its frame, against lengths added up by hand."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from frame3d import load, solve
from frame3d.bike.bike import Bike
from frame3d.bike.seatpost import (
    ACTUATOR,
    CABLE,
    COLLAR,
    HEAD,
    Seatpost,
    across,
    assumptions,
    seatpost_of,
)
from frame3d.cli.screen import solved
from frame3d.formats.documents import solve_document
from frame3d.parameters.reading.reader import loads
from frame3d.tubes.hardware import Housing
from frame3d.tubes.post_depth import RAILS
from frame3d.tubes.tube import Shell
from tests.bodies.bike import text

CONFIGS = Path(__file__).parents[2] / "configs"
EXPOSURE = 720.0 - 430.0 - RAILS
"""Of the demo hardtail: saddle and seat tube's top from the bottom bracket, on one line."""


@cache
def layout(*sets: str, name: str = "trail_hardtail_29") -> Bike:
    return solve(load(CONFIGS / f"{name}.yaml", sets=sets))


def post(*sets: str, name: str = "trail_hardtail_29") -> Seatpost:
    found = seatpost_of(layout(*(f"build.seatpost.{s}" for s in sets), name=name))
    assert found is not None
    return found


def test_exposure_is_travel_collar_head_and_what_is_left() -> None:
    found = post()
    assert found.exposure == pytest.approx(EXPOSURE)
    assert found.drop_room == pytest.approx(EXPOSURE - 150 - COLLAR - HEAD)
    own = post("head_height=48", "collar_height=12")
    assert own.drop_room == pytest.approx(EXPOSURE - 150 - 12 - 48)


def test_240_mm_of_drop_do_not_fit_245_of_exposure() -> None:
    found = post("travel=240")
    assert found.drop_room == pytest.approx(5 - COLLAR - HEAD)
    assert found.longest_travel is not None
    assert found.longest_travel.value == pytest.approx(EXPOSURE - COLLAR - HEAD)


def test_a_rigid_post_has_a_head_and_nothing_else() -> None:
    found = post("travel=0")
    assert (found.collar, found.actuator, found.cable) == (0, 0, 0)
    assert found.drop_room == pytest.approx(EXPOSURE - HEAD)
    assert found.longest_travel is None


def test_actuator_and_cable_stand_below() -> None:
    """The seat tube of 430 mm ends on a shell of 40 mm: 410 mm down its axis."""
    found = post()
    assert found.bore is not None
    assert found.bore.value == pytest.approx(410)
    assert found.deepest_insertion == pytest.approx(410 - ACTUATOR - CABLE)
    assert found.room == pytest.approx(410 - ACTUATOR - CABLE - 190)
    assert post("actuator=0").room == pytest.approx(410 - 190)
    assert post("actuator=0", "cable_room=12").room == pytest.approx(410 - 12 - 190)
    assert post("actuator=40", "cable_room=60").room == pytest.approx(410 - 100 - 190)


def test_a_longer_post_stands_twice_as_much_deeper() -> None:
    """1 mm more travel: 1 mm more tube below the collar, and the collar 1 mm lower; 5 mm stay free."""
    found = post("insertion=330", "travel=120")
    assert found.longest_travel is not None
    assert found.longest_travel.value == pytest.approx(120 + (410 - 55 - 5 - 330) / 2)
    assert found.longest_travel.by == "depth: bottom bracket"
    shallow = post("insertion=100", "travel=200")
    assert shallow.longest_travel is not None
    # 190 mm would stand 80 mm deep: over 63.2. A mark of 90 leaves no such post.
    assert shallow.longest_travel.value == pytest.approx(190)
    marked = post("insertion=100", "travel=200", "least_insertion=90")
    assert marked.longest_travel is not None
    assert marked.longest_travel.value == 0
    assert "least insertion" in marked.longest_travel.by


def test_the_mark_is_the_files_or_two_diameters() -> None:
    assert post().least_insertion == pytest.approx(2 * 31.6)  # 16 CFR 1512.15(b)
    own = post("least_insertion=110")
    assert (own.least_insertion, own.marked) == (110, True)


def test_depth_follows_from_a_posts_length() -> None:
    data = text(("insertion: 150", "length: 400"))
    found = seatpost_of(solve(loads(data, "bike.yaml")))
    assert found is not None
    assert found.insertion == pytest.approx(400 - EXPOSURE)


def test_a_post_goes_into_the_thinner_wall_and_not_into_a_thicker_one() -> None:
    """34.9 mm outside: 31.7 inside at 1.6; below it 33.1 at 0.9, or 30.9 at 2.0 from 250 mm down."""
    assert post().bore is not None
    thick = seatpost_of(layout("tubes.seat_tube.wall.butted=[2.0, 1.6]"))
    assert thick is not None
    assert thick.bore is not None
    # 0.8 mm on the diameter over 40 mm of transition, of which the post's play of 0.1 takes 5 mm.
    tube = layout().tube("seat_tube")
    first = tube.start.long_point + 210
    assert thick.bore.value == pytest.approx(430 - (first + 40 * 0.7 / 0.8))
    assert "narrower" in thick.bore.by


def test_a_bottle_on_the_seat_tube_stops_the_post_at_its_upper_boss() -> None:
    """Bosses 64 mm apart about the bottle's middle: common practice, no source."""
    found = seatpost_of(layout("build.bottles=[{on: seat_tube, from_start: 60, length: 150}]"))
    assert found is not None
    assert found.bore is not None
    assert found.bore.value == pytest.approx(430 - (60 + 75 + 32))
    assert "boss" in found.bore.by


def housing(x: float, z: float, od: float) -> Housing:
    return Housing(
        name="housing_p", pivot="p", at=(x, 0.0, z), width=60.0, od=od, bore=12.0, link=None
    )


@pytest.mark.parametrize("beside", [0.0, 6.0, 15.8, 16.0, 20.0, 30.7, 30.9])
def test_a_housing_stops_the_post_as_a_disc_in_the_side_view(beside: float) -> None:
    """Against the nearest point of the disc among those under the post, by brute force."""
    tube = layout().tube("seat_tube")
    along, top = tube.axis.tangent(0.0), tube.axis.at(430.0)
    square = np.array([along[2], 0.0, -along[0]])
    middle = top - 250 * along + beside * square
    found = across(tube, 15.8, housing(float(middle[0]), float(middle[2]), 30.0))
    turn = np.linspace(0.0, 2 * math.pi, 200001)
    depth, aside = 250 + 15 * np.cos(turn), beside + 15 * np.sin(turn)
    under = depth[np.abs(aside) <= 15.8]
    if not under.size:
        assert found is None
    else:
        assert found == pytest.approx(float(under.min()), abs=1e-3)


def test_the_shell_stops_the_post_at_its_top() -> None:
    tube = layout().tube("seat_tube")
    assert across(tube, 15.8, Shell("shell", 73.0, 46.0, 33.65)) == pytest.approx(430 - 23)


@pytest.mark.parametrize("name", ["trail_full_140", "enduro_170_mixed"])
def test_pivot_housings_count(name: str) -> None:
    """The main pivot stands in the seat tube, above the down tube that the tube ends on."""
    found = post(name=name)
    assert found.bore is not None
    assert found.bore.by == "housing main pivot"
    (body,) = (
        p for p in layout(name=name).pivots if getattr(p, "name", "") == "housing_main_pivot"
    )
    assert isinstance(body, Housing)
    seat = layout(name=name).tube("seat_tube")
    # The post's end, whole, is outside the housing at that depth, and inside it 0.1 mm further.
    for depth, inside in ((found.bore.value - 1e-6, False), (found.bore.value + 0.1, True)):
        end = seat.axis.at(seat.axis.length - depth)
        front = np.array([seat.axis.tangent(0.0)[2], 0.0, -seat.axis.tangent(0.0)[0]])
        points = end + np.linspace(-15.8, 15.8, 2001)[:, None] * front
        gaps = np.linalg.norm((points - np.array(body.at))[:, [0, 2]], axis=1) - body.od / 2
        assert bool(gaps.min() < 0) is inside


def test_an_oblique_tube_stops_the_post() -> None:
    """Lines down the post against the down tube as an endless cylinder, each solved as a quadratic."""
    bike = layout("geometry.actual_seat_tube_angle=71", "tubes.seat_tube.start={on: down_tube}")
    found = seatpost_of(bike)
    assert found is not None
    assert found.bore is not None
    assert found.bore.by == "down tube"
    seat, down = bike.tube("seat_tube"), bike.tube("down_tube")
    along, t = seat.axis.tangent(0.0), down.axis.tangent(0.0)
    top, front = seat.axis.at(seat.axis.length), np.array([along[2], 0.0, -along[0]])
    turn, ring = np.meshgrid(np.linspace(0, 2 * math.pi, 721), np.linspace(0, 15.8, 159))
    start = top + (ring * np.cos(turn))[..., None] * front
    start[..., 1] += ring * np.sin(turn)
    w, d = start - np.array(down.axis.start), -along
    w, d = w - (w @ t)[..., None] * t, d - (d @ t) * t
    a, b, c = d @ d, w @ d, (w * w).sum(axis=-1) - (down.section.height[0] / 2) ** 2
    disc = b * b - a * c
    depth = np.where(disc >= 0, (-b - np.sqrt(np.maximum(disc, 0.0))) / a, np.inf)
    assert found.bore.value == pytest.approx(float(depth.min()), abs=0.02)


def test_solve_and_its_json_say_the_same() -> None:
    bike = layout()
    shown, told = solved(bike, None), solve_document(bike)["seatpost"]
    assert told["longest_travel"] == pytest.approx(190)
    assert told["exposure"] == pytest.approx(EXPOSURE)
    assert told["bore_ends"]["below_top"] == pytest.approx(410)
    assert "longest travel, the tyre aside" in shown
    assert "245.0" in shown
    assert all(said in shown for said in assumptions(bike))


def test_no_post_no_figures() -> None:
    assert solve_document(layout(name="minimal"))["seatpost"] is None
