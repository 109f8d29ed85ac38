"""Beams and structures for tests."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from frame3d.geometry.centreline import Centreline
from frame3d.geometry.vector import Point, vector
from frame3d.stiffness.beam import Beam, Sections, breaks, gauss
from frame3d.stiffness.section_constants import SectionConstants, hollow_oval
from frame3d.stiffness.structure import Joined, Spot, Structure, Sum, Term

STEEL, NU = 205000.0, 0.3
SHEAR = STEEL / (2 * (1 + NU))
X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def tube_beam(
    axis: Centreline,
    radius: Callable[[np.ndarray], np.ndarray] | float = 19.05,
    wall: float = 0.9,
    constants: SectionConstants | None = None,
    moduli: tuple[float, float] = (STEEL, SHEAR),
    longest: float = 60.0,
) -> Beam:
    """A beam along an axis: a round tube, or any constants [mm]."""
    s, share = gauss(breaks((axis.starts,), 0.0, axis.length, longest))
    at, up, across = axis.frames(s)
    r = radius(s) if callable(radius) else np.full(len(s), radius)
    own = hollow_oval((r, r), (r - wall, r - wall), NU) if constants is None else constants
    if constants is not None:
        values = {
            name: np.full(len(s), float(getattr(constants, name)))
            for name in SectionConstants.__dataclass_fields__
        }
        own = SectionConstants(**values)
    sections = Sections(at, share, np.cross(across, up), up, across, own, *moduli)
    return Beam.of("beam", "beam", (vector(axis.start), vector(axis.end)), sections)


def straight(start: Point, end: Point) -> Centreline:
    return Centreline.through((start, end), ())


def structure(nodes: dict[str, Point], beams: Sequence[tuple[str, str, Beam]]) -> Structure:
    """Groups at points, joined by beams."""
    joined = tuple(Joined(beam, a, b) for a, b, beam in beams)
    return Structure({name: vector(at) for name, at in nodes.items()}, joined)


def fixed(name: str, at: Point) -> list[Sum]:
    """All six motions of a group vanish."""
    spot = Spot(name, at)
    return [(Term(spot, way),) for way in (X, Y, Z)] + [
        (Term(spot, about=way),) for way in (X, Y, Z)
    ]


def deflection(
    beam: Beam, force: Point = (0.0, 0.0, 0.0), moment: Point = (0.0, 0.0, 0.0)
) -> np.ndarray:
    """Displacement and rotation of a cantilever's tip: (6,) [mm, rad]."""
    return np.linalg.solve(beam.stiffness, np.array([*force, *moment]))
