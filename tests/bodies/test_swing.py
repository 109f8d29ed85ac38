"""Tables of a link's motion: as fine as they need to be, and smooth between their rows."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.swing import AGREES, tabled
from frame3d.geometry.arrays import Array

TRAVEL = 150.0


def rows(pivot: complex, arm: float, rise: float):
    """A made-up link: about a pivot that itself rises."""

    def at(t: np.ndarray) -> np.ndarray:
        turn = -0.9 * np.arcsin(t / arm) - 5e-4 * t
        rate = -0.9 / np.sqrt(arm**2 - t**2) - 5e-4
        c = pivot - np.exp(1j * turn) * pivot + 1j * rise * t**2
        dc = -1j * rate * np.exp(1j * turn) * pivot + 2j * rise * t
        return np.stack(
            (c.real, c.imag, np.degrees(turn), dc.real, dc.imag, np.degrees(rate)), axis=1
        )

    return at


def test_a_table_is_as_fine_as_it_needs_to_be() -> None:
    exact = rows(complex(10, 60), 430.0, 7e-4)
    swing = tabled(TRAVEL, exact)
    t = np.random.default_rng(0).uniform(0, TRAVEL, 500)
    off = np.abs(swing.over(t) - exact(t))
    assert off[:, :2].max() < 1e-6
    assert off[:, 2].max() < np.degrees(1e-9)
    assert off[:, 3:].max() < 1e-5  # slopes, less well


def test_a_table_that_starts_elsewhere_is_the_same_motion() -> None:
    """A circle's shift by its angle, -90 to 60 degrees, against its closed form."""

    def rows(angles: Array) -> Array:
        turn, rate = np.radians(angles), np.radians(1.0)
        x, z, still = 6 * np.cos(turn), 6 * np.sin(turn), np.zeros_like(turn)
        return np.stack((x, z, still, -rate * z, rate * x, still), axis=1)

    swing = tabled(150.0, rows, -90.0)
    at = np.linspace(-90.0, 60.0, 613)
    assert swing.over(at) == pytest.approx(rows(at), abs=1e-5)
    assert swing.over(at)[:, :3] == pytest.approx(rows(at)[:, :3], abs=AGREES)
