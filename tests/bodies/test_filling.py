"""Rectangles that fill the middle of a plate: within it, and over all that is deep in it."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.bodies.frame.filling import Row, filling
from frame3d.geometry.disc_hull import Disc, Flat

place, size = st.floats(-35, 35), st.floats(10, 20)
discs = st.lists(st.tuples(place, place, size), min_size=2, max_size=4)


def corners(row: Row) -> np.ndarray:
    along = np.array(row.along)
    square = np.array([-along[1], along[0]])
    return np.array(
        [
            np.array(row.centre) + x * row.length / 2 * along + z * row.height / 2 * square
            for x in (-1, 1)
            for z in (-1, 1)
        ]
    )


def in_row(row: Row, points: np.ndarray) -> np.ndarray:
    along = np.array(row.along)
    d = points - np.array(row.centre)
    return (np.abs(d @ along) <= row.length / 2 + 1e-6) & (
        np.abs(d @ [-along[1], along[0]]) <= row.height / 2 + 1e-6
    )


def deep(flat: Flat, points: np.ndarray) -> np.ndarray:
    """How deep points of the side view lie in the outline, by its supporting lines in 720 directions."""
    turn = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    u = np.stack((np.cos(turn), np.sin(turn)))
    found = np.array(flat.discs)
    reach = (found[:, :2] @ u + found[:, 2:]).max(axis=0)
    return np.asarray((reach - points @ u).min(axis=1))


@settings(max_examples=15, deadline=None)
@given(discs)
def test_rows_lie_within_and_cover_what_neither_discs_nor_slabs_do(found: list[Disc]) -> None:
    flat = Flat(tuple(found), -4.0, 4.0)
    rows = filling(flat)
    # The plate's own outline is sampled in 180 directions, so the nearest is within a degree of an edge's.
    longest = max((float(np.hypot(*np.subtract(b, a))) for a, b in flat.edges), default=0.0)
    for row in rows:
        assert deep(flat, corners(row)).min() > -longest * np.sin(np.radians(1.0)) - 0.01
        assert np.hypot(*row.along) == pytest.approx(1)
    least = min(r for _, _, r in found)
    rng = np.random.default_rng(0)
    points = rng.uniform(-60, 60, (300, 2))
    wanted = points[deep(flat, points) > least + 0.01]
    covered = np.zeros(len(wanted), dtype=bool)
    for x, z, radius in found:
        covered |= np.hypot(*(wanted - (x, z)).T) <= radius
    for row in rows:
        covered |= in_row(row, wanted)
    assert covered.all()


def test_a_stadium_has_no_middle() -> None:
    """Slabs along both edges of equal discs meet in the line between the centres."""
    assert filling(Flat(((0.0, 0.0, 10.0), (50.0, 20.0, 10.0)), 0.0, 5.0)) == ()


def test_one_disc_has_no_edges() -> None:
    assert filling(Flat(((0.0, 0.0, 10.0),), 0.0, 5.0)) == ()


def test_rows_of_a_triangle_run_along_the_side_across_which_it_is_least_high() -> None:
    """Corners (0, 0), (100, 0), (20, 30): heights 30 over the long side, more over the others."""
    flat = Flat(((0.0, 0.0, 8.0), (100.0, 0.0, 8.0), (20.0, 30.0, 8.0)), -500.0, 500.0)
    rows = filling(flat)
    assert all(abs(row.along[1]) < 1e-9 for row in rows)
    assert sum(row.height for row in rows) == pytest.approx(30, abs=1e-3)
    area = sum(row.length * row.height for row in rows)
    assert area >= 100 * 30 / 2 - 1e-6
