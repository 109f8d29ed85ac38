"""Distinct rows, against numpy's own."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.geometry.distinct import distinct_rows


@pytest.mark.parametrize("seed", range(20))
def test_the_same_as_numpy_finds(seed: int) -> None:
    random = np.random.default_rng(seed)
    shape = int(random.integers(1, 200)), int(random.integers(1, 5))
    rows = (
        random.integers(-2, 3, shape) / 2 * random.choice([1.0, -1.0], shape)
    )  # zeros of both signs
    first, index = distinct_rows(rows)
    _, wanted, places = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    assert first.tolist() == wanted.tolist()
    assert index.tolist() == places.reshape(-1).tolist()
    assert (rows[first][index] == rows).all()
