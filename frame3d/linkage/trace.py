r"""Follow the linkage along the shock's stroke, on the branch (assembly mode) that is drawn.

Most lengths of the shock allow several poses of the links; only those that the linkage reaches from the
drawn pose without being taken apart are wanted.

      θ
      |   other branch
      |   - - - - - - - .
      |                  \
      |                   x  dead point: the branches meet; the determinant of the Jacobian is 0
      |                  /
      |   o---o---o---o-'
      |   drawn branch
      +----------------------------> stroke

Poses are solved for many strokes at once. Where a block needs a start for Newton's method, it is a
second-order Taylor prediction from the last accepted pose. A pose is accepted if all poses before it are
and it

- satisfies all equations;
- keeps the sign of the Jacobian's determinant, which changes where branches meet;
- differs from the pose before it by what the trapezoidal rule says: angles by the mean angular velocity
  times the step, angular velocities by the mean angular acceleration times the step;
- has no angle that changed by more than 0.4 rad since the pose before it.

If none of the next poses is accepted, the step is halved. Where the step shrinks to nothing, the linkage
has reached a dead point.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.arrays import Array, Complex, Mask
from frame3d.linkage.mechanism import Mechanism

_FIT = 1e-10
"""Largest residual of a pose, as a share of the linkage's size."""
_TURN = 0.4
"""Largest change of an angle between accepted poses [rad]."""
_AGREE = 0.15
"""Largest relative difference from the trapezoidal rule, of angles and of angular velocities."""
_NOISE = 1e-6
"""Differences of angles below this are accepted in any case [rad]."""
_REGULAR = 1e-7
"""Determinant, as a share of `Mechanism.scale`, below which a pose is too near a dead point for its
angular velocities to be trusted. Where the linkage locks, steps fail earlier: the determinant there
falls only with the square root of the remaining stroke."""
_SMALLEST = 1e-9
"""Smallest step, as a share of the stroke."""


@dataclass(frozen=True, eq=False)
class LinkageTrack:
    """Angles of the links at k strokes, with their first two derivatives by the stroke."""

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
    def acceleration(self) -> Array:
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
    """The linkage cannot be followed to the end of the stroke."""

    def __init__(self, last: LinkageTrack) -> None:
        super().__init__(f"dead point at stroke {last.stroke[0]:g}")
        self.last = last
        """The last pose before the dead point (one stroke), within the smallest step of `trace`."""


def poses(
    mechanism: Mechanism, strokes: Array, near: LinkageTrack
) -> tuple[LinkageTrack, Mask, Array]:
    """Solve the linkage at given strokes, on the branch of nearby known poses.

    Args:
        mechanism: the linkage.
        strokes: (k,) [mm].
        near: known poses to start from, one for all strokes or k; every link less than half a turn
            away. They also settle whole turns in θ.

    Returns:
        the poses, whether each satisfies all equations (k,), and the Jacobian's determinant (k,).
    """
    lengths = mechanism.length - strokes
    with np.errstate(all="ignore"):
        guess = None if mechanism.direct else _ahead(near, strokes)
        found = mechanism.turns(lengths, guess)
        good = mechanism.met(found, _FIT)
        # By the half-angle formula, which is quicker than arctan2: tan(θ/2) = sin θ / (1 + cos θ).
        since = found.unit[0] * np.conj(near.turned)
        found.angle[0] = near.turn + 2 * np.arctan(since.imag / (1 + since.real))
    return LinkageTrack(strokes, found.angle, found.unit), good, found.determinant


def _ahead(near: LinkageTrack, strokes: Array) -> Complex:
    """Predict exp(i·θ) at strokes by a second-order Taylor expansion: (links, k)."""
    ahead = strokes - near.stroke
    swing = near.rate * ahead + near.acceleration * (ahead**2 / 2)
    # Far ahead the expansion may be useless; the known pose itself is then the better start.
    out: Complex = near.turned * np.exp(1j * np.where(np.abs(swing) > 1.5, 0.0, swing))
    return out


def _drawn(mechanism: Mechanism) -> LinkageTrack:
    """Return the pose at full extension; with derivatives where predictions will need them."""
    shape = (3, mechanism.count, 1)
    start = LinkageTrack(np.zeros(1), np.zeros(shape), np.zeros(shape, dtype=complex))
    start.unit[0] = 1
    return start if mechanism.direct else poses(mechanism, start.stroke, start)[0]


def trace(mechanism: Mechanism, strokes: Array, smallest: float = _SMALLEST) -> LinkageTrack:
    """Follow the linkage from full extension through increasing strokes.

    Args:
        mechanism: a linkage of mobility 1 as drawn, whose motion changes the shock's length.
        strokes: (k,) float, increasing from 0 [mm].
        smallest: smallest step, as a share of the last stroke; it says how exactly a dead point is
            located.

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
    """Solve at strokes beyond `here` and return the leading poses that pass the tests of the module."""
    found, fine, determinant = poses(mechanism, np.concatenate((here.stroke, strokes)), here)
    before, after = found.angle[..., :-1], found.angle[..., 1:]
    with np.errstate(all="ignore"):
        # Where branches cross, angles are continuous but angular velocities jump, and their mean hides
        # that in the angles. So the trapezoidal rule is also applied to the velocities.
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
