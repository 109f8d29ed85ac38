"""What a search knows of its problem: a box of numbers, and how well points of it do."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from frame3d.explore.rounding import nearest, steps_in
from frame3d.geometry.arrays import Array, Mask


@dataclass(frozen=True, slots=True, eq=False)
class Box:
    """The numbers that vary, each between two limits.

    A list of k values is a number of its own: its place in the list, from 0 to k − 1 by steps of 1.
    """

    low: Array
    """Least values, (n,)."""
    high: Array
    """Greatest values, (n,)."""
    start: Array
    """Where the search begins, (n,)."""
    steps: tuple[float | None, ...]
    """Only ``low``, ``low + step``, … of each number; None for all between."""
    names: tuple[str, ...] = ()
    """Of each number, for what is told; may be empty."""

    @property
    def span(self) -> Array:
        """From the least value to the greatest that the steps allow, (n,)."""
        span: Array = self.high - self.low
        for i, step in enumerate(self.steps):
            if step is not None:
                span[i] = steps_in(float(self.low[i]), float(self.high[i]), step) * step
        return span

    @property
    def stepped(self) -> Mask:
        """Which numbers go by steps, (n,)."""
        return np.array([step is not None for step in self.steps], dtype=np.bool_)

    @property
    def free(self) -> Mask:
        """Which numbers have more than one value, (n,)."""
        return np.asarray(self.span > 0, dtype=np.bool_)

    @property
    def unit_steps(self) -> Array:
        """Steps as shares of the span, 0 where all values between are allowed, (n,)."""
        span = self.span
        return np.array(
            [0.0 if s is None or w <= 0 else s / w for s, w in zip(self.steps, span, strict=True)]
        )

    @property
    def count(self) -> float:
        """How many points there are; infinite unless every number goes by steps."""
        free = self.free
        if not np.all(self.stepped[free]):
            return math.inf
        return float(np.prod(np.rint(1 / self.unit_steps[free]) + 1))

    def to_unit(self, points: Array) -> Array:
        """Return points, (m, n) or (n,), as shares of the span from the least values, 0 to 1."""
        span = self.span
        shares = (points - self.low) / np.where(span > 0, span, 1.0)
        return np.clip(np.where(span > 0, shares, 0.0), 0.0, 1.0)

    def from_unit(self, unit: Array) -> Array:
        """Return the points nearest to shares of the span that the box allows; see `snap`."""
        return self.snap(self.low + np.clip(unit, 0.0, 1.0) * self.span)

    def snap(self, points: Array) -> Array:
        """Return the nearest points that the box allows, (m, n) or (n,).

        Numbers without a step are rounded to a decimal of at most 1e-8 of their range.
        """
        snapped = np.array(points, dtype=np.float64)
        for i, step in enumerate(self.steps):
            low, high = float(self.low[i]), float(self.high[i])
            snapped[..., i] = nearest(snapped[..., i], low, high, step)
        return snapped


@dataclass(frozen=True, slots=True)
class Scored:
    """How well a point does."""

    total: float
    """Sum of what it falls short of all wishes, scaled, and graded so that nearer is smaller; 0 where
    every wish is met."""
    preferences: tuple[float, ...] = ()
    """What is to be small, one of each preference; infinite where it is not known."""
    margins: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    """By a wish's label: how far each of its limits is kept, scaled; negative for a miss. Only of wishes
    whose values follow the point smoothly."""
    misses: Mapping[str, float] = field(default_factory=dict)
    """By label of a wish or check: how far it is missed, scaled; 0 where it is met. Those in `margins`
    may be left out."""
    blocked_by: str | None = None
    """Label of what stopped it; None where every wish is met, or where the margins say it."""
    values: Mapping[str, float] = field(default_factory=dict)
    """By label, what was measured."""

    @property
    def feasible(self) -> bool:
        """Whether every wish is met."""
        return self.total <= 0

    @property
    def blocking(self) -> str | None:
        """What stopped it, or else the wish that is missed by most; None where all are met."""
        if self.feasible:
            return None
        if self.blocked_by is not None:
            return self.blocked_by
        known = {label: self.margin(label) for label in (*self.margins, *self.misses)}
        missed = {label: m for label, m in known.items() if m < 0}
        return min(missed, key=lambda label: missed[label], default=None)

    def margin(self, label: str) -> float:
        """Return how far a wish or check is met: its least margin, or else its miss; NaN if unknown."""
        if label in self.margins:
            return min(self.margins[label], default=math.nan)
        return -self.misses[label] if label in self.misses else math.nan


Objective = Callable[[Array], Sequence[Scored]]
"""From points, (m, n), to how each does, in the same order."""


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """A box, and what is asked of its points."""

    box: Box
    objective: Objective
    preferences: tuple[str, ...] = ()
    """Labels of what is to be small."""
    batch: int = 1
    """How many points are best tried at once: as many as there are workers. A generation has at least so
    many; the table of a search depends on it."""


@dataclass(frozen=True, slots=True)
class Aim:
    """What counts as better: fewer misses first, then less of one preference."""

    preference: int | None = None
    """Place of the preference that is to be small; None where only the wishes count."""
    limits: tuple[float, ...] = ()
    """Greatest value allowed of each preference, infinite for none; empty for none at all."""
    scales: tuple[float, ...] = ()
    """What counts as 1 beyond each of the limits."""

    def margins(self, scored: Scored) -> tuple[float, ...]:
        """Return how far each limit is kept, scaled; infinite where there is none."""
        if not self.limits:
            return ()
        return tuple(
            math.inf if math.isinf(limit) else (limit - value) / scale
            for limit, value, scale in zip(
                self.limits, scored.preferences, self.scales, strict=True
            )
        )

    def key(self, scored: Scored) -> tuple[float, float]:
        """Return what to sort by, best first: the sum of misses, then the preference."""
        total = max(scored.total, 0.0) + sum(max(0.0, -m) for m in self.margins(scored))
        liked = 0.0 if self.preference is None else scored.preferences[self.preference]
        return (
            math.inf if math.isnan(total) else total,
            math.inf if math.isnan(liked) else liked,
        )
