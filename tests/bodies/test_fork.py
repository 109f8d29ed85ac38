"""Forks: every part meets what it is fixed to; lengths by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose, matrix, placed_matrix
from frame3d.bodies.shapes import Tubular
from frame3d.geometry.vector import vector
from tests.bodies.bike import bodies, body, layout, place
from tests.bodies.distance import Array, signed

ALONG = math.sqrt(531**2 - 44**2)
"""Axle below the crown race along the steering axis, 531 mm straight with 44 mm of offset."""
RIGID = [
    ("travel: 130, sag: 25%,", ""),
    (", legs: {}, knobs: {}, arch: {}", ", legs: {}"),
]


def in_steering(p: Array) -> Array:
    """A point as (ahead of the steering axis, to the left, above the crown race) [mm]."""
    angle = math.radians(65.5)
    up = np.array([-math.cos(angle), 0, math.sin(angle)])
    ahead = np.array([math.sin(angle), 0, math.cos(angle)])
    arm = np.asarray(p) - vector(layout().nodes["crown_race"])
    return np.array([arm @ ahead, arm[1], arm @ up])


def ends(tube: Tubular, pose: Pose | None = None) -> tuple[Array, Array]:
    m = matrix(tube.mount, Pose() if pose is None else pose)
    a, b = ((m @ np.append(tube.axis.at(s), 1))[:3] for s in (0.0, tube.axis.length))
    return a, b


def test_the_axle_is_where_the_chart_puts_it() -> None:
    axle = vector(layout().nodes["front_axle"])
    assert in_steering(axle) == pytest.approx((44, 0, -ALONG), abs=1e-6)
    a, b = ends(body("fork_axle").tubes[0])
    assert (a + b) / 2 == pytest.approx(axle)
    assert np.linalg.norm(b - a) == pytest.approx(140)  # 110 mm hub and 30 mm


@pytest.mark.parametrize(("side", "sign"), [("left", 1), ("right", -1)])
def test_lower_legs_carry_the_axle(side: str, sign: int) -> None:
    """Parallel to the steering axis, 15 mm behind the axle, 15 mm past it."""
    low, high = (in_steering(p) for p in ends(body(f"fork_lower_{side}").tubes[0]))
    assert low == pytest.approx((29, sign * 70, -ALONG - 15), abs=1e-6)
    assert high == pytest.approx((29, sign * 70, -42 - 130 - 10), abs=1e-6)


def test_at_full_travel_the_seals_stop_short_of_the_crown() -> None:
    _, high = ends(body("fork_lower_left").tubes[0], Pose(fork=130))
    assert in_steering(high)[2] == pytest.approx(-42 - 10, abs=1e-6)


def test_the_crown_hangs_from_the_race() -> None:
    crown = body("fork_crown").shapes[0]
    half = np.array(crown.shape.half)
    middle = in_steering(np.array(crown.origin))
    low, high = middle - half, middle + half
    assert high[2] == pytest.approx(0, abs=1e-6)
    assert low == pytest.approx((-30, -(140 + 35 + 12) / 2, -42), abs=1e-6)
    assert high[0] == pytest.approx(29 + 17.5 + 5, abs=1e-6)
    up = place().up
    assert np.array(crown.axes[2]) == pytest.approx(up)


def test_a_crown_that_narrows_behind_the_sockets() -> None:
    """Back to 30 mm only over the back's width; the sockets end 6 mm behind the legs."""
    low = []
    for crown in body("fork_crown", ("{height: 42}", "{height: 25, back_width: 80}")).shapes:
        half = np.array(crown.shape.half)
        low.append(in_steering(np.array(crown.origin)) - half)
    assert low[0] == pytest.approx((-30, -40, -25), abs=1e-6)
    assert low[1] == pytest.approx((29 - 17.5 - 6, -(140 + 35 + 12) / 2, -25), abs=1e-6)


def test_knobs_top_the_legs() -> None:
    knob = body("fork_knob_left")
    _, b = ends(knob.tubes[0])
    top = in_steering(b) + np.array([0, 0, 15])
    assert top == pytest.approx((29, 70, 18), abs=1e-6)


def test_the_arch_leaves_room_for_the_largest_tyre_of_the_wheel() -> None:
    """622/2 + 72 from the axle to its underside, whatever tyre is on."""
    for change in ((), (("front_wheel: {tyre: 61-622", "front_wheel: {tyre: 57-622"),)):
        arch = body("fork_arch", *change).shapes[0]
        axle = np.array(layout(*change).nodes["front_axle"])
        assert signed(arch, axle[None])[0] == pytest.approx(622 / 2 + 72, abs=1e-6)


def test_the_wheel_turns_and_travels_with_the_fork() -> None:
    """Tyre, lower legs, arch and axle keep their places to each other; the crown only turns."""
    pose = Pose(fork=80, steer=-30)
    tyre, arch = body("front_tyre").shapes[0], body("fork_arch").shapes[0]
    moved = placed_matrix(tyre, pose)[:3, 3]
    assert signed(arch, moved[None], pose)[0] == pytest.approx(
        signed(arch, np.array([tyre.origin]))[0], abs=1e-9
    )
    raised = in_steering(moved)
    assert raised[2] == pytest.approx(-ALONG + 80, abs=1e-6)
    assert np.hypot(raised[0], raised[1]) == pytest.approx(44, abs=1e-6)
    assert raised[1] == pytest.approx(-44 * math.sin(math.radians(30)), abs=1e-6)  # to the right


def test_a_rigid_forks_blades_end_at_the_axle() -> None:
    blade = body("fork_leg_left", *RIGID).tubes[0]
    top, bottom = (in_steering(p) for p in ends(blade))
    assert top == pytest.approx((0, 60, -21), abs=1e-6)
    assert bottom == pytest.approx((44, 60, -ALONG), abs=1e-6)
    assert blade.section.height == (28, 18)
    names = {b.name for b in bodies(*RIGID).bodies} | {a.name for a in bodies(*RIGID).absent}
    assert not names & {"fork_lower_left", "fork_knob_left", "fork_arch", "fork_lower", "fork_knob"}


def test_without_a_hub_the_tyre_says_how_wide_the_fork_is() -> None:
    change = [("61-622, hub: 110x15, rotor: 180", "61-622")]
    a, b = (ends(body(f"fork_lower_{s}", *change).tubes[0])[0][1] for s in ("left", "right"))
    assert a - b == pytest.approx(61 + 75)


def test_a_fork_that_gives_lengths_alone_has_no_outline() -> None:
    change = [(",\n     crown: {height: 42}, legs: {}, knobs: {}, arch: {}", "")]
    needs = {a.name: a.needs for a in bodies(*change).absent if a.name.startswith("fork")}
    assert needs == {
        "fork_crown": "build.fork.crown",
        "fork_knob": "build.fork.knobs",
        "fork_leg": "build.fork.legs",
        "fork_lower": "build.fork.legs",
        "fork_arch": "build.fork.arch",
        "fork_axle": "build.fork.legs",
    }
