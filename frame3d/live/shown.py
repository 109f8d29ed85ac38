"""The bike as all pages show it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from frame3d.errors import Fault
from frame3d.live.model_store import Picture
from frame3d.live.solved_text import SolvedText


@dataclass(frozen=True, slots=True)
class Drawn:
    """A solved bike with its picture, and its figures as markup."""

    solved: SolvedText
    picture: Picture
    figures: str
    side: str
    """A drawing, for bikes without anything to show in 3D."""
    stiffness: str | None = None
    """The panel on stiffness as markup; None where no page shows it."""


@dataclass(frozen=True, slots=True)
class Begun:
    """A text with too few figures: its faults, and what its figures settle as markup."""

    faults: tuple[Fault, ...]
    figures: str


@dataclass(slots=True)
class Shown:
    """The last valid bike as all pages show it."""

    solved: SolvedText | None = None
    picture: int | None = None
    """Number of its picture in the store."""
    exact: bool = False
    checked: bool = False
    """Whether the checker has finished; `curved`: whether the curves are there; `made`: solids too."""
    bends: bool = False
    """Whether pages have been told how its frame bends."""
    curved: bool = False
    made: bool = False
    checks: int | None = None
    """Number of the checks in the store."""
    curves: Mapping[str, Any] | None = None
    ride: Mapping[str, Any] | None = None
    """Plots of the curves, and of the sections on the ride; None before there were any."""
    grams: float | None = None
    of_solids: tuple[Fault, ...] = ()
    html: dict[str, str] = field(default_factory=dict)
    begun: Begun | None = None
    """Whose figures are shown in place of the bike's."""

    def become(self, solved: SolvedText, picture: int, grams: float | None) -> None:
        """Show another bike, of which nothing slow is known yet; `grams` may be, from before."""
        self.solved, self.picture, self.grams = solved, picture, grams
        self.exact = self.checked = self.curved = self.made = self.bends = False
        self.checks, self.of_solids, self.begun = None, (), None
