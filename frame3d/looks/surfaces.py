"""Triangle meshes with normals directly from shapes and sections, for a quick picture.

No booleans and no CAD kernel: parts overlap, and ends are not mitred. Facets are coarse, but normals are
those of the true surface, so shading looks smooth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.bodies.shapes import Box, Capsule, Disc, Prism, Ring, Shape, Torus
from frame3d.geometry.arrays import Array, Ints
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.distinct import distinct_rows
from frame3d.geometry.rounded import SIGNS, Rounds
from frame3d.geometry.vector import cross

ROUND: Final = 16
"""Number of facets around a tube."""
THIN: Final = 10
"""Number of facets around bodies up to the radius `SMALL`."""
SMALL: Final = 12.0
"""Largest radius with `THIN` facets [mm]."""
WHEEL: Final = 40
"""Number of facets around bodies from the radius `LARGE`."""
LARGE: Final = 100.0
"""Smallest radius with `WHEEL` facets [mm]."""
SHARP: Final = 32.0
"""An edge is drawn where the normals of two faces differ by more than this [degrees]."""
NO_EDGES: Final[Ints] = np.zeros((0, 2), dtype=np.int64)
BEND: Final = 12.0
"""Angle of a bend between two rings [degrees]."""


@dataclass(frozen=True)
class Surface:
    """A triangle mesh with normals."""

    points: Array
    """(n, 3) float [mm]"""
    normals: Array
    """(n, 3) float, unit"""
    corners: Ints
    """(m, 3) int, anticlockwise from outside."""
    edges: Ints
    """(k, 2) int: ends of its sharp edges; edges that meet share the index of the point."""

    def moved(self, motion: Array) -> Surface:
        """Return the surface moved by a rigid motion (4, 4)."""
        turn = motion[:3, :3].T
        points, normals = self.points @ turn + motion[:3, 3], self.normals @ turn
        return Surface(points, normals, self.corners, self.edges)


def joined(surfaces: Sequence[Surface]) -> Surface:
    """Return several surfaces as one."""
    if len(surfaces) == 1:
        return surfaces[0]
    starts = np.cumsum([0, *(len(s.points) for s in surfaces)])
    return Surface(
        np.concatenate([s.points for s in surfaces]),
        np.concatenate([s.normals for s in surfaces]),
        np.concatenate([s.corners + start for s, start in zip(surfaces, starts, strict=False)]),
        np.concatenate([s.edges + start for s, start in zip(surfaces, starts, strict=False)]),
    )


def tube_surface(
    axis: Centreline,
    s: Sequence[float],
    height: Sequence[float],
    width: Sequence[float],
    *,
    box: bool = False,
    rounds: Sequence[Rounds] = (),
) -> Surface:
    """Return the surface of ellipses, rectangles or rounded outlines along an axis, with flat ends.

    Args:
        axis: from start to end.
        s: stations of the section, rising from 0 to the axis' length [mm]; (n,)
        height: of the section there [mm]; (n,)
        width: of the section there [mm]; (n,)
        box: rectangles.
        rounds: radii of the corners of rounded outlines there; (n,)
    """
    at = _stations(axis, s)
    h, w = np.interp(at, s, height) / 2, np.interp(at, s, width) / 2
    centre, up, side = axis.frames(at)
    if rounds:
        # Corner by corner the two ends of its arc and steps between; sides lie between corners.
        turn = np.linspace(0.0, np.pi / 2, 1 + ROUND // 4)
        corner = np.repeat(np.arange(4), len(turn))[::-1]
        angle = (np.tile(turn, 4) + np.pi / 2 * np.repeat(np.arange(4), len(turn)))[::-1]
        radii = np.stack([np.interp(at, s, c) for c in zip(*rounds, strict=True)], axis=1)[
            :, corner
        ]
        along, across = (np.broadcast_to(x, radii.shape) for x in (np.cos(angle), np.sin(angle)))
        z = (SIGNS[corner, 0] * (h[:, None] - radii) + radii * along) / h[:, None]
        y = (SIGNS[corner, 1] * (w[:, None] - radii) + radii * across) / w[:, None]
    elif box:
        # Each vertex of a rectangle is stored twice, once for either face.
        y = np.array([1.0, -1.0, -1.0, -1.0, -1.0, 1.0, 1.0, 1.0])
        z = np.array([1.0, 1.0, 1.0, -1.0, -1.0, -1.0, -1.0, 1.0])
        ny = np.array([0.0, 0.0, -1.0, -1.0, 0.0, 0.0, 1.0, 1.0])
        nz = np.array([1.0, 1.0, 0.0, 0.0, -1.0, -1.0, 0.0, 0.0])
        across, along = np.broadcast_to(ny, (len(at), 8)), np.broadcast_to(nz, (len(at), 8))
    else:
        turn = 2 * np.pi * np.arange(ROUND) / ROUND
        y, z = np.cos(turn), np.sin(turn)
        # The normal of an ellipse is (cos / w, sin / h), times w h.
        across, along = y * h[:, None], z * w[:, None]
    normals = across[:, :, None] * side[:, None] + along[:, :, None] * up[:, None]
    rings = (
        centre[:, None]
        + (w[:, None] * y)[:, :, None] * side[:, None]
        + (h[:, None] * z)[:, :, None] * up[:, None]
    )
    count, facets = rings.shape[:2]
    points, normal = [rings.reshape(-1, 3)], [unit_rows(normals.reshape(-1, 3))]
    corners = [quads(count, facets)]
    for ring, out in ((0, cross(up[0], side[0])), (count - 1, cross(side[-1], up[-1]))):
        start = sum(len(p) for p in points)
        points.append(rings[ring])
        normal.append(np.broadcast_to(out, (facets, 3)))
        corners.append(start + (fan(facets) if ring else fan(facets)[:, ::-1]))
    return Surface(
        np.concatenate(points),
        np.concatenate(normal),
        np.concatenate(corners),
        _box_edges(count) if box else _rims(count, facets),
    )


@lru_cache(maxsize=64)
def _rims(rings: int, facets: int) -> Ints:
    """Return the sharp edges of a round tube: both end circles."""
    i = np.arange(facets)
    rim = np.stack([i, (i + 1) % facets], axis=1)
    return np.concatenate([rim, rim + (rings - 1) * facets])


@lru_cache(maxsize=16)
def _box_edges(rings: int) -> Ints:
    """Return the sharp edges of a rectangular tube: both ends, and the four edges along it."""
    corner = np.array([0, 2, 4, 6])
    rim = np.stack([corner, np.roll(corner, -1)], axis=1)
    start = 8 * np.arange(rings - 1)[:, None]
    along = np.stack([start + corner, start + 8 + corner], axis=2).reshape(-1, 2)
    return np.concatenate([rim, rim + 8 * (rings - 1), along])


def sharp(points: Array, normals: Array, corners: Ints) -> Ints:
    """Return the edges of a closed surface at which the normals of two faces differ: (k, 2) int.

    Normals are those of the true surface, so facets of round surfaces have no edges between them.
    """
    first, place = distinct_rows(np.round(points, 3))
    places = first[place]
    faces = places[corners]
    corners = corners[(faces != np.roll(faces, 1, axis=1)).all(axis=1)]
    sides = np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]])
    # Both ends sorted, so that an edge is the same from either face.
    turned = places[sides[:, 0]] > places[sides[:, 1]]
    sides[turned] = sides[turned][:, ::-1]
    edges = places[sides]
    order = np.lexsort((edges[:, 1], edges[:, 0]))
    edges, sides = edges[order], sides[order]
    pairs = np.flatnonzero((edges[:-1] == edges[1:]).all(axis=1))
    along = np.einsum("ijk,ijk->ij", normals[sides[pairs]], normals[sides[pairs + 1]])
    found: Ints = edges[pairs[(along < np.cos(np.radians(SHARP))).any(axis=1)]]
    return found


@lru_cache(maxsize=512)
def shape_surface(shape: Shape) -> Surface:
    """Return a shape's surface in its own axes (cached)."""
    bare = _bare(shape)
    return Surface(
        bare.points, bare.normals, bare.corners, sharp(bare.points, bare.normals, bare.corners)
    )


def _bare(shape: Shape) -> Surface:
    """Return the surface of a shape without edges."""
    match shape:
        case Box(core, rounding):
            return _box(np.array(core), rounding)
        case Capsule(length, radius, end):
            return _capsule(length, radius, end)
        case Torus(centre, radius):
            turn = np.append(2 * np.pi * np.arange(10) / 10, 0.0)
            out = np.stack([np.cos(turn), np.sin(turn)], axis=1)
            return turned(np.array([centre, 0.0]) + radius * out, out, _facets(centre + radius))
        case Prism(profile, half):
            return _prism(np.array(profile), half)
        case Ring(profile) | Disc(profile):
            return _faceted(np.array(profile))


def _prism(corners: Array, half: float) -> Surface:
    """Return a convex polygon (n, 2), anticlockwise, from z = -half to half: sides, then both faces."""
    n = len(corners)
    ahead = np.roll(corners, -1, axis=0)
    out = unit_rows(np.stack([ahead[:, 1] - corners[:, 1], corners[:, 0] - ahead[:, 0]], axis=1))
    sides = [np.column_stack([c, np.full(n, z)]) for z in (-half, half) for c in (corners, ahead)]
    points = [*sides, *(np.column_stack([corners, np.full(n, z)]) for z in (-half, half))]
    normal = np.tile(np.column_stack([out, np.zeros(n)]), (4, 1))
    faces = np.repeat([[0.0, 0.0, -1.0], [0.0, 0.0, 1.0]], n, axis=0)
    i = np.arange(n)
    return Surface(
        np.concatenate(points),
        np.concatenate([normal, faces]),
        np.concatenate(
            [
                np.stack([i, i + n, i + 3 * n], axis=1),
                np.stack([i, i + 3 * n, i + 2 * n], axis=1),
                4 * n + fan(n)[:, ::-1],
                5 * n + fan(n),
            ]
        ),
        np.zeros((0, 2), dtype=np.int64),
    )


def _faceted(corners: Array) -> Surface:
    """Return a convex profile of (radius, y), (n, 2) anticlockwise, revolved about y, with facets."""
    pieces = []
    facets = _facets(float(corners[:, 0].max()))
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if min(a[0], b[0]) < -1e-9 or max(a[0], b[0]) < 1e-9:
            continue
        along = (b - a) / np.linalg.norm(b - a)
        out = np.array([along[1], -along[0]])
        pieces.append(turned(np.stack([a, b]), np.stack([out, out]), facets))
    return joined(pieces)


def turned(profile: Array, out: Array, facets: int) -> Surface:
    """Return a profile of (radius, y) with normals, (n, 2) each, revolved about y."""
    turn = 2 * np.pi * np.arange(facets) / facets
    c, s = np.cos(turn), np.sin(turn)

    def spun(line: Array) -> Array:
        r, y = line[:, :1], line[:, 1:]
        return np.stack([r * c, y + 0 * c, r * s], axis=2).reshape(-1, 3)

    corners = quads(len(profile), facets)
    # About y, x turns toward -z; ours turns toward z, so the profile's order decides what is outside.
    return Surface(spun(profile), spun(out), corners[:, ::-1], NO_EDGES)


def _facets(radius: float) -> int:
    return THIN if radius <= SMALL else ROUND if radius < LARGE else WHEEL


def _box(half: Array, rounding: float) -> Surface:
    """Return a box with rounded edges; `half` are its half dimensions without the rounding."""
    steps = 1 if rounding < 1e-6 else 2
    quarter = np.linspace(0.0, np.pi / 2, steps + 1)
    lon = np.concatenate([quarter + i * np.pi / 2 for i in range(4)])
    lat = np.concatenate([quarter - np.pi / 2, quarter])
    sx = np.repeat([1.0, -1.0, -1.0, 1.0], steps + 1)
    sy = np.repeat([1.0, 1.0, -1.0, -1.0], steps + 1)
    sz = np.repeat([-1.0, 1.0], steps + 1)
    flat = np.ones_like(lat)
    normals = np.stack(
        [
            np.outer(np.cos(lat), np.cos(lon)),
            np.outer(np.cos(lat), np.sin(lon)),
            np.outer(np.sin(lat), np.ones_like(lon)),
        ],
        axis=2,
    )
    signs = np.stack([np.outer(flat, sx), np.outer(flat, sy), np.outer(sz, np.ones_like(sx))], 2)
    points = signs * half + rounding * normals
    count = len(lat)
    body = quads(count, len(lon))
    # Top and bottom are flat where the rounding ends: two triangles each.
    ring = np.arange(0, len(lon), steps + 1)
    top = (count - 1) * len(lon) + ring
    lids = np.array([[top[0], top[1], top[2]], [top[0], top[2], top[3]]])
    base = np.array([[ring[0], ring[2], ring[1]], [ring[0], ring[3], ring[2]]])
    corners = np.concatenate([body, lids, base])
    return Surface(points.reshape(-1, 3), normals.reshape(-1, 3), corners, NO_EDGES)


def _capsule(length: float, radius: float, end: float) -> Surface:
    """Return the hull of two spheres along z."""
    slope = np.clip((radius - end) / length if length > 0 else 0.0, -1.0, 1.0)
    joint = float(np.arcsin(slope))
    lower = np.linspace(-np.pi / 2, joint, 4)
    upper = np.linspace(joint, np.pi / 2, 4)
    lat = np.concatenate([lower, upper])
    r = np.repeat([radius, end], 4)
    z0 = np.repeat([0.0, length], 4)
    facets = _facets(max(radius, end))
    turn = 2 * np.pi * np.arange(facets) / facets
    normals = np.stack(
        [
            np.outer(np.cos(lat), np.cos(turn)),
            np.outer(np.cos(lat), np.sin(turn)),
            np.outer(np.sin(lat), np.ones(facets)),
        ],
        axis=2,
    )
    points = r[:, None, None] * normals
    points[:, :, 2] += z0[:, None]
    corners = quads(len(lat), facets)
    return Surface(points.reshape(-1, 3), normals.reshape(-1, 3), corners, NO_EDGES)


@lru_cache(maxsize=256)
def quads(rings: int, facets: int) -> Ints:
    """Return triangles between successive closed rings of points, facing outward."""
    i, j = np.meshgrid(np.arange(rings - 1), np.arange(facets), indexing="ij")
    k = (j + 1) % facets
    a, b, c, d = i * facets + j, i * facets + k, (i + 1) * facets + k, (i + 1) * facets + j
    return np.stack([a, b, c, a, c, d], axis=-1).reshape(-1, 3)


@lru_cache(maxsize=16)
def fan(facets: int) -> Ints:
    """Return triangles that fill a ring of points."""
    i = np.arange(1, facets - 1)
    return np.stack([np.zeros_like(i), i, i + 1], axis=1)


def _stations(axis: Centreline, s: Sequence[float]) -> Array:
    """Return the section's stations and further ones within bends: (k,) [mm]."""
    if axis.is_straight:
        return np.asarray(s, dtype=np.float64)
    more = [np.asarray(s, dtype=np.float64)]
    for piece, start in zip(axis.pieces, axis.starts, strict=False):
        if isinstance(piece, Arc):
            count = max(2, int(np.ceil(piece.angle / BEND)) + 1)
            more.append(start + np.linspace(0.0, piece.length, count))
    return np.unique(np.round(np.concatenate(more), 6))


def unit_rows(vectors: Array) -> Array:
    """Return the directions of vectors: (n, k) -> (n, k); no direction where one has no length."""
    size: Array = np.sqrt(np.einsum("ij,ij->i", vectors, vectors))
    return vectors / np.maximum(size, 1e-12)[:, None]
