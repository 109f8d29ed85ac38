"""Tables of a link's motion: as fine as they need to be, and smooth between their rows."""

from __future__ import annotations

import numpy as np

from frame3d.bodies.motion.swing import tabled

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
