"""Bikes that meet all relations where too few figures are given for one bike alone.

Each row of an array of bikes is a bike; columns are the relations' variables, in mm, angles as arcs of
radius `ANGLE_SCALE`, so that all columns are of similar size.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Final

import numpy as np

from frame3d.chart.diagnosis import all_variables, start_values
from frame3d.chart.givens import held
from frame3d.chart.newton import jacobian
from frame3d.chart.plausible import plausible_range
from frame3d.chart.relations import ANGLE_SCALE, ANGLES, Relation, Values
from frame3d.geometry.arrays import Array, Mask

SAME: Final = 1e-6
"""Values closer than this are one [mm]; a direction shorter than this in a variable leaves it alone."""
_ENOUGH, _MORE = 12, 10
"""Where fewer bikes are found, so many times as many starts are taken."""
_PLACES = 6
"""Number of bikes at which directions are looked at."""
_RESIDUAL = 1e-10
"""Largest residual before the last step [mm]."""
_ROUNDS = 40
"""Largest number of steps."""
_STRIDE = 100.0
"""Largest change of a variable in one step [mm], so that steps do not jump to another branch."""
_RIM = 0.02
"""A variable that left its plausible range is put back inside by this share of the range."""
_RANK = 1e-7
"""Relative size below which a singular value counts as zero."""


class SolutionSet:
    """All plausible bikes that meet some relations and have some figures, as a sample of them."""

    def __init__(
        self,
        relations: Sequence[Relation],
        fixed: Mapping[str, float],
        within: Mapping[str, tuple[float, float]] | None = None,
        count: int = 192,
    ) -> None:
        """Seek bikes from random starts, the same in every run.

        Args:
            relations: which the bikes meet.
            fixed: variables that all bikes have in common, in mm or radians.
            within: narrower ranges than what is plausible, in mm or radians.
            count: number of starts.
        """
        self.names = tuple(dict.fromkeys((*all_variables(relations), *fixed)))
        self._relations = tuple(relations)
        self._within = {} if within is None else within
        self._scale = np.array([ANGLE_SCALE if n in ANGLES else 1.0 for n in self.names])
        self.fixed: Mask = np.array([name in fixed for name in self.names])
        """(n,): which variables all bikes have in common."""
        for starts in (count, _MORE * count):
            self.bikes: Array = self._seek(starts, fixed)
            if len(self.bikes) >= _ENOUGH:
                break
        """(k, n): the bikes found, the one nearest to a usual bike first; none where k = 0."""

    def _seek(self, count: int, fixed: Mapping[str, float]) -> Array:
        """Return the bikes found from so many starts: (k, n)."""
        starts = self._starts(count)
        for name, value in fixed.items():
            starts[:, self.names.index(name)] = value
        return self.nearest(starts * self._scale, np.broadcast_to(self.fixed, starts.shape))[0]

    @cached_property
    def tangents(self) -> tuple[Array, ...]:
        """The directions in which some of the bikes may change at first: (n, freedoms) each.

        Columns are orthonormal; a row says how far a variable moves with each.
        """
        return tuple(self._directions(bike) for bike in self.some(_PLACES))

    def some(self, count: int) -> Array:
        """Return up to so many of the bikes, the first among them: (k, n)."""
        every = max(1, len(self.bikes) // count)
        return self.bikes[::every][:count]

    @cached_property
    def settled(self) -> Mask:
        """(n,): which variables are the same on all bikes; none where there are no bikes.

        They must not move in any of `tangents` either, so that bikes close together do not deceive.
        """
        if not len(self.bikes):
            return np.zeros(len(self.names), dtype=bool)
        still = np.ptp(self.bikes, axis=0) <= SAME
        for rows in self.tangents:
            still &= np.abs(rows).max(axis=1, initial=0.0) <= SAME
        return np.asarray(still)

    def nearest(self, starts: Array, fixed: Mask) -> tuple[Array, Mask]:
        """Return a plausible bike near each start, found by steps that move it as little as possible.

        Args:
            starts: (count, n).
            fixed: (count, n), which of their variables keep their value.

        Returns:
            the bikes that were found, (k, n), and for which starts, (count,) bool.
        """
        low, high = self._limits
        bikes = starts.copy()
        good = np.zeros(len(bikes), dtype=bool)
        rest = np.arange(len(bikes))
        for inside in (True, False):
            bikes[rest], met = self._meet(bikes[rest], fixed[rest])
            out = (bikes[rest] < low - 1e-6) | (bikes[rest] > high + 1e-6)
            plausible = met & np.logical_not((out & ~fixed[rest]).any(axis=1))
            good[rest[plausible]] = True
            rest = rest[~plausible & np.isfinite(bikes[rest]).all(axis=1)]
            if inside:  # once more from within the ranges
                rim = _RIM * (high - low)
                back = np.clip(bikes[rest], low + rim, high - rim)
                bikes[rest] = np.where(fixed[rest], bikes[rest], back)
        return bikes[good], good

    def value(self, name: str, arcs: float) -> float:
        """Return a variable's value in a column of `bikes` in mm or radians."""
        return float(arcs / self._scale[self.names.index(name)])

    def _directions(self, bike: Array) -> Array:
        """Return the null space of the relations' Jacobian at a bike, its rows scaled to one size."""
        open_ones = np.flatnonzero(~self.fixed)
        matrix = self._jacobian(self._values(bike[None]), 1)[0][:, open_ones]
        size = np.linalg.norm(matrix, axis=1, keepdims=True)
        matrix = matrix[size[:, 0] > 0] / size[size[:, 0] > 0]
        singular, rows = np.linalg.svd(matrix)[1:]
        rank = int((singular > _RANK * singular.max(initial=0.0)).sum())
        out = np.zeros((len(self.names), len(open_ones) - rank))
        out[open_ones] = rows[rank:].T
        return out

    @cached_property
    def _limits(self) -> tuple[Array, Array]:
        pairs = [
            self._within.get(name) or [held(name, bound) for bound in plausible_range(name)]
            for name in self.names
        ]
        low, high = (np.array(one) * self._scale for one in zip(*pairs, strict=True))
        return low, high

    def _starts(self, count: int) -> Array:
        """Return starts over the plausible ranges, densest near a usual bike: (count, n) [mm, rad]."""
        usual = np.array([value[0] for _, value in start_values(self.names).items()])
        low, high = (limit / self._scale for limit in self._limits)
        share = np.random.default_rng(1).uniform(-1, 1, (count, len(self.names)))
        share[0] = 0.0
        usual = np.clip(usual, low, high)
        room = np.where(share > 0, high - usual, usual - low)
        return np.asarray(usual + share * np.abs(share) * room)

    def _values(self, bikes: Array) -> Values:
        columns = (bikes / self._scale).T
        return Values(dict(zip(self.names, columns, strict=True)))

    def _jacobian(self, values: Values, count: int) -> Array:
        return np.asarray(jacobian(self._relations, self.names, values, count) / self._scale)

    def _meet(self, starts: Array, fixed: Mask) -> tuple[Array, Mask]:
        """Move bikes onto the relations by Gauss-Newton steps of least length.

        Returns:
            the bikes, (count, n), and which of them meet the relations, (count,) bool.
        """
        bikes = starts.copy()
        met = np.zeros(len(bikes), dtype=bool)
        rest = np.arange(len(bikes))
        with np.errstate(all="ignore"):
            for _ in range(_ROUNDS):
                here = bikes[rest]
                values = self._values(here)
                residual = np.stack(
                    [np.broadcast_to(r.residual(values), len(here)) for r in self._relations], 1
                )
                matrix = np.where(fixed[rest][:, None, :], 0.0, self._jacobian(values, len(here)))
                step = _least_step(matrix, residual)
                step /= np.maximum(1.0, np.abs(step).max(axis=1, initial=0.0) / _STRIDE)[:, None]
                bikes[rest] = here - step
                there = np.abs(residual).max(axis=1) <= _RESIDUAL
                met[rest[there]] = True
                rest = rest[~there & np.isfinite(bikes[rest]).all(axis=1)]
                if not len(rest):
                    break
        return bikes, met


def _least_step(matrix: Array, residual: Array) -> Array:
    """Return the shortest steps s with matrix·s = residual: (count, n).

    A hair of damping keeps the system regular where relations lean on each other.

    Args:
        matrix: (count, relations, n).
        residual: (count, relations).
    """
    square = matrix @ matrix.transpose(0, 2, 1)
    size = np.trace(square, axis1=1, axis2=2)
    square += (1e-13 * size + 1e-30)[:, None, None] * np.eye(square.shape[1])
    broken = ~np.isfinite(square).all(axis=(1, 2))
    square[broken] = np.eye(square.shape[1])
    weights = np.linalg.solve(square, residual[..., None])
    step = (matrix.transpose(0, 2, 1) @ weights)[..., 0]
    step[broken] = np.nan
    return np.asarray(step)
