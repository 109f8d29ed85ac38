"""Results of checks, with the place where each is tightest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal, TypeAlias

from frame3d.geometry.vector import Point
from frame3d.parameters.models.steering import Steering

MOST: Final = 9
"""Most decimals that are shown."""


WIDE: Final = 0.1
"""A certificate wider than this is shown with both its ends [mm]."""


Line: TypeAlias = tuple[str, tuple[str, ...]]
"""A check and its bodies as on another bike: see `Result.line`."""


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
    """Pose, from the bike as drawn: motion -> mm or degrees."""
    points: tuple[Point, Point] | None = None
    """Nearest points in the frame's drawn axes [mm]."""
    saturated: bool = False
    """Whether the depth is only a lower bound: a tube's axis runs through the other body."""
    note: str = ""
    mend: tuple[str, ...] = ()
    """What would make it pass, smallest change first."""
    slide: float | None = None
    """How far back in its slots the rear axle stands [mm]; None for where it is drawn, or anywhere."""
    insert: float | None = None
    """Angle that an eccentric insert stands at [degrees]; None for where it is drawn, or anywhere."""
    drawn: Mapping[str, float] = field(default_factory=dict)
    """Where what tensions the chain is drawn, in the file: ``slide`` [mm], ``insert`` [degrees]."""

    @property
    def place(self) -> dict[str, float]:
        """The pose as the file counts: the axle's place in its slots, the insert's angle."""
        return {motion: value + self.drawn.get(motion, 0.0) for motion, value in self.at.items()}

    @property
    def label(self) -> str:
        """Name of the check, with its two bodies where it is between two."""
        bodies = f" ({' to '.join(self.between)})" if self.between else ""
        return ", ".join([self.name + bodies, *self.elsewhere])

    @property
    def line(self) -> Line:
        """What identifies the result on another bike: without left or right, and in any gear."""
        return self.name, (*(_plain(name) for name in self.between or ()), *self.elsewhere)

    @property
    def elsewhere(self) -> tuple[str, ...]:
        """In words, where the chain's tensioning stands if not as drawn."""
        slid = () if self.slide is None else (f"axle {self.slide:g} mm back in its slots",)
        turned = () if self.insert is None else (f"insert at {self.insert:g}°",)
        return (*slid, *turned)

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
class Tensioned:
    """Over what of the chain's tensioning gaps and figures were checked."""

    by: Literal["slide", "insert"]
    low: float
    """Foremost place of the axle, 0, or least angle of the insert [mm or degrees]."""
    high: float
    at: tuple[float, ...]
    """Where figures were checked [mm or degrees]."""

    @property
    def says(self) -> str:
        """In words, what was checked and what was not."""
        unit = " mm" if self.by == "slide" else "°"
        figures = ", ".join(f"{value:.6g}" for value in self.at) + unit
        if self.by == "slide":
            return (
                f"gaps are certified with the axle anywhere in its slots, 0 to {self.high:g} mm back, "
                "the rotor going with it, and a caliper without a mount; left out: single figures (toe, "
                f"ground, post, load) elsewhere than at {figures}"
            )
        return (
            f"gaps are certified over the insert's whole turn, {self.low:g} to {self.high:g}°, with the "
            f"chain; left out: single figures (toe, ground, post, load) elsewhere than at {figures}"
        )


@dataclass(frozen=True, slots=True)
class Report:
    """All checks of a bike."""

    results: tuple[Result, ...]
    """Smallest margin first, whatever the unit."""
    unchecked: tuple[Unchecked, ...]
    steering: Steering | None = None
    """How far the bar turns and was checked; None where nothing turns with a bar."""
    tensioned: Tensioned | None = None
    """Over what of the chain's tensioning was checked; None where nothing tensions the chain."""

    @property
    def ok(self) -> bool:
        """Whether every check that was made passes."""
        return all(result.ok for result in self.results)
