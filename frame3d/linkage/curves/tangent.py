"""The common line of two circles on one side of them: ground under wheels, chain over teeth."""

from __future__ import annotations

import numpy as np

from frame3d.linkage.linear import Array
from frame3d.linkage.rows import Complex


def tangent(away: Complex, rise: float | Array) -> tuple[Array, Array, Array]:
    """The line that touches two circles, from the first to the second.

    With the unit vector t along it and its normal n = i·t, n·away = `rise`: how much further from the
    line, on the side of n, the second centre lies. In the right triangle of `away`, `rise` and the
    length √(|away|² - rise²), t = away·(length - i·rise) / |away|².

    Args:
        away: from the first centre to the second, (k,) complex [mm].
        rise: [mm]; an array broadcasts with `away`.

    Returns:
        x and z of t, and the length between the points of contact [mm], all of the shape that `away`
        and `rise` broadcast to.
    """
    square = away.real**2 + away.imag**2
    length = np.sqrt(square - np.square(rise))
    x, z = away.real / square, away.imag / square
    return length * x + rise * z, length * z - rise * x, length
