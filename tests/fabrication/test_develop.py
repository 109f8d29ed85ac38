"""Unrolling: nothing on the outside becomes longer or shorter. Closed forms are in tests/reference."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ellipe

from frame3d.fabrication.develop import Development
from frame3d.geometry.ellipse import girth
from frame3d.geometry.section import Section

LOW, HIGH = 10.0, 130.0


def made(start: tuple[float, float], end: tuple[float, float], centre: float) -> Development:
    ends = zip(start, end, strict=True)
    height, width = ends
    return Development(Section((0.0, 140.0), height, width, (1.0, 1.0)), LOW, HIGH, centre)


def length(points: np.ndarray) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


@settings(max_examples=15, deadline=None)
@given(
    st.sampled_from([((30.0, 30.0), (30.0, 30.0)), ((30.0, 17.0), (30.0, 17.0)),
                     ((62.0, 62.0), (44.0, 44.0)), ((14.0, 14.0), (24.0, 24.0)),
                     ((30.0, 15.0), (24.0, 12.0))]),
    st.floats(-180, 180), st.floats(-170, 170), st.floats(-170, 170), st.floats(LOW, HIGH), st.floats(LOW, HIGH),
)  # fmt: skip
def test_any_line_on_the_outside_keeps_its_length(
    sizes: tuple[tuple[float, float], tuple[float, float]],
    centre: float, t0: float, t1: float, s0: float, s1: float,
) -> None:  # fmt: skip
    """Of cylinders, cones and ovals that keep their shape: between two points, straight in turn and s."""
    (h0, w0), (h1, w1) = sizes
    flat = made(sizes[0], sizes[1], centre)
    share = np.linspace(0.0, 1.0, 1000)
    turn, s = t0 + share * (t1 - t0), s0 + share * (s1 - s0)
    phi = np.radians(centre - turn)
    a, b = (x0 / 2 + (x1 - x0) / 2 * s / 140 for x0, x1 in ((h0, h1), (w0, w1)))
    space = np.column_stack([a * np.cos(phi), b * np.sin(phi), s])
    assert length(flat.at(turn, s)) == pytest.approx(length(space), rel=1e-4, abs=1e-3)
    assert flat.right_of_centre(np.degrees(phi)) == pytest.approx(turn)


@pytest.mark.parametrize("sizes", [((30.0, 17.0), (30.0, 17.0)), ((60.0, 60.0), (40.0, 40.0))])
def test_the_centre_line_stands_upright_in_the_middle(
    sizes: tuple[tuple[float, float], tuple[float, float]],
) -> None:
    flat = made(*sizes, 35.0)
    middle = flat.at(np.zeros(2), np.array([LOW, HIGH]))
    assert middle[:, 0] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert middle[0, 1] == pytest.approx(LOW)
    seams = flat.at(np.array([-180.0, 180.0]), np.array([LOW, LOW]))
    assert seams[1, 0] > 0
    if sizes[0] == sizes[1]:
        around = girth(*sizes[0])
        assert np.ptp(seams[:, 0]) == pytest.approx(around, abs=1e-4)
        assert flat.width == pytest.approx(around, abs=1e-4)


def test_an_oval_that_becomes_round_keeps_its_rims() -> None:
    """A surface that cannot be unrolled exactly: its rims keep their lengths to 1e-4."""
    flat = made((30.0, 17.0), (16.0, 16.0), 0.0)
    turn = np.linspace(-180.0, 180.0, 1441)
    for s, share in ((LOW, 10 / 140), (HIGH, 130 / 140)):
        h, w = 30 + share * (16 - 30), 17 + share * (16 - 17)
        rim = length(flat.at(turn, np.full(1441, s)))
        assert rim == pytest.approx(girth(h, w), rel=1e-4)


@given(st.floats(5.0, 80.0), st.floats(5.0, 80.0))
def test_girth_is_the_circumference_of_an_ellipse(height: float, width: float) -> None:
    """4 a E(1 − b²/a²) (Abramowitz and Stegun 17.3.3); the same whichever way it lies."""
    a, b = max(height, width) / 2, min(height, width) / 2
    assert girth(height, width) == pytest.approx(4 * a * ellipe(1 - (b / a) ** 2), rel=1e-12)
    assert girth(height, width) == pytest.approx(girth(width, height), rel=1e-12)
