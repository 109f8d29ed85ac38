"""A solved state of the text, and the difference between two of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.chart.cache import Cache
from frame3d.clearance.scene import Scene, pictured_scene, scene_of
from frame3d.live.editing import scalars
from frame3d.parameters.models.figures import FIGURES
from frame3d.parameters.reading.reader import loads
from frame3d.parameters.reading.reparse import Reparse

SAME = 1e-6
"""Smaller differences of figures count as none [mm, degrees]."""


@dataclass(frozen=True)
class SolvedText:
    """A text with its solved bike."""

    text: str
    bike: Bike
    pictured: Scene
    """Without the frame's own bodies."""

    @cached_property
    def scene(self) -> Scene:
        """With all bodies, for checks."""
        return scene_of(self.bike)

    @property
    def name(self) -> str:
        """The bike's name."""
        return self.bike.spec.name


def good(text: str, source: str) -> SolvedText:
    """Solve a text, without the CAD kernel.

    Raises:
        FrameError: the text makes no bike.
    """
    return Solver(source)(text)


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
class FigureChange:
    """A chart figure before and after."""

    figure: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class InputChange:
    """A value in two files; None where one does not have it."""

    path: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Difference:
    """The differences between two bikes."""

    figures: tuple[FigureChange, ...]
    inputs: tuple[InputChange, ...]


def difference(before: SolvedText, after: SolvedText) -> Difference:
    """Return the figures and the file's values that differ between two bikes."""
    return Difference(
        tuple(
            FigureChange(
                figure,
                before.bike.chart[figure],
                after.bike.chart[figure],
            )
            for figure in FIGURES
            if _differs(before.bike.chart[figure], after.bike.chart[figure])
        ),
        input_changes(before.text, after.text),
    )


def input_changes(before: str, after: str) -> tuple[InputChange, ...]:
    """Return values that differ between two texts, in the order of `after`, then the removed ones."""
    if before == after:
        return ()
    old, new = scalars(before), scalars(after)
    paths = [*new, *(path for path in old if path not in new)]
    changes = [
        InputChange(
            path,
            old[path].text if path in old else None,
            new[path].text if path in new else None,
        )
        for path in paths
    ]
    return tuple(c for c in changes if c.before != c.after)


def _differs(a: float | None, b: float | None) -> bool:
    if a is None or b is None:
        return a is not b
    return abs(a - b) > SAME
