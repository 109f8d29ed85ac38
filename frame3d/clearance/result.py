"""Results of checks, with the place where each is tightest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from frame3d.geometry.vector import Point
from frame3d.parameters.models.steering import Steering

MOST: Final = 9
"""Most decimals that are shown."""


WIDE: Final = 0.1
"""A certificate wider than this is shown with both its ends [mm]."""


@dataclass(frozen=True, slots=True)
class Result:
    """Result of one check, at its tightest place in its tightest pose."""

    name: str
    """Name of the check, as under `clearance:` in the file."""
    title: str
    between: tuple[str, str] | None
    """The two bodies; None for a check of a single figure."""
    gap: float
    """The smallest value found, in `unit`; a negative length is a depth of overlap."""
    error: float
    """The true smallest value lies in [gap - error, gap]; 0 for a closed form."""
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
    """Whether the depth is only a lower bound: a tube's axis runs through the other body."""
    note: str = ""
    mend: tuple[str, ...] = ()
    """What would make it pass, smallest change first."""
    slide: float | None = None
    """How far back in its slots the rear axle stands [mm]; None for where it is drawn."""

    @property
    def label(self) -> str:
        """Name of the check, with its two bodies where it is between two."""
        slid = "" if self.slide is None else f", axle {self.slide:g} mm back in its slots"
        return self.name + (f" ({' to '.join(self.between)})" if self.between else "") + slid

    @property
    def line(self) -> tuple[str, tuple[str, ...]]:
        """What identifies the result on another bike: without left or right, and in any gear."""
        slid = () if self.slide is None else (f"axle {self.slide:g} mm back",)
        return self.name, (*(_plain(name) for name in self.between or ()), *slid)

    @property
    def least(self) -> float:
        """Lower end of the certificate, which is compared with the requirement."""
        return self.gap - self.error

    @property
    def is_wide(self) -> bool:
        """Whether the certificate is so wide that both its ends are to be shown."""
        return self.error > WIDE

    @property
    def margin(self) -> float:
        """`least` minus the requirement."""
        return self.least - self.required

    @property
    def ok(self) -> bool:
        """Whether it passes even at the lower end of the certificate."""
        return self.margin >= 0

    def decimals(self, fewest: int) -> int:
        """Return how many decimals show `least` on the right side of the requirement.

        Args:
            fewest: fewest decimals to return; at most `MOST` are.
        """
        for count in range(fewest, MOST):
            shown, missing = (float(f"{x:.{count}f}") for x in (self.least, -self.margin))
            if self.ok == (shown >= self.required) and self.ok == (missing <= 0):
                return count
        return MOST


def _plain(name: str) -> str:
    if name.startswith("chain_"):
        return "chain"
    return name.removesuffix("_left").removesuffix("_right")


@dataclass(frozen=True, slots=True)
class Unchecked:
    """A check that could not be made or was switched off; it never counts as passed."""

    name: str
    title: str
    why: str


@dataclass(frozen=True, slots=True)
class Report:
    """All checks of a bike."""

    results: tuple[Result, ...]
    """Smallest margin first, whatever the unit."""
    unchecked: tuple[Unchecked, ...]
    steering: Steering | None = None
    """How far the bar turns and was checked; None where nothing turns with a bar."""

    @property
    def ok(self) -> bool:
        """Whether every check that was made passes."""
        return all(result.ok for result in self.results)
