"""What was measured, what is asked for, and where it is tightest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from frame3d.geometry.vector import Point
from frame3d.parameters.models.steering import Steering

MOST: Final = 9
"""Decimals that are shown at most."""


@dataclass(frozen=True, slots=True)
class Result:
    """One check, at its tightest place in its tightest pose."""

    name: str
    """Of the check, as `clearance:` in the file names it."""
    title: str
    between: tuple[str, str] | None
    """The two bodies; None for a check of a single figure."""
    gap: float
    """What was found, in `unit`; a negative length is a depth of overlap."""
    error: float
    """The true smallest value lies in [gap - error, gap]; 0 where it is a closed form."""
    required: float
    unit: str
    """``mm``, ``degrees`` or ``%``."""
    source: str
    """Where the requirement comes from."""
    at: Mapping[str, float] = field(default_factory=dict)
    """Pose: motion -> mm or degrees."""
    points: tuple[Point, Point] | None = None
    """Nearest points in the frame's drawn axes [mm]."""
    saturated: bool = False
    """The depth is only a bound: a tube's axis runs through the other body."""
    note: str = ""
    mend: tuple[str, ...] = ()
    """What would make it pass, smallest change first."""

    @property
    def least(self) -> float:
        """The least that it is for certain: the lower end of the certificate, which is judged."""
        return self.gap - self.error

    @property
    def margin(self) -> float:
        """What is left over of the least."""
        return self.least - self.required

    @property
    def ok(self) -> bool:
        """Whether it passes even at the lower end of the certificate."""
        return self.margin >= 0

    def decimals(self, fewest: int) -> int:
        """How many decimals it takes to show the least on the side of the requirement where it lies."""
        for count in range(fewest, MOST):
            shown, missing = (float(f"{x:.{count}f}") for x in (self.least, -self.margin))
            if self.ok == (shown >= self.required) and self.ok == (missing <= 0):
                return count
        return MOST


@dataclass(frozen=True, slots=True)
class Unchecked:
    """A check that could not be made or was switched off; never a pass."""

    name: str
    title: str
    why: str


@dataclass(frozen=True, slots=True)
class Report:
    """All checks of a bike."""

    results: tuple[Result, ...]
    """Smallest margin first, in parts of the requirement's own unit."""
    unchecked: tuple[Unchecked, ...]
    steering: Steering | None = None
    """How far the bar turns and was checked; None where nothing turns with a bar."""

    @property
    def ok(self) -> bool:
        """Whether every check that was made passes."""
        return all(result.ok for result in self.results)
