"""Motions as the kernels' steps: the same places as the poses' matrices; what does not matter left out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import CRANK, SHIFT, TURN, Mount, Step, fork_mounts
from frame3d.bodies.motion.pose import Pose, matrix, placed_matrix
from frame3d.bodies.motion.swing import Swing
from frame3d.bodies.shapes import PlacedShape, Torus, bar, box, capsule, cylinder, ring
from frame3d.clearance.certify.distance import Gap, measured, nearest, prepare
from frame3d.clearance.certify.motion import Range, tables_of
from frame3d.clearance.certify.positions import axis, move
from frame3d.clearance.certify.records import FRAME
from frame3d.geometry.vector import point
from tests.clearance.samples import SHAPES, TUBES, a_pair, mounts
from tests.sampling import first

UP = np.array([-0.4, 0.0, np.sqrt(1 - 0.16)])
STEERING, FORK = fork_mounts(np.array([600.0, 0.0, 500.0]), UP)
STEER, TRAVEL, CRANKS = (
    Range("steer", -60, 60),
    Range("fork", 0, 130),
    Range("crank", 0, 360),
)


@pytest.mark.parametrize("seed", first(8, range(24)))
def test_steps_are_the_poses_matrices(seed: int) -> None:
    """Points, and the columns by finite differences."""
    random = np.random.default_rng(seed)
    (of_tube, of_shape), ranges = mounts(random)
    body, placed = a_pair(TUBES[seed % 6], SHAPES[seed % 8], random)
    body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
    pair = prepare(body, placed, ranges)
    n = 1 + len(pair.motion.low)
    piece = pair.pieces[0]
    swings = any(r.name == "rear" for r in ranges)

    def at(m: np.ndarray) -> np.void:
        frame = np.zeros(1, FRAME)[0]
        axis(piece, m[0], frame)
        move(pair.motion.steps, pair.motion.knots, m, np.zeros(n), frame, n, 0.0)
        return frame

    for _ in range(10):
        m = np.concatenate(
            (
                [random.uniform(0, piece["length"])],
                random.uniform(pair.motion.low, pair.motion.high),
            )
        )
        pose = Pose(**pair.motion.pose(m[1:]))
        whole = np.linalg.inv(placed_matrix(placed, pose)) @ matrix(body.mount, pose)
        here = at(m)
        drawn = np.append(body.axis.at(float(m[0])), 1.0)
        # A swing's table is good to 1e-6 mm a metre away.
        assert here["point"] == pytest.approx((whole @ drawn)[:3], abs=1e-6 if swings else 1e-8)
        along = whole[:3, :3] @ body.axis.tangent(float(m[0]))
        assert here["tangent"] == pytest.approx(along, abs=2e-9)
        for i in range(n):
            step = np.zeros(n)
            step[i] = 1e-5
            ahead, behind = at(m + step), at(m - step)
            rate = (ahead["point"] - behind["point"]) / 2e-5
            assert here["rate"][i] == pytest.approx(rate, abs=1e-4)
            for name in ("tangent", "major", "minor"):
                slope = (ahead[name] - behind[name]) / 2e-5
                assert np.cross(here["spin"][i], here[name]) == pytest.approx(slope, abs=1e-6)


def test_what_both_share_is_left_out() -> None:
    """Crown and wheel turn together: only the travel remains between them."""
    crown = bar("crown", (600, -40, 500), (600, 40, 500), 20, STEERING)
    wheel = PlacedShape("wheel", Torus(340, 28), (650, 0, 100), FORK)
    motion = prepare(crown, wheel, (STEER, TRAVEL)).motion
    assert [r.name for r in motion.ranges] == ["fork"]
    assert [r.name for r in motion.idle] == ["steer"]
    assert motion.pose(np.array([40.0])) == {"steer": 0.0, "fork": 40.0}


@pytest.mark.parametrize(
    ("shape", "idle"),
    [
        (cylinder(60, -2, 2), True),
        (Torus(60, 3), True),
        (ring([(50, -2), (60, -2), (60, 2), (50, 2)]), True),
        (box(60, 4, 60), False),
        (capsule(60, 4), False),
    ],
    ids=["cylinder", "torus", "ring", "box", "capsule"],
)
def test_a_turn_of_a_ring_about_its_own_axis_does_not_matter(shape: object, idle: bool) -> None:
    stay = bar("stay", (-100, -60, 0), (-400, -70, 20), 9)
    placed = PlacedShape("ring", shape, (0, -50, 0), CRANK)  # type: ignore[arg-type]
    motion = prepare(stay, placed, (CRANKS,)).motion
    assert bool(motion.idle) == idle
    assert bool(len(motion.steps)) != idle


def test_nor_does_a_turn_of_a_straight_tube_about_its_own_axis() -> None:
    """The head tube under the steering: 280 000 boxes where it was searched, a handful now."""
    start, end = np.array([600.0, 0.0, 500.0]), np.array([600.0, 0.0, 500.0]) + 120 * UP
    head = bar("head_tube", point(start), point(end), 22)
    wheel = PlacedShape("wheel", Torus(340, 28), (690, 0, -50), FORK)
    gap = nearest(head, wheel, (TRAVEL, STEER))
    assert isinstance(gap, Gap)
    assert gap.gap > 0
    assert gap.boxes < 500
    off = np.array([0.0, 1.0, 0.0])
    aside = bar("head_tube", point(start + off), point(end + off), 22)
    assert not prepare(aside, wheel, (TRAVEL, STEER)).motion.idle
    assert prepare(head, wheel, (TRAVEL, STEER)).motion.idle


def test_a_motion_left_out_stands_at_zero() -> None:
    stay = bar("stay", (-100, -60, 0), (-400, -70, 20), 9)
    wheel = PlacedShape("wheel", Torus(340, 28), (650, 0, 100), FORK)
    assert len(prepare(stay, wheel).motion.steps) == 0
    still, held = nearest(stay, wheel), nearest(stay, wheel, (Range("fork", 0.0, 0.0),))
    assert isinstance(still, Gap)
    assert isinstance(held, Gap)
    assert held.gap == pytest.approx(still.gap, abs=0.011)
    assert held.at == {"fork": 0.0}


@pytest.mark.parametrize(
    "ranges", [(Range("fork", 5, 0),), (Range("fork", 0, 1), Range("fork", 0, 2))], ids=str
)
def test_wrong_limits_are_refused(ranges: tuple[Range, ...]) -> None:
    stay = bar("stay", (-100, -60, 0), (-400, -70, 20), 9)
    with pytest.raises(ValueError, match="low limit first"):
        nearest(stay, PlacedShape("wheel", Torus(340, 28), (650, 0, 100), FORK), ranges)


def test_41_steps_of_steering_miss_a_minimum() -> None:
    """Both edges of a knob pass an upright wire midway between steps of a grid from -60 to 60 degrees.

    By hand: the edges stand 64 / cos 3° from the steering axis, the wire's axis 66.
    """
    turn = Mount("steering", (Step(TURN, "steer", (0.0, 0.0, 0.0), (0.0, 0.0, 1.0)),))
    knob = PlacedShape("knob", box(8, 128 * np.tan(np.radians(3)), 40), (60, 0, 0), turn)
    angle = np.radians(34.5)
    foot = 66 * np.array([np.cos(angle), np.sin(angle), 0.0])
    up = np.array([0.0, 0.0, 90.0])
    wire = bar("wire", point(foot - up), point(foot + up), 0.5)
    whole = nearest(wire, knob, (STEER,), tolerance=1e-4)
    grid = [
        nearest(wire, knob, (Range("steer", float(a), float(a)),), tolerance=1e-4)
        for a in np.linspace(-60, 60, 41)
    ]
    assert isinstance(whole, Gap)
    assert whole.gap == pytest.approx(66 - 64 / np.cos(np.radians(3)) - 0.5, abs=1.1e-4)
    assert abs(whole.at["steer"] - 34.5) == pytest.approx(3, abs=0.1)
    assert min(g.gap for g in grid if isinstance(g, Gap)) > whole.gap + 0.05


def test_a_wheel_s_travel_straight_past_a_bar() -> None:
    """The least over the travel is where the axle's path comes nearest: by hand, 50 - 20 - 9."""
    path = Mount("axle", (Step(SHIFT, "fork", axis=(0.0, 0.0, 1.0)),))
    ball = PlacedShape("ball", capsule(0, 20), (50, 0, -70), path)
    stay = bar("stay", (0, -200, 0), (0, 200, 0), 9)
    gap = nearest(stay, ball, (Range("fork", 0, 130),))
    assert isinstance(gap, Gap)
    assert gap.gap == pytest.approx(21, abs=0.011)
    assert gap.at["fork"] == pytest.approx(70, abs=1)


def test_nearest_of_a_group() -> None:
    """Pairs that are further apart than the nearest before them are not told apart."""
    random = np.random.default_rng(9)
    pairs = [prepare(*a_pair(TUBES[i % 6], SHAPES[i % 8], random, spread=250)) for i in range(40)]
    each = [g.gap for g in measured(pairs) if isinstance(g, Gap)]
    group = [g for g in measured(pairs, only_least=True) if isinstance(g, Gap)]
    assert len(group) < len(pairs)
    assert min(g.gap for g in group) == pytest.approx(min(each), abs=0.011)


def test_tables_made_together_are_those_of_each_alone() -> None:
    """Those of links with as many rows are stacked; each keeps its place and its start."""
    random = np.random.default_rng(1)
    swings = [
        Swing(travel, random.normal(size=(count, 6)), start)
        for count, travel, start in ((9, 140.0, 0.0), (17, 140.0, 0.0), (9, 20.0, -5.0))
    ]
    for swing, (step, start, rows) in zip(swings, tables_of(swings), strict=True):
        assert (step, start) == (swing.travel / (len(swing.knots) - 1), swing.start)
        assert (rows[:, [0, 1, 3, 4]] == swing.knots[:, [0, 1, 3, 4]]).all()
        assert np.degrees(rows[:, [2, 5]]) == pytest.approx(swing.knots[:, [2, 5]])
        turned = np.exp(1j * rows[:, 2])
        assert rows[:, 6] + 1j * rows[:, 7] == pytest.approx(turned)
