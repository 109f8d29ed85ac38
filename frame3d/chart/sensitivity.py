"""Sensitivities: the change of every result per mm or degree of every input.

By the implicit function theorem, relations f(u, g) = 0 between unknowns u and givens g give
du/dg = -(∂f/∂u)⁻¹ ∂f/∂g (Krantz and Parks, The Implicit Function Theorem; from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.chart.as_built import FIXED, PARTS, pitch
from frame3d.chart.diagnosis import all_variables
from frame3d.chart.givens import key
from frame3d.chart.newton import jacobian
from frame3d.chart.relations import ANGLES, Relation, Values
from frame3d.chart.solve import Solved
from frame3d.chart.top_tube_relations import JOINTS
from frame3d.parameters.models.figures import FIGURES


@dataclass(frozen=True)
class Sensitivity:
    """Change of each result per unit of each input, at one bike."""

    inputs: tuple[str, ...]
    """Dotted paths of the inputs in the file."""
    units: tuple[str, ...]
    """``mm`` or ``degrees``, of each input."""
    results: tuple[str, ...]
    """Chart figures."""
    change: tuple[tuple[float, ...], ...]
    """``change[i][j]``: change of result j, in its unit, per unit of input i."""

    def per(self, path: str) -> Mapping[str, float]:
        """Return the change of every result per unit of one input.

        Raises:
            ValueError: there is no such input.
        """
        return dict(zip(self.results, self.change[self.inputs.index(path)], strict=True))


def design_sensitivity(solved: Solved) -> Sensitivity:
    """Return sensitivities to the file's figures, where the frame is built to meet them."""
    stated = {g.variable: g.path for g in solved.basis if g.origin == "file"}
    fixed = [g.variable for g in solved.basis]
    return _sensitivity(solved.relations, solved.values, fixed, stated)


def as_built_sensitivity(solved: Solved) -> Sensitivity:
    """Return sensitivities to the parts' values, where the built frame stays as it is."""
    pitched = pitch(solved, {})
    if pitched is None:
        raise AssertionError("a solved bike stands on its wheels")
    straight = any(g.variable == "fork_length_straight" for g in solved.basis)
    parts = [
        "fork_length_straight" if straight and name == "fork_axle_to_crown" else name
        for name in PARTS
    ]
    fixed = [*parts, *(n for n in (*FIXED, *JOINTS) if n in pitched.values)]
    paths = {name: name if (path := key(name)) is None else path for name in parts}
    paths |= {g.variable: g.path for g in solved.basis if g.variable in paths and g.path}
    return _sensitivity(pitched.relations, pitched.values, fixed, paths)


def _sensitivity(
    relations: Sequence[Relation],
    at: Mapping[str, float],
    fixed: Sequence[str],
    inputs: Mapping[str, str],
) -> Sensitivity:
    names = [n for n in all_variables(relations) if n not in fixed]
    values = Values({name: np.array([value]) for name, value in at.items()})
    by_unknown = jacobian(relations, names, values, 1)[0]
    by_input = jacobian(relations, list(inputs), values, 1)[0]
    change = -np.linalg.solve(by_unknown, by_input)  # (unknowns, inputs)
    results = tuple(f for f in FIGURES if f in at)
    rows = []
    for i, variable in enumerate(inputs):
        per = np.pi / 180 if variable in ANGLES else 1.0
        row = []
        for figure in results:
            if figure == variable:
                row.append(1.0)
            elif figure in names:
                out = np.pi / 180 if figure in ANGLES else 1.0
                row.append(float(change[names.index(figure), i] * per / out) + 0.0)
            else:
                row.append(0.0)
        rows.append(tuple(row))
    units = tuple("degrees" if v in ANGLES else "mm" for v in inputs)
    return Sensitivity(tuple(inputs.values()), units, results, tuple(rows))
