"""Pieces of cut metal against scipy's labels, joined around the tube."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.ndimage

from frame3d.geometry.arrays import Array, Mask
from frame3d.tubes.cuts.pieces import grown, loose


def labelled(metal: Mask, around: int) -> Array:
    """A number for each connected piece, 0 where there is no metal; the wrap is joined by hand."""
    labels, _ = scipy.ndimage.label(metal)
    first, last = np.take(labels, 0, around), np.take(labels, -1, around)
    joined = True
    while joined:
        joined = False
        first, last = np.take(labels, 0, around), np.take(labels, -1, around)
        for a, b in zip(first.ravel(), last.ravel(), strict=True):
            if a and b and a != b:
                labels[labels == b] = a
                joined = True
                break
    return np.asarray(labels)


@pytest.mark.parametrize("around", [0, 1, 2])
@pytest.mark.parametrize("seed", range(8))
def test_what_is_not_the_largest_piece_is_loose(seed: int, around: int) -> None:
    rng = np.random.default_rng(seed)
    metal = rng.random((3, 9, 12)) < rng.uniform(0.2, 0.6)
    size = rng.uniform(0.1, 3.0, metal.shape)
    labels = labelled(metal, around)
    kept = metal & ~loose(metal, size, around)
    held = {k: float(size[labels == k].sum()) for k in np.unique(labels[metal])}
    best = max(held, key=held.__getitem__)
    assert (kept == (labels == best)).all()


@pytest.mark.parametrize("seed", range(24))
def test_what_does_not_hang_on_whole_rings_is_loose_of_a_wall(seed: int) -> None:
    """Walls with most of their metal, of which some stretches are whole all around."""
    rng = np.random.default_rng(200 + seed)
    metal = rng.random((2, 14, 9)) < rng.choice([0.6, 0.8, 0.95])
    metal[:, rng.integers(0, 14, rng.integers(1, 4))] = True
    metal[:, 11] = seed % 4 < 2 and metal[:, 11]  # some are severed
    size = rng.uniform(0.1, 3.0, metal.shape)
    labels = labelled(metal, 2)
    held = {k: float(size[labels == k].sum()) for k in np.unique(labels[metal])}
    best = max(held, key=held.__getitem__)
    assert (loose(metal, size) == metal & (labels != best)).all()


@pytest.mark.parametrize("seed", range(6))
def test_grown_is_every_piece_with_a_seed(seed: int) -> None:
    rng = np.random.default_rng(100 + seed)
    metal = rng.random((10, 14)) < 0.5
    seeds = metal & (rng.random(metal.shape) < 0.06)
    labels = labelled(metal, 1)
    assert (grown(seeds, metal, 1) == np.isin(labels, labels[seeds]) & metal).all()


def test_cells_hang_together_by_faces_and_around_the_tube() -> None:
    corner = np.array([[1, 0, 0], [0, 1, 1], [0, 0, 0]], dtype=bool)
    one = np.ones(corner.shape)
    assert loose(corner, one, around=1).tolist() == [[True, False, False], [False] * 3, [False] * 3]
    ends = np.array([[1, 0, 1], [0, 0, 0]], dtype=bool)
    assert not loose(ends, np.ones(ends.shape), around=1).any()
    assert loose(ends, np.ones(ends.shape), around=0).sum() == 1


@pytest.mark.parametrize("whole", [True, False])
def test_nothing_is_loose_of_all_or_of_nothing(whole: bool) -> None:
    metal = np.full((2, 3, 4), whole)
    assert not loose(metal, np.ones(metal.shape)).any()


def test_the_larger_piece_counts_by_its_metal_and_not_by_its_cells() -> None:
    metal = np.array([[1, 1, 1, 0, 1, 0]], dtype=bool)
    size = np.array([[1.0, 1.0, 1.0, 0.0, 5.0, 0.0]])
    assert loose(metal, size, around=0).tolist() == [[True, True, True, False, False, False]]
