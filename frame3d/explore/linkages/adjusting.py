"""Find coordinates that give the wanted travel or length of the shock, for many designs at once.

The steps are those of `frame3d.linkage.adjust`, from the same starts, so that both come to the same
values. Where that search would have to solve its equations in another way, where it comes near a dead
point, or may or may not stop, a design is not clean.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.explore.linkages.batch import Followed, followed
from frame3d.explore.linkages.points import ManyOnTube, Places, Values
from frame3d.explore.linkages.program import Program
from frame3d.geometry.arrays import Array, Complex, Mask
from frame3d.linkage.points import Coordinate

_ROUNDS: Final = 20
_STEP: Final = 25.0
_MET: Final = 1e-9
_DOUBT: Final = 0.1
"""Residuals within this share of `_MET` may or may not end the present search."""
_TRACK: Final = np.linspace(0.0, 1.0, 33)
_SINGULAR: Final = 1e-2
"""Determinant of the slopes, as a share of what their size allows, below which they are not solved."""


@dataclass(frozen=True)
class Wishes:
    """What must be met, by moving which coordinates."""

    moved: tuple[Coordinate, ...]
    names: tuple[str, ...]
    """``travel`` or ``eye_to_eye`` for each of `moved`."""
    wanted: Array
    """(n, wishes) [mm]."""


@dataclass(frozen=True, eq=False)
class Adjusted:
    """Coordinates that were found."""

    values: Values
    """Of all coordinates."""
    clean: Mask
    """Whether the present search finds the same, (n,)."""


def adjust_many(
    program: Program,
    places: Places,
    values: Values,
    axle: Complex,
    on_tube: ManyOnTube,
    wishes: Wishes,
    stroke: Array,
) -> Adjusted:
    """Find values of the coordinates that wishes name, by Newton's method.

    Args:
        program: the linkages' topology.
        places: how points follow from coordinates.
        values: of all coordinates, in the n designs.
        axle: the rear axle, (n,) complex [mm].
        on_tube: returns positions on tubes.
        wishes: one or two.
        stroke: full stroke of the shock, (n,) [mm].
    """
    count = len(axle)
    here = {name: np.array(column) for name, column in values.items()}
    base = np.stack([here[name] for name in wishes.moved], axis=1)
    step, share = np.zeros_like(base), np.ones(count)
    going, clean = np.ones(count, dtype=np.bool_), np.zeros(count, dtype=np.bool_)
    before = np.full(count, np.inf)
    strokes = stroke[:, None] * _TRACK
    tables = program.tables()
    for _ in range(_ROUNDS):
        points = places.positions(here, axle, on_tube)
        at = followed(program, points, strokes)
        reached = {"travel": at.travel[:, -1], "eye_to_eye": at.length}
        left = np.stack([reached[name] for name in wishes.names], axis=1) - wishes.wanted
        worst, norm = np.abs(left).max(axis=1), np.linalg.norm(left, axis=1)
        going &= at.clean
        nearer = going & (norm < before)
        clean |= nearer & (worst <= _MET * (1 - _DOUBT))
        # A search that hardly comes nearer ends, too; so may one that only just does or does not.
        going &= (worst > _MET * (1 + _DOUBT)) & ~(np.abs(norm - 0.9995 * before) < 0.01 * before)
        nearer &= going
        if not going.any():
            break
        slopes = _slopes(tables, points, at, wishes, places.drifts(here, wishes.moved, on_tube))
        new, regular = _solved(slopes, -left)
        with np.errstate(all="ignore"):
            new *= np.minimum(1.0, _STEP / np.abs(new).max(axis=1))[:, None]
        going &= regular | ~nearer
        for column, name in enumerate(wishes.moved):
            base[:, column] = np.where(nearer, here[name], base[:, column])
        step = np.where(nearer[:, None], new, step)
        share = np.where(nearer, 1.0, share / 2)
        before = np.where(nearer, norm, before)
        there = base + np.where(going, share, 0.0)[:, None] * np.where(going[:, None], step, 0.0)
        for column, name in enumerate(wishes.moved):
            # Kept as it is where the search has ended.
            here[name] = np.where(going, there[:, column], here[name])
    return Adjusted(here, clean)


def _slopes(
    tables: tuple[Array, Array],
    points: Complex,
    at: Followed,
    wishes: Wishes,
    drifts: Sequence[Complex],
) -> Array:
    """Return the derivatives of what is wished by each coordinate, (n, wishes, coordinates).

    By the implicit function theorem, as `frame3d.linkage.adjust.changes`.
    """
    in_fixed, in_arms = tables
    shock, wheel = len(in_fixed) - 2, len(in_fixed) - 1
    pose = at.last
    arms = np.einsum("rlp,np->nrl", in_arms, points)
    fixed = points @ in_fixed.T
    first = fixed[:, shock] + arms[:, shock].sum(axis=1)
    along = fixed[:, shock] + (arms[:, shock] * pose).sum(axis=1)
    moved = 1j * arms * pose[:, None]
    pull = (np.conj(along)[:, None] * moved[:, shock]).real / np.abs(along)[:, None]
    jacobian = np.concatenate((moved[:, :shock].real, moved[:, :shock].imag, pull[:, None]), axis=1)
    out = np.full((len(points), len(wishes.names), len(drifts)), np.nan)
    good = np.flatnonzero(at.clean)
    for column, drift in enumerate(drifts):
        own_arms, own_fixed = np.einsum("rlp,np->nrl", in_arms, drift), drift @ in_fixed.T
        as_drawn = own_fixed + own_arms.sum(axis=2)
        there = own_fixed + (own_arms * pose[:, None]).sum(axis=2)
        longer = (np.conj(first) * as_drawn[:, shock]).real / np.abs(first)
        grown = (np.conj(along) * there[:, shock]).real / np.abs(along) - longer
        gap = there[:, :shock]
        right = np.concatenate((gap.real, gap.imag, grown[:, None]), axis=1)
        turns = np.full(pose.shape, np.nan)
        turns[good] = -np.linalg.solve(jacobian[good], right[good][..., None])[..., 0]
        rise = there[:, wheel] + (moved[:, wheel] * turns).sum(axis=1) - as_drawn[:, wheel]
        slope = {"travel": rise.imag, "eye_to_eye": longer}
        for row, name in enumerate(wishes.names):
            out[:, row, column] = slope[name]
    return out


def _solved(slopes: Array, right: Array) -> tuple[Array, Mask]:
    """Return solutions of n systems of one or two equations, and whether each is regular."""
    if slopes.shape[1] == 1:
        lone = slopes[:, 0]
        with np.errstate(all="ignore"):
            return right / lone, np.abs(lone[:, 0]) > _SINGULAR
    (a, b), (c, d) = np.moveaxis(slopes, 0, -1)
    determinant = a * d - b * c
    largest = np.abs(slopes).max(axis=(1, 2))
    with np.errstate(all="ignore"):
        step = np.stack(
            (d * right[:, 0] - b * right[:, 1], a * right[:, 1] - c * right[:, 0]), axis=1
        )
        return step / determinant[:, None], np.abs(determinant) > _SINGULAR * largest**2
