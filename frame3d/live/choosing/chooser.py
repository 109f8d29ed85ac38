"""The size and the settings that all pages show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from frame3d.bike.choice import Choice
from frame3d.parameters.models.variants import Variants


class Chooser:
    """What the text offers, and what is chosen of it; where that is gone, the file's default."""

    def __init__(self) -> None:
        """Choose nothing: the default size as drawn."""
        self.offered = Variants()
        """Sizes and settings of the last text in which they could be read."""
        self.is_read = False
        """Whether that is the present text."""
        self._wanted = Choice()

    @property
    def choice(self) -> Choice:
        """The chosen bike, by names that the text has."""
        return self._wanted.fitted(self.offered)

    def choose(self, size: str | None, settings: Sequence[str]) -> bool:
        """Choose a size and settings, made together; return whether that is another bike."""
        before = self.choice
        self._wanted = Choice(size, tuple(settings))
        return self.choice != before

    def read(self, offered: Variants | None) -> None:
        """Take over what a text offers; what only has another name there now is still chosen.

        Where that cannot be read (None), what the text before offered stays.
        """
        self.is_read = offered is not None
        if offered is None:
            return
        sizes = _renamed(self.offered.sizes, offered.sizes)
        settings = _renamed(self.offered.settings, offered.settings)
        if sizes or settings:
            wanted = self._wanted
            self._wanted = replace(
                wanted,
                size=wanted.size if wanted.size is None else sizes.get(wanted.size, wanted.size),
                settings=tuple(settings.get(name, name) for name in wanted.settings),
            )
        self.offered = offered

    def document(self) -> dict[str, Any]:
        """Return what is offered and what is chosen, for pages."""
        chosen = self.choice
        return {
            "sizes": list(self.offered.sizes),
            "settings": list(self.offered.settings),
            "size": chosen.size,
            "chosen": list(chosen.settings),
        }


def _renamed(before: Sequence[str], after: Sequence[str]) -> Mapping[str, str]:
    """Return the new name of the only one that has another; empty where that is not all."""
    if len(before) != len(after):
        return {}
    other = {a: b for a, b in zip(before, after, strict=True) if a != b}
    return other if len(other) == 1 and not set(other.values()) & set(before) else {}
