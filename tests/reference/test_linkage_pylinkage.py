"""The same joints traced by pylinkage, a general library for planar linkages."""

from __future__ import annotations

import os

import numpy as np
import pytest

from frame3d.linkage import solve_linkage
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.trace import trace
from tests.linkage.bikes import mechanism, spec_of
from tests.linkage.demos import FOUR_LINK_140, FOUR_LINK_AXLE

if os.environ.get("CI"):
    import pylinkage
else:
    pylinkage = pytest.importorskip("pylinkage")

STEP = np.radians(0.5)
COUNT = 60


def test_a_six_bar() -> None:
    """Crank, coupler with a point, rocker, and a dyad on it: joints to 1e-6 mm at 60 crank angles.

    pylinkage turns the crank by equal steps; here a shock from (150, 120) to the crank drives the same
    joints, at the strokes that those crank angles leave of it.
    """
    o2, o4, o6, fix = 0j, 100 + 0j, 210 - 10j, 150 + 120j
    a = 40 * np.exp(1j * np.radians(100))
    b, c, d = 95 + 79j, 60 + 140j, 205 + 90j
    ground = pylinkage.Ground
    g2, g4, g6 = (ground(p.real, p.imag) for p in (o2, o4, o6))
    crank = pylinkage.Crank(g2, 40.0, angular_velocity=-STEP, initial_angle=np.radians(100))
    rocker = pylinkage.RRRDyad(
        crank.output, g4, abs(b - a), abs(b - o4), x=b.real, y=b.imag
    )  # fmt: skip
    point = pylinkage.FixedDyad(
        crank.output, rocker, abs(c - a), float(np.angle((c - a) / (b - a)))
    )
    last = pylinkage.RRRDyad(point, g6, abs(d - c), abs(d - o6), x=d.real, y=d.imag)
    linkage = pylinkage.Linkage((g2, g4, g6, crank, rocker, point, last))
    told = np.array([[complex(*xy) for xy in row[3:]] for row in linkage.step(iterations=COUNT)])

    made = mechanism(
        {"o2": o2, "o4": o4, "o6": o6, "fix": fix, "a": a, "b": b, "c": c, "d": d, "rear_axle": d},
        {"frame": ["o2", "o4", "o6", "fix"], "crank": ["o2", "a"], "coupler": ["a", "b", "c"],
         "rocker": ["o4", "b"], "strut": ["c", "d"], "arm": ["d", "o6"]},
        "arm",
        ("fix", "a"),
    )  # fmt: skip
    angles = np.angle(told[:, 0])
    strokes = made.length - np.abs(40 * np.exp(1j * angles) - fix)
    assert (np.diff(strokes) > 0).all()
    motion = LinkageMotion(made, trace(made, np.concatenate(([0.0], strokes))))
    joints = [("crank", a), ("coupler", b), ("coupler", c), ("arm", d)]
    ours = np.array([motion.body_point(body, p).at[1:] for body, p in joints]).T
    assert np.abs(np.diff(told[:, 3])).min() > 1e-3
    assert np.abs(ours - told).max() < 1e-6


def test_the_demo_with_its_speeds() -> None:
    """Four links with the axle on the rear one: positions, and their first and second derivatives by the
    rocker's turn, as pylinkage has them at a crank speed of 1 rad/s.

    With θ the rocker's turn and ' by the stroke: dP/dθ = P'/θ', d²P/dθ² = (P'' - dP/dθ·θ'')/θ'².
    """
    linkage = solve_linkage(spec_of(FOUR_LINK_140), FOUR_LINK_AXLE, count=COUNT)
    at = linkage.mechanism.drawn
    main, pivot, rear = at["main_pivot"], at["rocker_pivot"], at["rear_pivot"]
    top, axle = at["rocker_rear"], at["rear_axle"]
    swing = np.radians(linkage.motion.turn("rocker")[-1]) / (COUNT - 1)
    ground = pylinkage.Ground
    g1, g2 = (ground(p.real, p.imag) for p in (main, pivot))
    rocker = pylinkage.Crank(
        g2,
        abs(top - pivot),
        angular_velocity=swing,
        initial_angle=float(np.angle(top - pivot)) - swing,
    )
    low = pylinkage.RRRDyad(
        rocker.output, g1, abs(top - rear), abs(rear - main), x=rear.real, y=rear.imag
    )
    wheel = pylinkage.FixedDyad(
        low, rocker.output, abs(axle - rear), float(np.angle((axle - rear) / (top - rear)))
    )
    chain = pylinkage.Linkage((g1, g2, rocker, low, wheel))
    chain.set_input_velocity(rocker, omega=1.0)
    told = np.array(
        [
            [[complex(*xy) for xy in row[2:]] for row in step]
            for step in chain.step_with_derivatives(iterations=COUNT)
        ]
    )
    angles = np.angle(told[:, 0, 0] - pivot)
    turned = np.exp(1j * (angles - np.angle(top - pivot)))
    eye = pivot + (at["rocker_shock"] - pivot) * turned
    strokes = linkage.eye_to_eye - np.abs(eye - at["shock_front"])
    motion = linkage.at_strokes(np.clip(strokes, 0, linkage.full_stroke))
    joints = [
        motion.body_point("rocker", top),
        motion.body_point("chainstay_link", rear),
        motion.wheel,
    ]
    rate = motion.turn_rate("rocker")
    bend = motion.track.acceleration[linkage.links.index("rocker")]
    for i, ours in enumerate(joints):
        first = ours.rate / rate
        second = (ours.acceleration - first * bend) / rate**2
        assert np.abs(ours.at - told[:, 0, i]).max() < 1e-6
        assert np.abs(first - told[:, 1, i]).max() < 1e-6
        assert np.abs(second - told[:, 2, i]).max() < 1e-6
    assert np.ptp(told[:, 0, 2].imag) == pytest.approx(140, abs=1e-6)
