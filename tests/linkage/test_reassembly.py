"""Links assembled with other holes and another shock, against bars and circles in scipy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from frame3d.linkage.mechanism import Hole, Mechanism, assemble
from frame3d.linkage.reassembly import Assembled, reassembled
from tests.linkage.bikes import mechanism

M, P, Q, R, K, S = 12 + 62j, -405 + 14j, -95 + 322j, -30 + 300j, -18 + 352j, 185 + 300j
A = -436 + 36j
"""Main pivot, rear pivot, the rocker's end, its pivot, the shock's ends, the axle; invented."""


def four_link() -> Mechanism:
    """Chainstay link M-P, seatstay link P-Q with the axle, rocker R-Q, shock S-K."""
    return mechanism(
        {"m": M, "p": P, "q": Q, "r": R, "k": K, "s": S, "rear_axle": A},
        {"frame": ["m", "r", "s"], "arm": ["m", "p"], "stay": ["p", "q"], "rocker": ["r", "q", "k"]},
        "stay",
        ("s", "k"),
    )  # fmt: skip


@dataclass(frozen=True)
class Bars:
    """What a pencil has: each bar's ends, in its own drawn place."""

    m: complex = M
    """On the frame; so r and s."""
    r: complex = R
    s: complex = S
    m_arm: complex = M
    p_arm: complex = P
    p_stay: complex = P
    q_stay: complex = Q
    r_rocker: complex = R
    q_rocker: complex = Q
    k: complex = K


def by_brentq(bars: Bars, length: float) -> tuple[float, float, float, complex]:
    """Turns of arm, stay and rocker, and the axle: first the rocker from the shock's length, then the arm
    from the stay's; each a root near the drawn pose.
    """

    def turned(origin: complex, on: complex, own: complex, turn: float) -> complex:
        return origin + (own - on) * np.exp(1j * turn)

    def near(f: Any) -> float:
        grid = np.linspace(-0.6, 0.6, 241)
        signs = np.sign([f(x) for x in grid])
        crossings = [i for i in range(240) if signs[i] != signs[i + 1]]
        i = min(crossings, key=lambda i: abs(grid[i]))
        return float(brentq(f, grid[i], grid[i + 1], xtol=1e-15, rtol=1e-15))

    rocker = near(lambda x: abs(turned(bars.r, bars.r_rocker, bars.k, x) - bars.s) - length)
    q = turned(bars.r, bars.r_rocker, bars.q_rocker, rocker)
    bar = abs(bars.q_stay - bars.p_stay)
    arm = near(lambda x: abs(turned(bars.m, bars.m_arm, bars.p_arm, x) - q) - bar)
    p = turned(bars.m, bars.m_arm, bars.p_arm, arm)
    stay = float(np.angle((q - p) / (bars.q_stay - bars.p_stay)))
    return arm, stay, rocker, turned(p, bars.p_stay, A, stay)


HOLES: dict[Hole, str] = {
    ("m", "frame"): "m",
    ("r", "frame"): "r",
    ("s", "frame"): "s",
    ("m", "arm"): "m_arm",
    ("p", "arm"): "p_arm",
    ("p", "stay"): "p_stay",
    ("q", "stay"): "q_stay",
    ("r", "rocker"): "r_rocker",
    ("q", "rocker"): "q_rocker",
    ("k", "rocker"): "k",
}


def axle_of(made: Mechanism, found: Assembled) -> complex:
    return found.at("stay", "rear_axle", made)


shifts = st.complex_numbers(max_magnitude=12, allow_nan=False, allow_infinity=False)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    holes=st.dictionaries(st.sampled_from(sorted(HOLES)), shifts, max_size=3),
    longer=st.floats(-15, 4),
)
def test_a_four_bar_lies_where_its_bars_and_its_shock_meet(
    holes: dict[Hole, complex], longer: float
) -> None:
    made = four_link()
    places = {hole: made.drawn[hole[0]] + by for hole, by in holes.items()}
    length = made.length + longer
    bars = Bars(**{HOLES[hole]: at for hole, at in places.items()})
    found = reassembled(made, places, length)
    arm, stay, rocker, axle = by_brentq(bars, length)
    assert found.share == 1
    turns = dict(zip(made.structure.links, found.turn, strict=True))
    assert turns == pytest.approx({"arm": arm, "stay": stay, "rocker": rocker}, abs=1e-10)
    assert abs(axle_of(made, found) - axle) < 1e-6
    assert found.misfit < 1e-9


def test_every_pivot_closes() -> None:
    """Wherever bodies share a point, they have it in one place."""
    made = four_link()
    found = reassembled(
        made, {("q", "rocker"): Q + 4 - 3j, ("s", "frame"): S + 5j}, made.length - 3
    )
    at = {name: found.at(body, name, made) for name, body in (("q", "stay"), ("s", "frame"))}
    assert abs(found.at("rocker", "q", made) - at["q"]) < 1e-9
    assert abs(found.at("rocker", "k", made) - at["s"]) == pytest.approx(made.length - 3, abs=1e-9)
    assert found.at("frame", "m", made) == M


def test_nothing_exchanged_moves_nothing() -> None:
    made = four_link()
    found = reassembled(made, {}, made.length)
    assert found.share == 1
    assert np.abs(found.turn).max() < 1e-13
    assert abs(axle_of(made, found) - A) < 1e-11


def test_there_and_back() -> None:
    """From the pose that was found, with the holes as they then lie, the way back ends as drawn."""
    made = four_link()
    found = reassembled(made, {("q", "rocker"): Q + 6 + 5j}, made.length - 6)
    bodies = {"m": "frame", "r": "frame", "s": "frame", "p": "arm", "q": "stay", "k": "rocker",
              "rear_axle": "stay"}  # fmt: skip
    there = {name: found.at(body, name, made) for name, body in bodies.items()}
    new = mechanism(
        there,
        {"frame": ["m", "r", "s"], "arm": ["m", "p"], "stay": ["p", "q"], "rocker": ["r", "q", "k"]},
        "stay",
        ("s", "k"),
    )  # fmt: skip
    rocker = made.structure.links.index("rocker")
    drawn_q = found.origin[rocker] + Q * np.exp(1j * found.turn[rocker])
    back = reassembled(new, {("q", "rocker"): complex(drawn_q)}, made.length)
    for name, body in bodies.items():
        assert abs(back.at(body, name, new) - made.drawn[name]) < 1e-9, name


def test_where_the_links_end_it_says_how_far_they_came() -> None:
    """One link: its eye runs on a circle, so the shock is at most as long as the line through both."""
    pivot, eye, fix = 0j, -60 + 80j, 150 + 0j
    made = mechanism(
        {"pivot": pivot, "eye": eye, "fix": fix, "rear_axle": -400 + 0j},
        {"frame": ["pivot", "fix"], "arm": ["pivot", "eye"]},
        "arm",
        ("fix", "eye"),
    )
    longest = abs(fix) + abs(eye)
    found = reassembled(made, {}, longest + 10)
    assert found.share < 1
    assert found.length == pytest.approx(longest, abs=1e-6)
    assert reassembled(made, {}, longest - 1e-3).share == 1


def test_a_hole_more_than_needed_says_how_far_it_is_off() -> None:
    """Three parallel links of one length; one hole of the third moved by 2 mm."""
    points = {"a": 0j, "b": 100 + 0j, "c": 200 + 0j, "d": 60j, "e": 100 + 60j, "f": 200 + 60j,
              "fix": -80 + 100j, "rear_axle": 150 + 90j}  # fmt: skip
    made = mechanism(
        points,
        {"frame": ["a", "b", "c", "fix"], "one": ["a", "d"], "two": ["b", "e"], "three": ["c", "f"],
         "bar": ["d", "e", "f"]},
        "bar",
        ("fix", "e"),
    )  # fmt: skip
    assert reassembled(made, {}, made.length - 5).misfit < 1e-9
    assert reassembled(made, {("f", "three"): 200 + 62j}, made.length).misfit > 0.5


def test_rows_with_holes_are_those_of_points_drawn_there() -> None:
    """Where every body on a point has the same other hole, it is just another drawing."""
    made = four_link()
    moved = {**made.drawn, "q": Q + 3 + 1j}
    holes = {("q", body): moved["q"] for body in ("stay", "rocker")}
    a, b = assemble(made.structure, made.drawn, holes), assemble(made.structure, moved)
    for one, other in ((a.closures, b.closures), (a.shock, b.shock), (a.carried, b.carried)):
        assert np.abs(one.arms - other.arms).max(initial=0) < 1e-12
        assert np.abs(one.fixed - other.fixed).max(initial=0) < 1e-12
