"""Convex pieces of outlines: they hold all of it, stand out by little, and do not overlap."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely.geometry import Polygon
from shapely.ops import unary_union

from frame3d.geometry.closed_path import Path
from frame3d.geometry.convex_pieces import around, convex_pieces

WITHIN = 0.03
PATHS = {
    "square": Path.polygon([(0, 0), (40, 0), (40, 40), (0, 40)]),
    "disc": Path.circle(3.0, -2.0, 50.0),
    "slot": Path.slot(0.0, 0.0, 60.0, 12.0, 30.0),
    "hollow": Path(((0, 0, 0.0), (60, 0, 0.0), (60, 5, -0.25), (5, 50, 0.0), (0, 50, 0.0))),
    "letter": Path.polygon(
        [
            (0, 0),
            (30, 0),
            (30, 10),
            (10, 10),
            (10, 20),
            (25, 20),
            (25, 30),
            (10, 30),
            (10, 40),
            (0, 40),
        ]
    ),
    "rounded": Path.rounded(
        [(0, 0, 4), (50, 0, 8), (50, 20, 3), (20, 20, 6), (20, 60, 5), (0, 60, 5)]
    ),
    "in a line": Path.polygon([(0, 0), (20, 0), (40, 0), (40, 20), (40, 40), (0, 40)]),
}


def exact(path: Path) -> Polygon:
    return Polygon(path.points(1e-5))


@pytest.mark.parametrize("name", PATHS)
def test_pieces_hold_the_path_and_little_more(name: str) -> None:
    """Against Shapely: union, and how far its edge is from the path's."""
    path = PATHS[name]
    pieces = [Polygon(piece) for piece in convex_pieces(path, WITHIN)]
    whole = unary_union(pieces)
    assert exact(path).difference(whole).area < 1e-6 * path.area
    assert whole.difference(exact(path).buffer(WITHIN + 1e-4)).area < 1e-9
    assert sum(piece.area for piece in pieces) == pytest.approx(whole.area, rel=1e-9)


@pytest.mark.parametrize("name", PATHS)
def test_pieces_are_convex_and_anticlockwise(name: str) -> None:
    for piece in convex_pieces(PATHS[name], WITHIN):
        a = np.array(piece)
        b, c = np.roll(a, -1, axis=0), np.roll(a, -2, axis=0)
        turn = (b - a)[:, 0] * (c - b)[:, 1] - (b - a)[:, 1] * (c - b)[:, 0]
        assert (turn > -1e-9).all()


def test_what_is_convex_stays_one_piece() -> None:
    for name in ("square", "disc", "slot", "in a line"):
        assert len(convex_pieces(PATHS[name], WITHIN)) == 1, name


def test_an_arc_is_held_by_its_tangents() -> None:
    """A polygon about a circle: every corner outside, every side touching it."""
    corners = around(PATHS["disc"], WITHIN) - (3.0, -2.0)
    far = np.hypot(*corners.T)
    assert far.min() > 25.0 - 1e-9
    assert far.max() <= 25.0 + WITHIN + 1e-9
    ahead = np.roll(corners, -1, axis=0) - corners
    off = np.abs(corners[:, 0] * ahead[:, 1] - corners[:, 1] * ahead[:, 0]) / np.hypot(*ahead.T)
    assert off.min() == pytest.approx(25.0, abs=1e-6)


def test_random_outlines() -> None:
    """Stars: one corner in each of some directions, near or far."""
    random = np.random.default_rng(5)
    for _ in range(30):
        n = int(random.integers(4, 14))
        turn = np.sort(random.uniform(0, 2 * math.pi, n))
        if np.diff(np.append(turn, turn[0] + 2 * math.pi)).max() > 3.0:
            continue
        size = random.uniform(10, 60, n)
        points = np.stack([size * np.cos(turn), size * np.sin(turn)], axis=1)
        star = Path.polygon([(float(x), float(y)) for x, y in points])
        pieces = [Polygon(piece) for piece in convex_pieces(star, WITHIN)]
        assert unary_union(pieces).symmetric_difference(Polygon(points)).area < 1e-6
        assert len(pieces) <= n - 2
