"""A solved state of the text, and the difference between two of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange
from frame3d.bike.solve import solve
from frame3d.chart.cache import Cache
from frame3d.clearance.scene import Scene, pictured_scene, scene_of
from frame3d.family.differences import Change, figure_changes
from frame3d.live.editing import scalars
from frame3d.parameters.reading.reader import loads
from frame3d.parameters.reading.reparse import Reparse


@dataclass(frozen=True)
class SolvedText:
    """A text with its solved bike."""

    text: str
    bike: Bike
    pictured: Scene
    """Without the frame's own bodies."""
    swaps: tuple[str, ...] = ()
    """Exchanges of parts, ``KEY=VALUE``."""

    @cached_property
    def scene(self) -> Scene:
        """With all bodies, for checks."""
        return scene_of(self.bike)

    @property
    def name(self) -> str:
        """The bike's name."""
        return self.bike.spec.title


def good(text: str, source: str) -> SolvedText:
    """Solve a text, without the CAD kernel.

    Raises:
        FrameError: the text makes no bike.
    """
    return Solver(source)(text)


def exchanged(solved: SolvedText, swaps: tuple[str, ...], source: str) -> SolvedText:
    """Return the bike with parts exchanged, as ``--swap`` does.

    Raises:
        FrameError: a part cannot be exchanged, or does not fit.
    """
    paths = [swap.partition("=")[0].strip() for swap in swaps]
    bike = exchange(solved.bike, loads(solved.text, source, swaps=swaps), paths)
    return SolvedText(solved.text, bike, pictured_scene(bike), swaps)


class Solver:
    """Solves successive texts of a file, with a cache of results that do not change."""

    def __init__(self, source: str) -> None:
        """Create a solver with an empty cache.

        Args:
            source: the file's name.
        """
        self._source = source
        self._parse = Reparse()
        self._memory = Cache()

    def __call__(self, text: str) -> SolvedText:
        """Solve a text, without the CAD kernel.

        Raises:
            FrameError: the text makes no bike.
        """
        bike = solve(loads(text, self._source, parse=self._parse), self._memory)
        return SolvedText(text, bike, pictured_scene(bike))


@dataclass(frozen=True, slots=True)
class InputChange:
    """A value in two files; None where one does not have it."""

    path: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Difference:
    """The differences between two bikes."""

    figures: tuple[Change, ...]
    sagged: tuple[Change, ...]
    """Figures at sag, where both bikes have such."""
    inputs: tuple[InputChange, ...]


def difference(before: SolvedText, after: SolvedText) -> Difference:
    """Return the figures and the file's values that differ between two bikes."""
    sagged = before.bike.sagged, after.bike.sagged
    return Difference(
        tuple(figure_changes("figure", before.bike.chart, after.bike.chart)),
        ()
        if sagged[0] is None or sagged[1] is None
        else tuple(figure_changes("sagged", sagged[0].chart, sagged[1].chart)),
        _changes(_values(before), _values(after)),
    )


def input_changes(before: str, after: str) -> tuple[InputChange, ...]:
    """Return values that differ between two texts, in the order of `after`, then the removed ones."""
    if before == after:
        return ()
    old, new = scalars(before), scalars(after)
    return _changes({p: s.text for p, s in old.items()}, {p: s.text for p, s in new.items()})


def _values(solved: SolvedText) -> dict[str, str]:
    """Return the values of a bike's file by path, exchanged ones in place of the file's."""
    found = {path: scalar.text for path, scalar in scalars(solved.text).items()}
    for swap in solved.swaps:
        path, _, value = swap.partition("=")
        found[path.strip()] = value.strip()
    return found


def _changes(old: Mapping[str, str], new: Mapping[str, str]) -> tuple[InputChange, ...]:
    paths = [*new, *(path for path in old if path not in new)]
    changes = [InputChange(path, old.get(path), new.get(path)) for path in paths]
    return tuple(c for c in changes if c.before != c.after)
