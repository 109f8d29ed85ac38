"""Poses and derivatives: against numeric differences, mirrored, scaled."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from frame3d.linkage.curves.anti_rise import anti_rise, brake_line
from frame3d.linkage.curves.ground import ground
from frame3d.linkage.curves.instant_centre import instant_centre
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.mobility import mobility
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.trace import DeadPointError, trace
from tests.linkage.bikes import four_bar

coordinate = st.floats(-1, 1)
jitter = st.builds(complex, coordinate, coordinate)
bases = (-30 + 90j, 120 + 110j, 100 + 10j, 50 + 150j, 110 + 160j)
four_bars = st.tuples(*[st.builds(lambda j, b=b: b + 35 * j, jitter) for b in bases])


def solvable(points: tuple[complex, ...], stroke: float = 15.0) -> tuple[Mechanism, LinkageMotion]:
    """The four-bar over its stroke, away from dead points; else the example is passed over."""
    made = four_bar(*points)
    assume(made.length > 60)
    found = mobility(made)
    assume(found.freedoms == 1 and found.held == 0)
    try:
        motion = LinkageMotion(made, trace(made, np.linspace(0, stroke, 61)))
    except DeadPointError:
        assume(False)
    assume(np.abs(motion.track.rate).max() < 0.05)
    assume(np.abs(motion.track.acceleration).max() < 0.005)
    return made, motion


@settings(max_examples=60, deadline=None)
@given(four_bars)
def test_random_four_bars_against_differences(points: tuple[complex, ...]) -> None:
    """Every joint keeps its distances; first and second derivatives are those of the positions."""
    made, motion = solvable(points)
    a, b, o4, p, fix = points
    at = {"a": motion.body_point("crank", a), "b": motion.body_point("rocker", b),
          "p": motion.wheel}  # fmt: skip
    for one, other, wanted in (
        (at["a"].at, 0, abs(a)),
        (at["a"].at, at["b"].at, abs(b - a)),
        (at["b"].at, o4, abs(b - o4)),
        (at["p"].at, at["a"].at, abs(p - a)),
        (at["p"].at, at["b"].at, abs(p - b)),
    ):
        assert np.abs(np.abs(one - other) - wanted).max() < 1e-9
    assert np.abs(made.length - np.abs(at["a"].at - fix) - motion.stroke).max() < 1e-9
    step = 0.01
    for i in (20, 40):
        s = motion.stroke[i]
        ladder = LinkageMotion(made, trace(made, np.array([0, s - step, s, s + step])))
        near = ladder.wheel.at[1:]
        rate = (near[2] - near[0]) / (2 * step)
        bend = (near[2] - 2 * near[1] + near[0]) / step**2
        assert abs(motion.wheel.rate[i] - rate) < 1e-4 * (1 + abs(rate))
        assert abs(motion.wheel.acceleration[i] - bend) < 1e-3 * (1 + abs(bend))


@settings(max_examples=25, deadline=None)
@given(four_bars)
def test_mirrored(points: tuple[complex, ...]) -> None:
    """The mirror image moves as the mirror image."""
    _, motion = solvable(points)
    mirrored = four_bar(*(-p.conjugate() for p in points))
    other = LinkageMotion(mirrored, trace(mirrored, motion.stroke))
    assert np.abs(other.wheel.at + motion.wheel.at.conj()).max() < 1e-9
    assert np.abs(other.leverage - motion.leverage).max() < 1e-9
    assert np.abs(other.leverage_rate - motion.leverage_rate).max() < 1e-9
    for link in ("crank", "coupler", "rocker"):
        assert np.abs(other.turn(link) + motion.turn(link)).max() < 1e-9
    near = np.abs(motion.turn_rate("coupler")) > 1e-5  # elsewhere they are too far to be told well
    centre, image = (instant_centre(m, "coupler")[near] for m in (motion, other))
    assert image * (-1, 1) == pytest.approx(centre, rel=1e-6, abs=1e-6)


@settings(max_examples=25, deadline=None)
@given(four_bars, st.floats(0.05, 20))
def test_scaled(points: tuple[complex, ...], factor: float) -> None:
    """All sizes times a factor: the same turns and ratios, travel times the factor."""
    _, motion = solvable(points)
    scaled = four_bar(*(factor * p for p in points))
    other = LinkageMotion(scaled, trace(scaled, factor * motion.stroke))
    assert np.abs(other.travel - factor * motion.travel).max() < 1e-9 * max(1, factor)
    assert np.abs(other.leverage - motion.leverage).max() < 1e-9
    for link in ("crank", "coupler", "rocker"):
        assert np.abs(other.turn(link) - motion.turn(link)).max() < 1e-8
    # Wheels of 60 and 70 mm, 500 mm apart, and all that stands over the ground between them.
    shares = []
    for size, m in ((1.0, motion), (factor, other)):
        ahead = np.array([500.0, 60.0])
        under = ground(m.wheel.at, 60 * size, ahead * size, 70 * size)
        line = brake_line(m.wheel, m.turn_rate("coupler"), under)
        share = anti_rise(line, under.transfer(np.array([(200 + 400j) * size])))
        shares.append(np.arctan(share / 100))  # it grows beyond all bounds where the line stands up
    off = np.abs(shares[1] - shares[0])
    assert np.minimum(off, np.pi - off).max() < 1e-7
