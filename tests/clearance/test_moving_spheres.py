"""Spheres on a grid of the motions, against numpy over all of them."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.clearance.certify.moving_spheres import closest, longest


def test_longest_steps_and_least_distances() -> None:
    random = np.random.default_rng(1)
    middles = random.normal(size=(3, 4, 5, 7, 3))
    steps = np.full(7, 0.5)
    longest(middles, steps)
    plain = np.linalg.norm(np.diff(middles, axis=1), axis=-1).max(axis=(0, 1, 2))
    assert steps == pytest.approx(0.5 + plain, rel=1e-15)
    others, least = random.normal(size=(6, 4)), np.empty((7, 6))
    closest(middles.reshape(60, 7, 3), others, least)
    apart = middles.reshape(60, 7, 1, 3) - others[:, :3]
    assert least == pytest.approx(np.linalg.norm(apart, axis=-1).min(axis=0), rel=1e-15)


def test_what_stands_still_has_no_steps() -> None:
    steps = np.zeros(2)
    longest(np.ones((1, 1, 1, 2, 3)), steps)
    assert not steps.any()
