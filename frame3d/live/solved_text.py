"""One state of the text, solved, and how two of them differ."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.chart.cache import Cache
from frame3d.clearance.scene import Scene, scene_of
from frame3d.live.editing import scalars
from frame3d.parameters.models.figures import FIGURES
from frame3d.parameters.reading.reader import loads
from frame3d.parameters.reading.reparse import Reparse

SAME = 1e-6
"""Figures that are closer are the same [mm, degrees]."""


@dataclass(frozen=True, slots=True)
class SolvedText:
    """A text that makes a bike."""

    text: str
    bike: Bike
    scene: Scene

    @property
    def name(self) -> str:
        """The bike's name."""
        return self.bike.spec.name


def good(text: str, source: str) -> SolvedText:
    """Solve a text; the CAD kernel has no part in it.

    Raises:
        FrameError: the text makes no bike.
    """
    return Solver(source)(text)


class Solver:
    """Solves one text of a file after the other; what stays the same is not worked out anew."""

    def __init__(self, source: str) -> None:
        """Begin without a memory.

        Args:
            source: the file's name.
        """
        self._source = source
        self._parse = Reparse()
        self._memory = Cache()

    def __call__(self, text: str) -> SolvedText:
        """Solve a text; the CAD kernel has no part in it.

        Raises:
            FrameError: the text makes no bike.
        """
        bike = solve(loads(text, self._source, parse=self._parse), self._memory)
        return SolvedText(text, bike, scene_of(bike))


@dataclass(frozen=True, slots=True)
class FigureChange:
    """A chart figure of two bikes."""

    figure: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class InputChange:
    """A value in two files; None where it does not stand in one."""

    path: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Difference:
    """What differs between two bikes."""

    figures: tuple[FigureChange, ...]
    inputs: tuple[InputChange, ...]


def difference(before: SolvedText, after: SolvedText) -> Difference:
    """From one bike to another: figures that change, values in the file that do."""
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
    """Values that differ between two texts, in the order of the later one, then those taken out."""
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
