"""Trace: the linkage followed along the shock's stroke, on the branch that it is drawn on.

Poses are solved for all strokes at once, block by block, from a second-order prediction out of the last
pose that is certain where a block needs one. They are accepted from there on as far as each meets all
equations, keeps the sign of the Jacobian's determinant (which changes where branches meet), and turned
since the one before by what its and that one's speeds say, and changed speed by what their accelerations
say. Where none is accepted the step is halved; where it shrinks to nothing, the linkage has met a dead
point.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.linkage.linear import Array
from frame3d.linkage.mechanism import Mechanism
from frame3d.linkage.rows import Complex

_FIT = 1e-10
"""Largest residual of a pose, as a share of the linkage's size."""
_TURN = 0.4
"""Largest turn between accepted poses [rad]."""
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
    """Turns of the links over strokes, with their first two derivatives by the stroke."""

    stroke: Array
    """(k,) [mm]."""
    turn: Array
    """θ from the drawn pose, (links, k) [rad]."""
    rate: Array
    """θ', (links, k) [rad/mm]."""
    bend: Array
    """θ'', (links, k) [rad/mm²]."""
    turned: Complex
    """exp(i·θ), (links, k)."""
    first: Complex
    """Its derivative, (links, k) [1/mm]."""
    second: Complex
    """Its second derivative, (links, k) [1/mm²]."""

    def __getitem__(self, cut: slice | NDArray[np.intp]) -> Track:
        return Track(self.stroke[cut], *(getattr(self, name)[:, cut] for name in _FIELDS))


_FIELDS = ("turn", "rate", "bend", "turned", "first", "second")


class DeadPointError(Exception):
    """The linkage cannot be followed any further."""

    def __init__(self, last: Track) -> None:
        super().__init__(f"dead point at stroke {last.stroke[0]:g}")
        self.last = last
        """One pose: the last before it, which is as near as numbers tell."""


def poses(
    mechanism: Mechanism, strokes: Array, near: Track
) -> tuple[Track, NDArray[np.bool_], Array]:
    """Poses at strokes.

    Args:
        mechanism: the linkage.
        strokes: (k,) [mm].
        near: known poses to set out from, one for all strokes or k, less than half a turn away.

    Returns:
        the poses, whether each meets all equations (k,), and the Jacobian's determinant (k,).
    """
    lengths = mechanism.length - strokes
    with np.errstate(all="ignore"):
        guess = None if mechanism.direct else _ahead(near, strokes)
        found = mechanism.turns(lengths, guess)
        good = mechanism.misfit(found.turned, lengths) <= _FIT * mechanism.size
        turn = near.turn + np.angle(found.turned * np.conj(near.turned))
    track = Track(strokes, turn, found.rate, found.bend, found.turned, found.first, found.second)
    return track, good, found.determinant


def _ahead(near: Track, strokes: Array) -> Complex:
    """exp(i·θ) as a second-order prediction has it, (links, k)."""
    ahead = strokes - near.stroke
    swing = near.rate * ahead + near.bend * (ahead**2 / 2)
    # A prediction far ahead may be wild; the pose before is then the better start.
    out: Complex = near.turned * np.exp(1j * np.where(np.abs(swing) > 1.5, 0.0, swing))
    return out


def _drawn(mechanism: Mechanism) -> Track:
    """The pose at full extension; its speeds, too, where poses are predicted from them."""
    ones, none = np.ones((mechanism.count, 1), dtype=complex), np.zeros((mechanism.count, 1))
    start = Track(np.zeros(1), none, none, none, ones, 0 * ones, 0 * ones)
    return start if mechanism.direct else poses(mechanism, start.stroke, start)[0]


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
    here, done = _drawn(mechanism), 0
    parts: list[Track] = []
    least = smallest * max(float(strokes[-1]), _SMALLEST * mechanism.size)
    window, step = len(strokes), float(strokes[-1])
    while done < len(strokes):
        reach = _accepted(mechanism, here, strokes[done : done + window])
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
            closer = _accepted(mechanism, here, here.stroke + step)
            if len(closer.stroke):
                here = closer
                break
            step /= 2
    if len(parts) == 1:
        return parts[0]
    return Track(
        strokes.copy(),
        *(np.concatenate([getattr(p, name) for p in parts], axis=1) for name in _FIELDS),
    )


def _accepted(mechanism: Mechanism, here: Track, strokes: Array) -> Track:
    """Poses at strokes beyond `here`, as far as they surely lie on its branch."""
    found, fine, determinant = poses(mechanism, np.concatenate((here.stroke, strokes)), here)
    with np.errstate(all="ignore"):
        # Where branches cross, turns join but speeds jump, which their mean would hide.
        half = (found.stroke[1:] - found.stroke[:-1]) / 2
        turned, told = _over(found.turn), _sum(found.rate) * half
        gained, owed = _over(found.rate), _sum(found.bend) * half
        largest, fastest = np.abs(turned).max(axis=0), np.abs(found.rate).max(axis=0)
        near = np.abs(turned - told).max(axis=0) <= _AGREE * largest + _NOISE
        near &= np.abs(gained - owed).max(axis=0) <= _AGREE * np.maximum(fastest[1:], fastest[:-1])
        fine &= determinant * np.sign(determinant[0]) > _REGULAR * mechanism.scale
        fine[1:] &= near & (largest <= _TURN)
    bad = np.flatnonzero(~fine)
    return found[1 : int(bad[0]) if len(bad) else None]


def _over(values: Array) -> Array:
    """How values grow from pose to pose: (n, k) -> (n, k - 1)."""
    out: Array = values[:, 1:] - values[:, :-1]
    return out


def _sum(values: Array) -> Array:
    out: Array = values[:, 1:] + values[:, :-1]
    return out
