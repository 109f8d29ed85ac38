"""Force over shaft speed: hand-worked points of both slopes, and the inverse."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.ride.damping.damper import DampingLaw, linear

DIGRESSIVE = DampingLaw(4000.0, 1000.0, 0.2)


def test_two_slopes() -> None:
    """By hand: 4000 x 0.1 = 400 N; the knee at 800 N; 800 + 1000 x 0.5 = 1300 N."""
    force = DIGRESSIVE.force(np.array([0.0, 0.1, 0.2, 0.7]))
    assert force == pytest.approx([0.0, 400.0, 800.0, 1300.0])


def test_one_slope() -> None:
    law = linear(3000.0).rebound
    assert law.force(np.array([0.5, 5.0])) == pytest.approx([1500.0, 15000.0])
    assert linear(3000.0).compression == law


@pytest.mark.parametrize("law", [DIGRESSIVE, DampingLaw(3000.0), DampingLaw(500.0, 4000.0, 0.3)])
def test_inverse(law: DampingLaw) -> None:
    """Whether the slope falls or rises beyond the knee."""
    speed = np.linspace(0.0, 2.0, 41)
    assert law.speed(law.force(speed)) == pytest.approx(speed, abs=1e-12)


def test_no_slope() -> None:
    """Without damping, and beyond a knee from which the force does not grow, no speed gives the force."""
    assert list(DampingLaw(0.0).speed(np.array([10.0]))) == [np.inf]
    flat = DampingLaw(4000.0, 0.0, 0.2)
    assert list(flat.speed(np.array([400.0, 801.0]))) == [pytest.approx(0.1), np.inf]
