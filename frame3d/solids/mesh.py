"""Meshes of solids: triangles of sweeps, plates and extruded paths.

Needs no CAD kernel. Sections are drawn as polygons of the same area as the ellipse that they stand
for, so that a mesh has the volume of the solid whatever its tolerance.

The tolerance is shared out, as what departs from the true surface adds up in the middle of a facet:

- around: a section's polygon stands outside its ellipse at the corners, and within it between them;
- along: in a bend, the chord from ring to ring lies beside the arc that it stands for;
- twist: where an oval tapers or turns, the four corners between two rings lie in no plane, and the two
  triangles leave the surface through all four by a quarter of the gap between its diagonals' middles.

Each gets `SHARE` of it. The rest is for edges where two meshes cut each other: both may be off there,
and a sharp edge is further from the true edge than its faces are from the true faces. Where surfaces
only graze each other, as at the sides of a tube nearly as wide as what it is mitred to, no share would
be small enough; so what comes out of the booleans is searched for such edges (`body_meshes.py`), and
made once more with finer steps around, for as far along the axis as they run (`Grazed`). Steps along are
not: a bend right at such an edge keeps its share (the closest of the demos to its limit: 0.98 of a
tolerance of 0.01 mm).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array, Ints, Mask
from frame3d.geometry.centreline import Arc
from frame3d.geometry.closed_path import Path
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.extrusion import Extrusion
from frame3d.geometry.rounded import SIGNS
from frame3d.geometry.vector import cross
from frame3d.solids.slot import Slot
from frame3d.solids.sweep import Solid, Sweep

TOLERANCE: Final = 0.05
"""Greatest distance between a mesh and the true surface [mm], unless asked otherwise."""
SHARE: Final = 1 / 4
"""Of the tolerance, for each of the three that add up; see the module."""
ANGLE: Final = 0.2
"""Largest turn from one facet to the next [radians]."""


@dataclass(frozen=True, slots=True)
class Mesh:
    """A closed triangle mesh."""

    vertices: Array
    """(n, 3) float [mm]"""
    triangles: Ints
    """(m, 3) int, anticlockwise from outside."""

    @property
    def volume(self) -> float:
        """Volume enclosed [mm³], by the divergence theorem."""
        a, b, c = (self.vertices[self.triangles[:, i]] for i in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)

    @property
    def centre(self) -> Array:
        """Centre of the volume enclosed, of tetrahedra to the origin: (3,) float [mm]."""
        a, b, c = (self.vertices[self.triangles[:, i]] for i in range(3))
        volumes = (a * cross(b, c)).sum(axis=1) / 6
        return np.asarray((volumes @ (a + b + c)) / 4 / volumes.sum())


def facets(size: float, tolerance: float) -> int:
    """Return how many sides a circle of diameter `size` [mm] gets, a multiple of four.

    A polygon of n sides has the circle's area at the circumradius r √(x / sin x), x = 2π/n, which
    lies outside the circle by about r x²/12: no more than `SHARE` of the tolerance. An ellipse is a
    circle of its larger size pressed flat, which brings the two no further apart.
    """
    step = min(ANGLE, float(np.sqrt(12 * SHARE * tolerance / (size / 2))))
    return max(12, 4 * int(np.ceil(2 * np.pi / step / 4)))


@dataclass(frozen=True, slots=True)
class Grazed:
    """Where a sweep is meshed finer, as another surface grazes it there."""

    parts: tuple[int, ...]
    """Into how many each of the even steps around is divided, one for each side."""
    low: float
    high: float
    """From where to where along the axis [mm]."""


def sweep_mesh(sweep: Sweep, sides: int, tolerance: float, grazed: Grazed | None = None) -> Mesh:
    """A sweep as a closed mesh: a ring of `sides` points at every station, and flat ends.

    Args:
        sweep: what is meshed.
        sides: of a ring, see `facets`.
        tolerance: [mm].
        grazed: rings there, and the next ones beyond, have more points.
    """
    if sweep.box:
        outline = np.array([(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)])
        sides, grazed = 4, None
    elif sweep.rounds:
        outline, grazed = _corner_steps(sweep, tolerance), None
        sides = len(outline)
    else:
        outline = _outline(np.ones(sides, dtype=np.int64))
    s, height, width = _stations(sweep, outline, SHARE * tolerance)
    rings = [*_rings(sweep, outline, s, height, width)]
    marks = [np.arange(sides)] * len(rings)
    if grazed is not None:
        parts = np.array(grazed.parts)
        at, many = np.cumsum(parts) - parts, _outline(parts)
        low = max(int(np.searchsorted(s, grazed.low, side="right")) - 1, 0)
        high = min(int(np.searchsorted(s, grazed.high)), len(s) - 1)
        near = slice(low, high + 1)
        rings[near] = _rings(sweep, many, s[near], height[near], width[near])
        marks[near] = [at] * (high + 1 - low)
    starts = np.cumsum([0, *(len(ring) for ring in rings)])
    ends = [sweep.axis.at(float(s[0])), sweep.axis.at(float(s[-1]))]
    vertices = np.vstack([*rings, *ends])
    triangles = []
    for i in range(len(rings) - 1):
        n, m = len(rings[i]), len(rings[i + 1])
        corners, is_far = _strip(marks[i], n, marks[i + 1], m)
        triangles.append(np.where(is_far, starts[i + 1], starts[i]) + corners)
    for ring, middle in ((0, starts[-1]), (len(rings) - 1, starts[-1] + 1)):
        n = len(rings[ring])
        j = starts[ring] + np.arange(n)
        k = starts[ring] + (np.arange(n) + 1) % n
        j, k = (k, j) if ring == 0 else (j, k)
        triangles.append(np.stack([np.full(n, middle), j, k], axis=1))
    return Mesh(vertices, np.vstack(triangles).astype(np.int64))


def _outline(parts: Ints) -> Array:
    """A circle of radius 1 as a polygon of its area: each even step divided in so many: (n, 2).

    Corners stand as far outside as the steps on both sides of them ask for, between which coarser steps
    beside finer ones stay as close as they are among themselves.
    """
    step = np.repeat(2 * np.pi / len(parts) / parts, parts)
    turn = np.cumsum(step) - step
    grow = np.sqrt(step / np.sin(step))
    if (parts > 1).any():
        grow = np.sqrt(grow * np.roll(grow, 1))
        grow *= np.sqrt(2 * np.pi / np.sum(grow * np.roll(grow, -1) * np.sin(step)))
    return np.asarray(grow[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1))


def _corner_steps(sweep: Sweep, tolerance: float) -> Array:
    """Return the points of rounded outlines: corner, turn, share of the arc's radius (k, 3).

    The arc of a corner gets two points at its ends, on it, and others between that stand a little
    outside of it, so that its steps enclose its own sector (see `flat_mesh`). A side of no length has
    the end of one arc at the start of the next: only one of them is kept.
    """
    size = 2 * max(max(one) for one in sweep.rounds)
    count = max(2, facets(size, tolerance) // 4)
    step = np.pi / 2 / count
    a, b, c = (count - 1) * np.sin(step), np.sin(step / 2), count * step
    grow = float(c / (b + np.sqrt(b * b + a * c)))
    height, width, rounds = sweep.height[0] / 2, sweep.width[0] / 2, np.array(sweep.rounds)[0]
    rows = []
    for k in range(4):
        rows += [(k, 0.0, 1.0), *((k, (i + 0.5) * step, grow) for i in range(count))]
        half = width if k % 2 else height  # of the side behind corner k
        if 2 * half - rounds[k] - rounds[(k + 1) % 4] > 1e-9:
            rows.append((k, np.pi / 2, 1.0))
    return np.array(rows)


def _strip(a: Ints, n: int, b: Ints, m: int) -> tuple[Ints, Mask]:
    """Triangles between two rings of n and m points, of which `a` and `b` (k,) are level with each
    other: which point of its ring each corner is (t, 3), and whether that is the second ring.
    """
    if n == m:
        j = np.arange(n)
        k = (j + 1) % n
        even = np.vstack([np.stack([j, k, k], axis=1), np.stack([j, k, j], axis=1)])
        return even, np.repeat([[False, False, True], [False, True, True]], n, axis=0)
    near: list[tuple[int, int, int]] = []
    far: list[tuple[bool, bool, bool]] = []
    for i in range(len(a)):
        p, q = (np.append(x, size)[i : i + 2].tolist() for x, size in ((a, n), (b, m)))
        # All steps of the second ring from the first one's lower corner, then all of the first.
        near += [(p[0], j + 1, j) for j in range(q[0], q[1])]
        far += [(False, True, True)] * (q[1] - q[0])
        near += [(j, j + 1, q[1]) for j in range(p[0], p[1])]
        far += [(False, False, True)] * (p[1] - p[0])
    corners, is_far = np.array(near), np.array(far)
    return corners % np.where(is_far, m, n), is_far


def flat_mesh(flat: Flat, sides: int) -> Mesh:
    """Return a flat plate as a closed mesh, with `sides` to a full turn of its rims.

    Corners between the ends of a rim lie a little outside of it, at g times its radius, so that the
    n steps of t radians enclose the rim's own sector: (n - 1) g² sin t + 2 g sin(t/2) = n t.
    """
    corners: list[tuple[float, float]] = []
    for rim in flat.rims:
        n = max(1, int(np.ceil((rim.end - rim.start) * sides / (2 * np.pi) - 1e-9)))
        step = (rim.end - rim.start) / n
        a, b, c = (n - 1) * np.sin(step), np.sin(step / 2), n * step
        grow = float(c / (b + np.sqrt(b * b + a * c)))
        middle = replace(rim, radius=grow * rim.radius)
        whole = len(flat.rims) == 1
        corners += [] if whole else [rim.at(rim.start)]
        if whole:
            middle = replace(rim, radius=rim.radius * float(np.sqrt(step / np.sin(step))))
        corners += [middle.at(rim.start + (i + 0.5) * step) for i in range(n)]
        corners += [] if whole else [rim.at(rim.end)]
    count = len(corners)
    x, z = np.array(corners).T
    low, high = (np.stack([x, np.full(count, y), z], axis=1) for y in (flat.low, flat.high))
    j = np.arange(count)
    k = (j + 1) % count
    fan = np.arange(1, count - 1)
    triangles = [
        np.stack([j, j + count, k], axis=1),
        np.stack([k, j + count, k + count], axis=1),
        np.stack([np.zeros_like(fan), fan, fan + 1], axis=1),
        np.stack([np.full_like(fan, count), fan + 1 + count, fan + count], axis=1),
    ]
    return Mesh(np.vstack([low, high]), np.vstack(triangles).astype(np.int64))


def extrusion_mesh(body: Extrusion, tolerance: float = TOLERANCE) -> Mesh:
    """Return an extruded path as a closed mesh, as large as the solid; arcs are off by `tolerance`."""
    from manifold3d import triangulate

    corners = _corners(body.path, tolerance)
    count = len(corners)
    low, high = (
        body.plane.place(np.column_stack([corners, np.full(count, h)]))
        for h in (body.low, body.high)
    )
    face = np.asarray(triangulate([corners]), dtype=np.int64)
    j = np.arange(count)
    k = (j + 1) % count
    triangles = [
        np.stack([j, k, j + count], axis=1),
        np.stack([k, k + count, j + count], axis=1),
        face[:, ::-1],
        face + count,
    ]
    return Mesh(np.vstack([low, high]), np.vstack(triangles).astype(np.int64))


def _corners(path: Path, tolerance: float) -> Array:
    """Return a polygon of the same area as a path: (n, 2).

    Corners between the ends of an arc lie beside it, as those of `flat_mesh` do.
    """
    found: list[tuple[float, float]] = []
    for edge in path.edges:
        found.append(edge.start)
        if not edge.is_arc:
            continue
        n = max(1, int(np.ceil(abs(edge.sweep) * facets(2 * edge.radius, tolerance) / (2 * np.pi))))
        step = abs(edge.sweep) / n
        a, b, c = (n - 1) * np.sin(step), np.sin(step / 2), n * step
        grow = float(c / (b + np.sqrt(b * b + a * c)))
        x, y = edge.centre
        for i in range(n):
            u, v = edge.at((i + 0.5) / n)
            found.append((x + grow * (u - x), y + grow * (v - y)))
    return np.array(found)


def solid_mesh(solid: Solid, tolerance: float = TOLERANCE, grazed: Grazed | None = None) -> Mesh:
    """A sweep, a flat plate or an extruded path as a closed mesh; a sweep finer where it is grazed."""
    if isinstance(solid, Extrusion):
        return extrusion_mesh(solid, tolerance)
    sides = facets(solid.size, tolerance)
    if isinstance(solid, Flat):
        return flat_mesh(solid, sides)
    if isinstance(solid, Slot):
        plate = flat_mesh(solid.flat, sides)
        return Mesh(np.array(solid.at) + plate.vertices @ solid.axes, plate.triangles)
    return sweep_mesh(solid, sides, tolerance, grazed)


def _rings(sweep: Sweep, outline: Array, s: Array, height: Array, width: Array) -> Array:
    """Return a section's corners at each place: (n, k, 3) float [mm].

    Args:
        sweep: whose axis it is.
        outline: corners sideways and up, as fractions of the half sizes: (k, 2); of rounded outlines
            as `_corner_steps` has them, (k, 3).
        s: places along the axis: (n,) [mm].
        height: height there: (n,) [mm].
        width: width there: (n,) [mm].
    """
    centre, up, across = sweep.axis.frames(s)
    if sweep.rounds:
        corner, turn, share = outline[:, 0].astype(np.int64), outline[:, 1], outline[:, 2]
        radii = np.stack(
            [np.interp(s, sweep.s, column) for column in zip(*sweep.rounds, strict=True)], axis=1
        )[:, corner]
        angle = turn + np.pi / 2 * corner
        signs = SIGNS[corner]
        high = signs[:, 0] * (height[:, None] / 2 - radii) + share * radii * np.cos(angle)
        wide = signs[:, 1] * (width[:, None] / 2 - radii) + share * radii * np.sin(angle)
        # From the last point to the first: (width, height) turns the other way than phi does.
        high, wide = high[:, ::-1, None], wide[:, ::-1, None]
        return np.asarray(centre[:, None] + wide * across[:, None] + high * up[:, None])
    right = (width / 2)[:, None, None] * outline[:, :1] * across[:, None]
    return np.asarray(
        centre[:, None] + right + (height / 2)[:, None, None] * outline[:, 1:] * up[:, None]
    )


def _stations(sweep: Sweep, outline: Array, share: float) -> tuple[Array, Array, Array]:
    """Return places of rings and their sizes: stations, ends of pieces, steps between.

    Steps turn by no more than `ANGLE`, and are then divided according to their measured error: that
    of chords goes with the square of the step, that of twist with the step.

    Args:
        sweep: what is meshed.
        outline: of a ring, see `_rings`.
        share: largest error of chords, and of twist [mm].
    """
    known = np.array(sweep.s)
    bends, here = [0.0], 0.0
    for piece in sweep.axis.pieces:
        turn = np.radians(piece.angle) if isinstance(piece, Arc) else 0.0
        count = max(1, int(np.ceil(turn / ANGLE)))
        bends += [here + piece.length * i / count for i in range(1, count + 1)]
        here += piece.length
    new = np.array([x for x in bends if np.abs(known - x).min() > 1e-6])
    s = np.concatenate([known, new])
    height = np.concatenate([sweep.height, np.interp(new, sweep.s, sweep.height)])
    width = np.concatenate([sweep.width, np.interp(new, sweep.s, sweep.width)])
    order = np.argsort(s, kind="stable")
    s, height, width = s[order], height[order], width[order]
    chord, twist = _missed(_rings(sweep, outline, *_divided(2, s, height, width)))
    counts = np.maximum(np.sqrt(chord / share), twist / share)
    # Rounding must not add a step where a share is met exactly.
    return _divided(np.maximum(1, np.ceil(counts - 1e-6)).astype(np.int64), s, height, width)


def _missed(rings: Array) -> tuple[Array, Array]:
    """Return how far facets between every second ring are from the surface: two (n,) float [mm].

    Args:
        rings: at the ends and in the middle of n steps: (2 n + 1, k, 3) [mm].

    Returns:
        Error by chords from ring to ring, and by the twist of facets, each the largest on the ring.
    """
    a, middle, b = rings[:-1:2], rings[1::2], rings[2::2]
    chord = np.linalg.norm(middle - (a + b) / 2, axis=2).max(axis=1)
    c, d = np.roll(a, -1, axis=1), np.roll(b, -1, axis=1)
    normal = np.cross(d - a, c - b)
    length = np.maximum(np.linalg.norm(normal, axis=2), 1e-9)
    gap = np.abs(np.einsum("nkx,nkx->nk", a + d - b - c, normal)) / length
    return chord, np.asarray(gap.max(axis=1) / 4)


def _divided(
    counts: Ints | int, s: Array, height: Array, width: Array
) -> tuple[Array, Array, Array]:
    """Return places and sizes with each step between them divided into `counts` equal ones."""
    counts = np.broadcast_to(np.asarray(counts), len(s) - 1)
    step = np.repeat(np.arange(len(counts)), counts)
    part = (np.arange(len(step)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[step]

    def between(x: Array) -> Array:
        return np.append(x[step] + part * np.diff(x)[step], x[-1])

    return between(s), between(height), between(width)
