"""A linkage's equations: rows that move rigidly, derivatives against differences, a bounded determinant."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.geometry.arrays import Complex
from frame3d.linkage.mechanism import assemble
from tests.linkage.bikes import followed, four_bar, mechanism
from tests.linkage.test_motion import bases, four_bars

angles = st.lists(st.floats(-3, 3), min_size=3, max_size=3)
STEP = 1e-6


def posed(turns: list[float]) -> Complex:
    return np.exp(1j * np.array(turns))


@settings(max_examples=20, deadline=None)
@given(four_bars, angles)
def test_jacobians_are_the_derivatives(points: tuple[complex, ...], turns: list[float]) -> None:
    """Central differences of the closure's gap and of the shock's length, in poses that close or not."""
    made = four_bar(*points)
    pose = posed(turns)
    for link in range(made.count):
        ways = [pose * np.exp(1j * d * np.eye(made.count)[link]) for d in (-STEP, STEP)]
        gaps = [made.closures.at(way[:, None])[:, 0] for way in ways]
        gap = (gaps[1] - gaps[0]) / (2 * STEP)
        stated = made.constraints(pose)[:, link]
        assert stated == pytest.approx(np.concatenate((gap.real, gap.imag)), abs=1e-5)
        lengths = [abs(made.shock.at(way[:, None])[0, 0]) for way in ways]
        if min(lengths) > 1:
            longer = (lengths[1] - lengths[0]) / (2 * STEP)
            assert made.shock_row(pose)[link] == pytest.approx(longer, abs=1e-5)


@settings(max_examples=20, deadline=None)
@given(four_bars, angles)
def test_points_of_a_body_keep_their_distances(
    points: tuple[complex, ...], turns: list[float]
) -> None:
    """Any point of a body turns by the body's angle; a point of the frame stays."""
    made = four_bar(*points)
    pose = posed(turns)[:, None]
    for i, link in enumerate(made.structure.links):
        at, ahead = (made.on(link, p).at(pose)[0, 0] for p in (3 + 4j, 10 + 4j))
        assert ahead - at == pytest.approx(7 * pose[i, 0], abs=1e-9)
    assert made.on("frame", 3 + 4j).at(pose)[0, 0] == 3 + 4j
    a = points[0]
    assert abs(made.on("crank", a).at(pose)[0, 0]) == pytest.approx(abs(a))
    joined = made.on("coupler", a).at(pose)[0, 0]
    assert joined == pytest.approx(made.on("crank", a).at(pose)[0, 0], abs=1e-9)


@settings(max_examples=25, deadline=None)
@given(four_bars, four_bars, st.floats(-2, 2))
def test_rows_are_linear_in_the_drawn_points(
    one: tuple[complex, ...], other: tuple[complex, ...], share: float
) -> None:
    """So that the rows of derivatives are the derivatives of the rows."""
    a, b = four_bar(*one), four_bar(*other)
    mixed = {name: a.drawn[name] + share * b.drawn[name] for name in a.drawn}
    rows = assemble(a.structure, mixed)
    for part in ("carried", "closures", "shock", "axle"):
        mine, first, second = (getattr(x, part) for x in (rows, a, b))
        assert mine.fixed == pytest.approx(first.fixed + share * second.fixed, abs=1e-9)
        assert mine.arms == pytest.approx(first.arms + share * second.arms, abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(four_bars, angles)
def test_the_scale_bounds_the_determinant(points: tuple[complex, ...], turns: list[float]) -> None:
    made = four_bar(*points)
    pose = posed(turns)
    jacobian = np.vstack((made.constraints(pose)[made.used], made.shock_row(pose)))
    assert abs(np.linalg.det(jacobian)) <= made.scale * (1 + 1e-9)


def test_the_determinant_is_that_of_all_equations() -> None:
    """The product over the blocks, against numpy's on the whole, but for the order of rows."""
    made = four_bar(*bases)
    motion = followed(made, 20, 5)
    found = made.turns(made.length - motion.stroke, motion.track.turned)
    for k in range(5):
        pose = motion.track.turned[:, k]
        jacobian = np.vstack((made.constraints(pose)[made.used], made.shock_row(pose)))
        wanted = abs(np.linalg.det(jacobian))
        assert abs(found.determinant[k]) == pytest.approx(wanted, rel=1e-9)
    assert made.met(found, 1e-10).all()


def test_the_misfit_is_how_far_a_pivot_has_come_apart() -> None:
    """A crank of 150 mm turned by 10 degrees alone: its pivot leaves the coupler by the chord."""
    made = mechanism(
        {"o2": 0j, "a": 150j, "b": 200 + 150j, "o4": 200 + 0j, "rear_axle": -400 + 0j,
         "fix": 40 + 300j, "end": 200 + 90j},
        {"frame": ["o2", "o4", "fix"], "rocker": ["o4", "b", "end"], "crank": ["o2", "a"],
         "coupler": ["b", "a"]},
        "crank",
        ("fix", "end"),
    )  # fmt: skip
    assert made.length == pytest.approx(np.hypot(160, 210))
    drawn = np.ones((3, 1), dtype=complex)
    assert made.misfit(drawn, np.array([made.length]))[0] == pytest.approx(0, abs=1e-12)
    assert made.misfit(drawn, np.array([made.length - 7]))[0] == pytest.approx(7)
    crank = made.structure.links.index("crank")
    turned = drawn.copy()
    turned[crank] = np.exp(1j * np.radians(10))
    moved = 2 * 150 * np.sin(np.radians(5))  # the coupler hangs on the crank and leaves the rocker
    assert made.misfit(turned, np.array([made.length]))[0] == pytest.approx(moved)


def test_equations_that_follow_from_others_are_left_out() -> None:
    """A third crank parallel to two others: 4 links, 6 closure equations, of which 3 suffice."""
    made = mechanism(
        {"o2": 0j, "a": 60j, "b": 100 + 60j, "o4": 100 + 0j, "c": 50 + 60j, "o6": 50 + 0j,
         "rear_axle": -300 + 0j, "fix": 0 + 200j},
        {"frame": ["o2", "o4", "o6", "fix"], "one": ["o2", "a"], "two": ["o4", "b"],
         "three": ["o6", "c"], "coupler": ["a", "b", "c"]},
        "one",
        ("fix", "b"),
    )  # fmt: skip
    assert made.structure.count == 0
    assert len(made.closures.fixed) == 2
    assert len(made.used) == 3
    whole = made.constraints(np.ones(4, dtype=complex))
    assert np.linalg.matrix_rank(whole) == np.linalg.matrix_rank(whole[made.used]) == 3
    motion = followed(made, 8, 11)
    assert made.misfit(motion.track.turned, made.length - motion.stroke).max() < 1e-8
    for other in ("two", "three"):
        assert motion.turn(other) == pytest.approx(motion.turn("one"), abs=1e-8)
