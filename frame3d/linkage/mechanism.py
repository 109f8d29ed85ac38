"""A planar linkage as equations in the turns of its links, exact derivatives included.

A point of the side view is a complex number, x + i·z [mm]. Each link's turn θ from the drawn pose is
an unknown. A link hangs on a pivot of the link before it, so every point of every link is

    position = fixed + Σ arms·exp(i·θ)            (sum over the links back to the frame)

with constant complex `fixed` and `arms`. A pivot that is reached in two ways gives two equations: both
positions agree. The shock gives one: the distance between its ends is what the stroke leaves of it.
Derivatives follow by the chain rule: d exp(i·θ) = i·exp(i·θ)·dθ. (Loop closure in complex numbers:
any textbook on kinematics, e.g. Norton, Design of Machinery, chapter 4.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from frame3d.linkage.blocks import Block, CoupledBlock, LinkAngles, blocks_of
from frame3d.linkage.linear import Array
from frame3d.linkage.rows import Complex, Rows
from frame3d.linkage.structure import AXLE, FRAME, Structure


@dataclass(frozen=True, eq=False)
class Mechanism:
    """A linkage with its sizes.

    Which of the closures' real equations are used stands in `used`: a linkage with more pivots than it
    needs (a second parallel link) has equations that follow from the others.
    """

    structure: Structure
    drawn: Mapping[str, complex]
    """Point -> position at full extension [mm]."""
    carried: Rows
    """Where each link carries the drawn origin."""
    closures: Rows
    shock: Rows
    """One row: from its start to its end."""
    axle: Rows
    """One row."""
    length: float
    """Of the shock at full extension [mm]."""
    size: float
    """Of the whole linkage [mm]; tolerances are shares of it."""
    used: NDArray[np.intp]
    blocks: tuple[Block, ...]
    """The used equations, in the order in which they are solved."""
    scale: float
    """Size of the Jacobian's determinant by the lengths of the arms alone: against this it is small
    where the linkage is near a dead point."""

    @property
    def count(self) -> int:
        """Number of moving links."""
        return len(self.structure.links)

    def turns(self, lengths: Array, guess: Complex | None) -> LinkAngles:
        """The links at lengths of the shock, (k,) [mm]; NaN, or no solution at all (see `misfit`), where
        it cannot be that long.

        Args:
            lengths: the shock's, (k,) [mm].
            guess: exp(i·θ) to start from, (links, k); None will do where `direct`.
        """
        turns = LinkAngles(self.count, lengths)
        for block in self.blocks:
            block.settle(turns, guess)
        return turns

    @property
    def direct(self) -> bool:
        """Whether poses are found in closed form, without a guess."""
        return not any(isinstance(block, CoupledBlock) for block in self.blocks)

    def met(self, turns: LinkAngles, share: float) -> NDArray[np.bool_]:
        """Whether each pose meets all equations, (k,): closed forms do wherever they exist.

        Args:
            turns: as `turns` gives them.
            share: of the linkage's size, up to which a residual counts as none.
        """
        if self.direct and len(self.used) == 2 * len(self.closures.fixed):
            return np.isfinite(turns.determinant)
        return self.misfit(turns.unit[0], turns.lengths) <= share * self.size

    def misfit(self, turned: Complex, lengths: Array) -> Array:
        """Largest residual over all equations, those not used too: (k,) [mm]."""
        out: Array = np.abs(np.abs(self.shock.at(turned)[0]) - lengths)
        if len(self.closures.fixed):
            out = np.maximum(out, np.abs(self.closures.at(turned)).max(axis=0))
        return out

    def constraints(self, turned: Complex) -> Array:
        """Jacobian of all closures at one pose: (2·closures, links) [mm/rad]."""
        moved = 1j * self.closures.arms * turned
        return np.concatenate((moved.real, moved.imag))

    def shock_row(self, turned: Complex) -> Array:
        """How the shock's length changes with each turn at one pose: (links,) [mm/rad]."""
        along = self.shock.at(turned[:, None])[0, 0]
        row: Array = np.real(np.conj(along) * 1j * self.shock.arms[0] * turned) / abs(along)
        return row

    def on(self, body: str, point: complex) -> Rows:
        """The row of a point that moves with a body, given where it is drawn."""
        if body == FRAME:
            return Rows(np.array([point]), np.zeros((1, self.count), dtype=complex))
        i = self.structure.links.index(body)
        row = self.carried[slice(i, i + 1)]
        arms = row.arms.copy()
        arms[0, i] += point
        return Rows(row.fixed, arms)


@dataclass(frozen=True, eq=False)
class Assembly:
    """All rows of a linkage; linear in where its points are drawn."""

    carried: Rows
    closures: Rows
    shock: Rows
    axle: Rows


def assemble(structure: Structure, drawn: Mapping[str, complex]) -> Assembly:
    """The rows of a linkage.

    They are linear in `drawn`, so the same function, given how fast the points move with some
    coordinate, gives how fast the rows change with it.
    """
    links = structure.links
    n = len(links)
    place = {link: i for i, link in enumerate(links)}
    fixed = np.zeros(n, dtype=complex)
    arms = np.zeros((n, n), dtype=complex)
    for i, hang in enumerate(structure.tree):
        pivot = drawn[hang.pivot]
        if hang.parent == FRAME:
            fixed[i] = pivot
        else:
            p = place[hang.parent]
            fixed[i], arms[i] = fixed[p], arms[p]
            arms[i, p] += pivot
        arms[i, i] -= pivot

    def row(point: str, body: str) -> tuple[complex, Complex]:
        if body == FRAME:
            return drawn[point], np.zeros(n, dtype=complex)
        i = place[body]
        out = arms[i].copy()
        out[i] += drawn[point]
        return fixed[i], out

    def rows(named: list[tuple[str, str]]) -> Rows:
        made = [row(*name) for name in named]
        return Rows(
            np.array([m[0] for m in made], dtype=complex),
            np.array([m[1] for m in made], dtype=complex).reshape(len(made), n),
        )

    closing = rows([(c.pivot, c.first) for c in structure.closures]) - rows(
        [(c.pivot, c.second) for c in structure.closures]
    )
    start, end = structure.shock
    return Assembly(
        Rows(fixed, arms), closing, rows([end]) - rows([start]), rows([(AXLE, structure.axle)])
    )


def make(structure: Structure, drawn: Mapping[str, complex]) -> Mechanism:
    """A mechanism from its points as drawn at full extension [mm]."""
    made = assemble(structure, drawn)
    length = float(abs(made.shock.at(np.ones((len(structure.links), 1), dtype=complex))[0, 0]))
    places = np.array([*drawn.values(), 0j])
    size = float(np.abs(places - places.mean()).max())
    moved = 1j * made.closures.arms
    used = _independent(np.concatenate((moved.real, moved.imag)), len(structure.links) - 1)
    return Mechanism(
        structure=structure,
        drawn=dict(drawn),
        carried=made.carried,
        closures=made.closures,
        shock=made.shock,
        axle=made.axle,
        length=length,
        size=size,
        used=used,
        blocks=blocks_of(made.closures, used, made.shock, size),
        scale=_scale(made, used),
    )


def _scale(made: Assembly, used: NDArray[np.intp]) -> float:
    """Product of the norms that the rows of the equations have whichever way the arms point."""
    norms = np.linalg.norm(made.closures.arms, axis=1)
    return float(np.prod(np.tile(norms, 2)[used]) * np.linalg.norm(made.shock.arms))


def _independent(jacobian: Array, wanted: int) -> NDArray[np.intp]:
    """`wanted` rows that are as independent as they come, in their order (Gram-Schmidt)."""
    if len(jacobian) <= wanted:
        return np.arange(len(jacobian))
    rest = jacobian.copy()
    chosen: list[int] = []
    for _ in range(wanted):
        norms = np.linalg.norm(rest, axis=1)
        norms[chosen] = -1
        best = int(norms.argmax())
        chosen.append(best)
        if norms[best] > 0:
            direction = rest[best] / norms[best]
            rest = rest - np.outer(rest @ direction, direction)
    return np.array(sorted(chosen), dtype=np.intp)
