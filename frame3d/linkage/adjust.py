"""Find coordinates of points that give the wanted travel or the wanted length of the shock.

Newton's method with exact derivatives: by the implicit function theorem on the linkage's equations, a
change of a drawn point changes the pose at the end of the stroke, and with it the travel.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.linkage.mechanism import Assembly, Mechanism, assemble
from frame3d.linkage.trace import DeadPointError, LinkageTrack, trace

_ROUNDS = 60
_STEP = 25.0
"""Largest change of a coordinate in one step [mm]."""
_MET = 1e-9
"""Iteration stops when every residual is below this [mm]."""
_TRACK = np.linspace(0.0, 1.0, 33)
"""Shares of the stroke through which the linkage is followed to the end of the stroke."""


@dataclass(frozen=True, slots=True)
class Found:
    """Result of `adjust`: the coordinates, or the nearest ones where there is no solution."""

    values: tuple[float, ...]
    """The coordinates [mm]."""
    left: tuple[float, ...]
    """Residual of each wish: reached less wanted [mm]."""
    met: bool
    """Whether every residual is below 1e-6 mm."""


def end_of_stroke(mechanism: Mechanism, stroke: float) -> LinkageTrack:
    """Return the pose at the end of the stroke [mm].

    Raises:
        DeadPointError: the linkage does not reach it.
    """
    return trace(mechanism, _TRACK * stroke, 1e-4)[-1:]


def changes(mechanism: Mechanism, moving: Assembly, end: LinkageTrack) -> tuple[float, float]:
    """Return the derivatives of full travel and of eye-to-eye length by a drawn coordinate [mm/mm].

    Args:
        mechanism: the linkage.
        moving: derivative of its rows by the coordinate: `assemble` of the points' derivatives.
        end: the pose at the end of the stroke.
    """
    drawn = np.ones((mechanism.count, 1), dtype=complex)
    first = mechanism.shock.at(drawn)[0, 0]
    longer = float(np.real(np.conj(first) * moving.shock.at(drawn)[0, 0]) / abs(first))
    e = end.turned
    along = mechanism.shock.at(e)[0, 0]
    gap = moving.closures.at(e)[:, 0]
    grown = np.real(np.conj(along) * moving.shock.at(e)[0, 0]) / abs(along) - longer
    right = np.concatenate((np.concatenate((gap.real, gap.imag))[mechanism.used], [grown]))
    pose = e[:, 0]
    jacobian = np.vstack((mechanism.constraints(pose)[mechanism.used], mechanism.shock_row(pose)))
    turns = -np.linalg.solve(jacobian, right)
    axle = moving.axle.at(e)[0, 0] + mechanism.axle.arms[0] @ (1j * pose * turns)
    axle -= moving.axle.at(drawn)[0, 0]
    return float(axle.imag), longer


def adjust(
    make: Callable[[Sequence[float]], Mechanism],
    drifts: Callable[[Sequence[float]], Sequence[Mapping[str, complex]]],
    start: Sequence[float],
    wishes: Sequence[tuple[str, float]],
    stroke: float,
) -> Found:
    """Find coordinates that satisfy the wishes by damped Newton steps from the file's values.

    Args:
        make: returns the mechanism for given coordinates.
        drifts: returns, for given coordinates, one mapping a coordinate: each point's derivative by it.
        start: the file's values of the coordinates [mm].
        wishes: one for each coordinate: ("travel" or "eye_to_eye", wanted value [mm]).
        stroke: of the shock [mm].

    Raises:
        DeadPointError: with the file's values the linkage does not reach the end of the stroke.
    """
    here = np.array(start, dtype=float)
    left, slope = _look(make, drifts, here, wishes, stroke)
    for _ in range(_ROUNDS):
        if np.abs(left).max() <= _MET:
            return Found(tuple(here.tolist()), tuple(left.tolist()), True)
        step = np.linalg.lstsq(slope, -left, rcond=1e-10)[0]
        longest = float(np.abs(step).max())
        step *= min(1.0, _STEP / longest) if longest > 0 else 0.0
        share = 1.0
        while share > 1e-4:
            try:
                new = _look(make, drifts, here + share * step, wishes, stroke)
            except (DeadPointError, np.linalg.LinAlgError):
                share /= 2
                continue
            if np.linalg.norm(new[0]) < np.linalg.norm(left):
                break
            share /= 2
        else:
            break
        here = here + share * step
        stuck = np.linalg.norm(new[0]) > 0.999 * np.linalg.norm(left)
        left, slope = new
        if stuck:
            break
    met = bool(np.abs(left).max() <= 1e-6)
    return Found(tuple(here.tolist()), tuple(left.tolist()), met)


def _look(
    make: Callable[[Sequence[float]], Mechanism],
    drifts: Callable[[Sequence[float]], Sequence[Mapping[str, complex]]],
    here: Array,
    wishes: Sequence[tuple[str, float]],
    stroke: float,
) -> tuple[Array, Array]:
    """Return the residual of each wish, (wishes,), and its derivatives, (wishes, coordinates)."""
    mechanism = make(here.tolist())
    end = end_of_stroke(mechanism, stroke)
    rise = float(mechanism.axle.at(end.turned)[0, 0].imag)
    reached = {
        "travel": rise - mechanism.drawn["rear_axle"].imag,
        "eye_to_eye": mechanism.length,
    }
    slopes = [
        dict(
            zip(
                ("travel", "eye_to_eye"),
                changes(mechanism, assemble(mechanism.structure, drift), end),
                strict=True,
            )
        )
        for drift in drifts(here.tolist())
    ]
    left = np.array([reached[name] - wanted for name, wanted in wishes])
    slope = np.array([[s[name] for s in slopes] for name, _ in wishes])
    return left, slope
