"""The rider's figure: it touches grips and pedals, and its segments keep their lengths."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.bodies.motion.pose import Pose as BikePose
from frame3d.bodies.motion.pose import matrix, own_matrix
from frame3d.bodies.shapes import Capsule
from frame3d.looks.rider import STRETCH, Bone, Figure, Limb, Pose, figure_of
from frame3d.parameters.reading.reader import load
from tests.looks.demos import CONFIGS, DROPS, HARDTAIL

FULL = "trail_full_140"
DEMOS = (HARDTAIL, FULL, "enduro_170_mixed")
NEAR = 1.0
"""How far contacts are off at most [mm]."""


@cache
def solved(name: str, *sets: str) -> Bike:
    return solve(load(CONFIGS / f"{name}.yaml", sets=sets))


def figure(name: str, *sets: str) -> Figure:
    made = figure_of(solved(name, *sets))
    assert made is not None
    return made


def all_poses(names: tuple[str, ...] = DEMOS) -> list[tuple[str, Pose]]:
    return [(name, pose) for name in names for pose in figure(name).poses]


def length(bone: Bone) -> float:
    return math.dist(bone.start, bone.end)


@pytest.mark.parametrize("name", DEMOS)
def test_hands_are_on_the_bar(name: str) -> None:
    """The grips' middles, 65 mm from either end, lie on the axis of the bar that gaps are measured on."""
    bike = solved(name)
    bars = [b for b in bodies_of(bike).bodies if b.name == "handlebar"]
    shapes = [s for s in bars[0].shapes if isinstance(s.shape, Capsule)]
    width = bike.spec.build.handlebar.width  # type: ignore[union-attr]
    assert width is not None
    for pose in figure(name).poses:
        hands = [limb for limb in pose.limbs if limb.upper[0] == "upper_arm"]
        assert sorted(h.tip[1] for h in hands) == [65 - width / 2, width / 2 - 65]
        for hand in hands:
            assert min(from_axis(hand.tip, s) for s in shapes) < NEAR
            *_, last = hand.bones()
            assert math.dist(last.end, hand.tip) < NEAR


def from_axis(at: tuple[float, float, float], placed: object) -> float:
    """Distance of a point from a capsule's axis."""
    back = np.linalg.inv(own_matrix(placed))  # type: ignore[arg-type]
    p = back[:3, :3] @ np.array(at) + back[:3, 3]
    along = float(np.clip(p[2], 0.0, placed.shape.length))  # type: ignore[attr-defined]
    return float(np.hypot(np.hypot(p[0], p[1]), p[2] - along))


@pytest.mark.parametrize("name", DEMOS)
def test_shoes_stand_on_the_pedals(name: str) -> None:
    """The underside meets the pedal's upper face over the axle, which is where the cranks have it."""
    bike = solved(name)
    pedals = {b.name: b for b in bodies_of(bike).bodies if b.name.startswith("pedal_")}
    thickness = bike.spec.build.pedal.thickness  # type: ignore[union-attr]
    for pose in figure(name).poses:
        shoes = [bone for bone in pose.fixed if bone.shape == "shoe"]
        assert {bone.side for bone in shoes} == {"left", "right"}
        for bone in shoes:
            mount = pedals[f"pedal_{bone.side}"].shapes[0].mount
            assert bone.mount == mount
            axle = matrix(mount, BikePose())[:3, 3]
            heel, toe = np.array(bone.start), np.array(bone.end)
            way = (toe - heel) / np.linalg.norm(toe - heel)
            foot = heel + (way @ (axle - heel)) * way
            side = bike.spec.build.crank.q_factor / 2 + bike.spec.build.pedal.axle  # type: ignore[union-attr, operator]
            assert abs(bone.start[1]) == pytest.approx(side, abs=NEAR)
            assert np.hypot(*(foot - axle)[[0, 2]]) == pytest.approx(thickness / 2, abs=NEAR)


@pytest.mark.parametrize(("name", "pose"), all_poses())
def test_segments_are_as_long_as_in_the_side_view(name: str, pose: Pose) -> None:
    """Legs and arms are spread sideways without getting longer; arms are Drillis and Contini's 0.186 and
    0.146 + 0.054 of the stature.
    """
    rider = solved(name).rider
    assert rider is not None
    assert rider.stature is not None
    posture = getattr(rider, pose.name)
    joints = {n: np.array(p)[[0, 2]] for n, p in {**rider.contacts, **posture.joints}.items()}
    thigh = float(np.linalg.norm(joints["knee_front"] - joints["hip"]))
    shank = float(np.linalg.norm(joints["ankle_front"] - joints["knee_front"]))
    for limb in pose.limbs:
        bones = list(limb.bones())
        assert bones[0].start == limb.root
        for before, after in pairwise(bones):
            assert math.dist(before.end, after.start) < 1e-9, "no gap at a joint"
        if limb.upper[0] == "thigh":
            assert length(bones[0]) == pytest.approx(thigh, abs=1e-6)
            assert length(bones[1]) == pytest.approx(shank, abs=1e-6)
        else:
            assert length(bones[0]) == pytest.approx(0.186 * rider.stature, rel=1e-6)
            assert length(bones[1]) + length(bones[2]) == pytest.approx(
                0.200 * rider.stature, rel=1e-6
            )


@pytest.mark.parametrize(("name", "pose"), all_poses())
def test_both_sides_are_alike_and_joints_bend_as_people_do(name: str, pose: Pose) -> None:
    """Elbows outside the line from shoulder to grip and below it, knees ahead of hip and ankle."""
    for limb in pose.limbs:
        sign = 1.0 if limb.side == "left" else -1.0
        middle = np.array(limb.middle())
        line = np.array(limb.root) + 0.5 * (np.array(limb.tip) - np.array(limb.root))
        assert sign * (middle - line)[1] > 0
        if limb.upper[0] == "thigh":
            assert middle[0] > line[0]
        else:
            assert middle[2] < line[2]
    shoulders = [limb.root for limb in pose.limbs if limb.upper[0] == "upper_arm"]
    assert shoulders[0] == (shoulders[1][0], -shoulders[1][1], shoulders[1][2])


def test_a_heavier_rider_is_wider_and_no_taller() -> None:
    light, heavy = figure(HARDTAIL), figure(HARDTAIL, "build.rider.mass_kg=110")
    assert heavy.shapes["trunk"].volume() / light.shapes["trunk"].volume() == pytest.approx(
        110 / 80
    )
    ends = [shape.shapes["trunk"].rings[-1][0] for shape in (light, heavy)]
    assert ends[0] == ends[1]
    assert heavy.poses[0].fixed == light.poses[0].fixed


def test_a_taller_rider_is_longer() -> None:
    small, tall = figure(HARDTAIL), figure(HARDTAIL, "build.rider.height=1830")
    arms = [f.poses[0].limbs[1].upper for f in (small, tall)]
    assert arms[0][0] == arms[1][0] == "upper_arm"
    assert arms[1][1] / arms[0][1] == pytest.approx(1830 / 1765)


def test_a_shoe_is_as_long_as_the_file_says() -> None:
    (left, right) = [b for b in figure(HARDTAIL).poses[0].fixed if b.shape == "shoe"]
    assert length(left) == pytest.approx(290)
    assert length(right) == pytest.approx(290)


def test_hands_on_a_drop_bar_are_at_its_end() -> None:
    bike = solved(DROPS)
    bar = bike.spec.build.handlebar
    assert bar is not None
    if figure_of(bike) is None:
        pytest.skip("no posture")
    tips = [limb.tip[1] for limb in figure(DROPS).poses[0].limbs if limb.upper[0] == "upper_arm"]
    assert max(tips) == pytest.approx((bar.width or 0) / 2 - (0 if bar.drop else 65))


def test_who_is_too_small_for_a_bar_does_not_reach_it() -> None:
    """Nobody gets rubber arms: a child on a bar of a metre stops short of the grips."""
    small = ("build.rider.height=1300", "build.rider.inseam=630", "build.handlebar.width=1000")
    made = figure_of(solved(HARDTAIL, *small))
    assert made is not None
    arm = next(limb for limb in made.poses[0].limbs if limb.upper[0] == "upper_arm")
    *_, hand = arm.bones()
    assert math.dist(hand.end, arm.tip) > 10
    reach = sum(n for _, n in (arm.upper, *arm.lower))
    assert math.dist(arm.root, hand.end) == pytest.approx(STRETCH * reach)


def limb_to(tip: tuple[float, float, float]) -> Limb:
    return Limb(
        "left", (0.0, 0.0, 0.0), tip, (1.0, 0.0, 0.0), ("thigh", 300.0), (("shank", 200.0),), (1, 1)
    )


def test_what_a_limb_cannot_reach_it_stretches_to_a_little_and_then_lets_go() -> None:
    near, far = limb_to((0.0, 0.0, -520.0)), limb_to((0.0, 0.0, -900.0))
    assert list(near.bones())[-1].end == pytest.approx((0.0, 0.0, -520.0))
    assert list(far.bones())[-1].end == pytest.approx((0.0, 0.0, -500.0 * STRETCH))


def test_a_right_triangle_bends_at_its_corner() -> None:
    """3-4-5: the knee is where both lengths are right, on the side that it bends to."""
    limb = Limb(
        "left", (0.0, 0.0, 0.0), (0.0, 0.0, -500.0), (1.0, 0.0, 0.3), ("thigh", 300.0),
        (("shank", 400.0),), (1, 1),
    )  # fmt: skip
    assert limb.middle() == pytest.approx((240.0, 0.0, -180.0))


def test_without_a_rider_or_a_posture_there_is_no_figure() -> None:
    assert figure_of(solved("minimal")) is None
    bike = solved(HARDTAIL)
    assert bike.rider is not None
    known = ("seated", "forward", "standing", "descending", "lowest_saddle")
    none = {name: None for name in known if hasattr(bike.rider, name)}
    assert figure_of(replace(bike, rider=replace(bike.rider, **none))) is None
