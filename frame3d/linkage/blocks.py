r"""Split the equations of a linkage into blocks: small systems that are solved one after another.

A block has as many equations as unknown link angles; the other angles in its equations are known from
the blocks before it. Most suspensions need only two kinds of block, both solved in closed form as the
intersection of two circles:

    DrivenLink: one link, set by the shock       Dyad: two links that close a loop

      start o=============o end                                  o joint
             \     L     /                                      / \
            c \         / a·e                            a·e1  /   \  b·e2
               \       /                                      /     \
                `-> o <- pivot                               o------>o
                                                                -c
           |c + a·e| = L                              c + a·e1 + b·e2 = 0

L is the shock's length, c is known at every stroke, a and b are constant complex arms, and e = exp(i·θ)
with θ the link's turn from the drawn pose. Of the two intersections, the one on the drawn side is taken.
(Intersection of circles: any textbook on kinematics, e.g. Norton, Design of Machinery, chapter 4.) Any
other block is a `CoupledBlock`, solved by Newton's method.

Derivatives (') are with respect to the shock's stroke. The equations hold at every stroke, so their
derivatives vanish: C' = 0 and C'' = 0 for a loop C. For the vector Λ along the shock, of length L with
L' = -1 and L'' = 0: Re(conj Λ·Λ') = -L and Re(conj Λ·Λ'') = 1 - |Λ'|². Each of these is linear in the
block's own θ' or θ'', and its matrix is the block's Jacobian.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.arrays import Array, Complex
from frame3d.linkage.linear import inverse, times
from frame3d.linkage.rows import Rows

_ROUNDS = 25
_STILL = 1e-8
"""Newton's method stops below this step [rad]; the error left is about the step squared."""
_CLIP = 0.4
"""Largest Newton step [rad]."""


class LinkAngles:
    """Angles of all links at k strokes and their derivatives; each block fills in its own links.

    Until a link is filled in, its `unit` is 0, so that it adds nothing to sums over all links.
    """

    def __init__(self, links: int, lengths: Array) -> None:
        shape = (3, links, len(lengths))
        self.lengths = lengths
        """Lengths of the shock, (k,) [mm]."""
        self.angle = np.empty(shape)
        """θ, θ' and θ'', (3, links, k) [rad, rad/mm, rad/mm²]. Blocks fill in θ' and θ''; θ itself is
        filled in by `trace.poses`.
        """
        self.unit = np.zeros(shape, dtype=complex)
        """e = exp(i·θ), e' = i·θ'·e and e'' = (i·θ'' - θ'²)·e, (3, links, k)."""
        self.determinant = np.ones(len(lengths))
        """Determinant of the Jacobian of all equations, (k,): the product over the blocks."""


class Block(Protocol):
    """A few equations and the links whose angles they determine."""

    def settle(self, turns: LinkAngles, guess: Complex | None) -> None:
        """Solve the block's equations and fill in its links; NaN where there is no solution.

        Args:
            turns: angles, with the links of all earlier blocks filled in; changed in place.
            guess: exp(i·θ) to start Newton's method from, (links, k); closed forms ignore it.
        """


@dataclass(frozen=True, eq=False)
class DrivenLink:
    """One link whose angle follows from the shock's length alone: |c + a·e| = L.

    With w = conj(c)·a·e: L² = |c|² + |a|² + 2·Re(w) and |w| = |c|·|a|. No link before this block depends
    on the shock, so those links do not move and c is constant.
    """

    link: int
    """Index of the link."""
    shock: Rows
    """One row: the vector from the shock's start to its end."""
    side: float
    """Sign of Im(w) in the drawn pose: on which side of c the arm lies."""

    def settle(self, turns: LinkAngles, guess: Complex | None) -> None:
        """See `Block`."""
        lengths, unit = turns.lengths, turns.unit[:, self.link]
        centre, arm = self.shock.at(turns.unit[0, :, :1])[0, 0], self.shock.arms[0, self.link]
        along = (lengths**2 - (abs(centre) ** 2 + abs(arm) ** 2)) / 2
        beside = self.side * np.sqrt(abs(centre * arm) ** 2 - along**2)
        unit[0].real, unit[0].imag = along, beside
        unit[0] *= 1 / (np.conj(centre) * arm)
        rate = lengths / beside
        acceleration = (1 + rate**2 * along) / -beside
        unit[1] = 1j * unit[0] * rate
        unit[2] = 1j * (unit[0] * acceleration + unit[1] * rate)
        turns.angle[1:, self.link] = rate, acceleration
        turns.determinant /= -rate


@dataclass(frozen=True, eq=False)
class Dyad:
    """Two links that close a loop: c + a·e1 + b·e2 = 0.

    In the triangle with sides |c|, |a| and |b|, a·e1 = -c·(t + i·h): t is the arm's share along the base
    -c, and h its share square to it. Then b·e2 = -c - a·e1.
    """

    links: list[int]
    """Indices of the two links."""
    loop: Rows
    """One row: the loop's closure vector, 0 where the loop is closed."""
    side: float
    """Sign of h in the drawn pose."""

    def settle(self, turns: LinkAngles, guess: Complex | None) -> None:
        """See `Block`."""
        arms = self.loop.arms[0, self.links]
        a, b = np.abs(arms)
        centre, moved, bent = (self.loop.arms @ turns.unit)[:, 0]
        centre += self.loop.fixed
        square = centre.real**2 + centre.imag**2
        along = (square + (a * a - b * b)) / (2 * square)
        beside = self.side * np.sqrt(a * a / square - along**2)
        swung = np.empty((3, 2, len(square)), dtype=complex)
        swung[0, 0].real, swung[0, 0].imag = along, beside
        away = -centre
        swung[0, 0] *= away
        swung[0, 1] = away - swung[0, 0]
        # Re(conj(b·e2)·C') = 0 contains only θ1' as an unknown; Re(conj(a·e1)·C') = 0 only θ2'.
        determinant = -square * beside
        against = np.conj(swung[0, ::-1])
        against[0] *= -1
        against /= determinant
        turning = 1j * swung[0]
        rate = (against * moved).real
        swung[1] = turning * rate
        swung[2] = 1j * swung[1] * rate
        acceleration = (against * (bent + swung[2].sum(axis=0))).real
        swung[2] += turning * acceleration
        for i, link in enumerate(self.links):
            np.multiply(swung[:, i], 1 / arms[i], out=turns.unit[:, link])
            turns.angle[1, link], turns.angle[2, link] = rate[i], acceleration[i]
        turns.determinant *= determinant


@dataclass(frozen=True, eq=False)
class CoupledBlock:
    """Links whose equations must be solved together, by Newton's method."""

    links: NDArray[np.intp]
    """Indices of the links, (m,)."""
    loops: Rows
    """Closure vectors of the block's c loops, (c, all links)."""
    used: NDArray[np.intp]
    """Indices of the used ones among the 2·c real equations: the c real parts, then the c imaginary."""
    shock: Rows | None
    """One row, where the shock's length is one of the equations."""

    def settle(self, turns: LinkAngles, guess: Complex | None) -> None:
        """See `Block`."""
        assert guess is not None
        turned, links = turns.unit[0], self.links
        turned[links] = guess[links]
        for _ in range(_ROUNDS):
            step = times(inverse(self._jacobian(turned))[0], self._residual(turned, turns.lengths))
            step = np.where(np.isfinite(step), np.clip(step, -_CLIP, _CLIP), 0.0)
            turned[links] *= np.exp(-1j * step)
            if np.abs(step).max(initial=0.0) < _STILL:
                break
        self._derive(turns)

    def _residual(self, turned: Complex, lengths: Array) -> Array:
        gap = self._real(self.loops.at(turned))
        if self.shock is None:
            return gap
        return np.concatenate((gap, np.abs(self.shock.at(turned)) - lengths))

    def _jacobian(self, turned: Complex) -> Array:
        """Return the block's Jacobian, (m, m, k) [mm/rad]."""
        moved = 1j * turned[self.links]
        rows = self._real(self.loops.arms[:, self.links, None] * moved)
        if self.shock is None:
            return rows
        along = self.shock.at(turned)
        pull = np.conj(along) / np.abs(along) * self.shock.arms[0, self.links, None]
        return np.concatenate((rows, (pull * moved).real[None]))

    def _derive(self, turns: LinkAngles) -> None:
        (turned, first, second), links = turns.unit, self.links
        moved = 1j * turned[links]
        inverted, determinant = inverse(self._jacobian(turned))
        known = -self._real(self.loops.arms @ first)
        if self.shock is not None:
            along = np.conj(self.shock.at(turned)) / turns.lengths
            known = np.concatenate((known, -1 - (along * (self.shock.arms @ first)).real))
        rate = times(inverted, known)
        first[links] = moved * rate
        second[links] = 1j * moved * rate**2
        known = -self._real(self.loops.arms @ second)
        if self.shock is not None:
            swept = np.abs(self.shock.arms @ first) ** 2
            inside = (along * (self.shock.arms @ second)).real
            known = np.concatenate((known, (1 - swept) / turns.lengths - inside))
        acceleration = times(inverted, known)
        second[links] += moved * acceleration
        turns.angle[1, links], turns.angle[2, links] = rate, acceleration
        turns.determinant *= determinant

    def _real(self, values: Complex) -> Array:
        """Split complex equations into real ones and keep the used ones: (c, ...) -> (used, ...)."""
        both: Array = np.concatenate((values.real, values.imag))
        return both[self.used]


def blocks_of(
    closures: Rows, used: NDArray[np.intp], shock: Rows, size: float
) -> tuple[Block, ...]:
    """Return the blocks of a linkage in the order in which they can be solved.

    Each block is the smallest set of remaining equations that has as many new links as equations.

    Args:
        closures: closure vectors of all c loops.
        used: indices of the used ones among the 2·c real equations, real parts first.
        shock: one row, the vector from the shock's start to its end.
        size: of the linkage [mm]; arms shorter than 1e-12 of it count as zero.
    """
    count = len(closures.fixed)
    arms = np.concatenate((closures.arms, shock.arms))
    needs = [set(np.flatnonzero(np.abs(row) > 1e-12 * size).tolist()) for row in arms]
    equations = [int((used % count == i).sum()) for i in range(count)] + [1]
    left, known, found = list(range(count + 1)), set[int](), list[Block]()
    while left:
        chosen, links = _next(left, known, needs, equations)
        found.append(_block(chosen, links, closures, used, shock))
        known |= set(links)
        left = [i for i in left if i not in chosen]
    return tuple(found)


def _next(
    left: Sequence[int], known: set[int], needs: Sequence[set[int]], equations: Sequence[int]
) -> tuple[tuple[int, ...], list[int]]:
    """Return the smallest set of equations with as many new links as equations, and those links.

    Return all remaining equations where no such set exists. A loop counts as one or two equations, as
    `equations` says; the shock, the last index, as one.
    """
    for many in range(1, len(left) + 1):
        for chosen in combinations(left, many):
            links = sorted(set().union(*(needs[i] for i in chosen)) - known)
            if len(links) == sum(equations[i] for i in chosen):
                return chosen, links
    return tuple(left), sorted(set().union(*(needs[i] for i in left)) - known)


def _block(
    chosen: tuple[int, ...], links: list[int], closures: Rows, used: NDArray[np.intp], shock: Rows
) -> Block:
    """Return the block of the right kind for the chosen equations.

    A triangle that is drawn flat, at a dead point, has no side; Newton's method takes it.
    """
    count = len(closures.fixed)
    loops = [i for i in chosen if i < count]
    own = Rows(closures.fixed[loops], closures.arms[loops])
    kept = [
        part * len(loops) + j
        for part in (0, 1)
        for j, i in enumerate(loops)
        if part * count + i in used
    ]
    before = np.ones((closures.arms.shape[1], 1), dtype=complex)
    before[links] = 0
    if count in chosen and len(chosen) == len(links) == 1:
        w = np.conj(shock.at(before)[0, 0]) * shock.arms[0, links[0]]
        if w.imag != 0:
            return DrivenLink(links[0], shock, float(np.sign(w.imag)))
    if len(loops) == len(chosen) == 1 and len(links) == len(kept) == 2:
        across = np.conj(own.at(before)[0, 0]) * -own.arms[0, links[0]]
        if across.imag != 0:
            return Dyad(links, own, float(np.sign(across.imag)))
    driven = shock if count in chosen else None
    return CoupledBlock(np.array(links, dtype=np.intp), own, np.array(kept, dtype=np.intp), driven)
