"""The equations of a linkage in an order in which a few at a time can be solved.

Equations that bring in as many new links as they are form a block; what they need besides was found by
the blocks before them. Most suspensions fall into two kinds, solved in closed form:

    swing   one link, turned by the shock alone       |c + a·e| = L
    dyad    two links that close a loop               c + a·e1 + b·e2 = 0

with c known at every stroke, a and b constant arms and e = exp(i·θ). Both ask where two circles meet;
the side on which they do is the one that is drawn. (Intersection of circles: any textbook on kinematics,
e.g. Norton, Design of Machinery, chapter 4.) Every other block goes by Newton's method on its own links.

Derivatives are by the stroke. The equations hold at every stroke, so their derivatives vanish: C' = 0
and C'' = 0 for a loop C; for Λ along the shock and its length L, with L' = -1 and L'' = 0,
Re(conj Λ·Λ') = -L and Re(conj Λ·Λ'') = 1 - |Λ'|². Each is linear in the block's own θ' or θ'', with
the block's Jacobian.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from frame3d.linkage.linear import Array, inverse, times
from frame3d.linkage.rows import Complex, Rows

_ROUNDS = 25
_STILL = 1e-8
"""A Newton step below this [rad] leaves an error below its square."""
_CLIP = 0.4
"""Largest Newton step [rad]."""


class LinkAngles:
    """How the links stand and turn at k strokes, filled in block by block; `unit` is 0 until then."""

    def __init__(self, links: int, lengths: Array) -> None:
        shape = (3, links, len(lengths))
        self.lengths = lengths
        """The shock's, (k,) [mm]."""
        self.angle = np.empty(shape)
        """θ, θ' and θ'', (3, links, k) [rad, rad/mm, rad/mm²]; θ is not filled in here."""
        self.unit = np.zeros(shape, dtype=complex)
        """e = exp(i·θ), e' = i·θ'·e and e'' = (i·θ'' - θ'²)·e, (3, links, k)."""
        self.determinant = np.ones(len(lengths))
        """Of the Jacobian of all equations [mm/rad each], (k,)."""


class Block(Protocol):
    """A few equations and the links whose turns they settle."""

    def settle(self, turns: LinkAngles, guess: Complex | None) -> None:
        """Fill in the block's links; NaN where the equations have no solution.

        Args:
            turns: with the links of the blocks before.
            guess: exp(i·θ) to start from, (links, k); for Newton's method only.
        """


@dataclass(frozen=True, eq=False)
class DrivenLink:
    """One link on the shock: with w = conj(c)·a·e, L² = |c|² + |a|² + 2·Re(w), and |w| = |c|·|a|.

    Whatever stands before it does without the shock and therefore stands still, so c is constant.
    """

    link: int
    shock: Rows
    side: float
    """Sign of Im(w), as drawn."""

    def settle(self, turns: LinkAngles, guess: Complex | None) -> None:
        """See `Block`."""
        lengths, unit = turns.lengths, turns.unit[:, self.link]
        centre, arm = self.shock.at(turns.unit[0, :, :1])[0, 0], self.shock.arms[0, self.link]
        along = (lengths**2 - (abs(centre) ** 2 + abs(arm) ** 2)) / 2
        beside = self.side * np.sqrt(abs(centre * arm) ** 2 - along**2)
        unit[0].real, unit[0].imag = along, beside
        unit[0] *= 1 / (np.conj(centre) * arm)
        rate = lengths / beside
        bend = (1 + rate**2 * along) / -beside
        unit[1] = 1j * unit[0] * rate
        unit[2] = 1j * (unit[0] * bend + unit[1] * rate)
        turns.angle[1:, self.link] = rate, bend
        turns.determinant /= -rate


@dataclass(frozen=True, eq=False)
class Dyad:
    """Two links in a loop: with -c the way to the far pivot, a·e1 = -c·(t + i·h), of length |a|, and
    b·e2 the rest.
    """

    links: list[int]
    loop: Rows
    """One row."""
    side: float
    """Sign of h, as drawn."""

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
        # Re(conj(b·e2)·C') = 0 has θ1' alone in it, Re(conj(a·e1)·C') = 0 has θ2'.
        determinant = -square * beside
        against = np.conj(swung[0, ::-1])
        against[0] *= -1
        against /= determinant
        turning = 1j * swung[0]
        rate = (against * moved).real
        swung[1] = turning * rate
        swung[2] = 1j * swung[1] * rate
        bend = (against * (bent + swung[2].sum(axis=0))).real
        swung[2] += turning * bend
        for i, link in enumerate(self.links):
            np.multiply(swung[:, i], 1 / arms[i], out=turns.unit[:, link])
            turns.angle[1, link], turns.angle[2, link] = rate[i], bend[i]
        turns.determinant *= determinant


@dataclass(frozen=True, eq=False)
class CoupledBlock:
    """Links whose equations must be solved together, by Newton's method."""

    links: NDArray[np.intp]
    loops: Rows
    """(c, all links)."""
    used: NDArray[np.intp]
    """Which of their 2·c real equations count: real parts first."""
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
        """(m, m, k) [mm/rad]."""
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
        bend = times(inverted, known)
        second[links] += moved * bend
        turns.angle[1, links], turns.angle[2, links] = rate, bend
        turns.determinant *= determinant

    def _real(self, values: Complex) -> Array:
        """The used real equations out of complex ones: (c, ...) -> (used, ...)."""
        both: Array = np.concatenate((values.real, values.imag))
        return both[self.used]


def blocks_of(
    closures: Rows, used: NDArray[np.intp], shock: Rows, size: float
) -> tuple[Block, ...]:
    """The blocks of a linkage, each as soon as it can be solved, the smallest first.

    Args:
        closures: all loops.
        used: which of their real equations count, real parts first.
        shock: its row.
        size: of the linkage; arms below a tiny share of it are none [mm].
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
    """The fewest equations that bring in as many new links as they are; all where none do."""
    for many in range(1, len(left) + 1):
        for chosen in combinations(left, many):
            links = sorted(set().union(*(needs[i] for i in chosen)) - known)
            if len(links) == sum(equations[i] for i in chosen):
                return chosen, links
    return tuple(left), sorted(set().union(*(needs[i] for i in left)) - known)


def _block(
    chosen: tuple[int, ...], links: list[int], closures: Rows, used: NDArray[np.intp], shock: Rows
) -> Block:
    """Its kind; what is drawn at a dead point, on no side, is left to Newton's method."""
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
