"""The topology of a linkage as arrays, for the compiled solver of many linkages that share it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from frame3d.geometry.arrays import Array
from frame3d.linkage.blocks import DrivenLink, Dyad
from frame3d.linkage.mechanism import Mechanism, assemble
from frame3d.linkage.structure import FRAME

Whole = NDArray[np.int64]
DRIVEN: Final = 0
DYAD: Final = 1
ZERO: Final = 1e-12
"""Arms shorter than this share of the linkage's size count as zero, as in `blocks.blocks_of`."""


@dataclass(frozen=True, eq=False)
class Program:
    """A linkage without lengths: how its rows follow from p points, and in which order it is solved.

    Its rows are the closures, the shock, the rear axle, in this order.
    """

    points: tuple[str, ...]
    """Names of the p points, in the order in which positions are given."""
    links: tuple[str, ...]
    """Moving links."""
    blocks: Whole
    """One row a block: its kind, its link, its second link (-1 for none), its row among the rows."""
    before: NDArray[np.bool_]
    """Whether a link of an earlier block bears on a block, (blocks, links)."""
    terms: Whole
    """One row a term of the rows: row, link (the number of links for its fixed part), point."""
    signs: Array
    """Of each term, 1 or -1."""
    touching: Whole
    """Pairs of points that may not lie on each other, (pairs, 2)."""
    present: NDArray[np.bool_]
    """Which arms are not zero, (closures + 1, links)."""
    axle: int
    """The link that carries the axle."""
    brake: int
    """The link that carries the caliper; -1 for the frame."""

    @property
    def closures(self) -> int:
        """How many closures there are."""
        return len(self.present) - 1

    def tables(self) -> tuple[Array, Array]:
        """Return the rows as linear functions of the points.

        Returns:
            what the points give to the fixed parts, (rows, p), and to the arms, (rows, links, p).
        """
        rows = self.closures + 2
        fixed = np.zeros((rows, len(self.points)))
        arms = np.zeros((rows, len(self.links), len(self.points)))
        for (row, link, point), sign in zip(self.terms, self.signs, strict=True):
            if link == len(self.links):
                fixed[row, point] += sign
            else:
                arms[row, link, point] += sign
        return fixed, arms


def program_of(
    mechanism: Mechanism, brake_link: str, bodies: Sequence[Sequence[str]]
) -> Program | None:
    """Return the topology of a linkage; None where it has no closed form here.

    Args:
        mechanism: one linkage of it.
        brake_link: the link that carries the caliper.
        bodies: names of the points on each body.
    """
    structure = mechanism.structure
    links, blocks = structure.links, mechanism.blocks
    if len(mechanism.used) != 2 * len(structure.closures) or not blocks:
        return None
    if not isinstance(blocks[0], DrivenLink):
        return None
    known = np.zeros(len(links), dtype=np.bool_)
    before = np.zeros((len(blocks), len(links)), dtype=np.bool_)
    rows: list[tuple[int, int, int, int]] = []
    arms = np.concatenate((mechanism.closures.arms, mechanism.shock.arms))
    present = np.abs(arms) > ZERO * mechanism.size
    for at, block in enumerate(blocks):
        if isinstance(block, DrivenLink) and at == 0:
            rows.append((DRIVEN, block.link, -1, len(structure.closures)))
            known[block.link] = True
        elif isinstance(block, Dyad):
            one, two = block.links
            same = np.abs(mechanism.closures.arms - block.loop.arms).max(axis=1)
            row = int(same.argmin())
            before[at] = known & present[row]
            rows.append((DYAD, one, two, row))
            known[[one, two]] = True
        else:
            return None
    if not known.all():
        return None
    terms, signs = _terms(mechanism)
    points = tuple(mechanism.drawn)
    place = {name: i for i, name in enumerate(points)}
    touching = sorted(
        {
            (min(place[a], place[b]), max(place[a], place[b]))
            for on in bodies
            for i, a in enumerate(on)
            for b in on[:i]
        }
    )
    return Program(
        points=points,
        links=links,
        blocks=np.array(rows, dtype=np.int64),
        before=before,
        terms=terms,
        signs=signs,
        touching=np.array(touching, dtype=np.int64).reshape(-1, 2),
        present=present,
        axle=links.index(structure.axle),
        brake=-1 if brake_link == FRAME else links.index(brake_link),
    )


def _terms(mechanism: Mechanism) -> tuple[Whole, Array]:
    """Return terms and signs of `Program`: the rows are linear in the points, with factors 1 and -1."""
    links = len(mechanism.structure.links)
    found: list[tuple[int, int, int]] = []
    signs: list[float] = []
    for p, name in enumerate(mechanism.drawn):
        alone = {other: complex(other == name) for other in mechanism.drawn}
        made = assemble(mechanism.structure, alone)
        fixed = np.concatenate((made.closures.fixed, made.shock.fixed, made.axle.fixed))
        arms = np.concatenate((made.closures.arms, made.shock.arms, made.axle.arms))
        table = np.concatenate((arms, fixed[:, None]), axis=1).real
        assert table.shape[1] == links + 1
        for row, link in np.argwhere(table):
            found.append((int(row), int(link), p))
            signs.append(float(table[row, link]))
    return np.array(found, dtype=np.int64).reshape(-1, 3), np.array(signs)
