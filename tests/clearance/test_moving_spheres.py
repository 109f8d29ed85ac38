"""Spheres on a grid of the motions, against numpy over all of them."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.mounts import fork_mounts
from frame3d.bodies.motion.pose import matrices_over
from frame3d.clearance.certify.moving_spheres import (
    ROUNDING,
    STRAYS,
    grow,
    grow_all,
    lower_bounds,
    seen_from,
)
from frame3d.geometry.arrays import Array

COUNTS = np.array([4, 5])
"""Values of the fork's travel and of the steering."""


EACH, TURNED, NONE = np.array([5, 1]), np.array([0, 1]), np.array([0, 0])
"""How the index into a mount's own grid grows with each: of both motions, of steering alone, of neither."""


def grids() -> tuple[Array, Array, Array]:
    """Where a fork, its crown and the frame take what they carry, each on its own grid."""
    upper, lower = fork_mounts(np.array([600.0, 0.0, 500.0]), np.array([-0.6, 0.0, 0.8]))
    travel, turn = np.meshgrid(np.linspace(0, 130, 4), np.linspace(-60, 60, 5), indexing="ij")
    there = matrices_over(lower, {"fork": travel.ravel(), "steer": turn.ravel()}, 20)
    return there, matrices_over(upper, {"steer": turn[0]}, 5), np.eye(4)[None]


def motion() -> Array:
    """The motion of a fork seen from its crown and from the frame, on a grid: (2, 20, 3, 4)."""
    there, here, still = grids()
    out = np.empty((2, 20, 3, 4))
    assert seen_from(there, here, COUNTS, EACH, TURNED, out[0]) == 20
    assert seen_from(there, still, COUNTS, EACH, NONE, out[1]) == 20
    plain = np.linalg.inv(here)[np.arange(20) % 5] @ there
    assert out[0] == pytest.approx(plain[:, :3], abs=1e-9)
    assert out[1] == pytest.approx(there[:, :3], abs=1e-9)
    return out


def on_grid(moved: Array, spheres: Array) -> tuple[Array, Array]:
    """Centres, (grid, n, 3), and how far each sphere reaches about them, (n,)."""
    middles = np.einsum("gij,nj->gni", moved[:, :, :3], spheres[:, :3]) + moved[:, None, :, 3]
    whole = middles.reshape(4, 5, -1, 3)
    steps = sum(
        np.linalg.norm(np.diff(whole, axis=axis), axis=-1).max(axis=(0, 1)) for axis in (0, 1)
    )
    return middles, spheres[:, 3] + STRAYS * steps + ROUNDING


def test_lower_bounds_of_pairs() -> None:
    """Of two solids against two others, seen from the crown and from the frame."""
    random = np.random.default_rng(1)
    spheres, others = random.normal(size=(2, 7, 4)) * 300 + [[[0.0, 0.0, 0.0, 400.0]]]
    begins, other_begins = np.array([0, 3, 7]), np.array([0, 1, 7])
    groups, firsts, seconds = np.divmod(np.arange(8), 4)[0], np.arange(8) // 2 % 2, np.arange(8) % 2
    out = np.empty(8)
    lower_bounds(
        np.concatenate(grids()),
        np.array([[0, 20], [0, 25]]),
        np.array([COUNTS, COUNTS]),
        np.array([[EACH, TURNED], [EACH, NONE]]),
        spheres,
        begins,
        others,
        other_begins,
        groups,
        firsts,
        seconds,
        np.empty((20, 3, 4)),
        np.empty((4, 20, 3)),
        np.empty(4),
        np.empty((4, 4)),
        out,
    )
    for found, moved in zip(out.reshape(2, 4), motion(), strict=True):
        centres, reach = on_grid(moved, spheres)
        apart = np.linalg.norm(centres[:, :, None] - others[:, :3], axis=-1).min(axis=0)
        each = apart - reach[:, None] - others[:, 3]
        plain = [each[:3, :1], each[:3, 1:], each[3:, :1], each[3:, 1:]]
        assert found == pytest.approx([part.min() for part in plain], abs=1e-9)


def test_boxes_of_many_bodies_are_those_of_each() -> None:
    """One on the fork, seen from the frame, and one that stands still."""
    spheres = np.random.default_rng(3).normal(size=(5, 4)) * 300 + [0, 0, 0, 400]
    boxes = np.tile(np.array([[np.full(3, np.inf), np.full(3, -np.inf)]]), (2, 1, 1))
    plain = boxes.copy()
    grow_all(
        np.concatenate(grids()),
        np.array([[25, 25], [0, 25]]),
        np.array([[1, 1], COUNTS]),
        np.array([[NONE, NONE], [EACH, NONE]]),
        spheres,
        np.array([0, 3, 5]),
        np.array([1, 0]),
        np.empty((20, 3, 4)),
        np.empty((20, 3)),
        boxes,
    )
    grow(motion()[1], COUNTS, spheres[:3], np.empty((20, 3)), plain[0])
    grow(np.eye(4)[None, :3], np.array([1, 1]), spheres[3:], np.empty((1, 3)), plain[1])
    assert boxes.tobytes() == plain.tobytes()


def test_a_box_grows_round_all_positions() -> None:
    spheres = np.random.default_rng(2).normal(size=(3, 4)) * 300 + [0, 0, 0, 400]
    for moved in motion():
        box = np.array([np.full(3, np.inf), np.full(3, -np.inf)])
        grow(moved, COUNTS, spheres, np.empty((20, 3)), box)
        centres, reach = on_grid(moved, spheres)
        assert box[0] == pytest.approx((centres - reach[:, None]).min(axis=(0, 1)), abs=1e-9)
        assert box[1] == pytest.approx((centres + reach[:, None]).max(axis=(0, 1)), abs=1e-9)


def test_what_stands_still_does_not_stray() -> None:
    moved, box = np.eye(4)[None, :3], np.array([np.full(3, np.inf), np.full(3, -np.inf)])
    still = np.array([], dtype=np.int64)
    grow(moved, still, np.array([[1.0, 2.0, 3.0, 4.0]]), np.empty((1, 3)), box)
    assert box == pytest.approx(np.array([[-3, -2, -1], [5, 6, 7]]), abs=2 * ROUNDING)
