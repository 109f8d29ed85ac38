"""Blocks: which there are, and closed forms against Newton's method on the whole linkage."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings

from frame3d.linkage import solve_linkage
from frame3d.linkage.blocks import CoupledBlock, DrivenLink, Dyad
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.mobility import mobility
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.trace import DeadPointError, trace
from tests.linkage.bikes import followed, mechanism, spec_of
from tests.linkage.demos import FOUR_LINK_140, FOUR_LINK_AXLE, ROCKER_170, ROCKER_AXLE
from tests.linkage.test_motion import four_bars, solvable


@pytest.mark.parametrize(
    ("section", "axle"),
    [(FOUR_LINK_140, FOUR_LINK_AXLE), (ROCKER_170, ROCKER_AXLE)],
    ids=["four links", "driven rocker"],
)
def test_usual_linkages_are_solved_in_closed_form(section: str, axle: tuple[float, float]) -> None:
    made = solve_linkage(spec_of(section), axle).mechanism
    assert [type(block) for block in made.blocks] == [DrivenLink, Dyad]
    assert made.direct


def one_knot(made: Mechanism) -> Mechanism:
    """The same linkage, all of its equations solved together."""
    knot = CoupledBlock(np.arange(made.count), made.closures, made.used, made.shock)
    return replace(made, blocks=(knot,))


@settings(max_examples=25, deadline=None)
@given(four_bars)
def test_closed_forms_and_newton_agree(points: tuple[complex, ...]) -> None:
    made, motion = solvable(points)
    assert made.direct
    other = trace(one_knot(made), motion.stroke)
    assert not one_knot(made).direct
    assert other.turn == pytest.approx(motion.track.turn, abs=1e-10)
    assert other.rate == pytest.approx(motion.track.rate, abs=1e-10)
    assert other.acceleration == pytest.approx(motion.track.acceleration, abs=1e-10)
    assert other.unit == pytest.approx(motion.track.unit, abs=1e-10)


def floating(points: tuple[complex, ...]) -> Mechanism:
    """A four-bar with its shock between crank and rocker, on the frame nowhere."""
    a, b, o4, p, _ = points
    return mechanism(
        {"o2": 0j, "a": a, "b": b, "o4": o4, "rear_axle": p, "low": -40 + 5j, "high": b + 35 - 20j},
        {"frame": ["o2", "o4"], "crank": ["o2", "a", "low"], "coupler": ["a", "b"],
         "rocker": ["o4", "b", "high"]},
        "coupler",
        ("low", "high"),
    )  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(four_bars)
def test_a_shock_between_two_links(points: tuple[complex, ...]) -> None:
    """All three links at once: joints keep their distances, derivatives are those of the positions."""
    made = floating(points)
    assert [type(block) for block in made.blocks] == [CoupledBlock]
    found = mobility(made)
    assume(found.freedoms == 1 and found.held == 0)
    try:
        motion = followed(made, 12, 25)
    except DeadPointError:
        assume(False)
    assume(np.abs(motion.track.rate).max() < 0.05)
    assume(np.abs(motion.track.acceleration).max() < 0.005)
    at = {name: motion.body_point(body, made.drawn[name]).at
          for name, body in (("a", "crank"), ("low", "crank"), ("b", "rocker"),
                             ("high", "rocker"))}  # fmt: skip
    a, b = points[:2]
    assert np.abs(np.abs(at["a"] - at["b"]) - abs(a - b)).max() < 1e-9
    assert np.abs(made.length - np.abs(at["high"] - at["low"]) - motion.stroke).max() < 1e-9
    step = 0.01
    ladder = LinkageMotion(made, trace(made, np.array([0, 6 - step, 6, 6 + step]))).wheel
    rate = (ladder.at[3] - ladder.at[1]) / (2 * step)
    bend = (ladder.at[3] - 2 * ladder.at[2] + ladder.at[1]) / step**2
    assert abs(ladder.rate[2] - rate) < 1e-4 * (1 + abs(rate))
    assert abs(ladder.acceleration[2] - bend) < 1e-3 * (1 + abs(bend))


def test_links_that_stand_still_come_first() -> None:
    """A brace and a stay make a triangle on the frame; the swingarm hangs on its tip."""
    made = mechanism(
        {"low": 0j, "high": 0 + 200j, "tip": -80 + 90j, "fix": 60 + 260j, "end": -120 + 220j,
         "rear_axle": -440 + 30j},
        {"frame": ["low", "high", "fix"], "brace": ["low", "tip"], "stay": ["high", "tip"],
         "swingarm": ["tip", "end"]},
        "swingarm",
        ("fix", "end"),
    )  # fmt: skip
    assert [type(block) for block in made.blocks] == [Dyad, DrivenLink]
    motion = followed(made, 40)
    for link in ("brace", "stay"):
        assert np.abs(motion.turn(link)).max() < 1e-12
        assert np.abs(motion.turn_rate(link)).max() < 1e-12
    tip = made.drawn["tip"]
    assert np.abs(motion.wheel.at - tip) == pytest.approx(abs(-440 + 30j - tip))
    assert made.length - np.abs(motion.body_point("swingarm", -120 + 220j).at - (60 + 260j)) == (
        pytest.approx(motion.stroke)
    )
