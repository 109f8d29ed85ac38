r"""A tapered, bent stretch of beam between two rigid ends, integrated along its own axis.

The force and moment at the far end b set the force and moment at every section, by equilibrium alone::

      a |----.                          F(x) = F_b
        |     `--.  x                   M(x) = M_b + (r_b - r_x) × F_b
                  `--+--.
                         `----- b  <- F_b, M_b

So the flexibility of b with a held is an integral over the sections' own flexibilities, with no mesh to
refine: six by six numbers tell all of the stretch (virtual work; e.g. Przemieniecki, Theory of Matrix
Structural Analysis, chapter on flexibility, value from memory). Shear is counted; the wall's ovalling in
a bend is not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Vector
from frame3d.stiffness.section_constants import Numbers, SectionConstants

ORDER = 4
"""Gauss points a piece; tapers and arcs come out better than 1e-6 with pieces as `breaks` makes them."""
NODES, WEIGHTS = np.polynomial.legendre.leggauss(ORDER)


@dataclass(frozen=True, slots=True)
class Sections:
    """n sections in a row along one stretch, each the middle of a share of its length."""

    at: Array
    """(n, 3) points of the axis [mm]."""
    share: Array
    """(n,) length that each stands for [mm]."""
    tangent: Array
    """(n, 3) unit."""
    up: Array
    """(n, 3) unit, along the section's height."""
    across: Array
    """(n, 3) unit, along the section's width."""
    constants: SectionConstants
    young: float
    """Young's modulus [N/mm²]."""
    shear: float
    """Shear modulus [N/mm²]."""


def gauss(breaks: Array) -> tuple[Array, Array]:
    """Return Gauss points and the length that each stands for: (m + 1,) places -> two (4 m,) [mm]."""
    half = np.diff(breaks)[:, None] / 2
    middle = (breaks[:-1, None] + half).ravel()
    return (
        middle.repeat(ORDER) + (half * NODES).ravel(),
        (half * WEIGHTS).ravel(),
    )


def strain_rows(sections: Sections, end: Vector) -> Array:
    """Return the six internal forces per force and moment at the far end: (n, 6, 6).

    Rows: axial force, shear along height and width, torque, moment that bends upright, sideways.
    Columns: force (3) and moment (3) at `end`.
    """
    arm = end - sections.at
    ways = (sections.tangent, sections.up, sections.across)
    rows = np.zeros((len(arm), 6, 6))
    for i, way in enumerate(ways):
        rows[:, i, :3] = way
    for i, way in zip((3, 4, 5), (sections.tangent, sections.across, sections.up), strict=True):
        rows[:, i, :3] = np.cross(way, arm)
        rows[:, i, 3:] = way
    return rows


def softness(sections: Sections, constants: SectionConstants | None = None) -> Numbers:
    """Return the flexibility of each section's share of length in the order of `strain_rows`: (n, 6)."""
    c = sections.constants if constants is None else constants
    e, g = sections.young, sections.shear
    parts = (
        e * c.area,
        g * c.shear_upright,
        g * c.shear_sideways,
        g * c.torsion,
        e * c.upright,
        e * c.sideways,
    )
    soft: Numbers = sections.share[:, None] / np.stack(parts, axis=1)
    return soft


@dataclass(frozen=True, slots=True)
class Beam:
    """A stretch with its flexibility."""

    name: str
    """What it is a piece of: a `Tube.name`, or a dropout's or lug's."""
    key: str
    """What its energy is counted to: a key under ``tubes``, or ``dropouts``."""
    start: Vector
    """(3,) its rigidly held end a [mm]."""
    end: Vector
    """(3,) its far end b [mm]."""
    sections: Sections
    rows: Array
    """(n, 6, 6), see `strain_rows`."""
    stiffness: Array
    """(6, 6): force and moment at b for a displacement and rotation of b, a held [N, mm, rad]."""

    @classmethod
    def of(cls, name: str, key: str, ends: tuple[Vector, Vector], sections: Sections) -> Beam:
        """Return a stretch with its stiffness worked out."""
        rows = strain_rows(sections, ends[1])
        soft = np.einsum("nij,ni,nik->jk", rows, softness(sections), rows)
        return cls(name, key, ends[0], ends[1], sections, rows, np.linalg.inv(soft))

    def along(self, forces: Array) -> tuple[Array, Array, Array]:
        """Return how the stretch bends where end a stays: (n, 3) each.

        Args:
            forces: (6,) force and moment at b [N, N·mm].

        Returns:
            Points along it [mm], their displacements [mm], rotations of the sections there [rad].
        """
        strain = softness(self.sections) * (self.rows @ forces)
        s = self.sections
        moved = strain[:, :1] * s.tangent + strain[:, 1:2] * s.up + strain[:, 2:3] * s.across
        turned = strain[:, 3:4] * s.tangent + strain[:, 4:5] * s.across + strain[:, 5:6] * s.up
        half_moved, half_turned = moved / 2, turned / 2
        # Turns before a place act with their lever; of its own share, half lies before it.
        before = np.cumsum(turned, axis=0) - half_turned
        lever = np.cumsum(np.cross(turned, s.at), axis=0) - np.cross(half_turned, s.at)
        shift = np.cumsum(moved, axis=0) - half_moved
        return s.at, shift + np.cross(before, s.at) - lever, before


def lever(arm: Vector) -> Array:
    """Return the displacement and rotation at `arm` from those at the origin of a rigid body: (6, 6)."""
    x, y, z = arm
    out = np.eye(6)
    out[:3, 3:] = [[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]]
    return out


def breaks(given: Sequence[Array], low: float, high: float, longest: float) -> Array:
    """Return places between `low` and `high` at all of `given`, no further apart than `longest` [mm]."""
    inner = np.concatenate((*given, np.empty(0)))
    inner = inner[(inner > low + 1e-6) & (inner < high - 1e-6)]
    ends = np.unique(np.concatenate(([low], inner, [high])))
    ends = ends[np.concatenate(([True], np.diff(ends) > 1e-7))]
    pieces = [
        np.linspace(a, b, max(1, int(np.ceil((b - a) / longest))), endpoint=False)
        for a, b in pairwise(ends)
    ]
    return np.concatenate((*pieces, [high]))
