"""How many ways a linkage can move, and what moves where it should not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.linkage.linear import Array
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.rows import Complex

RANK = 1e-7
"""Singular values below this share of the largest count as none."""


@dataclass(frozen=True, slots=True)
class Mobility:
    """Freedoms of a linkage at one pose."""

    freedoms: int
    """Moving links less the rank of the Jacobian of their closures."""
    counted: int
    """By Grübler's count."""
    held: int
    """Freedoms that are left when the shock is held still; 0 for a rear suspension."""
    loose: tuple[str, ...]
    """Links that still move then."""
    still: tuple[str, ...]
    """Links that cannot move at all."""


def mobility(mechanism: Mechanism, turned: Complex | None = None) -> Mobility:
    """Freedoms at a pose, exp(i·θ) of (links,); left out, as drawn.

    Rank of the constraint Jacobian instead of the count alone: right too for linkages whose sizes make
    some pivots superfluous (a third parallel link) or blind.
    """
    links = mechanism.structure.links
    pose = np.ones(len(links), dtype=complex) if turned is None else turned
    closures = mechanism.constraints(pose)
    free = null_space(closures, mechanism.size)
    held = null_space(np.vstack((closures, mechanism.shock_row(pose))), mechanism.size)
    return Mobility(
        free.shape[1],
        mechanism.structure.count,
        held.shape[1],
        _moving(links, held),
        tuple(link for link in links if link not in _moving(links, free)),
    )


def null_space(matrix: Array, size: float, rank: float = RANK) -> Array:
    """Directions that a matrix maps to nothing: (columns, directions) float, orthonormal."""
    columns = matrix.shape[1]
    if len(matrix) == 0:
        return np.eye(columns)
    _, values, vectors = np.linalg.svd(matrix, full_matrices=True)
    kept = int((values > rank * max(size, float(values[0]))).sum())
    return vectors[kept:].T


def _moving(links: tuple[str, ...], directions: Array) -> tuple[str, ...]:
    if directions.shape[1] == 0:
        return ()
    swing = np.linalg.norm(directions, axis=1)
    return tuple(link for link, s in zip(links, swing, strict=True) if s > 1e-6)
