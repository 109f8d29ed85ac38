"""Trace: the linkage followed along the shock's stroke, on the branch that it is drawn on.

Newton's method with the exact Jacobian, for all strokes at once, from a second-order prediction out of
the last pose that is certain. Poses are accepted from there on as far as each has converged, keeps the
sign of the Jacobian's determinant (which changes where branches meet), and turned since the one before
by what its and that one's speeds say, and changed speed by what their accelerations say. Where none is
accepted the step is halved; where it shrinks to nothing, the linkage has met a dead point.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.linkage.linear import Array, solve
from frame3d.linkage.mechanism import Complex, Mechanism

_ROUNDS = 25
_STILL = 1e-8
"""A Newton step below this [rad] leaves an error below its square."""
_FIT = 1e-10
"""Largest residual of a pose, as a share of the linkage's size."""
_TURN = 0.4
"""Largest turn between accepted poses, and in one Newton step [rad]."""
_AGREE = 0.15
"""Largest share by which a turn may differ from what the speeds at its ends say, and a speed from what
the accelerations say."""
_NOISE = 1e-6
"""Turns below this agree in any case [rad]."""
_REGULAR = 1e-7
"""Determinant, as a share of `Mechanism.scale`, below which a pose is too near a dead point for its
speeds to be trusted. A lock is told before: there it falls with the root of the way that is left."""
_SMALLEST = 1e-9
"""Share of the stroke."""


@dataclass(frozen=True, eq=False)
class Track:
    """Turns of the links over strokes, with their first two derivatives."""

    stroke: Array
    """(k,) [mm]."""
    turn: Array
    """(links, k) [rad], from the drawn pose."""
    rate: Array
    """(links, k) [rad/mm]."""
    bend: Array
    """(links, k) [rad/mm²]."""

    def __getitem__(self, cut: slice) -> Track:
        return Track(self.stroke[cut], self.turn[:, cut], self.rate[:, cut], self.bend[:, cut])


class DeadPointError(Exception):
    """The linkage cannot be followed any further."""

    def __init__(self, last: Track) -> None:
        super().__init__(f"dead point at stroke {last.stroke[0]:g}")
        self.last = last
        """One pose: the last before it, which is as near as numbers tell."""


def newton(mechanism: Mechanism, strokes: Array, guess: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Poses at strokes, from guesses.

    Args:
        mechanism: the linkage.
        strokes: (k,) [mm].
        guess: turns, (links, k) [rad].

    Returns:
        turns (links, k) [rad], and whether each pose meets all equations (k,).
    """
    lengths = mechanism.length - strokes
    turn = guess.copy()
    with np.errstate(all="ignore"):
        for _ in range(_ROUNDS):
            residual, jacobian = mechanism.equations(np.exp(1j * turn), lengths)
            step = solve(jacobian, residual[:, None])[0][:, 0]
            step = np.where(np.isfinite(step), np.clip(step, -_TURN, _TURN), 0.0)
            turn -= step
            if np.abs(step).max(initial=0.0) < _STILL:
                break
        good = mechanism.misfit(np.exp(1j * turn), lengths) <= _FIT * mechanism.size
    return turn, good


def trace(mechanism: Mechanism, strokes: Array, smallest: float = _SMALLEST) -> Track:
    """Follow the linkage through strokes that grow from 0.

    Args:
        mechanism: the linkage; as drawn it moves in one way, and the shock with it.
        strokes: (k,) float, increasing, from 0 [mm].
        smallest: share of the last stroke below which a step counts as nothing: how near a dead point
            is told.

    Raises:
        DeadPointError: it cannot be followed to the last stroke.
    """
    count = mechanism.count
    start, sign = _finish(mechanism, np.zeros(1), np.zeros((count, 1)))
    sign = np.sign(sign)
    parts: list[Track] = []
    here, done = start, 0
    least = smallest * max(float(strokes[-1]), _SMALLEST * mechanism.size)
    window, step = len(strokes), float(strokes[-1])
    while done < len(strokes):
        reach = _accepted(mechanism, here, strokes[done : done + window], sign)
        if len(reach.stroke):
            parts.append(reach)
            done += len(reach.stroke)
            here = reach[-1:]
            window *= 4
            continue
        window = 1
        step = min(2 * step, float(strokes[done] - here.stroke[0]) / 2)
        while True:
            if step < least:
                raise DeadPointError(here)
            closer = _accepted(mechanism, here, here.stroke + step, sign)
            if len(closer.stroke):
                here = closer
                break
            step /= 2
    return Track(
        strokes.copy(),
        *(np.concatenate([getattr(p, name) for p in parts], axis=1) for name in _FIELDS),
    )


_FIELDS = ("turn", "rate", "bend")


def _finish(mechanism: Mechanism, strokes: Array, turn: Array) -> tuple[Track, Array]:
    rate, bend, determinant = mechanism.motion(np.exp(1j * turn))
    return Track(strokes, turn, rate, bend), determinant


def _accepted(mechanism: Mechanism, here: Track, strokes: Array, sign: Array) -> Track:
    """Poses at strokes beyond `here`, as far as they surely lie on its branch."""
    ahead = strokes - here.stroke
    guess = here.turn + here.rate * ahead + here.bend * (ahead**2 / 2)
    # A prediction far ahead may be wild; the pose before is then the better start.
    wild = np.abs(guess - here.turn) > 1.5
    turn, good = newton(mechanism, strokes, np.where(wild, here.turn, guess))
    found, determinant = _finish(mechanism, strokes, turn)
    with np.errstate(all="ignore"):
        steps = np.diff(np.concatenate((here.stroke, strokes)))
        turned = np.diff(np.concatenate((here.turn, turn), axis=1), axis=1)
        speeds = np.concatenate((here.rate, found.rate), axis=1)
        told = (speeds[:, 1:] + speeds[:, :-1]) / 2 * steps
        near = np.abs(turned - told) <= _AGREE * np.abs(turned).max(axis=0) + _NOISE
        # Where branches cross, turns join but speeds jump, which their mean would hide.
        bends = np.concatenate((here.bend, found.bend), axis=1)
        gained = np.diff(speeds, axis=1) - (bends[:, 1:] + bends[:, :-1]) / 2 * steps
        fastest = np.abs(speeds).max(axis=0)
        fastest = np.maximum(fastest[1:], fastest[:-1])
        near &= np.abs(gained) <= _AGREE * fastest
        fine = (
            good
            & (determinant * sign > _REGULAR * mechanism.scale)
            & near.all(axis=0)
            & (np.abs(turned).max(axis=0) <= _TURN)
        )
    bad = np.flatnonzero(~fine)
    return found[: int(bad[0])] if len(bad) else found


def turned(track: Track) -> Complex:
    """exp(i·θ) of a track: (links, k) complex."""
    out: Complex = np.exp(1j * track.turn)
    return out
