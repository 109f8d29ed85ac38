"""Natural frequencies and modes of a few masses on springs, and of the quarter car."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array


@dataclass(frozen=True, eq=False)
class Modes:
    """Undamped natural modes of M·x'' + K·x = 0, lowest first."""

    rad_s: Array
    """Angular frequencies, (n,) [rad/s]."""
    shapes: Array
    """Column i is the shape of mode i, (n, n)."""


def natural_modes(mass: Array, stiffness: Array) -> Modes:
    """Return the modes of symmetric matrices, both (n, n) in SI units; `mass` is positive definite.

    With M = L·Lᵀ the eigenvalues of L⁻¹·K·L⁻ᵀ are the squares of the frequencies (any textbook on
    vibration).
    """
    inverse = np.linalg.inv(np.linalg.cholesky(mass))
    squares, vectors = np.linalg.eigh(inverse @ stiffness @ inverse.T)
    return Modes(np.sqrt(np.maximum(squares, 0.0)), inverse.T @ vectors)


@dataclass(frozen=True, slots=True)
class QuarterCar:
    """A sprung mass on its spring on an unsprung mass on its tyre: the two natural frequencies."""

    body_hz: float
    """Of the body bouncing on spring and tyre in series, nearly [Hz]."""
    wheel_hop_hz: float
    """Of the wheel hopping between spring and tyre [Hz]."""


def quarter_car(
    sprung_kg: float, unsprung_kg: float, wheel_rate: float, tyre_rate: float
) -> QuarterCar:
    """Return the frequencies of a quarter car with rates in N/mm."""
    body, wheel = quarter_car_modes(sprung_kg, unsprung_kg, wheel_rate, tyre_rate).rad_s / (
        2.0 * np.pi
    )
    return QuarterCar(float(body), float(wheel))


def quarter_car_modes(
    sprung_kg: float, unsprung_kg: float, wheel_rate: float, tyre_rate: float
) -> Modes:
    """Return the modes of a quarter car, (body, wheel) in each shape; rates in N/mm."""
    k, t = 1000.0 * wheel_rate, 1000.0 * tyre_rate
    return natural_modes(np.diag([sprung_kg, unsprung_kg]), np.array([[k, -k], [-k, k + t]]))
