"""Solve one bike of a parameter file: a size, a setting, changes to the design, other parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange
from frame3d.bike.solve import solve
from frame3d.chart.cache import Cache
from frame3d.errors import SourceLocation
from frame3d.parameters.models.names import file_name
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.reader import loads


@dataclass(frozen=True, slots=True)
class Choice:
    """Which of a file's bikes is wanted; without a word the file's default size as it is drawn."""

    size: str | None = None
    settings: Sequence[str] = ()
    """Made in this order, before `swaps`."""
    sets: Sequence[str] = ()
    """Changes of the design, ``KEY=VALUE``."""
    swaps: Sequence[str] = ()
    """Exchanges of parts on the finished frame, ``KEY=VALUE``."""

    def fitted(self, offered: Variants) -> Choice:
        """Return the choice among what a file offers, its default size in place of one it has not."""
        size = self.size if self.size in offered.sizes else offered.default
        settings = tuple(name for name in offered.settings if name in self.settings)
        return replace(self, size=size, settings=settings)

    def folder_in(self, folder: Path) -> Path:
        """Return where results of the choice go: one below `folder` for each size, settings within."""
        if self.size is not None:
            folder /= folder_name(self.size)
        return folder / folder_name("+".join(self.settings)) if self.settings else folder


@dataclass(frozen=True, slots=True)
class Chosen:
    """The bike that was wanted, and the one that its frame was drawn as."""

    bike: Bike
    drawn: Bike
    """Without settings and exchanged parts; `bike` itself where there are none."""


def solve_choice(
    text: str,
    source: str,
    choice: Choice,
    memory: Cache | None = None,
    parse: Callable[[str, Callable[[int, int], SourceLocation]], tree.Parsed] = tree.parse,
) -> Chosen:
    """Solve one bike of a parameter file.

    Args:
        text: of the file.
        source: its name, for faults.
        choice: which bike.
        memory: cache from bikes solved earlier; results that do not change are taken from it, and the
            drawn bike where another setting of it is wanted.
        parse: as for `frame3d.parameters.reading.reader.loads`.

    Raises:
        FrameError: that bike cannot be made.
    """

    def as_drawn() -> Bike:
        return solve(loads(text, source, choice.sets, parse=parse, size=choice.size), memory)

    known = Cache() if memory is None else memory
    drawn = known.get_or_compute(
        ("drawn bike", text, source, tuple(choice.sets), choice.size), as_drawn
    )
    if not choice.swaps and not choice.settings:
        return Chosen(drawn, drawn)
    spec = loads(
        text,
        source,
        choice.sets,
        choice.swaps,
        parse,
        size=choice.size,
        settings=choice.settings,
    )
    paths = spec.variants.exchanged
    return Chosen(exchange(drawn, spec, paths) if paths else drawn, drawn)


def folder_name(name: str) -> str:
    """Return a name of a size or setting that leads into no other folder; its file checks it."""
    return file_name(name).strip(". ") or "-"
