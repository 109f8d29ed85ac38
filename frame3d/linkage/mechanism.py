r"""A planar linkage as equations in the angles of its links, with exact derivatives.

A point of the side view is a complex number, x + i·z [mm]. The unknowns are the links' angles θ, counted
from the drawn pose. Every link is joined to its parent at a pivot, so each point P of a link is a sum of
arms along the chain of links back to the frame:

                 pivot
                  o---------. P              P = fixed + arm1·exp(i·θ1) + arm2·exp(i·θ2)
          arm1   /   arm2
                /                            fixed: position of the pivot on the frame
         fixed o                             arms: vectors as drawn, constant complex numbers
          ///////////

A pivot that closes a loop gives two real equations: the positions by either body agree. The shock gives
one: the distance between its ends is its length at full extension less the stroke. Derivatives follow
from the chain rule, d exp(i·θ) = i·exp(i·θ)·dθ. (Loop closure in complex numbers: any textbook on
kinematics, e.g. Norton, Design of Machinery, chapter 4.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.arrays import Array, Complex, Mask
from frame3d.linkage.blocks import Block, CoupledBlock, LinkAngles, blocks_of
from frame3d.linkage.rows import Rows
from frame3d.linkage.structure import AXLE, FRAME, Structure

Hole: TypeAlias = tuple[str, str]
"""(point, body on it): where that body is made to have the point."""


@dataclass(frozen=True, eq=False)
class Mechanism:
    """The equations of a linkage, with the lengths of its links.

    A linkage with more pivots than it needs (a second parallel link) has equations that follow from the
    others; `used` names those that are solved.
    """

    structure: Structure
    drawn: Mapping[str, complex]
    """Point -> position at full extension [mm]."""
    carried: Rows
    """One row a link: where the link takes the point that is drawn at the origin."""
    closures: Rows
    """One row a closure: the difference of its pivot's positions by either body."""
    shock: Rows
    """One row: the vector from the shock's start to its end."""
    axle: Rows
    """One row: the rear axle's position."""
    length: float
    """Length of the shock at full extension [mm]."""
    size: float
    """Largest distance of a point from the mean of all points [mm]; tolerances are relative to it."""
    used: NDArray[np.intp]
    """Indices of the solved ones among the closures' real equations, real parts first."""
    blocks: tuple[Block, ...]
    """The used equations, in the order in which they are solved."""
    scale: float
    """Upper bound of the Jacobian's determinant, from the lengths of the arms alone. Near a dead point
    the determinant is small in comparison."""

    @property
    def count(self) -> int:
        """Number of moving links."""
        return len(self.structure.links)

    def turns(self, lengths: Array, guess: Complex | None) -> LinkAngles:
        """Solve for the links' angles at given lengths of the shock.

        Where the shock cannot have that length, the result is NaN or does not solve the equations;
        check with `met`.

        Args:
            lengths: of the shock, (k,) [mm].
            guess: exp(i·θ) to start from, (links, k); may be None where `direct`.
        """
        turns = LinkAngles(self.count, lengths)
        for block in self.blocks:
            block.settle(turns, guess)
        return turns

    @property
    def direct(self) -> bool:
        """Whether poses are found in closed form, without a guess."""
        return not any(isinstance(block, CoupledBlock) for block in self.blocks)

    def met(self, turns: LinkAngles, share: float) -> Mask:
        """Whether each pose satisfies all equations, (k,).

        Poses in closed form do wherever they are finite, unless some equations are not among those used.

        Args:
            turns: as `turns` returns them.
            share: largest accepted residual, as a share of the linkage's size.
        """
        if self.direct and len(self.used) == 2 * len(self.closures.fixed):
            return np.isfinite(turns.determinant)
        return self.misfit(turns.unit[0], turns.lengths) <= share * self.size

    def misfit(self, turned: Complex, lengths: Array) -> Array:
        """Return the largest residual over all equations, used or not: (k,) [mm]."""
        out: Array = np.abs(np.abs(self.shock.at(turned)[0]) - lengths)
        if len(self.closures.fixed):
            out = np.maximum(out, np.abs(self.closures.at(turned)).max(axis=0))
        return out

    def constraints(self, turned: Complex) -> Array:
        """Return the Jacobian of all closures at one pose, real parts first.

        Args:
            turned: exp(i·θ), (links,).

        Returns:
            (2·closures, links) [mm/rad].
        """
        moved = 1j * self.closures.arms * turned
        return np.concatenate((moved.real, moved.imag))

    def shock_row(self, turned: Complex) -> Array:
        """Return the derivative of the shock's length by each link's angle at one pose.

        Args:
            turned: exp(i·θ), (links,).

        Returns:
            (links,) [mm/rad].
        """
        along = self.shock.at(turned[:, None])[0, 0]
        row: Array = np.real(np.conj(along) * 1j * self.shock.arms[0] * turned) / abs(along)
        return row

    def on(self, body: str, point: complex) -> Rows:
        """Return the row of a point that moves with a body, given its drawn position [mm]."""
        if body == FRAME:
            return Rows(np.array([point]), np.zeros((1, self.count), dtype=complex))
        i = self.structure.links.index(body)
        row = self.carried[slice(i, i + 1)]
        arms = row.arms.copy()
        arms[0, i] += point
        return Rows(row.fixed, arms)


@dataclass(frozen=True, eq=False)
class Assembly:
    """All rows of a linkage, as in `Mechanism`. They are linear in the drawn positions of its points."""

    carried: Rows
    closures: Rows
    shock: Rows
    axle: Rows


def assemble(
    structure: Structure, drawn: Mapping[str, complex], holes: Mapping[Hole, complex] | None = None
) -> Assembly:
    """Return the rows of a linkage from its points' drawn positions [mm].

    The rows are linear in the positions. Given their derivatives by some coordinate instead, the
    function returns the derivatives of the rows.

    Args:
        structure: of the linkage.
        drawn: point -> position, x + i·z.
        holes: positions of points on single bodies, each in its body's drawn place, where they differ
            from `drawn`; the closures then say how far apart the holes of one pivot are.
    """
    other = {} if holes is None else holes
    links = structure.links
    n = len(links)
    place = {link: i for i, link in enumerate(links)}
    fixed = np.zeros(n, dtype=complex)
    arms = np.zeros((n, n), dtype=complex)

    def hole(point: str, body: str) -> complex:
        return other.get((point, body), drawn[point])

    for i, hang in enumerate(structure.tree):
        on_parent = hole(hang.pivot, hang.parent)
        if hang.parent == FRAME:
            fixed[i] = on_parent
        else:
            p = place[hang.parent]
            fixed[i], arms[i] = fixed[p], arms[p]
            arms[i, p] += on_parent
        arms[i, i] -= hole(hang.pivot, hang.link)

    def row(point: str, body: str) -> tuple[complex, Complex]:
        if body == FRAME:
            return hole(point, body), np.zeros(n, dtype=complex)
        i = place[body]
        out = arms[i].copy()
        out[i] += hole(point, body)
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
    """Build the mechanism from its points as drawn at full extension, x + i·z [mm]."""
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
    """Return the product of norms that bound the rows of the Jacobian in every pose (Hadamard)."""
    norms = np.linalg.norm(made.closures.arms, axis=1)
    return float(np.prod(np.tile(norms, 2)[used]) * np.linalg.norm(made.shock.arms))


def _independent(jacobian: Array, wanted: int) -> NDArray[np.intp]:
    """Return the sorted indices of `wanted` rows that are as linearly independent as possible.

    Gram-Schmidt with pivoting: the row with the largest remainder is chosen each time.
    """
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
