"""Rigid groups joined by beams and hinges, and its displacements under loads; dense numpy alone.

A group is a rigid body with six freedoms at its own point. Beams join groups; a tie makes a motion of
one group, or a difference of two, vanish. Ties are eliminated by an orthonormal basis of the motions
that they leave, so that a tie that repeats another does no harm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Point, Vector, point
from frame3d.stiffness.beam import Beam, lever

SCALE = 100.0
"""Length by which rotations are compared with displacements when ranks are decided [mm]."""
NONE = 1e-9
"""Singular values and stiffnesses below this share of the largest count as none."""
SLIGHT = 1e-6
"""Share of a load along a motion that counts as none."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A point that moves with a group."""

    group: str
    at: tuple[float, float, float]
    """[mm]"""


@dataclass(frozen=True, slots=True)
class Term:
    """A share of a point's motion, or a load at it: what multiplies its displacement and rotation."""

    spot: Spot
    along: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Of the displacement [mm]; as a load, the force [N]."""
    about: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """Of the rotation [rad]; as a load, the moment [N·mm]."""


Sum = tuple[Term, ...]
"""A sum of such shares: a tie's motion that vanishes, a load, or a figure that is measured."""

X: Final[Point] = (1.0, 0.0, 0.0)
Y: Final[Point] = (0.0, 1.0, 0.0)
Z: Final[Point] = (0.0, 0.0, 1.0)
WAYS: Final = (X, Y, Z)


def joint(first: str, second: str, at: Point, axes: Sequence[Point] = WAYS) -> tuple[Sum, ...]:
    """Return the ties by which two groups move as one at a point, but for turns about other axes.

    Args:
        first: a group.
        second: another group.
        at: where they are joined [mm].
        axes: about which they cannot turn against each other.
    """
    one, other = Spot(first, at), Spot(second, at)
    shifts = [(Term(one, way), Term(other, _back(way))) for way in WAYS]
    turns = [(Term(one, about=way), Term(other, about=_back(way))) for way in axes]
    return (*shifts, *turns)


def _back(way: Point) -> Point:
    return (-way[0], -way[1], -way[2])


@dataclass(frozen=True, slots=True)
class Joined:
    """A beam and the groups at its ends."""

    beam: Beam
    start: str
    end: str


@dataclass(frozen=True)
class Structure:
    """A frame as groups, beams and ties, before it is held."""

    groups: Mapping[str, Vector]
    """Group -> its point (3,) [mm]."""
    beams: tuple[Joined, ...]
    ties: tuple[Sum, ...] = ()
    """Motions that vanish wherever it is held: hinges, a locked shock."""

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Group -> where its six freedoms begin."""
        return {name: 6 * i for i, name in enumerate(self.groups)}

    @cached_property
    def places(self) -> Mapping[str, Point]:
        """Group -> its point as plain numbers [mm]."""
        return {name: point(at) for name, at in self.groups.items()}

    @property
    def size(self) -> int:
        """Number of freedoms."""
        return 6 * len(self.groups)

    def rows(self, sums: Sequence[Sum]) -> Array:
        """Return sums as rows over all freedoms, rotations times `SCALE`: (n, size).

        Plain numbers: there are hundreds, of one or two terms each.
        """
        found = np.zeros((len(sums), self.size))
        for row, terms in zip(found, sums, strict=True):
            for term in terms:
                at = self.index[term.spot.group]
                (x, y, z), (u, v, w) = term.spot.at, self.places[term.spot.group]
                x, y, z = x - u, y - v, z - w
                (fx, fy, fz), (mx, my, mz) = term.along, term.about
                row[at] += fx
                row[at + 1] += fy
                row[at + 2] += fz
                row[at + 3] += (mx + y * fz - z * fy) / SCALE
                row[at + 4] += (my + z * fx - x * fz) / SCALE
                row[at + 5] += (mz + x * fy - y * fx) / SCALE
        return found

    def row(self, terms: Sum) -> Array:
        """Return a sum as a row over all freedoms, rotations times `SCALE`: (size,)."""
        only: Array = self.rows((terms,))[0]
        return only

    @cached_property
    def stretches(self) -> Array:
        """Return the motion of each beam's end b against its end a, per freedom: (beams, 6, size)."""
        rows = np.zeros((len(self.beams), 6, self.size))
        for row, joined in zip(rows, self.beams, strict=True):
            beam = joined.beam
            a, b = self.index[joined.start], self.index[joined.end]
            row[:, b : b + 6] += lever(beam.end - self.groups[joined.end])
            row[:, a : a + 6] -= lever(beam.end - self.groups[joined.start])
        rows.reshape(len(self.beams), 6, -1, 6)[..., 3:] /= SCALE
        return rows

    def with_group(self, name: str, at: Vector) -> Structure:
        """Return the structure with one more group that no beam joins; what is worked out is kept."""
        more = Structure({**self.groups, name: at}, self.beams, self.ties)
        beside = ((0, 0), (0, 6))
        vars(more).update(
            own=self.own,
            stretches=np.pad(self.stretches, ((0, 0), *beside)),
            stiffness=np.pad(self.stiffness, ((0, 6), (0, 6))),
            free=np.block(
                [
                    [self.free, np.zeros((self.size, 6))],
                    [np.zeros((6, self.free.shape[1])), np.eye(6)],
                ]
            ),
            free_stiffness=np.pad(self.free_stiffness, ((0, 6), (0, 6))),
        )
        return more

    @cached_property
    def own(self) -> Array:
        """Return each beam's own stiffness, its end a held: (beams, 6, 6)."""
        return np.array([joined.beam.stiffness for joined in self.beams])

    @cached_property
    def stiffness(self) -> Array:
        """Return the stiffness before any tie: (size, size)."""
        rows = self.stretches
        full: Array = rows.reshape(-1, self.size).T @ (self.own @ rows).reshape(-1, self.size)
        return full

    @cached_property
    def free(self) -> Array:
        """Return a basis of the motions that its own ties leave: (size, n), columns orthonormal."""
        return remaining(self.rows(self.ties))

    @cached_property
    def free_stiffness(self) -> Array:
        """Return the stiffness against the motions of `free`: (n, n)."""
        against: Array = self.free.T @ self.stiffness @ self.free
        return against

    @cached_property
    def loose(self) -> Array:
        """Return the motions that strain nothing: (size, n); six for a whole frame that is not held."""
        values, ways = np.linalg.eigh(self.free_stiffness)
        still: Array = self.free @ ways[:, values < NONE * values[-1]]
        return still

    def rigid_motion(self, shift: Vector, turn: Vector) -> Array:
        """Return all freedoms where the whole shifts, and turns about the origin: (size,)."""
        rows = [(*(shift + np.cross(turn, at)), *(turn * SCALE)) for at in self.groups.values()]
        return np.array(rows).ravel()

    def held(self, supports: Sequence[Sum]) -> Held:
        """Return the structure held by supports; something may still move without resistance."""
        left = remaining(self.rows(supports) @ self.free)
        basis = self.free @ left
        values, ways = np.linalg.eigh(left.T @ self.free_stiffness @ left)
        moves = values < NONE * values[-1]
        stiff = basis @ ways[:, ~moves] / np.sqrt(values[~moves])
        return Held(self, stiff, basis @ ways[:, moves])


@dataclass(frozen=True)
class Held:
    """A structure that is held: its displacements under any load."""

    structure: Structure
    root: Array
    """(size, n) whose product with its own transpose is the flexibility."""
    loose: Array
    """(size, m) what still moves without resistance; m is 0 where everything is held."""

    def resists(self, load: Sum) -> bool:
        """Return whether a load, or what is read, moves nothing that has no resistance."""
        row = self.structure.row(load)
        return bool(np.linalg.norm(row @ self.loose) <= SLIGHT * np.linalg.norm(row))

    def motion(self, load: Sum) -> Array:
        """Return displacements and rotations times `SCALE` of all freedoms under a load: (size,)."""
        moved: Array = self.root @ (self.root.T @ self.structure.row(load))
        return moved

    def reading(self, motion: Array, wanted: Sum) -> float:
        """Return a sum of displacements [mm] and rotations [rad] of a motion."""
        return float(self.structure.row(wanted) @ motion)

    def forces(self, motion: Array) -> Array:
        """Return force and moment at the far end of each beam: (beams, 6) [N, N·mm]."""
        structure = self.structure
        found: Array = (structure.own @ (structure.stretches @ motion)[..., None])[..., 0]
        return found

    def work(self, motion: Array) -> Array:
        """Return twice the strain energy of each beam: (beams,) [N·mm]."""
        stretched = self.structure.stretches @ motion
        twice: Array = np.einsum("ij,ijk,ik->i", stretched, self.structure.own, stretched)
        return twice

    def moved(self, motion: Array, spot: Spot) -> Array:
        """Return a point's displacement and rotation: (6,) [mm, rad]."""
        at = self.structure.index[spot.group]
        own = motion[at : at + 6].copy()
        own[3:] /= SCALE
        arm = np.array(spot.at) - self.structure.groups[spot.group]
        result: Array = lever(arm) @ own
        return result


def remaining(rows: Array) -> Array:
    """Return an orthonormal basis of what rows leave free: (m, n) -> (n, n - rank)."""
    if not len(rows):
        return np.eye(rows.shape[1])
    _, values, ways = np.linalg.svd(rows)
    rank = int((values > NONE * max(values[0], 1e-300)).sum())
    return np.asarray(ways[rank:].T)
