"""The outer common tangent of two circles: ground under two wheels, chain over cog and chainring.

        n = i·t
        |        t ->
    ----*--------------------*----  tangent
        | R1                 | R2
        o-------- away ----->o      here n·away = R1 - R2

With both circles on the other side of the tangent, n·away = R2 - R1.
"""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array, Complex


def tangent(away: Complex, rise: float | Array) -> tuple[Array, Array, Array]:
    """Return the common tangent of two circles, from the first to the second.

    With t the unit vector along the tangent and n = i·t its normal, n·away = `rise`. In the right
    triangle of `away`, `rise` and the length √(|away|² - rise²): t = away·(length - i·rise) / |away|².

    Args:
        away: from the first centre to the second, (k,) complex [mm].
        rise: how much further than the first centre the second one lies on the side of n [mm]; an array
            broadcasts with `away`.

    Returns:
        x and z of t, and the length between the points of contact [mm], all of the shape to which `away`
        and `rise` broadcast.
    """
    square = away.real**2 + away.imag**2
    length = np.sqrt(square - np.square(rise))
    x, z = away.real / square, away.imag / square
    return length * x + rise * z, length * z - rise * x, length
