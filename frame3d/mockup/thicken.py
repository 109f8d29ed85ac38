"""Dimensions that the scale makes too thin to print, and by how much they are thickened."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Thickened:
    """A dimension of a part that was increased to the least that prints."""

    part: str
    size: str
    """Name of the dimension: ``thickness``, ``diameter``, ``wall around the axle``."""
    scaled: float
    """Value by the scale alone [mm of the print]."""
    printed: float
    """Value as printed [mm]."""

    @property
    def by(self) -> float:
        """Increase [mm]."""
        return self.printed - self.scaled


@dataclass(slots=True)
class Ledger:
    """All thickened dimensions of a model, in the order of making."""

    entries: list[Thickened] = field(default_factory=list)

    def at_least(self, part: str, size: str, scaled: float, least: float) -> float:
        """Return the larger of `scaled` and `least` [mm]; note the dimension where that is `least`."""
        if scaled >= least - 1e-9:
            return scaled
        entry = Thickened(part, size, scaled, least)
        if entry not in self.entries:
            self.entries.append(entry)
        return least
