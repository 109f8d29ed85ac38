"""Many small systems at once, against numpy's solver one by one."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage.linear import eliminate, inverse, times


@pytest.mark.parametrize("n", [1, 2, 3, 4, 5, 7])
def test_inverses_against_numpy(n: int) -> None:
    rng = np.random.default_rng(n)
    matrix, right = rng.normal(size=(n, n, 50)), rng.normal(size=(n, 50))
    if n > 1:
        matrix[0, 0, :10] = 0  # asks for pivoting
    inverted, determinant = inverse(matrix)
    found = times(inverted, right)
    for i in range(50):
        assert inverted[:, :, i] == pytest.approx(
            np.linalg.inv(matrix[:, :, i]), rel=1e-7, abs=1e-9
        )
        assert found[:, i] == pytest.approx(
            np.linalg.solve(matrix[:, :, i], right[:, i]), rel=1e-7, abs=1e-9
        )
        assert determinant[i] == pytest.approx(np.linalg.det(matrix[:, :, i]), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("n", [1, 2, 3, 5])
def test_elimination_against_numpy(n: int) -> None:
    rng = np.random.default_rng(n)
    matrix, right = rng.normal(size=(n, n, 50)), rng.normal(size=(n, 2, 50))
    found, _ = eliminate(matrix, right)
    for i in range(50):
        assert found[:, :, i] == pytest.approx(
            np.linalg.solve(matrix[:, :, i], right[:, :, i]), rel=1e-7, abs=1e-9
        )


@pytest.mark.parametrize("n", [1, 2, 3, 5])
def test_a_singular_matrix_spoils_no_other(n: int) -> None:
    matrix = np.eye(n)[:, :, None] * np.array([1.0, 0.0, 2.0])
    found, determinant = inverse(matrix)
    assert not np.isfinite(found[:, :, 1]).all()
    assert found[:, :, 0] == pytest.approx(np.eye(n))
    assert found[:, :, 2] == pytest.approx(0.5 * np.eye(n))
    assert not determinant[1] > 0
