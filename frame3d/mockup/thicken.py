"""What the scale makes too thin to print, and by how much it grew."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Thickened:
    """One size of a part that was grown to what prints [mm, at the print's scale]."""

    part: str
    size: str
    """Which size: ``thickness``, ``diameter``, ``wall around the axle``."""
    scaled: float
    """By the scale alone."""
    printed: float

    @property
    def by(self) -> float:
        """Growth [mm]."""
        return self.printed - self.scaled


@dataclass(slots=True)
class Ledger:
    """Every growth of a model, in the order of making."""

    entries: list[Thickened] = field(default_factory=list)

    def at_least(self, part: str, size: str, scaled: float, least: float) -> float:
        """A size that is no less than `least`; noted where it grew [mm]."""
        if scaled >= least - 1e-9:
            return scaled
        entry = Thickened(part, size, scaled, least)
        if entry not in self.entries:
            self.entries.append(entry)
        return least
