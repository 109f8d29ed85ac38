"""Many small systems at once, against numpy's solver one by one."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage.linear import eliminate, solve


@pytest.mark.parametrize("n", [1, 2, 3, 4, 5, 7])
@pytest.mark.parametrize("way", [solve, eliminate])
def test_against_numpy(n: int, way: object) -> None:
    rng = np.random.default_rng(n)
    matrix, right = rng.normal(size=(n, n, 50)), rng.normal(size=(n, 2, 50))
    if n > 1:
        matrix[0, 0, :10] = 0  # asks for pivoting
    found, determinant = way(matrix, right)  # type: ignore[operator]
    for i in range(50):
        assert found[:, :, i] == pytest.approx(
            np.linalg.solve(matrix[:, :, i], right[:, :, i]), rel=1e-7, abs=1e-9
        )
        assert determinant[i] == pytest.approx(np.linalg.det(matrix[:, :, i]), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("n", [1, 2, 3, 5])
def test_a_singular_system_spoils_no_other(n: int) -> None:
    matrix, right = np.eye(n)[:, :, None] * np.array([1.0, 0.0, 2.0]), np.ones((n, 1, 3))
    found, determinant = solve(matrix, right)
    assert not np.isfinite(found[:, 0, 1]).any()
    assert found[:, 0, 0] == pytest.approx(1)
    assert found[:, 0, 2] == pytest.approx(0.5)
    assert not determinant[1] > 0
