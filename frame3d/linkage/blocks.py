"""Blocks: the equations of a linkage in an order in which a few at a time can be solved.

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


class Turns:
    """How the links stand and turn at k strokes, filled in block by block; 0 until then."""

    def __init__(self, links: int, lengths: Array) -> None:
        shape = (links, len(lengths))
        self.lengths = lengths
        """The shock's, (k,) [mm]."""
        self.turned = np.zeros(shape, dtype=complex)
        """exp(i·θ), (links, k)."""
        self.rate = np.zeros(shape)
        """θ', (links, k) [rad/mm]."""
        self.bend = np.zeros(shape)
        """θ'', (links, k) [rad/mm²]."""
        self.first = np.zeros(shape, dtype=complex)
        """(exp i·θ)' = i·θ'·exp(i·θ), (links, k)."""
        self.second = np.zeros(shape, dtype=complex)
        """(exp i·θ)'' = (i·θ'' - θ'²)·exp(i·θ), (links, k)."""
        self.determinant = np.ones(len(lengths))
        """Of the Jacobian of all equations [mm/rad each], (k,)."""


class Block(Protocol):
    """A few equations and the links whose turns they settle."""

    def settle(self, turns: Turns, guess: Complex | None) -> None:
        """Fill in the block's links; NaN where the equations have no solution.

        Args:
            turns: with the links of the blocks before.
            guess: exp(i·θ) to start from, (links, k); for Newton's method only.
        """


@dataclass(frozen=True, eq=False)
class Swing:
    """One link on the shock: with w = conj(c)·a·e, L² = |c|² + |a|² + 2·Re(w), and |w| = |c|·|a|.

    Whatever stands before it does without the shock and therefore stands still, so c is constant.
    """

    link: int
    shock: Rows
    side: float
    """Sign of Im(w), as drawn."""

    def settle(self, turns: Turns, guess: Complex | None) -> None:
        """See `Block`."""
        link, lengths = self.link, turns.lengths
        centre, arm = self.shock.at(turns.turned[:, :1])[0, 0], self.shock.arms[0, link]
        along = (lengths**2 - (abs(centre) ** 2 + abs(arm) ** 2)) / 2
        beside = self.side * np.sqrt(abs(centre * arm) ** 2 - along**2)
        e = (along + 1j * beside) / (np.conj(centre) * arm)
        rate = lengths / beside
        square = rate**2
        bend = (1 + square * along) / -beside
        turns.turned[link], turns.rate[link], turns.bend[link] = e, rate, bend
        turns.first[link] = 1j * rate * e
        turns.second[link] = (1j * bend - square) * e
        turns.determinant /= -rate


@dataclass(frozen=True, eq=False)
class Dyad:
    """Two links in a loop: with -c the way to the far pivot, a·e1 = -c·(t + i·h), of length |a|, and
    b·e2 the rest.
    """

    links: NDArray[np.intp]
    loop: Rows
    """One row."""
    side: float
    """Sign of h, as drawn."""

    def settle(self, turns: Turns, guess: Complex | None) -> None:
        """See `Block`."""
        a, b = self.loop.arms[0, self.links]
        centre = self.loop.at(turns.turned)[0]
        square = centre.real**2 + centre.imag**2
        along = 0.5 + (abs(a) ** 2 - abs(b) ** 2) / 2 / square
        beside = self.side * np.sqrt(abs(a) ** 2 / square - along**2)
        arms = np.empty((2, len(square)), dtype=complex)
        arms[0] = centre * (along + 1j * beside)
        arms[1] = arms[0] - centre
        arms[0] *= -1
        e = arms / self.loop.arms[0, self.links, None]
        # Re(conj(b·e2)·C') = 0 has θ1' alone in it, Re(conj(a·e1)·C') = 0 has θ2'.
        determinant = -square * beside
        against = np.conj(arms[::-1]) / determinant
        against[0] *= -1
        rate = (against * (self.loop.arms @ turns.first)).real
        first = 1j * rate * e
        second = 1j * rate * first
        left = self.loop.arms @ turns.second + (self.loop.arms[:, self.links] @ second)
        bend = (against * left).real
        second += 1j * bend * e
        turns.turned[self.links], turns.rate[self.links], turns.bend[self.links] = e, rate, bend
        turns.first[self.links], turns.second[self.links] = first, second
        turns.determinant *= determinant


@dataclass(frozen=True, eq=False)
class Knot:
    """Links whose equations must be solved together, by Newton's method."""

    links: NDArray[np.intp]
    loops: Rows
    """(c, all links)."""
    used: NDArray[np.intp]
    """Which of their 2·c real equations count: real parts first."""
    shock: Rows | None
    """One row, where the shock's length is one of the equations."""

    def settle(self, turns: Turns, guess: Complex | None) -> None:
        """See `Block`."""
        assert guess is not None
        links = self.links
        turns.turned[links] = guess[links]
        for _ in range(_ROUNDS):
            step = times(inverse(self._jacobian(turns))[0], self._residual(turns))
            step = np.where(np.isfinite(step), np.clip(step, -_CLIP, _CLIP), 0.0)
            turns.turned[links] *= np.exp(-1j * step)
            if np.abs(step).max(initial=0.0) < _STILL:
                break
        self._derive(turns)

    def _residual(self, turns: Turns) -> Array:
        gap = self._real(self.loops.at(turns.turned))
        if self.shock is None:
            return gap
        return np.concatenate((gap, np.abs(self.shock.at(turns.turned)) - turns.lengths))

    def _jacobian(self, turns: Turns) -> Array:
        """(m, m, k) [mm/rad]."""
        moved = 1j * turns.turned[self.links]
        rows = self._real(self.loops.arms[:, self.links, None] * moved)
        if self.shock is None:
            return rows
        along = self.shock.at(turns.turned)
        pull = np.conj(along) / np.abs(along) * self.shock.arms[0, self.links, None]
        return np.concatenate((rows, (pull * moved).real[None]))

    def _derive(self, turns: Turns) -> None:
        links, moved = self.links, 1j * turns.turned[self.links]
        inverted, determinant = inverse(self._jacobian(turns))
        known = -self._real(self.loops.arms @ turns.first)
        if self.shock is not None:
            along = np.conj(self.shock.at(turns.turned)) / turns.lengths
            swept = self.shock.arms @ turns.first
            known = np.concatenate((known, -1 - (along * swept).real))
        turns.rate[links] = rate = times(inverted, known)
        turns.first[links] = moved * rate
        turns.second[links] = 1j * moved * rate**2
        known = -self._real(self.loops.arms @ turns.second)
        if self.shock is not None:
            swept = np.abs(self.shock.arms @ turns.first) ** 2
            inside = (along * (self.shock.arms @ turns.second)).real
            known = np.concatenate((known, (1 - swept) / turns.lengths - inside))
        turns.bend[links] = bend = times(inverted, known)
        turns.second[links] += moved * bend
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
            return Swing(links[0], shock, float(np.sign(w.imag)))
    if len(loops) == len(chosen) == 1 and len(links) == len(kept) == 2:
        across = np.conj(own.at(before)[0, 0]) * -own.arms[0, links[0]]
        if across.imag != 0:
            return Dyad(np.array(links), own, float(np.sign(across.imag)))
    driven = shock if count in chosen else None
    return Knot(np.array(links, dtype=np.intp), own, np.array(kept, dtype=np.intp), driven)
