"""Positions of a section's frame over a box of motions: how far and how unevenly it moves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.clearance.certify.batch import Pair
from frame3d.clearance.certify.distance import prepare
from frame3d.clearance.certify.positions import axis, move
from frame3d.clearance.certify.records import FRAME
from frame3d.clearance.certify.search_input import pieces_of
from tests.clearance.samples import TUBES, a_pair, a_tube, mounts
from tests.clearance.test_bounds import box_in


def test_the_chain_s_bounds_hold() -> None:
    """|C - C0| <= B, and what a quadratic of the columns leaves is at most Q/2."""
    random = np.random.default_rng(3)
    for _ in range(300):
        (of_tube, of_shape), ranges = mounts(random)
        body, placed = a_pair(TUBES[random.integers(6)], "box", random)
        pair = prepare(replace(body, mount=of_tube), replace(placed, mount=of_shape), ranges)
        row, m, h = box_in(pair, random)
        n = 1 + len(pair.motion.low)
        piece = pair.pieces[row]

        def at(
            m: np.ndarray,
            h: np.ndarray = h,
            n: int = n,
            piece: np.void = piece,
            pair: Pair = pair,
        ) -> tuple[np.ndarray, np.ndarray, float, float]:
            frame = np.zeros(1, FRAME)[0]
            axis(piece, m[0], frame)
            motion = pair.motion
            b, q, _ = move(
                motion.steps, motion.knots, m, h, frame, n, piece["curvature"] * h[0] ** 2
            )
            return frame["point"], frame["rate"], b, q

        p, rate, b, q = at(m)
        for _ in range(20):
            d = h[:n] * random.uniform(-1, 1, n)
            other = at(np.concatenate((m[:n] + d, m[n:])))[0]
            assert np.linalg.norm(other - p) <= b + 1e-9
            assert np.linalg.norm(other - p - d @ rate[:n]) <= q / 2 + 1e-9


@pytest.mark.parametrize("kind", TUBES)
def test_a_frame_is_square_and_its_rates_are_those_of_its_place(kind: str) -> None:
    """Unit tangent, major and minor directions, right-handed; by central differences along the piece."""
    random = np.random.default_rng([5, TUBES.index(kind)])
    for _ in range(6):
        for piece in pieces_of(a_tube(kind, random))[0]:
            for s in random.uniform(1e-3, piece["length"] - 1e-3, 4):
                here, ahead, behind = (np.zeros(1, FRAME)[0] for _ in range(3))
                for frame, d in ((here, 0.0), (ahead, 1e-4), (behind, -1e-4)):
                    axis(piece, s + d, frame)
                turned = np.stack((here["tangent"], here["major"], here["minor"]))
                assert turned @ turned.T == pytest.approx(np.eye(3), abs=1e-9)
                assert np.linalg.det(turned) == pytest.approx(1)
                rate = (ahead["point"] - behind["point"]) / 2e-4
                assert here["rate"][0] == pytest.approx(rate, abs=1e-6)
                assert here["rate"][0] == pytest.approx(here["tangent"], abs=1e-9)


def test_a_box_of_no_size_is_exact() -> None:
    """Nothing is left to bound, and the place is that of the motions' matrices (see test_motion)."""
    random = np.random.default_rng(6)
    for _ in range(40):
        (of_tube, of_shape), ranges = mounts(random)
        body, placed = a_pair(TUBES[random.integers(6)], "box", random)
        pair = prepare(replace(body, mount=of_tube), replace(placed, mount=of_shape), ranges)
        row, m, _ = box_in(pair, random)
        n = 1 + len(pair.motion.low)
        frame = np.zeros(1, FRAME)[0]
        axis(pair.pieces[row], m[0], frame)
        b, q, _ = move(pair.motion.steps, pair.motion.knots, m, np.zeros(n), frame, n, 0.0)
        assert (b, q) == pytest.approx((0, 0), abs=1e-12)
