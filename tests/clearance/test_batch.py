"""Pairs measured together: as each by itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.clearance.certify.batch import PlacedBatch, SearchBatch
from frame3d.clearance.certify.distance import prepare
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.numbers import Numbers
from frame3d.clearance.certify.search import APART
from tests.clearance.samples import SHAPES, TUBES, a_pair, mounts


def test_together_and_apart_give_the_same() -> None:
    random = np.random.default_rng(3)
    (of_tube, of_shape), ranges = mounts(random)
    pairs = [a_pair(TUBES[i % 6], SHAPES[i % 8], random, spread=250) for i in range(12)]
    moving = [(replace(t, mount=of_tube), replace(s, mount=of_shape)) for t, s in pairs]
    batch = PlacedBatch(moving, [ranges], Numbers())
    together = batch.found(0.01)
    again = SearchBatch([batch.pair(i) for i in range(len(pairs))]).found(0.01)
    assert together.tobytes() == again.tobytes()
    for i, (tube, shape) in enumerate(moving):
        (alone,) = SearchBatch([prepare(tube, shape, ranges)]).found(0.01)
        assert alone == together[i]
        assert batch.motion(i).ranges == batch.pair(i).motion.ranges


def test_each_line_has_its_own_cutoff() -> None:
    """A line is searched as if it were alone, and further pairs than one before them are only that."""
    random = np.random.default_rng(4)
    pairs = [a_pair("straight", SHAPES[i % 8], random, spread=300) for i in range(12)]
    batch = SearchBatch([prepare(*pair) for pair in pairs])
    each = batch.found(0.01)["value"]
    cutoffs = np.repeat([np.inf, float(each[6:].min()) - 1.0], 6)
    lines = np.repeat([0, 1], 6)
    found = batch.found(0.01, cutoffs, lines)
    first = SearchBatch([prepare(*pair) for pair in pairs[:6]])
    assert found[:6].tobytes() == first.found(0.01, None, lines[:6]).tobytes()
    assert found["value"][:6][found["state"][:6] != APART].min() == pytest.approx(each[:6].min())
    assert (found["state"][:6] == APART).any()
    assert (found["state"][6:] == APART).all()


def test_a_range_in_the_wrong_order_is_refused() -> None:
    pair = a_pair(TUBES[0], SHAPES[0], np.random.default_rng(0))
    for ranges in ([Range("rear", 1, 0)], [Range("rear", 0, 1), Range("rear", 0, 1)]):
        with pytest.raises(ValueError, match="each motion once"):
            PlacedBatch([pair], [ranges], Numbers())
