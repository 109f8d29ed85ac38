"""Circumferences of ellipses."""

from __future__ import annotations

import math

import pytest

from frame3d.geometry.ellipse import girth, other_size


def test_circle_and_flat_ellipse() -> None:
    assert girth(20, 20) == pytest.approx(20 * math.pi, rel=1e-15)
    assert girth(20, 1e-9) == pytest.approx(40, rel=1e-6)


def test_against_the_complete_elliptic_integral() -> None:
    """4 a E(e²), e² = 1 − b²/a²; E by `scipy.special.ellipe`."""
    from scipy.special import ellipe

    for a, b in ((15.0, 8.5), (20.0, 6.0)):
        assert girth(2 * a, 2 * b) == pytest.approx(4 * a * ellipe(1 - (b / a) ** 2), rel=1e-12)


def test_other_size_keeps_the_circumference() -> None:
    assert other_size(20.0, girth(20.0, 33.0)) == pytest.approx(33.0, abs=1e-8)
    assert other_size(20.0, 40.0) == 0.0
