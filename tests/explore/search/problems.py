"""Test problems whose optima are known, as the search takes them."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from frame3d.explore.search.problem import Box, Problem, Scored


def box(
    low: Sequence[float],
    high: Sequence[float],
    start: Sequence[float],
    steps: Sequence[float | None] | None = None,
) -> Box:
    return Box(
        np.array(low, float),
        np.array(high, float),
        np.array(start, float),
        tuple(steps) if steps is not None else (None,) * len(low),
        tuple(f"x{i + 1}" for i in range(len(low))),
    )


def scored(
    preferences: Sequence[float], margins: Sequence[float], *, smooth: bool = True
) -> Scored:
    """With wishes c1, c2, …, which are met where their margins are not negative."""
    named = {f"c{i + 1}": (float(m),) for i, m in enumerate(margins)}
    total = sum(max(0.0, -m) for (m,) in named.values())
    missed = [label for label, (m,) in named.items() if m < 0]
    return Scored(
        total,
        tuple(float(p) for p in preferences),
        named if smooth else {},
        blocked_by=missed[0] if missed and not smooth else None,
    )


def problem(
    where: Box,
    value: Callable[[np.ndarray], float],
    *margins: Callable[[np.ndarray], float],
    smooth: bool = True,
) -> Problem:
    """One preference, and wishes by their margins."""

    def objective(points: np.ndarray) -> list[Scored]:
        return [scored([value(x)], [m(x) for m in margins], smooth=smooth) for x in points]

    return Problem(where, objective, ("value",))
