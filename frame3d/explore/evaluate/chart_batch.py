"""Chart figures of many designs at once, in arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.chart.batch import INPUTS, solve_many
from frame3d.chart.givens import Given, givens
from frame3d.chart.plausible import plausible_range
from frame3d.errors import FrameError
from frame3d.explore.evaluate.designs import Designs, start_of
from frame3d.explore.study.study import Design, Study, Value
from frame3d.geometry.arrays import Array, Mask
from frame3d.parameters.models.figures import FIGURES, STANDOVERS

_ROOM: Final = 1e-6
"""How far outside its plausible range a figure may be, as in `frame3d.chart.plausible` [mm]."""


@dataclass(frozen=True)
class Charts:
    """Charts of n designs."""

    figures: Mapping[str, Array]
    """Figure -> (n,) float, in mm and degrees."""
    good: Mask
    """Whether the chart is solved, and is one of a bicycle, (n,) bool; else `solve_chart` tells."""


@dataclass(frozen=True)
class ChartBatch:
    """How the designs of a study give the known figures of a chart."""

    fixed: Mapping[str, float]
    """Variable -> value in mm or degrees that no design changes."""
    numbers: Mapping[str, int]
    """Variable -> place in a design of the number that it is."""
    tables: Mapping[int, Mapping[Value, Mapping[str, float]]]
    """Place in a design -> value of a list -> variable -> value in mm or degrees."""

    def solve(self, designs: Sequence[Design]) -> Charts:
        """Return the charts of some designs, at least one."""
        count = len(designs)
        columns = list(zip(*designs, strict=True))
        given: dict[str, Array] = {
            name: np.full(count, value) for name, value in self.fixed.items()
        }
        for place, table in self.tables.items():
            column = columns[place]
            for name in next(iter(table.values())):
                given[name] = np.array([table[value][name] for value in column])
        for name, place in self.numbers.items():
            given[name] = np.array(columns[place], dtype=np.float64)
        batch = solve_many(given)
        good = batch.solved.copy()
        for name, values in batch.figures.items():
            low, high = plausible_range(name)
            good &= (values >= low - _ROOM) & (values <= high + _ROOM)
        return Charts(batch.figures, good)


def chart_batch(study: Study, designs: Designs, size: str | None) -> ChartBatch | None:
    """Return how a study's charts are solved at once; None where only `solve_chart` can.

    That is so where the file's figures are redundant, a standover is given, or a value that varies
    bears on the chart otherwise than as one figure.
    """
    if study.settings:
        return None
    start = start_of(study)

    def known(changes: Mapping[int, Value]) -> dict[str, Given] | None:
        design = tuple(changes.get(i, value) for i, value in enumerate(start))
        try:
            return {one.variable: one for one in givens(designs.spec(design, size))}
        except FrameError:
            return None

    base = known({})
    if base is None or not set(base) <= set(INPUTS) or set(base) & set(STANDOVERS):
        return None
    numbers: dict[str, int] = {}
    tables: dict[int, dict[Value, dict[str, float]]] = {}
    for place, varied in enumerate(study.varied):
        tried = varied.values if varied.values else (varied.low, varied.high)
        found = {value: known({place: value}) for value in tried if value is not None}
        if any(one is None or set(one) != set(base) for one in found.values()):
            return None
        moved = {
            name
            for one in found.values()
            if one is not None
            for name in base
            if one[name].value != base[name].value
        }
        if not moved:
            continue
        if varied.values:
            tables[place] = {
                value: {name: one[name].shown for name in moved}
                for value, one in found.items()
                if one is not None
            }
        elif len(moved) == 1 and base[name := next(iter(moved))].path == varied.path:
            numbers[name] = place
        else:
            return None
    touched = [
        *numbers,
        *(name for table in tables.values() for name in next(iter(table.values()))),
    ]
    if len(set(touched)) < len(touched):
        return None
    fixed = {name: one.shown for name, one in base.items() if name not in touched}
    batch = ChartBatch(fixed, numbers, tables)
    try:
        charts = batch.solve([start])
    except FrameError:
        return None
    return batch if set(charts.figures) >= set(FIGURES) - set(STANDOVERS) else None
