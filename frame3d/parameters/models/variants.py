"""What a parameter file offers beside one bike: its sizes, its settings, and which are chosen."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Variants:
    """Sizes and settings of a file, in its order, and those that one bike was read with."""

    sizes: tuple[str, ...] = ()
    default: str | None = None
    """The size that is meant where none is named; None where the file has no sizes."""
    settings: tuple[str, ...] = ()
    size: str | None = None
    """The chosen size; None where the file has none."""
    chosen: tuple[str, ...] = ()
    """The chosen settings, in the order in which they are made; empty as the frame is drawn."""
    exchanged: tuple[str, ...] = ()
    """Dotted paths of the values that settings and exchanges of parts replace."""

    @property
    def label(self) -> str:
        """Size and settings for a title, e.g. ``size L, low``; empty where there are none."""
        size = () if self.size is None else (f"size {self.size}",)
        return ", ".join((*size, *self.chosen))

    def titled(self, name: str) -> str:
        """Return a bike's name with its size and settings, e.g. ``Trail 29, size L, low``."""
        return f"{name}, {self.label}" if self.label else name
