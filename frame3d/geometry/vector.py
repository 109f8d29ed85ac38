"""Points and small vector helpers."""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Point: TypeAlias = tuple[float, float, float]
"""x forward, y left, z up, from the bottom bracket centre [mm]."""
Vector: TypeAlias = NDArray[np.float64]
"""(3,) float"""


def vector(point: Point) -> Vector:
    """Return a point as an array: (3,) float."""
    return np.array(point, dtype=np.float64)


def point(v: Vector) -> Point:
    """Return an array as a point; negative zeros become zeros."""
    x, y, z = v.tolist()
    return (x + 0.0, y + 0.0, z + 0.0)


def apart(a: Point, b: Point) -> float:
    """Return the distance between two points [mm]."""
    d = vector(b) - vector(a)
    return math.sqrt(d @ d)


def unit(v: Vector) -> Vector:
    """Return the unit vector in the direction of `v`.

    Raises:
        ValueError: `v` has no length.
    """
    length = math.sqrt(v @ v)
    if length < 1e-12:
        raise ValueError("a vector of no length has no direction")
    return v / length


def cross(a: Vector, b: Vector) -> Vector:
    """Return the cross product over the last axis: (..., 3), (..., 3) -> (..., 3) float."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    x = ay * bz - az * by
    out = np.empty((*x.shape, 3))
    out[..., 0], out[..., 1], out[..., 2] = x, az * bx - ax * bz, ax * by - ay * bx
    return out


def angle_between(a: Vector, b: Vector) -> float:
    """Return the angle between two vectors of any length, accurate near 0 and 180 too [degrees]."""
    return float(np.degrees(np.arctan2(np.linalg.norm(cross(a, b)), a @ b)))


def pitched(p: Point, angle: float) -> Point:
    """Return `p` turned about the lateral axis through the bottom bracket, nose up [degrees]."""
    x, z = pitched_side((p[0], p[2]), angle)
    return (x, p[1], z)


def pitched_side(p: tuple[float, float], angle: float) -> tuple[float, float]:
    """Return a point (x, z) of the side view, turned as by `pitched`."""
    turn = np.radians(angle)
    c, s = float(np.cos(turn)), float(np.sin(turn))
    return (c * p[0] - s * p[1] + 0.0, s * p[0] + c * p[1] + 0.0)


def mirrored(p: Point) -> Point:
    """Return the mirror image of `p` in the centre plane."""
    return (p[0], -p[1] + 0.0, p[2])
