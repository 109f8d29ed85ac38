"""Many small linear systems at once, by elimination over arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def solve(matrix: Array, right: Array) -> tuple[Array, Array]:
    """Gauss-Jordan elimination with row pivoting, the same steps for all systems.

    numpy's own solver takes one system after another; for systems of one to six rows, going over all
    of them at each step is several times faster.

    Args:
        matrix: (n, n, k) float, k systems.
        right: (n, m, k) float.

    Returns:
        (n, m, k) float, infinite or NaN where a system is singular; and the determinants, (k,) float.
    """
    n = len(matrix)
    work = np.concatenate((matrix, right), axis=1)
    determinant = np.ones(matrix.shape[2])
    systems = np.arange(matrix.shape[2])
    with np.errstate(all="ignore"):
        for c in range(n):
            if c < n - 1:
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
