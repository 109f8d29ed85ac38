"""Sag: where the suspension settles under the rider, and which spring gives a wanted sag."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.linkage.curves.guide import Guide
from frame3d.linkage.curves.springs import Coil, Spring
from frame3d.parameters.units import LB_IN


@dataclass(frozen=True, slots=True)
class Sag:
    """The stroke and travel at which the spring carries the load."""

    stroke: float
    """Stroke of the shock [mm]."""
    travel: float
    """Vertical travel of the wheel [mm]."""
    stroke_share: float
    """Stroke as a share of the full stroke, 0 to 1."""
    travel_share: float
    """Travel as a share of the full travel, 0 to 1."""


def target_sag(guide: Guide, share: float, of: Literal["stroke", "travel"] = "stroke") -> Sag:
    """Return the sag that is given as a share (0 to 1) of the full stroke or of the full travel."""
    if of == "stroke":
        stroke = share * guide.full_stroke
    else:
        stroke = float(guide.strokes_at(np.array([share * guide.full_travel]))[0])
    return _sag(guide, stroke)


def _sag(guide: Guide, stroke: float) -> Sag:
    travel = float(guide.at_strokes(np.array([stroke])).travel[0])
    return Sag(stroke, travel, stroke / guide.full_stroke, travel / guide.full_travel)


def shock_load(guide: Guide, wheel_load: float, stroke: float) -> float:
    """Return the shock force that carries a vertical load at the wheel [N]: load × leverage ratio.

    Args:
        guide: the suspension or the fork.
        wheel_load: load on the ground less the unsprung weight [N].
        stroke: of the shock [mm].
    """
    return wheel_load * float(guide.at_strokes(np.array([stroke])).leverage[0])


def equilibrium_sag(guide: Guide, spring: Spring, wheel_load: float) -> Sag | None:
    """Return the sag on a spring at rest: the first stroke at which it carries the load.

    The stroke is 0 where the spring carries the load at full extension already, and None is returned
    where it does not carry the load at any stroke.

    Args:
        guide: the suspension or the fork.
        spring: its spring.
        wheel_load: load on the ground less the unsprung weight [N].
    """
    still = spring.at_rest()

    def short(stroke: float) -> float:
        motion = guide.at_strokes(np.array([stroke]))
        return float((still.force(motion.stroke) - wheel_load * motion.leverage)[0])

    strokes = guide.stroke
    over = np.flatnonzero(still.force(strokes) - wheel_load * guide.leverage >= 0)
    if not len(over):
        return None
    if over[0] == 0:
        return _sag(guide, 0.0)
    low, high = float(strokes[over[0] - 1]), float(strokes[over[0]])
    below, above = short(low), short(high)
    for _ in range(80):
        middle = high - above * (high - low) / (above - below)
        if not low < middle < high or abs(high - low) < 1e-3 * guide.full_stroke:
            middle = (low + high) / 2
        value = short(middle)
        if value >= 0:
            high, above = middle, value
        else:
            low, below = middle, value
        if high - low < 1e-10 * guide.full_stroke:
            break
    return _sag(guide, high)


@dataclass(frozen=True, slots=True)
class SoldCoil:
    """A coil that is sold, and the sag on it."""

    rate_lb_in: int
    """Rate [lb/in]."""
    rate_n_mm: float
    """Rate [N/mm]."""
    sag: Sag | None
    """None where the suspension bottoms out under the load at rest."""


def sold_coils(
    guide: Guide, wanted: Coil, wheel_load: float, step: int = 25
) -> tuple[SoldCoil, SoldCoil]:
    """Return the sold coils next below (or equal to) and next above the wanted rate, with their sag.

    Coils are sold in steps of 25 or 50 lb/in: common practice, no source.

    Args:
        guide: the suspension or the fork.
        wanted: the coil that gives the wanted sag.
        wheel_load: vertical load that the spring carries at the wheel [N].
        step: between sold rates [lb/in].
    """
    softer = max(1, math.floor(wanted.k / LB_IN / step + 1e-9)) * step
    sold = []
    for pounds in (softer, softer + step):
        coil = Coil(pounds * LB_IN, wanted.preload)
        sold.append(SoldCoil(pounds, coil.k, equilibrium_sag(guide, coil, wheel_load)))
    return (sold[0], sold[1])
