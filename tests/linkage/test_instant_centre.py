"""Instant centres: where the poles of a four-bar are by construction, and at infinity."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings

from frame3d.linkage.curves.instant_centre import instant_centre
from tests.linkage.bikes import followed, four_bar, mechanism
from tests.linkage.test_motion import four_bars, solvable


def meeting(a: complex, b: complex, c: complex, d: complex) -> complex:
    """Where the lines a-b and c-d meet, by Cramer's rule."""
    u, v, w = b - a, d - c, c - a
    return a + u * (w * v.conjugate()).imag / (u * v.conjugate()).imag


@settings(max_examples=25, deadline=None)
@given(four_bars)
def test_the_coupler_turns_about_where_both_cranks_meet(points: tuple[complex, ...]) -> None:
    """Kennedy's theorem (any textbook on kinematics)."""
    made, motion = solvable(points)
    centre = instant_centre(motion, "coupler") @ (1, 1j)
    o4 = points[2]
    a = motion.body_point("crank", points[0]).at
    b = motion.body_point("rocker", points[1]).at
    near = np.abs(motion.turn_rate("coupler")) > 1e-5
    assume(near.any())
    for k in np.flatnonzero(near)[::20]:
        sine = abs((a[k] * (b[k] - o4).conjugate()).imag) / abs(a[k]) / abs(b[k] - o4)
        if sine > 1e-3:  # cranks nearly parallel meet too far away to be told well
            wanted = meeting(0j, a[k], o4, b[k])
            assert centre[k] == pytest.approx(wanted, rel=1e-6, abs=1e-6)
    assert made.structure.axle == "coupler"


def test_a_link_on_the_frame_turns_about_its_pivot() -> None:
    motion = followed(four_bar(-30 + 90j, 120 + 110j, 100 + 10j, 50 + 150j, 110 + 160j), 15, 5)
    assert instant_centre(motion, "crank") == pytest.approx(np.zeros((5, 2)), abs=1e-9)
    assert instant_centre(motion, "rocker") == pytest.approx(np.tile((100, 10), (5, 1)), abs=1e-9)


def test_what_does_not_turn_has_its_centre_at_infinity() -> None:
    """The coupler of a parallelogram of upright cranks moves forward or back at first: the centre is
    straight above or below.
    """
    made = mechanism(
        {
            "o2": 0j,
            "a": 60j,
            "b": 100 + 60j,
            "o4": 100 + 0j,
            "rear_axle": 50 + 60j,
            "fix": 300 + 60j,
        },
        {"frame": ["o2", "o4", "fix"], "one": ["o2", "a"], "two": ["o4", "b"], "c": ["a", "b"]},
        "c",
        ("fix", "b"),
    )
    centre = instant_centre(followed(made, 10, 3), "c")
    assert np.isinf(centre[:, 1]).all()
    assert np.isinf(centre[1:, 0]).all()
    assert not np.isfinite(centre[0, 0])
    frame = instant_centre(followed(made, 10, 3), "frame")
    assert np.isnan(frame).all()  # the frame does not move at all
