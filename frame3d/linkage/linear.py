"""Invert many small matrices at once, vectorised over the last axis.

numpy's own routine takes one matrix after another. Matrices of one to three rows, which most blocks of a
suspension have, are inverted by cofactors, several times faster; larger ones by Gauss-Jordan
elimination.
"""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array


def inverse(matrix: Array) -> tuple[Array, Array]:
    """Return inverses and determinants of k matrices.

    Args:
        matrix: (n, n, k) float.

    Returns:
        (n, n, k) float, infinite or NaN where a matrix is singular; and the determinants, (k,) float.
    """
    with np.errstate(all="ignore"):
        if len(matrix) == 1:
            return 1 / matrix, matrix[0, 0]
        if len(matrix) == 2:
            return _two(matrix)
        if len(matrix) == 3:
            return _three(matrix)
        right = np.broadcast_to(np.eye(len(matrix))[:, :, None], matrix.shape)
        return eliminate(matrix, right)


def times(matrix: Array, right: Array) -> Array:
    """Return the products of k matrices (n, m, k) with k vectors (m, k): (n, k)."""
    out: Array = (matrix * right).sum(axis=1)
    return out


def _two(matrix: Array) -> tuple[Array, Array]:
    (a, b), (c, d) = matrix
    determinant = a * d - b * c
    out = np.empty_like(matrix)
    out[0, 0], out[0, 1], out[1, 0], out[1, 1] = d, -b, -c, a
    out /= determinant
    return out, determinant


def _three(matrix: Array) -> tuple[Array, Array]:
    """Invert 3×3 matrices: the inverse's columns are cross products of the rows over the determinant."""
    one, two, three = matrix
    cofactors = np.stack((_cross(two, three), _cross(three, one), _cross(one, two)), axis=1)
    determinant: Array = (one * cofactors[:, 0]).sum(axis=0)
    return cofactors / determinant, determinant


def _cross(a: Array, b: Array) -> Array:
    """Return the cross products: (3, k), (3, k) -> (3, k)."""
    return np.stack(
        (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
    )


def eliminate(matrix: Array, right: Array) -> tuple[Array, Array]:
    """Solve k linear systems by Gauss-Jordan elimination with partial pivoting.

    Args:
        matrix: (n, n, k) float.
        right: right-hand sides, (n, m, k) float.

    Returns:
        solutions, (n, m, k); and determinants, (k,).
    """
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
