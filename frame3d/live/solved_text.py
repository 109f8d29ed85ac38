"""A solved state of the text, and the difference between two of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice, solve_choice
from frame3d.bike.exchange import exchange
from frame3d.bike.solve import solve
from frame3d.chart.cache import Cache
from frame3d.clearance.memory import PairMemory
from frame3d.clearance.scene import Scene, pictured_scene, scene_of
from frame3d.family.differences import Change, contact_changes, figure_changes
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading.number_places import resolved_scalars
from frame3d.parameters.reading.reader import loads, variants_of
from frame3d.parameters.reading.reparse import Reparse

AS_DRAWN: Final = Choice()
"""The default size, without settings."""


@dataclass(frozen=True)
class SolvedText:
    """A text with one of its bikes, solved."""

    text: str
    bike: Bike
    pictured: Scene
    """Without the frame's own bodies."""
    choice: Choice = AS_DRAWN
    """Which bike of the text: the size by its name where the text has sizes."""

    @property
    def key(self) -> tuple[str, Choice]:
        """What it was solved from."""
        return self.text, self.choice

    @property
    def swaps(self) -> tuple[str, ...]:
        """Exchanges of parts, ``KEY=VALUE``."""
        return tuple(self.choice.swaps)

    @cached_property
    def scene(self) -> Scene:
        """With all bodies, for checks."""
        return scene_of(self.bike, memory=PairMemory())

    @property
    def name(self) -> str:
        """The bike's name, with its size and settings."""
        return self.bike.spec.title


def good(text: str, source: str, choice: Choice = AS_DRAWN) -> SolvedText:
    """Solve a bike of a text, without the CAD kernel.

    Raises:
        FrameError: the text makes no such bike.
    """
    return Solver(source)(text, choice)


def exchanged(solved: SolvedText, swaps: tuple[str, ...], source: str) -> SolvedText:
    """Return the bike with parts exchanged, as ``--swap`` does.

    Raises:
        FrameError: a part cannot be exchanged, or does not fit.
    """
    choice = replace(solved.choice, swaps=swaps)
    if choice.settings:  # they are made on the frame as drawn, together with these
        return good(solved.text, source, choice)
    spec = loads(solved.text, source, swaps=swaps, size=choice.size)
    bike = exchange(solved.bike, spec, spec.variants.exchanged)
    return SolvedText(solved.text, bike, pictured_scene(bike), choice)


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

    def offered(self, text: str) -> Variants:
        """Return the sizes and settings that a text offers.

        Raises:
            SpecError: the text is not well-formed, or they are not.
        """
        return variants_of(text, self._source, parse=self._parse)

    def __call__(self, text: str, choice: Choice = AS_DRAWN) -> SolvedText:
        """Solve a bike of a text, without the CAD kernel.

        Raises:
            FrameError: the text makes no such bike.
        """
        if choice.settings or choice.swaps:
            bike = solve_choice(text, self._source, choice, self._memory, self._parse).bike
        else:
            spec = loads(text, self._source, parse=self._parse, size=choice.size)
            bike = solve(spec, self._memory)
        fitted = choice.fitted(bike.spec.variants)
        return SolvedText(text, bike, pictured_scene(bike), fitted)


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
    contacts: tuple[Change, ...]
    """Distances of the rider's contact points."""
    inputs: tuple[InputChange, ...]


def difference(before: SolvedText, after: SolvedText) -> Difference:
    """Return the figures and the file's values that differ between two bikes."""
    sagged = before.bike.sagged, after.bike.sagged
    return Difference(
        tuple(figure_changes("figure", before.bike.chart, after.bike.chart)),
        ()
        if sagged[0] is None or sagged[1] is None
        else tuple(figure_changes("sagged", sagged[0].chart, sagged[1].chart)),
        tuple(contact_changes(before.bike, after.bike)),
        value_changes(_values(before), _values(after)),
    )


def _values(solved: SolvedText) -> dict[str, str]:
    """Return the values of a bike's file by path, exchanged ones in place of the file's."""
    found = dict(_resolved(*solved.key))
    for swap in solved.swaps:
        path, _, value = swap.partition("=")
        found[path.strip()] = value.strip()
    return found


@lru_cache(maxsize=16)
def _resolved(text: str, choice: Choice) -> Mapping[str, str]:
    return resolved_scalars(text, choice.size, tuple(choice.settings))


def value_changes(old: Mapping[str, str], new: Mapping[str, str]) -> tuple[InputChange, ...]:
    """Return values by path that differ, in the order of `new`, then the removed ones."""
    paths = [*new, *(path for path in old if path not in new)]
    changes = [InputChange(path, old.get(path), new.get(path)) for path in paths]
    return tuple(c for c in changes if c.before != c.after)
