"""Random closed paths and outlines for tests, and what shapely makes of them."""

from __future__ import annotations

import math

import numpy as np
import shapely
from hypothesis import strategies as st

from frame3d.geometry.closed_path import Path
from frame3d.geometry.outline import Outline

FINE = 1e-5
"""Tolerance of arcs that are given to shapely [mm]."""


@st.composite
def stars(draw: st.DrawFn) -> Path:
    """Draw a path about the origin that never crosses itself: its chords see the origin, arcs are shallow.

    An arc with a bulge below tan(45°/4) between neighbours at most 72° apart stays between their rays.
    """
    n = draw(st.integers(5, 9))
    turns = (np.arange(n) + np.array(draw(_list(n, 0.0, 0.4)))) * 2 * math.pi / n
    radii = draw(_list(n, 30.0, 45.0))
    bulges = draw(st.lists(st.sampled_from([0.0, 0.15, -0.05, 0.05]), min_size=n, max_size=n))
    return Path(
        tuple(
            (r * math.cos(t), r * math.sin(t), b)
            for r, t, b in zip(radii, turns.tolist(), bulges, strict=True)
        )
    )


def _list(n: int, low: float, high: float) -> st.SearchStrategy[list[float]]:
    return st.lists(st.floats(low, high), min_size=n, max_size=n)


def shape(path: Path, tolerance: float = FINE) -> shapely.Polygon:
    """Return the inside of a path as shapely sees it."""
    return shapely.Polygon(path.points(tolerance))


def face(outline: Outline, tolerance: float = FINE) -> shapely.Polygon:
    """Return an outline with its holes and slots as shapely sees it."""
    outer, inner = outline.polygon(tolerance)
    return shapely.Polygon(outer, inner)
