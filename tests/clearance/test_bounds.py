"""Bounds over boxes of positions: no sampled point lies below."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose
from frame3d.clearance.certify.batch import Pair
from frame3d.clearance.certify.bounds import BALLS, PATCH, SECTION, evaluate
from frame3d.clearance.certify.distance import prepare
from frame3d.clearance.certify.positions import axis
from frame3d.clearance.certify.records import FRAME, WORK
from frame3d.clearance.certify.signed_distance import FAR
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_pair, mounts
from tests.sampling import diagonal


def box_in(pair: Pair, random: np.random.Generator) -> tuple[int, np.ndarray, np.ndarray]:
    """A piece and the centre and half widths of a box within its ranges."""
    row = int(random.integers(len(pair.pieces)))
    low = np.concatenate(([0.0], pair.motion.low))
    high = np.concatenate(([pair.pieces[row]["length"]], pair.motion.high))
    size = random.choice([1.0, 0.2, 0.03, 0.003])
    half = (high - low) / 2 * size
    centre = low + half + random.uniform(0, 1, len(low)) * (high - low - 2 * half)
    across = random.choice([1.0, 0.25, 0.03], 2)
    place = random.uniform(-1, 1, 2) * 0.7
    return row, np.concatenate((centre, place)), np.concatenate((half, across))


@pytest.mark.parametrize(("tube", "shape"), diagonal(3, TUBES, SHAPES))
def test_no_point_of_a_box_is_below_its_bound(tube: str, shape: str) -> None:
    """Whole sections, patches of them, and balls, at random places, sizes and motions; halves too."""
    random = np.random.default_rng([2, TUBES.index(tube), SHAPES.index(shape)])
    tight = []
    for trial in range(18):
        (of_tube, of_shape), ranges = mounts(random)
        body, placed = a_pair(tube, shape, random, spread=250)
        if trial % 3 == 0:
            ranges = []
        else:
            body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
        pair = prepare(body, placed, ranges)
        row, m, h = box_in(pair, random)
        n = 1 + len(pair.motion.low)
        how = (SECTION, PATCH, BALLS)[int(random.integers(3))]
        work = np.zeros(1, WORK)[0]
        work["centre"][: len(m)], work["half"][: len(m)] = m, h
        value, bound = evaluate(
            pair.pieces[row],
            how,
            False,
            pair.numbers[0],
            pair.edges,
            pair.motion.steps,
            pair.motion.knots,
            pair.cutters,
            n,
            0.01,
            FAR,
            work,
        )
        least = np.inf
        for k in range(16):
            q = m + h * random.uniform(-1, 1, len(m))
            q[:n] = np.where(random.random(n) < 0.3, (m + np.sign(q - m) * h)[:n], q[:n])
            pose = Pose(**pair.motion.pose(q[1:n]))
            u, v = _places(how, m[n:], h[n:], random)
            points, taken = _points(pair, how, row, float(q[0]), u, v)
            if not len(points):
                continue
            values = brute.signed(placed.shape, brute.into(body, placed, pose, points)) - taken
            least = min(least, values.min())
            # In the half that lies higher on the box's plane, values are higher by the tilt.
            higher = np.where((q - m)[:n] * work["tilt"][:n] > 0, np.abs(work["tilt"][:n]), 0.0)
            assert values.min() >= bound + higher.max() - 1e-9
            if k == 0 and how == SECTION:
                assert value >= bound
        assert least >= bound - 1e-9
        tight.append(least - bound)
    assert min(tight) < 2.0


def _places(
    how: int, centre: np.ndarray, half: np.ndarray, random: np.random.Generator
) -> tuple[np.ndarray, np.ndarray]:
    """Places in a section, or in a patch of it: along the larger and the smaller half width."""
    if how == PATCH:
        u, v = (c + e * random.uniform(-1, 1, 40) for c, e in zip(centre, half, strict=True))
        over = np.maximum(np.hypot(u, v), 1.0)
        near = (np.abs(u / over - centre[0]) <= half[0]) & (np.abs(v / over - centre[1]) <= half[1])
        return np.where(near, u / over, np.nan), v / over
    angle, share = random.uniform(0, 2 * np.pi, 40), np.sqrt(random.uniform(0, 1, 40))
    share[:30] = 1.0
    return share * np.cos(angle), share * np.sin(angle)


def _points(
    pair: Pair, how: int, row: int, s: float, u: np.ndarray, v: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Points of the drawn tube, s into a piece, and what is taken off their distance: a ball's radius."""
    tube = pair.tube
    at = np.full(len(u), pair.pieces["length"][:row].sum() + s)
    if how == PATCH:
        # Which directions (u, v) belong to is the kernels' own affair where a section is round.
        frame = np.zeros(1, FRAME)[0]
        axis(pair.pieces[row], s, frame)
        h, w = (float(x[0]) for x in tube.section.radii_at(at[:1]))
        own = frame["point"] + np.outer(max(h, w) * u, frame["major"])
        own += np.outer(min(h, w) * v, np.cross(frame["tangent"], frame["major"]))
        own = own[~np.isnan(u)]
        return own @ np.array(pair.shape.axes) + pair.shape.origin, np.zeros(len(own))
    if how == BALLS:
        h, w = tube.section.radii_at(at)
        return tube.axis.points(at), np.minimum.reduce([h, w, at, tube.axis.length - at])
    angle, share = np.arctan2(v, u), np.hypot(u, v)
    return brute.surface(tube, at, angle, share), np.zeros(len(u))
