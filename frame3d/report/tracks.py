"""The smallest certified gap of each check over the values of one motion."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

import numpy as np

from frame3d.bodies.motion.mounts import TRAVELS, Name
from frame3d.clearance.certify.batch import Pair
from frame3d.clearance.certify.broad_phase import ways
from frame3d.clearance.certify.distance import Apart, Gap, measured, prepare
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.pairs import motions_of
from frame3d.clearance.result import Report, Result
from frame3d.clearance.scalar_checks import FIGURE_CHECKS
from frame3d.clearance.scene import Scene
from frame3d.geometry.vector import Point

FOLLOWED: Final[tuple[Name, ...]] = (*TRAVELS, "steer", "insert")
"""Motions over which gaps are tracked: the first of these that moves the two bodies."""
COUNT: Final = 21
"""Number of evenly spaced travels; the tightest one is added."""
TURNED: Final = 6.0
"""Largest step of the steering [degrees]."""
SAME: Final = 1e-6
"""Closer values count as one [mm or degrees]."""


@dataclass(frozen=True)
class GapTrack:
    """The smallest gap between two bodies at each value of one motion, over all others."""

    motion: Name
    values: tuple[float, ...]
    """Values of the motion, increasing [mm or degrees]."""
    gaps: tuple[float, ...]
    """Smallest gap at each value [mm]."""
    points: tuple[tuple[Point, Point], ...]
    """The two nearest points at each value, in the frame's axes [mm]."""


def tracks_of(scene: Scene, report: Report, count: int = COUNT) -> dict[int, GapTrack]:
    """Return the tracks by index of the result, for checks whose bodies such a motion moves."""
    plans = {
        i: plan
        for i, result in enumerate(report.results)
        if (plan := _plan(scene, result, count)) is not None
    }
    found = {i: _least(plan, scene.tolerance) for i, plan in plans.items()}
    return {
        i: GapTrack(
            plans[i].motion,
            plans[i].values,
            tuple(gap.gap for gap in least),
            tuple((gap.tube_point, gap.shape_point) for gap in least),
        )
        for i, least in found.items()
    }


def _least(plan: _Plan, tolerance: float) -> list[Gap]:
    """Return the smallest gap at each value of a plan's motion.

    The pair that was nearest at the last value is measured first, so that bounds rule out most others
    without measuring them.
    """
    order, out = list(range(len(plan.pairs))), []
    for value in plan.values:
        pairs = plan.held(value)
        gaps = measured([pairs[k] for k in order], tolerance=tolerance, only_least=True)
        known = [(gap, k) for gap, k in zip(gaps, order, strict=True) if not isinstance(gap, Apart)]
        least, nearest = min(known, key=lambda one: one[0].gap)
        out.append(least)
        order = [nearest, *(k for k in order if k != nearest)]
    return out


@dataclass(frozen=True)
class _Plan:
    """The pairs of bodies and the values to measure for one track."""

    motion: Name
    values: tuple[float, ...]
    pairs: tuple[Pair, ...]

    def held(self, value: float) -> list[Pair]:
        """Return the pairs with the motion fixed at a value; their other motions stay free."""
        out = []
        held, _ = Range(self.motion, value, value).held()
        for pair in self.pairs:
            names = [r.name for r in pair.motion.ranges]
            if self.motion in names:
                low, high = pair.motion.low.copy(), pair.motion.high.copy()
                low[names.index(self.motion)] = high[names.index(self.motion)] = held
                out.append(replace(pair, motion=replace(pair.motion, low=low, high=high)))
            else:
                out.append(pair)
        return out


def _plan(scene: Scene, result: Result, count: int) -> _Plan | None:
    if result.elsewhere or result.between is None or result.name in FIGURE_CHECKS:
        return None
    a, b = (scene.body(name) for name in result.between)
    if a is None or b is None:
        return None
    ranges = scene.ranges(motions_of(result.name))
    pairs = []
    for tube, shape in (both for way in ways(a, b) for both in product(*way)):
        moving = {step.name for step in (*tube.mount.steps, *shape.mount.steps)}
        pairs.append(prepare(tube, shape, [r for r in ranges if r.name in moving]))
    moved = {r.name: r for pair in pairs for r in pair.motion.ranges}
    motion = next((name for name in FOLLOWED if name in moved), None)
    if motion is None:
        return None
    low, high = moved[motion].low, moved[motion].high
    if motion == "steer":
        count = max(count, math.ceil((high - low) / TURNED) + 1)
    even = np.linspace(low, high, count)
    values = [float(v) for v in even]
    tightest = result.at.get(motion)
    if tightest is not None and np.abs(even - tightest).min() > SAME:
        values = sorted([*values, tightest])
    return _Plan(motion, tuple(values), tuple(pairs))
