"""Damping, frequency and tyre at the wheel, in closed form.

With the leverage ratio LR = d(travel)/d(stroke) the damper acts on the wheel with c/LR². A mass m on the
wheel rate k has the natural frequency √(k/m)/2π and is critically damped by 2·√(k·m); the ratio of the
damping to that is ζ. A linear system let go overshoots by exp(-πζ/√(1-ζ²)) of its deflection. (All: any
textbook on vibration.)
"""

from __future__ import annotations

from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array

QUICK: Final = 0.05
"""Share of the deflection within which a body counts as back at rest."""


def damping_at_wheel(at_shaft: Array, leverage: Array) -> Array:
    """Return the damping at the wheel, (k,) [N s/m], from that at the shaft: c/LR²."""
    return at_shaft / leverage**2


def critical_damping(rate: Array, mass_kg: float) -> Array:
    """Return the critical damping at the wheel 2·√(k·m), (k,) [N s/m]; 0 where the rate is not positive.

    Args:
        rate: wheel rate, (k,) [N/mm].
        mass_kg: on the wheel.
    """
    return 2.0 * np.sqrt(np.maximum(rate, 0.0) * 1000.0 * mass_kg)


def natural_frequency(rate: Array, mass_kg: float) -> Array:
    """Return √(k/m)/2π, (k,) [Hz]; 0 where the rate is not positive.

    Args:
        rate: (k,) [N/mm].
        mass_kg: on it.
    """
    return np.sqrt(np.maximum(rate, 0.0) * 1000.0 / mass_kg) / (2.0 * np.pi)


def overshoot(ratio: float) -> float:
    """Return the overshoot of a linear system as a share of its deflection; 0 from ratio 1 on."""
    if ratio >= 1.0:
        return 0.0
    return float(np.exp(-np.pi * ratio / np.sqrt(1.0 - ratio**2)))


def ratio_of_overshoot(share: float) -> float:
    """Return the damping ratio at which a linear system overshoots by a share, between 0 and 1."""
    log = np.log(share)
    return float(-log / np.hypot(np.pi, log))


def tyre_rate(pressure: float, radius: float, section_radius: float) -> float:
    """Return the most that air alone makes of a tyre's radial rate [N/mm]: 2π·p·√(R·r).

    The plane ground cuts from an undented torus a patch of area 2π·y·√(R·r) at a dent y (its two radii
    of curvature are R and r), and the air presses on it. A real tyre gives way beside the patch as well,
    so it is softer; its casing adds little.

    Args:
        pressure: above the air outside [N/mm²].
        radius: of the wheel over the tyre [mm].
        section_radius: of the tyre's section [mm].
    """
    return float(2.0 * np.pi * pressure * np.sqrt(radius * section_radius))


def in_series(first: Array, second: float) -> Array:
    """Return the rate of two springs in series, (k,) [N/mm]."""
    return first * second / (first + second)
