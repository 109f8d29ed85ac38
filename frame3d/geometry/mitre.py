"""Mitre: the edge along which a tube's end is cut to fit the outside of what it meets."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def mitre_curve(r: float, R: float, angle: float, offset: float, phi: Array) -> Array:
    """Cut edge of a round branch on a round, straight main tube.

    The branch (radius `r`) runs along z, away from the junction. The main tube's axis (radius `R`)
    passes through (0, offset, 0) in the direction (sin angle, 0, cos angle); `phi` turns from x
    (the side to which the main axis leans) to y. The point of the branch's surface at `phi` and
    height z is (r cos phi, r sin phi, z); its distance to the main axis is R where ::

        (r sin phi - offset)² + (r cos phi cos angle - z sin angle)² = R²

    whose far root is the edge: ``z = (r cos phi cos angle + √(R² - (r sin phi - offset)²)) / sin
    angle``. For the bore's edge give the inner radius as `r`.

    Args:
        r: radius of the branch [mm].
        R: radius of the main tube [mm].
        angle: between the axes, see above [degrees], over 0 and under 180.
        offset: by which the axes pass each other [mm], signed.
        phi: around the branch, any shape [degrees].

    Returns:
        z, shaped as `phi` [mm]; nan where the branch's generator passes the main tube by (it meets
        it everywhere if and only if r + |offset| ≤ R).
    """
    theta, turn = np.radians(angle), np.radians(np.asarray(phi, dtype=np.float64))
    under = R * R - (r * np.sin(turn) - offset) ** 2
    root = np.sqrt(np.where(under >= 0, under, np.nan))
    return np.asarray((r * np.cos(turn) * np.cos(theta) + root) / np.sin(theta))
