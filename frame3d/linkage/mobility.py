"""Mobility of a linkage: its degrees of freedom, and the links that move or stand still wrongly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array, Complex
from frame3d.linkage.mechanism import Mechanism

RANK = 1e-7
"""Singular values below this share of the largest (or of the linkage's size) count as zero."""


@dataclass(frozen=True, slots=True)
class Mobility:
    """Degrees of freedom of a linkage at one pose."""

    freedoms: int
    """Number of moving links less the rank of the closures' Jacobian; 1 for a rear suspension."""
    counted: int
    """Degrees of freedom by Grübler's count."""
    held: int
    """Degrees of freedom left when the shock's length is fixed; 0 for a rear suspension."""
    loose: tuple[str, ...]
    """Links that can still move when the shock's length is fixed."""
    still: tuple[str, ...]
    """Links that cannot move at all."""


def mobility(mechanism: Mechanism, turned: Complex | None = None) -> Mobility:
    """Return the degrees of freedom at a pose, from the rank of the constraint Jacobian.

    Grübler's count is wrong for linkages whose lengths make some equations dependent (a third parallel
    link); the rank is right for them too.

    Args:
        mechanism: the linkage.
        turned: exp(i·θ), (links,); None is the drawn pose.
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
        _moving(mechanism, pose, held),
        tuple(link for link in links if link not in _moving(mechanism, pose, free)),
    )


def null_space(matrix: Array, size: float, rank: float = RANK) -> Array:
    """Return an orthonormal basis of a matrix's null space, (columns, dimensions), by its SVD.

    Args:
        matrix: (rows, columns) [mm/rad].
        size: of the linkage [mm].
        rank: singular values up to this share of `size` or of the largest one count as zero.
    """
    columns = matrix.shape[1]
    if len(matrix) == 0:
        return np.eye(columns)
    _, values, vectors = np.linalg.svd(matrix, full_matrices=True)
    kept = int((values > rank * max(size, float(values[0]))).sum())
    return vectors[kept:].T


def _moving(mechanism: Mechanism, pose: Complex, directions: Array) -> tuple[str, ...]:
    """Return the links that turn, or shift without turning, as the links turn in given directions.

    Args:
        mechanism: the linkage.
        pose: exp(i·θ), (links,).
        directions: (links, k).
    """
    turning = np.linalg.norm(directions, axis=1)
    shifting = np.linalg.norm((mechanism.carried.arms * pose) @ directions, axis=1)
    moving = (turning > 1e-6) | (shifting > 1e-6 * mechanism.size)
    return tuple(link for link, m in zip(mechanism.structure.links, moving, strict=True) if m)
