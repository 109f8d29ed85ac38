"""Anti-squat, anti-rise, leverage against force balances of free bodies, worked here independently."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.linkage.curves.anti_rise import anti_rise, brake_line
from frame3d.linkage.curves.anti_squat import anti_squat
from frame3d.linkage.curves.chain import upper_run
from frame3d.linkage.curves.ground import Ground, ground
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.motion import LinkageMotion
from tests.linkage.bikes import followed, mechanism

BB = 435 + 340j


def worked(length: float = 230) -> Mechanism:
    """The single pivot of the worked example, its bottom bracket at the origin."""
    return mechanism(
        {"pivot": 450 + 420j - BB, "rear_axle": 370j - BB, "front": 150 + 200j, "rear": -50 + 180j},
        {"frame": ["pivot", "front"], "swingarm": ["pivot", "rear"]},
        "swingarm",
        ("front", "rear"),
    )  # fmt: skip


def test_the_worked_single_pivot() -> None:
    """Worked by hand and checked by the moments about the pivot: anti-squat 129.38186 %, anti-rise
    99.01449 %.
    """
    motion = followed(worked(), 1, 2)
    under = ground(motion.wheel.at, 370, np.array([1220.0, 370.0]) - [BB.real, BB.imag], 370)
    mass = np.array([600 + 1150j - BB])
    run = upper_run(motion.wheel.at, 32, 22)
    assert (run.ring, run.cog) == pytest.approx((64.78459, 44.61938), abs=1e-5)
    assert run.angle[0] == pytest.approx(-1.294486, abs=1e-6)
    on_cog, on_ring = run.ends[0] + (BB.real, BB.imag)
    assert on_cog == pytest.approx((1.00800, 414.60799), abs=1e-5)
    assert on_ring == pytest.approx((436.46356, 404.76805), abs=1e-5)
    assert anti_squat(run, motion.wheel, under, under.transfer(mass))[0] == pytest.approx(
        129.38186, abs=1e-5
    )
    turn = motion.turn_rate("swingarm")
    slope = brake_line(motion.wheel, turn, under)
    assert anti_rise(slope, under.transfer(mass))[0] == pytest.approx(99.01449, abs=1e-5)


POINTS = {
    "main_pivot": 12 + 62j, "rear_pivot": -405 + 14j, "rocker_pivot": -30 + 300j,
    "rocker_rear": -95 + 322j, "rocker_shock": -18 + 352j, "shock_front": 185 + 300j,
    "rear_axle": -436 + 36j,
}  # fmt: skip
BODIES = {
    "frame": ["main_pivot", "rocker_pivot", "shock_front"],
    "arm": ["main_pivot", "rear_pivot"],
    "stay": ["rear_pivot", "rocker_rear"],
    "rocker": ["rocker_pivot", "rocker_rear", "rocker_shock"],
}


def four_link() -> Mechanism:
    return mechanism(POINTS, BODIES, "stay", ("shock_front", "rocker_shock"))


def cross(a: complex, b: complex) -> float:
    return a.real * b.imag - a.imag * b.real


def shock_push(
    motion: LinkageMotion,
    i: int,
    loads: list[tuple[str, complex, complex]],
    couples: dict[str, float],
) -> float:
    """Force with which the shock pushes its ends apart, from Newton's equilibrium of each free body.

    Unknowns: two forces a pivot and the shock's; three equations a body. No virtual work, no instant
    centres, no Jacobian of the code under test; only where the joints are.

    Args:
        motion: for the places of the joints.
        i: which pose.
        loads: (body, force [N], where it acts).
        couples: body -> moment [N·mm].
    """
    at = {}
    for body, names in BODIES.items():
        for name in names:
            at[name] = motion.body_point(body, POINTS[name]).at[i]
    pivots = [("main_pivot", "arm", "frame"), ("rocker_pivot", "rocker", "frame"),
              ("rear_pivot", "arm", "stay"), ("rocker_rear", "stay", "rocker")]  # fmt: skip
    row = {"arm": 0, "stay": 3, "rocker": 6}
    matrix, right = np.zeros((9, 9)), np.zeros(9)

    def act(target: Any, body: str, force: complex, where: complex) -> None:
        if body != "frame":
            target[row[body] : row[body] + 3] += (force.real, force.imag, cross(where, force))

    for k, (name, one, other) in enumerate(pivots):
        for column, force in ((2 * k, 1 + 0j), (2 * k + 1, 1j)):
            act(matrix[:, column], one, force, at[name])
            act(matrix[:, column], other, -force, at[name])
    along = at["rocker_shock"] - at["shock_front"]
    act(matrix[:, 8], "rocker", along / abs(along), at["rocker_shock"])
    for body, force, where in loads:
        act(right, body, force, where)
    for body, moment in couples.items():
        right[row[body] + 2] += moment
    return float(np.linalg.solve(matrix, -right)[8])


FRONT = np.array([775.0, 20.0])


def setting(motion: LinkageMotion) -> tuple[Ground, np.ndarray]:
    return ground(motion.wheel.at, 368, FRONT, 375), np.array([95 + 770j])


@pytest.mark.parametrize("i", [0, 4, 10])
def test_leverage_of_a_four_bar(i: int) -> None:
    """A vertical load at the axle needs load × leverage ratio at the shock."""
    motion = followed(four_link(), 40, 11)
    push = shock_push(motion, i, [("stay", 100j, motion.wheel.at[i])], {})
    assert push == pytest.approx(100 * motion.leverage[i], rel=1e-11)


@pytest.mark.parametrize("i", [0, 3, 10])
@pytest.mark.parametrize("cog", [10, 21, 51])
def test_anti_squat_of_a_four_bar(i: int, cog: int) -> None:
    """Traction S at the contact, load transfer S·h/w on it, chain tension from the wheel's own balance:
    anti-squat is the share of the load transfer's shock force that goes missing. Ground tilted too.
    """
    motion = followed(four_link(), 40, 11)
    under, mass = setting(motion)
    run = upper_run(motion.wheel.at, 32, cog)
    axle, contact = motion.wheel.at[i], under.rear[i]
    ahead = under.ahead[i]
    s = 100.0
    transfer = s * under.local(mass).imag[i] / under.wheelbase[i]
    normal = 1j * ahead * transfer
    # The wheel's moments about its axle: traction at the contact against the chain on the cog.
    arm = abs(cross(contact - axle, ahead))
    tension = s * arm / run.cog
    chain = tension * complex(run.x[i], run.z[i])
    # The massless wheel hands traction, load transfer and chain pull on to its link, at the axle.
    without = shock_push(motion, i, [("stay", normal, axle)], {})
    with_all = shock_push(motion, i, [("stay", normal + s * ahead + chain, axle)], {})
    expected = 100 * (1 - with_all / without)
    assert anti_squat(run, motion.wheel, under, under.transfer(mass))[i] == pytest.approx(
        expected, rel=1e-10
    )


@pytest.mark.parametrize("i", [0, 3, 10])
@pytest.mark.parametrize("brake", ["stay", "arm", "rocker"])
def test_anti_rise_of_a_four_bar(i: int, brake: str) -> None:
    """Brake force B at the contact backward, the rear loses B·h/w, the caliper's link takes the wheel's
    moment; on the axle's own link, and on links that do not even touch the axle.
    """
    motion = followed(four_link(), 40, 11)
    under, mass = setting(motion)
    axle, contact, ahead = motion.wheel.at[i], under.rear[i], under.ahead[i]
    b = 100.0
    lost = b * under.local(mass).imag[i] / under.wheelbase[i]
    without = shock_push(motion, i, [("stay", -1j * ahead * lost, axle)], {})
    pull = -b * ahead
    with_all = shock_push(
        motion,
        i,
        [("stay", -1j * ahead * lost + pull, axle)],
        {brake: cross(contact - axle, pull)},
    )
    expected = 100 * (1 - with_all / without)
    slope = brake_line(motion.wheel, motion.turn_rate(brake), under)
    got = anti_rise(slope, under.transfer(mass))[i]
    assert got == pytest.approx(expected, rel=1e-10)
