"""Polish a point: sequential least squares programming on margins of the wishes, by differences."""

from __future__ import annotations

import math
import warnings
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

import numpy as np

from frame3d.explore.search.problem import Aim, Scored
from frame3d.explore.search.trials import Trial, Trials
from frame3d.geometry.arrays import Array

_DIFFERENCES: Final = (1e-3, 1e-5)
"""Steps of the differences, as shares of the span: wide ones first, as gaps are known to 1e-3 mm."""
_KEPT: Final = 1e-5
"""Margin kept to every wish, scaled, so that rounding does not turn it into a miss."""
_FAILED: Final = -10.0
"""Margin taken where a point could not be measured, so that the line search turns back."""
_ITERATIONS: Final = 20
_BACK: Final = (0.999, 0.99, 0.95, 0.9, 0.8, 0.65, 0.5, 0.25, 0.1)
"""Where a better point is looked for on the way to one that misses something else, such as a check."""


def polish(trials: Trials, aim: Aim, begun: Trial, *, most: int) -> Trial:
    """Return a point at least as good as the one it begins with; numbers that go by steps stay.

    Args:
        trials: where points are tried.
        aim: what counts as better; with no preference, the nearest point that meets the wishes.
        begun: where it begins.
        most: points that it may try, about.

    Raises:
        Ended: the whole search must end.
    """
    box = trials.box
    if not np.any(box.free & ~box.stepped):
        return begun
    enough = trials.count + most
    best = begun
    for step in _DIFFERENCES:
        if trials.count >= enough:
            break
        rounds = min(_ITERATIONS, max(1, (enough - trials.count) // (box.low.size + 2)))
        found = _Pass(trials, aim, best, step).run(rounds)
        if not aim.key(found.scored) < aim.key(best.scored) and not best.scored.feasible:
            break
        best = min((best, found), key=lambda trial: aim.key(trial.scored))
    return best


class _BlockedError(Exception):
    """A step of the polish met all margins, but something without a margin stops it."""


class _Pass:
    """One run of SLSQP from a trial, with one width of differences."""

    def __init__(self, trials: Trials, aim: Aim, begun: Trial, step: float) -> None:
        box = trials.box
        self.trials = trials
        self.aim = aim
        self.best = begun
        self.step = step
        self.moving = box.free & ~box.stepped
        self.unit = box.to_unit(np.array(begun.point))
        margins = begun.scored.margins
        self.labels = sorted(label for label, m in margins.items() if np.all(np.isfinite(m)))
        self.sides = {label: len(margins[label]) for label in self.labels}
        self.origin = self._rows([begun], self.unit[np.newaxis, self.moving])[0]
        self.gradients: dict[bytes, Array] = {}
        self.scale = 1.0

    def run(self, rounds: int) -> Trial:
        """Return the best trial of the run, which may be the one that it began with."""
        from scipy.optimize import minimize

        begin = self.unit[self.moving]
        slopes = self._slopes(begin)
        steepest = float(np.linalg.norm(slopes[0]))
        if self.aim.preference is not None and math.isfinite(steepest) and steepest > 0:
            self.scale = 1 / steepest
        kept = {"type": "ineq", "fun": self._margins, "jac": lambda at: self._slopes(at)[1:]}
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RuntimeWarning)  # of points clipped to the box
            end = self._end(minimize, begin, kept, rounds)
        if np.all(np.isfinite(end)):
            last = self._tried(end[np.newaxis, :])[0]
            if self.aim.key(last.scored)[0] > 0 and not np.array_equal(end, begin):
                shares = np.array(_BACK)[:, np.newaxis]
                self._tried(begin + shares * (end - begin))
        return self.best

    def _end(
        self, minimize: Callable[..., Any], begin: Array, kept: Mapping[str, Any], rounds: int
    ) -> Array:
        """Return where SLSQP ends, or its first step that something without a margin stops."""
        steps = [begin]

        def look(at: Array) -> None:
            steps.append(np.clip(np.array(at, dtype=np.float64), 0.0, 1.0))
            scored = self._tried(steps[-1][np.newaxis, :])[0].scored
            known = all(label in scored.margins for label in self.labels)
            met = all(min(m, default=0.0) >= 0 for m in scored.margins.values())
            if known and met and math.isfinite(max(self.aim.key(scored))) and not scored.feasible:
                raise _BlockedError

        try:
            result = minimize(
                lambda at: self.scale * float(self._measured(at)[0]),
                begin,
                jac=lambda at: self.scale * self._slopes(at)[0],
                bounds=[(0.0, 1.0)] * begin.size,
                constraints=[kept] if self.origin.size > 1 else [],
                method="SLSQP",
                options={"maxiter": rounds, "ftol": 1e-9},
                callback=look,
            )
        except _BlockedError:
            return steps[-1]
        return np.clip(np.asarray(result.x, dtype=np.float64), 0.0, 1.0)

    def _tried(self, at: Array) -> list[Trial]:
        """Return trials at shares of the numbers that move, (m, moving)."""
        unit = np.tile(self.unit, (len(at), 1))
        unit[:, self.moving] = at
        found = self.trials.at(unit)
        self.best = min((self.best, *found), key=lambda trial: self.aim.key(trial.scored))
        return found

    def _places(self, found: Sequence[Trial]) -> Array:
        """Return where trials are, as shares of the numbers that move, (m, moving)."""
        unit = self.trials.box.to_unit(np.array([trial.point for trial in found]))
        return np.asarray(unit[:, self.moving])

    def _measured(self, at: Array) -> Array:
        """Return what is to be small, then all margins less what is kept; what is not known filled."""
        row = self._rows(self._tried(at[np.newaxis, :]), at[np.newaxis, :])[0]
        filled = np.where(np.isfinite(row), row, _FAILED)
        if not math.isfinite(row[0]):
            filled[0] = self.origin[0] if math.isfinite(self.origin[0]) else 0.0
        return filled

    def _margins(self, at: Array) -> Array:
        """Return all margins less what is kept of them."""
        return np.asarray(self._measured(at)[1:])

    def _rows(self, found: Sequence[Trial], at: Array) -> Array:
        """Return a row a trial: what is to be small, then margins less what is kept; NaN if unknown."""
        rows = []
        for trial, place in zip(found, at, strict=True):
            row = [self._liked(trial.scored, place)]
            for label in self.labels:
                unknown = (math.nan,) * self.sides[label]
                row += [m - _KEPT for m in trial.scored.margins.get(label, unknown)]
            row += [m - _KEPT for m in self.aim.margins(trial.scored) if m != math.inf]
            rows.append(row)
        return np.array(rows, dtype=np.float64)

    def _liked(self, scored: Scored, at: Array) -> float:
        """Return what is to be small: the preference, or else half the distance's square."""
        if self.aim.preference is None:
            return float(np.sum((at - self.unit[self.moving]) ** 2)) / 2
        return scored.preferences[self.aim.preference]

    def _slopes(self, at: Array) -> Array:
        """Return the slopes of `_measured`, (1 + margins, moving), by differences into the box.

        They are 0 where a neighbour could not be measured.
        """
        key = at.tobytes()
        if key not in self.gradients:
            at = np.clip(at, 0.0, 1.0)
            steps = np.where(at + self.step <= 1.0, self.step, -self.step)
            beside = at + np.diag(steps)
            middle = self._tried(at[np.newaxis, :])
            around = self._tried(beside)
            here = self._rows(middle, at[np.newaxis, :])[0]
            there = self._rows(around, beside)
            # Points are rounded to decimals: divide by how far they really are apart.
            apart = np.diag(self._places(around) - self._places(middle))
            known = np.isfinite(there) & np.isfinite(here)
            with np.errstate(invalid="ignore"):
                slopes = (there - here) / np.where(apart == 0, steps, apart)[:, np.newaxis]
            self.gradients[key] = np.where(known, slopes, 0.0).T
        return self.gradients[key]
