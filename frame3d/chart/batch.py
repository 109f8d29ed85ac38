"""Solve many bikes at once, in arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from frame3d.chart.diagnosis import Diagnosis, all_variables, diagnose, start_values
from frame3d.chart.givens import Given, held, label
from frame3d.chart.newton import EquationBlock, plan, run
from frame3d.chart.relations import ANGLES, chart_relations
from frame3d.errors import Fault, GeometryError
from frame3d.geometry.arrays import Array, Mask
from frame3d.parameters.models.figures import FIGURES, STANDOVERS

INPUTS = (
    *(f for f in FIGURES if f not in STANDOVERS),
    "saddle_height",
    "fork_length_straight",
    "cup_angle",
)
"""Inputs of `solve_many`: chart figures without standover, which needs a top tube; the saddle height;
the fork's length measured straight; the headset's cup angle."""
_RESULTS = INPUTS[:-1]
_CHUNK = 4096
"""Number of bikes solved together, small enough for the processor's cache."""


@dataclass(frozen=True)
class Batch:
    """Solved bikes."""

    figures: Mapping[str, Array]
    """Chart figure -> (n,) float, in mm and degrees. Where no solution was found, all but the given ones
    are NaN."""
    solved: Mask
    """Whether a solution was found, (n,) bool."""

    def __len__(self) -> int:
        return len(self.solved)


def solve_many(figures: Mapping[str, ArrayLike]) -> Batch:
    """Solve many bikes from the same kinds of figures.

    Args:
        figures: name (see `INPUTS`) -> number or (n,) array, in mm and degrees; a number applies to all
            bikes. The set must determine a bike, as in a file; a seat tube offset left open is 0.

    Returns:
        n bikes, without the checks of ranges that a file undergoes. Where figures have several
        solutions, the one that Newton's method reaches from a usual bike; `solve.solve_chart` looks for
        all of them.

    Raises:
        GeometryError: an unknown figure, arrays of different lengths, or a set that is under- or
            over-determined.
    """
    arrays, count = _arrays(figures)
    relations = chart_relations(saddle="saddle_height" in arrays)
    stated = [
        Given(name, held(name, float(a.flat[0]) if a.size else 0.0), name)
        for name, a in arrays.items()
    ]
    diagnosis = diagnose(relations, stated)
    _refuse_what_settles_no_bike(diagnosis)
    blocks = plan(relations, frozenset(g.variable for g in diagnosis.basis))
    radians = {name: np.radians(a) if name in ANGLES else a for name, a in arrays.items()}
    assumed = {
        g.variable: np.asarray(g.value) for g in diagnosis.basis if g.variable not in radians
    }
    names = all_variables(relations)
    out = {name: np.empty(count) for name in _RESULTS if name in names}
    solved = np.empty(count, dtype=bool)
    for low in range(0, count, _CHUNK):
        part = slice(low, min(low + _CHUNK, count))
        _solve_chunk(blocks, names, {**radians, **assumed}, part, out, solved)
    for name, a in out.items():
        if name in ANGLES:
            np.degrees(a, out=a)
        if not solved.all():
            a[~solved] = np.nan
        if name in arrays:
            a[:] = arrays[name]
    return Batch({name: out[name] for name in FIGURES if name in out}, solved)


def _arrays(figures: Mapping[str, ArrayLike]) -> tuple[dict[str, Array], int]:
    """Return the figures as arrays of no or one dimension, and how many bikes they are of.

    Raises:
        GeometryError: an unknown figure, or arrays of different lengths.
    """
    unknown = [name for name in figures if name not in INPUTS]
    if unknown:
        raise GeometryError(
            [
                Fault(
                    "unknown-key",
                    name,
                    "is no figure of a chart",
                    f"use one of {', '.join(INPUTS)}",
                )
                for name in unknown
            ]
        )
    arrays = {name: np.asarray(value, dtype=np.float64) for name, value in figures.items()}
    sizes = {a.size for a in arrays.values() if a.ndim > 0}
    if any(a.ndim > 1 for a in arrays.values()) or len(sizes) > 1:
        shapes = ", ".join(f"{name} {a.shape}" for name, a in arrays.items())
        raise GeometryError(
            Fault(
                "wrong-type",
                "",
                f"arrays must be one-dimensional and of one length: {shapes}",
                "give each figure as a number or as an array with one value a bike",
            )
        )
    return arrays, sizes.pop() if sizes else 1


def _refuse_what_settles_no_bike(diagnosis: Diagnosis) -> None:
    """Raise `GeometryError` where figures are missing, or more are given than fit together."""
    if diagnosis.gaps or diagnosis.extras:
        raise GeometryError(
            [
                *(
                    Fault(
                        "under-determined",
                        "",
                        f"{gap.count} figure{'s' if gap.count > 1 else ''} missing",
                        f"give {gap.count} of {', '.join(gap.figures)}",
                    )
                    for gap in diagnosis.gaps
                ),
                *(
                    Fault(
                        "contradictory",
                        extra.given.variable,
                        f"already follows from {', '.join(label(g.variable) for g in extra.by)}",
                        "leave one of them out",
                    )
                    for extra in diagnosis.extras
                ),
            ]
        )


def _solve_chunk(
    blocks: tuple[EquationBlock, ...],
    names: tuple[str, ...],
    given: Mapping[str, Array],
    part: slice,
    out: Mapping[str, Array],
    solved: Mask,
) -> None:
    count = part.stop - part.start
    values = start_values(names, count)
    for name, a in given.items():
        values[name] = a[part] if a.ndim else np.full(count, a)
    solved[part] = run(blocks, values, count)
    for name, a in out.items():
        a[part] = values[name]
