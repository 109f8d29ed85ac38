"""Pairs in a shape's axes: turned as numpy's product of matrices turns them, bounds as sampled."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import SWING
from frame3d.clearance.certify.distance import prepare
from frame3d.clearance.certify.search_input import pieces_of
from frame3d.geometry.vector import vector
from tests.clearance.samples import SHAPES, TUBES, a_pair, mounts, placed


@pytest.mark.parametrize("seed", range(6))
def test_pieces_and_cutters_are_turned_into_the_shapes_axes(seed: int) -> None:
    random = np.random.default_rng(seed)
    tube, shape = a_pair(TUBES[seed % 6], SHAPES[seed % 8], random)
    pair = prepare(tube, shape)
    origin, axes = vector(shape.origin), np.array(shape.axes)
    pieces, cutters = (placed(drawn, origin, axes) for drawn in pieces_of(tube))
    for own, other in ((pair.pieces, pieces), (pair.cutters["piece"], cutters["piece"])):
        for name in own.dtype.names or ():
            assert own[name] == pytest.approx(other[name], abs=1e-9), name


def test_bounds_of_a_links_table_hold_between_its_rows() -> None:
    """Steepest slopes of the shift, sampled a hundred times finer than its rows."""
    checked = 0
    for seed in range(40):
        random = np.random.default_rng(seed)
        (of_tube, of_shape), ranges = mounts(random)
        tube, shape = a_pair(TUBES[seed % 6], SHAPES[seed % 8], random)
        pair = prepare(replace(tube, mount=of_tube), replace(shape, mount=of_shape), ranges)
        for step in pair.motion.steps:
            if step["kind"] != SWING:
                continue
            knots = pair.motion.knots[slice(*step["knots"])]
            u = np.linspace(0, 1, 101)[:, None]
            r, gap = 1 - u, step["spacing"]
            for a, b in pairwise(knots):
                p, q, v, w = a["shift"], b["shift"], a["shift_rate"], b["shift_rate"]
                slope = 6 * u * r * (q - p) / gap + v * r * (1 - 3 * u) + w * u * (3 * u - 2)
                assert np.linalg.norm(slope, axis=1).max() <= step["shift_bound"] + 1e-12
                p, q, v, w = a["turn"], b["turn"], a["turn_rate"], b["turn_rate"]
                turning = 6 * u * r * (q - p) / gap + v * r * (1 - 3 * u) + w * u * (3 * u - 2)
                assert np.abs(turning).max() <= step["turn_bound"] + 1e-12
            checked += 1
    assert checked > 3
