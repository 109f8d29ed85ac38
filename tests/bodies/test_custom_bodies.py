"""Spare bodies: every kind, on everything that moves."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.bodies.shapes import Capsule, Ring
from frame3d.errors import SpecError
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE
from tests.bodies.bike import bodies, body
from tests.bodies.distance import signed, union


def spare(text: str) -> tuple[str, str]:
    return ("  bottles:", f"  bodies: {{{text}}}\n  bottles:")


@pytest.mark.parametrize(
    ("text", "on_surface"),
    [
        ("kind: capsule, at: [10, 20, 30], axis: [1, 0, 0], length: 50, diameter: 20",
         [(0, 20, 30), (70, 20, 30), (35, 30, 30)]),
        ("kind: cylinder, at: [10, 20, 30], axis: [0, 2, 0], length: 50, diameter: 20",
         [(10, 20, 30), (10, 70, 30), (20, 40, 30)]),
        ("kind: cylinder, at: [0, 0, 0], axis: [0, 0, 1], length: 40, diameter: 20, end_diameter: 40",
         [(0, 0, 0), (15, 0, 20), (20, 0, 40)]),
        ("kind: box, at: [100, 0, 0], size: [20, 30, 40]",
         [(90, 0, 0), (110, 0, 0), (100, 15, 0), (100, 0, 20)]),
        ("kind: box, at: [0, 0, 0], axis: [1, 0, 0], forward: [0, 1, 0], size: [20, 30, 40]",
         [(0, 10, 0), (0, 0, 15), (20, 0, 0)]),
        ("kind: disc, at: [0, 50, 0], axis: [0, 1, 0], profile: [[0, 0], [30, 0], [10, 20], [0, 20]]",
         [(0, 50, 0), (30, 50, 0), (0, 60, 20), (5, 70, 0)]),
        ("kind: ring, at: [0, 0, 0], axis: [0, 1, 0], profile: [[30, -5], [40, -5], [40, 5], [30, 5]]",
         [(30, 0, 0), (0, 0, 40), (35, 5, 0)]),
    ],
)  # fmt: skip
def test_every_kind_stands_where_it_is_said_to(
    text: str, on_surface: list[tuple[float, float, float]]
) -> None:
    found = body("thing", spare(f"thing: {{{text}}}"))
    assert union(found.shapes, np.array(on_surface, dtype=float)) == pytest.approx(
        np.zeros(len(on_surface)), abs=1e-9
    )


def test_a_tapering_capsule_has_both_its_radii() -> None:
    text = "kind: capsule, at: [0, 0, 0], length: 50, diameter: 20, end_diameter: 12"
    assert body("thing", spare(f"thing: {{{text}}}")).shapes[0].shape == Capsule(50, 10, 6)


def test_a_pair_is_mirrored() -> None:
    change = spare("guard: {kind: capsule, at: [10, 40, 0], axis: [1, 2, 3], length: 60, "
                   "diameter: 10, pair: true}")  # fmt: skip
    left, right = body("guard_left", change), body("guard_right", change)
    rng = np.random.default_rng(1)
    points = rng.uniform(-100, 100, (200, 3))
    assert union(left.shapes, points) == pytest.approx(
        union(right.shapes, points * (1, -1, 1)), abs=1e-9
    )


@pytest.mark.parametrize("on", ["left_pedal", "right_pedal", "left_shoe", "right_shoe", "crank"])
def test_what_moves_with_the_cranks_is_given_where_it_stands_at_rest(on: str) -> None:
    """Left crank ahead: a lamp 20 mm over the pedal is written down there, and goes round with it."""
    sign = 1 if "left" in on or on == "crank" else -1
    at = np.array([sign * 170.0, sign * 141.0, 20.0])
    change = spare(
        f"lamp: {{kind: box, at: [{at[0]}, {at[1]}, {at[2]}], size: [10, 10, 10], fixed_to: {on}}}"
    )
    lamp = body("lamp", change).shapes[0]
    assert signed(lamp, at[None], Pose())[0] == pytest.approx(-5, abs=1e-9)
    down = np.array([0.0, sign * 141.0, -sign * 170.0])
    down += (20, 0, 0) if on == "crank" else (0, 0, 20)  # a pedal stays level, an arm turns
    assert signed(lamp, down[None], Pose(crank=90))[0] == pytest.approx(-5, abs=1e-9)


@pytest.mark.parametrize("on", ["frame", "steering", "fork"])
def test_what_moves_with_frame_and_fork(on: str) -> None:
    change = spare(f"lamp: {{kind: box, at: [500, 0, 600], size: [10, 10, 10], fixed_to: {on}}}")
    lamp = body("lamp", change).shapes[0]
    like = {"frame": "saddle", "steering": "fork_crown", "fork": "front_tyre"}[on]
    assert lamp.mount == body(like).shapes[0].mount


def test_spare_bodies_are_listed_with_their_path_and_colour() -> None:
    change = spare("thing: {kind: box, at: [0, 0, 0], size: [9, 9, 9], colour: '#123456'}")
    found = body("thing", change)
    assert (found.part, found.colour) == ("build.bodies.thing", "#123456")
    assert found in bodies(change).bodies


def test_a_ring_stays_open_in_the_middle() -> None:
    text = "kind: ring, at: [0, 0, 0], axis: [0, 1, 0], profile: [[30, -5], [40, -5], [40, 5], [30, 5]]"
    ring = body("thing", spare(f"thing: {{{text}}}")).shapes[0]
    assert isinstance(ring.shape, Ring)
    assert signed(ring, np.zeros((1, 3)))[0] == pytest.approx(30)
    assert matrix(ring.mount, Pose(steer=30)) == pytest.approx(np.eye(4))


def on_a_link(fixed_to: str) -> str:
    guard = "kind: box, at: [-100, 0, 80], size: [30, 20, 10]"
    own = f"build:\n  bodies: {{guard: {{{guard}, fixed_to: {fixed_to}}}}}"
    return (MINIMAL + SINGLE).replace("build:", own, 1)


def test_a_spare_body_rides_on_a_link() -> None:
    """A guard on the swing arm turns about the main pivot with it."""
    layout = solve(loads(on_a_link("swingarm")))
    assert layout.linkage is not None
    guard = bodies_of(layout).body("guard")
    pose = layout.linkage.pose_at(travel=60.0)
    there = matrix(guard.shapes[0].mount, Pose(rear=60.0)) @ [-100.0, 0.0, 80.0, 1.0]
    assert there[[0, 2]] == pytest.approx(pose.move("swingarm", (-100.0, 80.0)), abs=1e-6)


def test_fixed_to_nothing_that_is_there() -> None:
    with pytest.raises(SpecError, match="did you mean swingarm"):
        loads(on_a_link("swingram"))


def test_a_link_may_not_be_named_as_what_bodies_are_fixed_to() -> None:
    with pytest.raises(SpecError, match="of this name already"):
        loads(MINIMAL + SINGLE.replace("swingarm", "crank"))
