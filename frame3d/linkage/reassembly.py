r"""Assemble the links anew where holes of their pivots, or the shock's length, are other than drawn.

Each body keeps its shape; a hole may lie elsewhere in one body (a flip chip), and the shock may have
another length at full extension. From the drawn pose, where all fits as designed, holes and length are
moved to their new places together, in small steps, and the links are led after them: a second pose that
the links could only reach when taken apart is not accepted.

      share 0: as drawn          share 1: as asked
      o---------o                  o--------o
                 \      . . .                \
      hole   o    o                hole  o    o

At each share of the way the equations are those of `mechanism.assemble`, with the holes at that share.
A step is predicted from the derivatives (implicit function theorem) and corrected by Newton's method. It
is halved where Newton's method does not converge, where the correction is large against the step, or
where the determinant of the Jacobian changes its sign: branches meet where that is 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array, Complex
from frame3d.linkage.mechanism import Assembly, Hole, Mechanism, assemble

_TURN = 0.1
"""Largest turn of a link in one step [rad]."""
_AGREE = 0.2
"""Largest correction of a predicted step, as a share of it."""
_NOISE = 1e-3
"""Corrections below this are accepted in any case [rad]."""
_ROUNDS = 12
_STILL = 1e-13
"""Newton's method stops below this step [rad]."""
_FIT = 1e-11
"""Largest residual of a pose, as a share of the linkage's size."""
_REGULAR = 1e-7
"""Determinant, as a share of `Mechanism.scale`, below which a pose is at a dead point."""
_SMALLEST = 1e-9
"""Smallest step, as a share of the way."""


@dataclass(frozen=True, eq=False)
class Assembled:
    """A linkage assembled with other holes and another length of the shock."""

    share: float
    """How much of the way to the new holes and length was gone: 1 is all."""
    length: float
    """Length of the shock there [mm]."""
    turn: Array
    """Turn of each link from its drawn pose, (links,) [rad]."""
    origin: Complex
    """Where each link takes the point that is drawn at the origin, (links,) [mm]."""
    holes: Mapping[Hole, complex]
    """The holes there, each in its body's drawn place [mm]."""
    misfit: float
    """Largest residual over all equations [mm]: above rounding where a linkage has more pivots than it
    needs, and its links no longer fit."""

    def at(self, body: str, point: str, mechanism: Mechanism) -> complex:
        """Return where a body has one of its points now, x + i·z [mm]."""
        hole = self.holes.get((point, body), mechanism.drawn[point])
        links = mechanism.structure.links
        if body not in links:
            return hole
        i = links.index(body)
        return complex(self.origin[i] + hole * np.exp(1j * self.turn[i]))


def reassembled(mechanism: Mechanism, holes: Mapping[Hole, complex], length: float) -> Assembled:
    """Lead a linkage from the drawn pose to other holes and another length of the shock.

    Args:
        mechanism: the linkage as drawn, of mobility 1.
        holes: new positions, each in its body's drawn place, x + i·z [mm].
        length: of the shock at full extension [mm].

    Returns:
        the linkage at the end of the way, or, with a share below 1, as far as it can be led.
    """
    way = _Way(mechanism, holes, length)
    turn = np.zeros(mechanism.count)
    share, step = 0.0, 1.0
    sign = np.sign(way.determinant(turn, share))
    while share < 1:
        step = min(step, 1 - share)
        ahead = way.rate(turn, share) * step
        biggest = float(np.abs(ahead).max(initial=0.0))
        if biggest > _TURN:
            step *= _TURN / biggest
            ahead *= _TURN / biggest
        found = way.solved(turn + ahead, share + step)
        fine = (
            found is not None
            and np.abs(found - turn - ahead).max() <= max(_AGREE * np.abs(ahead).max(), _NOISE)
            and way.determinant(found, share + step) * sign > _REGULAR * mechanism.scale
        )
        if found is None or not fine:
            step /= 2
            if step < _SMALLEST:
                break
            continue
        share, turn = (1.0 if step >= 1 - share else share + step), found
        step *= 2
    return way.arrived(turn, share)


class _Way:
    """The equations of a linkage at every share of the way to other holes and another length."""

    def __init__(self, mechanism: Mechanism, holes: Mapping[Hole, complex], length: float) -> None:
        self._mechanism, self._length = mechanism, length
        self._holes = holes
        structure, drawn = mechanism.structure, mechanism.drawn
        self._start = assemble(structure, drawn)
        self._end = assemble(structure, drawn, holes)

    def _at(self, share: float) -> Assembly:
        a, b = self._start, self._end
        return Assembly(
            a.carried.toward(b.carried, share),
            a.closures.toward(b.closures, share),
            a.shock.toward(b.shock, share),
            a.axle.toward(b.axle, share),
        )

    def _longer(self, share: float) -> float:
        """Return the length of the shock [mm]."""
        first = self._mechanism.length
        return first + share * (self._length - first)

    def _residual(self, turn: Array, share: float) -> Array:
        """Return the residuals of the used equations: (links,) [mm]."""
        e, there = np.exp(1j * turn)[:, None], self._at(share)
        gaps = there.closures.at(e)[:, 0]
        far = abs(there.shock.at(e)[0, 0]) - self._longer(share)
        used = np.concatenate((gaps.real, gaps.imag))[self._mechanism.used]
        return np.append(used, far)

    def _jacobian(self, turn: Array, share: float) -> Array:
        """Return the derivatives of the used equations by the links' turns: (links, links) [mm/rad]."""
        e, there = np.exp(1j * turn), self._at(share)
        moved = 1j * there.closures.arms * e
        along = there.shock.at(e[:, None])[0, 0]
        row = np.real(np.conj(along) * 1j * there.shock.arms[0] * e) / abs(along)
        closing = np.concatenate((moved.real, moved.imag))[self._mechanism.used]
        return np.vstack((closing, row))

    def determinant(self, turn: Array, share: float) -> float:
        """Return the determinant of the Jacobian."""
        return float(np.linalg.det(self._jacobian(turn, share)))

    def rate(self, turn: Array, share: float) -> Array:
        """Return the derivatives of the links' turns by the share: (links,) [rad]."""
        e = np.exp(1j * turn)[:, None]
        gaps = (self._end.closures - self._start.closures).at(e)[:, 0]
        along = self._at(share).shock.at(e)[0, 0]
        grown = (self._end.shock - self._start.shock).at(e)[0, 0]
        far = np.real(np.conj(along) * grown) / abs(along) - (self._length - self._mechanism.length)
        used = np.concatenate((gaps.real, gaps.imag))[self._mechanism.used]
        return -np.linalg.solve(self._jacobian(turn, share), np.append(used, far))

    def solved(self, turn: Array, share: float) -> Array | None:
        """Return the turns that solve the equations, near given ones; None where none are found."""
        near = turn
        for _ in range(_ROUNDS):
            try:
                step = np.linalg.solve(self._jacobian(near, share), self._residual(near, share))
            except np.linalg.LinAlgError:
                return None
            if not np.isfinite(step).all() or np.abs(step).max() > _TURN:
                return None
            near = near - step
            if np.abs(step).max() <= _STILL:
                break
        left = np.abs(self._residual(near, share)).max()
        return near if left <= _FIT * self._mechanism.size else None

    def arrived(self, turn: Array, share: float) -> Assembled:
        """Return the linkage with its links turned, at a share of the way."""
        e, there = np.exp(1j * turn)[:, None], self._at(share)
        gaps = np.abs(there.closures.at(e)).max(initial=0.0)
        drawn = self._mechanism.drawn
        return Assembled(
            share=share,
            length=self._longer(share),
            turn=turn,
            origin=there.carried.at(e)[:, 0],
            holes={
                (point, body): drawn[point] + share * (at - drawn[point])
                for (point, body), at in self._holes.items()
            },
            misfit=float(gaps),
        )
