"""The linkage followed along the shock's stroke, on the branch that it is drawn on.

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
class LinkageTrack:
    """Turns of the links over strokes, with their first two derivatives by the stroke."""

    stroke: Array
    """(k,) [mm]."""
    angle: Array
    """θ, θ' and θ'', (3, links, k) [rad, rad/mm, rad/mm²], from the drawn pose."""
    unit: Complex
    """exp(i·θ) and its first two derivatives, (3, links, k)."""

    @property
    def turn(self) -> Array:
        """θ, (links, k) [rad]."""
        out: Array = self.angle[0]
        return out

    @property
    def rate(self) -> Array:
        """θ', (links, k) [rad/mm]."""
        out: Array = self.angle[1]
        return out

    @property
    def bend(self) -> Array:
        """θ'', (links, k) [rad/mm²]."""
        out: Array = self.angle[2]
        return out

    @property
    def turned(self) -> Complex:
        """exp(i·θ), (links, k)."""
        out: Complex = self.unit[0]
        return out

    def __getitem__(self, cut: slice | NDArray[np.intp]) -> LinkageTrack:
        return LinkageTrack(self.stroke[cut], self.angle[..., cut], self.unit[..., cut])


class DeadPointError(Exception):
    """The linkage cannot be followed any further."""

    def __init__(self, last: LinkageTrack) -> None:
        super().__init__(f"dead point at stroke {last.stroke[0]:g}")
        self.last = last
        """One pose: the last before it, which is as near as numbers tell."""


def poses(
    mechanism: Mechanism, strokes: Array, near: LinkageTrack
) -> tuple[LinkageTrack, NDArray[np.bool_], Array]:
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
        good = mechanism.met(found, _FIT)
        # θ by its half: tan(θ/2) = sin θ / (1 + cos θ), which is quicker than arctan2.
        since = found.unit[0] * np.conj(near.turned)
        found.angle[0] = near.turn + 2 * np.arctan(since.imag / (1 + since.real))
    return LinkageTrack(strokes, found.angle, found.unit), good, found.determinant


def _ahead(near: LinkageTrack, strokes: Array) -> Complex:
    """exp(i·θ) as a second-order prediction has it, (links, k)."""
    ahead = strokes - near.stroke
    swing = near.rate * ahead + near.bend * (ahead**2 / 2)
    # A prediction far ahead may be wild; the pose before is then the better start.
    out: Complex = near.turned * np.exp(1j * np.where(np.abs(swing) > 1.5, 0.0, swing))
    return out


def _drawn(mechanism: Mechanism) -> LinkageTrack:
    """The pose at full extension; its speeds, too, where poses are predicted from them."""
    shape = (3, mechanism.count, 1)
    start = LinkageTrack(np.zeros(1), np.zeros(shape), np.zeros(shape, dtype=complex))
    start.unit[0] = 1
    return start if mechanism.direct else poses(mechanism, start.stroke, start)[0]


def trace(mechanism: Mechanism, strokes: Array, smallest: float = _SMALLEST) -> LinkageTrack:
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
    parts: list[LinkageTrack] = []
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
    angle, unit = (
        np.concatenate([getattr(p, name) for p in parts], axis=2) for name in ("angle", "unit")
    )
    return LinkageTrack(strokes.copy(), angle, unit)


def _accepted(mechanism: Mechanism, here: LinkageTrack, strokes: Array) -> LinkageTrack:
    """Poses at strokes beyond `here`, as far as they surely lie on its branch."""
    found, fine, determinant = poses(mechanism, np.concatenate((here.stroke, strokes)), here)
    before, after = found.angle[..., :-1], found.angle[..., 1:]
    with np.errstate(all="ignore"):
        # Where branches cross, turns join but speeds jump, which the speeds' mean would hide: the same
        # is asked of turns by their speeds and of speeds by their accelerations.
        grown = after[:2] - before[:2]
        told = (after[1:] + before[1:]) * ((found.stroke[1:] - found.stroke[:-1]) / 2)
        off = np.abs(grown - told).max(axis=1)
        turned, fastest = np.abs(grown[0]).max(axis=0), np.abs(found.rate).max(axis=0)
        near = off[0] <= _AGREE * turned + _NOISE
        near &= off[1] <= _AGREE * np.maximum(fastest[1:], fastest[:-1])
        fine &= determinant * np.sign(determinant[0]) > _REGULAR * mechanism.scale
        fine[1:] &= near & (turned <= _TURN)
    bad = np.flatnonzero(~fine)
    return found[1 : int(bad[0]) if len(bad) else None]
