"""Many small linear systems at once, by the same steps over arrays.

numpy's own solver takes one system after another. One to three rows, which is what most suspensions have
(one a moving link), go by cofactors, several times faster; more rows by elimination with pivoting.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def solve(matrix: Array, right: Array) -> tuple[Array, Array]:
    """Solutions and determinants of k systems.

    Args:
        matrix: (n, n, k) float.
        right: (n, m, k) float.

    Returns:
        (n, m, k) float, infinite or NaN where a system is singular; and the determinants, (k,) float.
    """
    with np.errstate(all="ignore"):
        if len(matrix) == 1:
            return right / matrix[0, 0], matrix[0, 0]
        if len(matrix) == 2:
            return _two(matrix, right)
        if len(matrix) == 3:
            return _three(matrix, right)
        return eliminate(matrix, right)


def _two(matrix: Array, right: Array) -> tuple[Array, Array]:
    (a, b), (c, d) = matrix
    determinant = a * d - b * c
    first = (d * right[0] - b * right[1]) / determinant
    second = (a * right[1] - c * right[0]) / determinant
    return np.stack((first, second)), determinant


def _three(matrix: Array, right: Array) -> tuple[Array, Array]:
    """Columns of the inverse are cross products of the rows, over the determinant."""
    one, two, three = matrix
    cofactors = (_cross(two, three), _cross(three, one), _cross(one, two))
    determinant: Array = (one * cofactors[0]).sum(axis=0)
    total = cofactors[0][:, None] * right[0]
    total += cofactors[1][:, None] * right[1]
    total += cofactors[2][:, None] * right[2]
    return total / determinant, determinant


def _cross(a: Array, b: Array) -> Array:
    """(3, k), (3, k) -> (3, k)."""
    return np.stack(
        (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
    )


def eliminate(matrix: Array, right: Array) -> tuple[Array, Array]:
    """`solve` by Gauss-Jordan elimination, each system with its own row pivoting."""
    n = len(matrix)
    work = np.concatenate((matrix, right), axis=1)
    determinant = np.ones(matrix.shape[2])
    systems = np.arange(matrix.shape[2])
    with np.errstate(all="ignore"):
        for c in range(n):
            best = np.abs(work[c:, c]).argmax(axis=0)
            if best.any():
                rows = work[c + best, :, systems].copy()
                work[c + best, :, systems] = work[c].T
                work[c] = rows.T
                determinant[best > 0] *= -1
            pivot = work[c, c].copy()
            determinant *= pivot
            work[c, c:] /= pivot
            factor = work[:, c].copy()
            factor[c] = 0
            work[:, c:] -= factor[:, None] * work[c, c:]
    return work[:, n:], determinant
