"""Make solids (rods, sweeps, extrusions, solids of revolution) as Manifold objects, in millimetres."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np
from manifold3d import CrossSection, JoinType, Manifold, Mesh64, OpType

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.vector import unit
from frame3d.solids.mesh import Mesh, solid_mesh
from frame3d.solids.sweep import Solid

CHORD: Final = 0.02
"""Largest distance of a facet from the true surface [mm]."""
X: Final = np.array([1.0, 0.0, 0.0])
Y: Final = np.array([0.0, 1.0, 0.0])
Z: Final = np.array([0.0, 0.0, 1.0])


def sides(radius: float) -> int:
    """Return the number of sides of a polygon inscribed in a circle, within `CHORD` of it.

    A multiple of eight, so that there are vertices at every 45 degrees.
    """
    step = 2 * np.arccos(max(1 - CHORD / max(radius, 1e-6), 0.5))
    return max(16, 8 * int(np.ceil(2 * np.pi / float(step) / 8)))


def circle(radius: float, x: float = 0.0, y: float = 0.0) -> Array:
    """Return the vertices of a polygon inscribed in a circle, anticlockwise: (n, 2) float."""
    n = sides(radius)
    turn = 2 * np.pi * np.arange(n) / n
    return np.stack([x + radius * np.cos(turn), y + radius * np.sin(turn)], axis=1)


def area(*outlines: Array) -> CrossSection:
    """Return the union of closed outlines, each (n, 2) anticlockwise."""
    return CrossSection([np.ascontiguousarray(outline) for outline in outlines])


def around(*outlines: Array) -> CrossSection:
    """Return the convex hull of outlines, each (n, 2)."""
    return CrossSection.hull_points(np.ascontiguousarray(np.vstack(outlines)))


def grown(section: CrossSection, by: float) -> CrossSection:
    """Return a section whose sides are moved outward by `by` [mm]; corners stay sharp."""
    return section.offset(by, JoinType.Miter, 8.0)


def axes(origin: Array, z: Array, x: Array) -> Array:
    """Return the rigid motion that takes local axes to `origin`, with z along `z` and x nearest to `x`.

    Returns:
        (3, 4) float.
    """
    up = unit(np.asarray(z, dtype=np.float64))
    ahead = np.asarray(x, dtype=np.float64)
    ahead = unit(ahead - (ahead @ up) * up)
    return np.column_stack([ahead, np.cross(up, ahead), up, origin])


def across(origin: Array) -> Array:
    """Return the motion to axes with z to the left and x forward, for parts that rotate about y."""
    return axes(origin, Y, np.array([1.0, 0.0, 0.0]))


def pressed(section: CrossSection, low: float, high: float, at: Array | None = None) -> Manifold:
    """Return a section extruded from z = `low` to `high`, then moved by `at` (3, 4)."""
    solid = Manifold.extrude(section, high - low).translate((0.0, 0.0, low))
    return solid if at is None else solid.transform(at)


def turned(section: CrossSection, at: Array | None = None) -> Manifold:
    """Return a section of (radius, height) revolved about z, then moved by `at` (3, 4)."""
    solid = Manifold.revolve(section, sides(section.bounds()[2]))
    return solid if at is None else solid.transform(at)


def rod(a: Array, b: Array, radius: float, end_radius: float | None = None) -> Manifold:
    """Return a cylinder or cone from a to b with flat ends."""
    along = np.asarray(b, dtype=np.float64) - a
    length = float(np.linalg.norm(along))
    end = radius if end_radius is None else end_radius
    solid = Manifold.cylinder(length, radius, end, sides(max(radius, end)))
    return solid.transform(axes(a, along, _aside(along)))


def ball(at: Array, radius: float) -> Manifold:
    """Return a sphere."""
    return Manifold.sphere(radius, sides(radius)).translate(tuple(at))


def block(low: Sequence[float], high: Sequence[float], bevel: float = 0.0) -> Manifold:
    """Return a box between two corners, with bevelled upper edges."""
    a, b = np.asarray(low, dtype=np.float64), np.asarray(high, dtype=np.float64)
    rings = [(a[0], b[0], a[1], b[1], a[2]), (a[0], b[0], a[1], b[1], b[2] - bevel)]
    if bevel > 0:
        rings.append((a[0] + bevel, b[0] - bevel, a[1] + bevel, b[1] - bevel, b[2]))
    return hull(np.array([(x, y, r[4]) for r in rings for x in r[:2] for y in r[2:4]]))


def hull(points: Array) -> Manifold:
    """Return the convex hull of points (n, 3)."""
    return Manifold.hull_points(np.ascontiguousarray(points))


def swept(solid: Solid, tolerance: float = CHORD) -> Manifold:
    """Return a sweep or a flat plate, within `tolerance` of the true surface [mm]."""
    return closed(solid_mesh(solid, tolerance))


def pipe(axis: Centreline, s: Sequence[float], radius: Sequence[float]) -> Manifold:
    """Return a round bar along a centreline, with a radius at each `s`, linear between [mm]."""
    marks = {float(x) for x in s}
    for start, piece in zip(axis.starts, axis.pieces, strict=False):
        if isinstance(piece, Arc):
            bend = float(np.sqrt(8 * CHORD / (piece.radius + max(radius))))
            count = max(2, int(np.ceil(np.radians(piece.angle) / bend)))
            marks |= {float(start) + piece.length * i / count for i in range(count + 1)}
    places = np.array(sorted(marks))
    places = places[np.concatenate([[True], np.diff(places) > 1e-6])]
    points, sizes = axis.points(places), np.interp(places, s, radius)
    n = sides(max(radius))
    turn = 2 * np.pi * np.arange(n) / n
    along = axis.tangent(0.0)
    up = unit(np.cross(along, _aside(along)))
    rings = []
    for at, size, x in zip(points, sizes, places, strict=True):
        # Parallel transport: the frame does not rotate about the axis.
        along = axis.tangent(float(x))
        up = unit(up - (up @ along) * along)
        aside = np.cross(along, up)
        rings.append(at + size * (np.cos(turn)[:, None] * up + np.sin(turn)[:, None] * aside))
    j, k = np.arange(n), (np.arange(n) + 1) % n
    faces = [np.stack([0 * j[1:-1], j[2:], j[1:-1]], axis=1)]
    for i in range(len(rings) - 1):
        a, b = i * n, (i + 1) * n
        faces += [np.stack([a + j, a + k, b + k], axis=1), np.stack([a + j, b + k, b + j], axis=1)]
    last = (len(rings) - 1) * n
    faces.append(last + np.stack([0 * j[1:-1], j[1:-1], j[2:]], axis=1))
    return closed(Mesh(np.vstack(rings), np.vstack(faces).astype(np.int64)))


def closed(mesh: Mesh) -> Manifold:
    """Return a closed mesh as a Manifold."""
    return Manifold(
        Mesh64(
            np.ascontiguousarray(mesh.vertices),
            np.ascontiguousarray(mesh.triangles.astype(np.uint64)),
        )
    )


def together(solids: Iterable[Manifold]) -> Manifold:
    """Return the union of solids."""
    every = list(solids)
    return every[0] if len(every) == 1 else Manifold.batch_boolean(every, OpType.Add)


def minus(solid: Manifold, taken: Iterable[Manifold]) -> Manifold:
    """Return a solid less other solids."""
    every = list(taken)
    return Manifold.batch_boolean([solid, *every], OpType.Subtract) if every else solid


def hull_of(points: Array) -> Array:
    """Return the convex hull of points in the plane, anticlockwise: (n, 2) -> (k, 2).

    (0, 2) where the points lie on one line.
    """
    loops = CrossSection.hull_points(np.ascontiguousarray(points)).to_polygons()
    return np.asarray(loops[0]) if loops and len(loops[0]) > 2 else np.zeros((0, 2))


def bounds(solid: Manifold) -> Array:
    """Return the lower and upper corner of a solid's bounding box: (2, 3) float."""
    return np.array(solid.bounding_box()).reshape(2, 3)


def _aside(along: Array) -> Array:
    """Return a direction that is not parallel to `along`: y, or x where `along` is near y."""
    return Y if abs(along[1]) < 0.9 * np.linalg.norm(along) else np.array([1.0, 0.0, 0.0])
