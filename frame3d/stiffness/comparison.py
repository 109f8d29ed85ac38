"""Frames beside each other: ratios with the band within which they are not told apart.

The bands come from a comparison of this beam model with solid finite elements of whole frames, made
once: 44 changes of one tube's size differed by at most 2.3 points of a per cent, 33 ratios of one
frame to another by at most 13 %.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.side_motion import SideMotion
from frame3d.stiffness.load_cases import LoadCase
from frame3d.stiffness.of_bike import Stiffness

TUBES_BAND = 0.025
"""Of the ratio where nothing but sections of tubes differ."""
FRAMES_BAND = 0.13
"""Of the ratio of two frames of other shape."""
NEAR = 0.01
"""How far axes of two frames may lie from each other so that they have one shape [mm]."""
Verdict = Literal["same", "not told apart", "stiffer", "less stiff"]


@dataclass(frozen=True, slots=True)
class Ratio:
    """One load case of a frame over the reference's."""

    case: LoadCase
    value: float
    low: float
    """Lower end of the band."""
    high: float
    """Upper end of the band."""
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Comparison:
    """A frame beside the reference."""

    of: Stiffness
    alike: bool
    """Whether both have one shape, so that only sections and materials of tubes differ."""
    ratios: tuple[Ratio, ...]
    mass_ratio: float
    """Weighed metal over the reference's."""


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Frames under their labels, one of them the reference."""

    labels: tuple[str, ...]
    results: tuple[Stiffness | None, ...]
    """None where a frame's stiffness cannot be told."""
    reference: int
    comparisons: tuple[Comparison | None, ...]
    """With the reference; None for itself, and where there is nothing to compare."""

    @property
    def first(self) -> Stiffness:
        """The reference's stiffness."""
        result = self.results[self.reference]
        assert result is not None
        return result


def side_by_side(
    labels: Sequence[str], results: Sequence[Stiffness | None], reference: int = 0
) -> SideBySide | None:
    """Return frames beside one of them; None where fewer than two are known, or that one is not."""
    first = results[reference]
    if first is None or sum(one is not None for one in results) < 2:
        return None
    beside = [
        None if one is None or i == reference else compare(first, [one])[0]
        for i, one in enumerate(results)
    ]
    return SideBySide(tuple(labels), tuple(results), reference, tuple(beside))


def compare(reference: Stiffness, others: Sequence[Stiffness]) -> tuple[Comparison, ...]:
    """Return each frame beside the reference, in the load cases that both have."""
    found = []
    for other in others:
        alike = is_alike(reference.model.bike, other.model.bike)
        ratios = []
        for one in other.cases:
            known = reference.value(one.case.key)
            if known is not None:
                ratios.append(ratio(one.case, one.stiffness / known, alike=alike))
        mass = other.frame_mass / reference.frame_mass
        found.append(Comparison(other, alike, tuple(ratios), mass))
    return tuple(found)


def ratio(case: LoadCase, value: float, *, alike: bool) -> Ratio:
    """Return a ratio with its band, and what it says."""
    if alike:
        low, high = value - TUBES_BAND, value + TUBES_BAND
    else:
        low, high = value / (1 + FRAMES_BAND), value * (1 + FRAMES_BAND)
    verdict: Verdict = "stiffer" if value > 1 else "less stiff"
    if low <= 1 <= high:
        verdict = "same" if alike else "not told apart"
    return Ratio(case, value, low, high, verdict)


def is_alike(one: Bike, other: Bike) -> bool:
    """Return whether two frames have the same tubes on the same axes.

    How a frame stands, pitched by another fork, does not count.
    """
    first, second = _level_axes(one), _level_axes(other)
    if set(first) != set(second):
        return False
    share = np.linspace(0.0, 1.0, 9)
    for name, a in first.items():
        b = second[name]
        far = a.points(share * a.length) - b.points(share * b.length)
        if float(np.linalg.norm(far, axis=1).max()) > NEAR:
            return False
    return True


def _level_axes(bike: Bike) -> dict[str, Centreline]:
    """Return the axis of each tube where the frame has its pitch, and an insert's turn, taken back."""
    frame = bike.frame
    x, z = frame.shift
    back = SideMotion(0.0, -x, -z).pitched(-frame.pitch)
    moved = frame.pitch or x or z
    return {tube.name: tube.axis.moved(back) if moved else tube.axis for tube in bike.tubes}
