"""Move coordinates of points until the wanted travel or the shock's length is met.

Newton's method with exact derivatives: where a drawn point moves, the implicit function theorem on the
linkage's own equations says how the pose at the end of the stroke, and with it the travel, changes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.linkage.linear import Array
from frame3d.linkage.mechanism import Assembly, Mechanism, assemble
from frame3d.linkage.trace import DeadPointError, LinkageTrack, trace

_ROUNDS = 60
_STEP = 25.0
"""Largest move of a coordinate in one step [mm]."""
_MET = 1e-9
"""A wish is met when what is left is below this [mm]."""
_TRACK = np.linspace(0.0, 1.0, 33)


@dataclass(frozen=True, slots=True)
class Found:
    """Coordinates that were found, or as near as it gets."""

    values: tuple[float, ...]
    left: tuple[float, ...]
    """What each wish is off by: reached less wanted [mm]."""
    met: bool


def end_of_stroke(mechanism: Mechanism, stroke: float) -> LinkageTrack:
    """The pose at the end of the stroke.

    Raises:
        DeadPointError: it is not reached.
    """
    return trace(mechanism, _TRACK * stroke, 1e-4)[-1:]


def changes(mechanism: Mechanism, moving: Assembly, end: LinkageTrack) -> tuple[float, float]:
    """How travel at the end of the stroke and eye-to-eye change with a drawn coordinate [mm/mm].

    Args:
        mechanism: the linkage.
        moving: its rows' change per unit of the coordinate, `assemble` of how the points move.
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
    """Find the coordinates, from where the file has them.

    Args:
        make: the mechanism at given coordinates.
        drifts: how every point moves with each coordinate there.
        start: the file's values [mm].
        wishes: as many as coordinates: ("travel" or "eye_to_eye", wanted value [mm]).
        stroke: the shock's [mm].

    Raises:
        DeadPointError: the linkage as the file has it does not reach the end of the stroke.
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
    """What is left of each wish, and its slopes: (wishes,), (wishes, coordinates)."""
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
