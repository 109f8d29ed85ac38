"""How far a chart or a rear suspension that cannot be made is from one that can, in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from frame3d.bike.suspended import on_tube
from frame3d.chart.diagnosis import all_variables, diagnose, start_values
from frame3d.chart.givens import AGREE, givens, relations_for, shown
from frame3d.chart.newton import jacobian
from frame3d.chart.plausible import plausible_range
from frame3d.chart.relations import ANGLE_SCALE, ANGLES
from frame3d.chart.solve import Solved
from frame3d.geometry.arrays import Array
from frame3d.linkage.mechanism import make
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.points import positions
from frame3d.linkage.solve import LENGTH_AGREES, TRAVEL_AGREES
from frame3d.linkage.structure import structure_of
from frame3d.linkage.trace import DeadPointError, trace
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.tube import Tube

_ROUNDS: Final = 60
_STROKES: Final = 33
MOST: Final = 1000.0
"""Largest distance that is told [mm]."""


def chart_distance(spec: FrameSpec) -> float:
    """Return how far the file's figures are from those of a bicycle [mm].

    The least residual of the relations, by Levenberg and Marquardt's method, how far figures are beyond
    what they can be, and by how much redundant ones disagree. Degrees count as in the relations.
    """
    relations = relations_for(spec)
    diagnosis = diagnose(relations, givens(spec))
    names = all_variables(relations)
    values = start_values(names)
    for given in diagnosis.basis:
        values[given.variable] = np.array([given.value])
    known = {given.variable for given in diagnosis.basis}
    used = {name for relation in relations for name in relation.partials}
    unknowns = [name for name in names if name in used and name not in known]
    scale = np.array([ANGLE_SCALE if name in ANGLES else 1.0 for name in unknowns])

    def residual() -> Array:
        return np.array([float(relation.residual(values)[0]) for relation in relations])

    damping = 1e-3
    with np.errstate(all="ignore"):
        here = residual()
        for _ in range(_ROUNDS):
            slopes = jacobian(relations, unknowns, values, 1)[0] / scale
            if not (np.isfinite(slopes).all() and np.isfinite(here).all()):
                break
            square = slopes.T @ slopes
            step = (
                np.linalg.solve(square + damping * np.eye(len(unknowns)), slopes.T @ here) / scale
            )
            before = {name: values[name] for name in unknowns}
            for name, by in zip(unknowns, step, strict=True):
                values[name] = values[name] - by
            there = residual()
            if np.isfinite(there).all() and there @ there < here @ here:
                is_still = here @ here - there @ there < 1e-12 * (1 + here @ here)
                here, damping = there, max(damping / 5, 1e-9)
                if is_still:
                    break
            else:
                for name, old in before.items():
                    values[name] = old
                damping *= 5
    off = float(np.linalg.norm(here)) if np.isfinite(here).all() else MOST
    for name in (*sorted(known), *unknowns):
        value = shown(name, float(values[name][0]))
        low, high = plausible_range(name)
        if math.isfinite(value):
            off += max(low - value, value - high, 0.0)
    for extra in diagnosis.extras:
        given = extra.given
        apart = abs(shown(given.variable, float(values[given.variable][0])) - given.shown)
        off += max(apart - AGREE, 0.0)
    return min(off, MOST)


def rear_distance(spec: FrameSpec, solved: Solved, tubes: Sequence[Tube]) -> float:
    """Return how far a rear suspension is from one that works [mm].

    Of the points as the file gives them: by how much the shock does not fit, which part of its stroke is
    beyond the dead point or where the wheel goes down, and by how much the travel is missed.

    Args:
        spec: the file, with a suspension.
        solved: its chart.
        tubes: those that points may stand on.
    """
    suspension = spec.suspension
    assert suspension is not None
    shock = suspension.shock
    structure = structure_of(suspension.links, suspension.axle.on, (shock.start, shock.end))
    axle = (-solved.values["rear_axle_setback"], solved.values["bb_drop"])
    full = shock.full_stroke
    try:
        mechanism = make(structure, positions(suspension, axle, on_tube(tubes)))
        off = max(abs(mechanism.length - shock.length) - LENGTH_AGREES, 0.0)
        track = trace(mechanism, np.linspace(0.0, full, _STROKES))
    except DeadPointError as error:
        return min(off + full - float(error.last.stroke[0]), MOST)
    except np.linalg.LinAlgError:
        return MOST
    motion = LinkageMotion(mechanism, track)
    falling = np.flatnonzero(motion.leverage <= 0)
    if len(falling):
        off += full - float(motion.stroke[falling[0]])
        off += full * float(np.maximum(-motion.leverage, 0.0).mean())  # by how much it goes down
    if suspension.travel is not None:
        off += max(abs(float(motion.travel[-1]) - suspension.travel) - TRAVEL_AGREES, 0.0)
    return off if off <= MOST else MOST
