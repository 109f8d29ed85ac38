"""Small spheres at the corners of many solids: their hull holds each solid, and hardly more.

Bounding spheres (`bounding`) are few and together hold a solid; these hold it only with all that lies
between them. So boxes about them are nearly as small as boxes about the solid::

        o-------------o      box: its corners             o             ring: corners of the
        |             |      tube: both ends, and      o  .-.  o        polygon around it
        o-------------o      around bends              o  `-'  o
                                                          o
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Final

import numpy as np

from frame3d.bodies.shapes import Box, Capsule, Disc, Prism, Ring, Shape, Solid, Torus, Tubular
from frame3d.geometry.arrays import Array, Ints
from frame3d.geometry.centreline import Arc, Centreline, arc_axes

AROUND: Final = 16
"""Corners of the polygon around a circle."""
BEND: Final = 15.0
"""Most of a bend to one corner [degrees]."""
_SIGNS: Array = np.array(list(product((-1.0, 1.0), repeat=3)))
_TURN: Final = 2 * np.pi / AROUND * np.arange(AROUND)
_POLYGON: Array = np.stack((np.cos(_TURN), np.sin(_TURN)), axis=1) / np.cos(np.pi / AROUND)


def corners_of(solids: Sequence[Solid]) -> tuple[Array, Ints]:
    """Return small spheres whose hull holds each of some solids, and where each solid's begin.

    Returns:
        (n, 4) float, centres and radii [mm]; (solids + 1,), the last is n.
    """
    boxes: list[tuple[float, ...]] = []
    circles: list[tuple[float, ...]] = []
    points: list[tuple[float, ...]] = []
    of_boxes: list[int] = []
    of_circles: list[int] = []
    of_points: list[int] = []
    for i, solid in enumerate(solids):
        if isinstance(solid, Tubular):
            own = _of_tube(solid)
            points += own
            of_points += [i] * len(own)
            continue
        shape, (x, y, z) = solid.shape, solid.axes
        if isinstance(shape, Box):
            of_boxes.append(i)
            boxes.append((*solid.origin, *x, *y, *z, *shape.core, shape.rounding))
            continue
        radius, rims, places = _in_own_axes(shape)
        of_circles += [i] * len(rims)
        circles += [(*solid.origin, *x, *y, *z, *rim, radius) for rim in rims]
        of_points += [i] * len(places)
        for p, q, r in places:
            at = [
                a + p * b + q * c + r * d for a, b, c, d in zip(solid.origin, x, y, z, strict=True)
            ]
            points.append((*at, radius))
    spheres = np.concatenate(
        (
            _of_boxes(np.array(boxes).reshape(-1, 16)),
            _of_circles(np.array(circles).reshape(-1, 15)),
            np.array(points).reshape(-1, 4),
        )
    )
    owner = np.concatenate(
        (np.repeat(of_boxes, len(_SIGNS)), np.repeat(of_circles, AROUND), of_points)
    ).astype(np.int64)
    counts = np.bincount(owner, minlength=len(solids))
    return spheres[np.argsort(owner, kind="stable")], np.concatenate(([0], np.cumsum(counts)))


def _of_boxes(rows: Array) -> Array:
    """Return the corners of boxes, (8 n, 4), from origin, axes, half sizes of the core and rounding."""
    axes, core = rows[:, 3:12].reshape(-1, 3, 3), rows[:, 12:15]
    out = np.empty((len(rows), len(_SIGNS), 4))
    out[..., :3] = rows[:, None, :3] + (_SIGNS * core[:, None]) @ axes
    out[..., 3] = rows[:, None, 15]
    return out.reshape(-1, 4)


def _of_circles(rows: Array) -> Array:
    """Return corners around circles about y, (AROUND n, 4).

    Args:
        rows: (n, 15): origin, axes, radius and place along y, and how thick they are around.
    """
    axes, radius = rows[:, 3:12].reshape(-1, 3, 3), rows[:, 12]
    out = np.empty((len(rows), AROUND, 4))
    out[..., :3] = (rows[:, :3] + rows[:, 13:14] * axes[:, 1])[:, None]
    out[..., :3] += (radius[:, None, None] * _POLYGON) @ axes[:, ::2]
    out[..., 3] = rows[:, None, 14]
    return out.reshape(-1, 4)


def _in_own_axes(
    shape: Shape,
) -> tuple[float, list[tuple[float, float]], list[tuple[float, float, float]]]:
    """Return the corners of a shape other than a box in its own axes.

    Returns:
        How thick all of them are; circles about y by radius and place; single ones.
    """
    match shape:
        case Torus(centre, radius):
            return radius, [(centre, 0.0)], []
        case Ring(profile) | Disc(profile):
            # Corners at negative radius are others' mirror images.
            rims = [(r, y) for r, y in profile if r > 0]
            return 0.0, rims, [(0.0, y, 0.0) for r, y in profile if r == 0]
        case Capsule(length, radius, end):
            return max(radius, end), [], [(0.0, 0.0, 0.0), (0.0, 0.0, length)]
        case Prism(profile, half):
            return 0.0, [], [(x, y, z) for x, y in profile for z in (-half, half)]
        case Box():  # many, and so worked out together
            pass
    raise TypeError(type(shape).__name__)


def _of_tube(tube: Tubular) -> list[tuple[float, ...]]:
    """Return the corners of a tube from its first metal to its last, as thick as it is anywhere."""
    axis, half = tube.axis, tube.section.furthest
    if axis.is_straight and tube.trimmed == (0.0, 0.0):
        return [(*axis.start, half), (*axis.end, half)]
    points = axis.points(np.array(tube.span)).tolist()
    if not axis.is_straight:
        points += _around_bends(axis)
    return [(x, y, z, half) for x, y, z in points]


def _around_bends(axis: Centreline) -> list[list[float]]:
    """Return the ends of an axis' bends, and where tangents meet outside of them: (n, 3)."""
    found: list[list[float]] = []
    for piece in axis.pieces:
        if not isinstance(piece, Arc):
            continue
        count = int(np.ceil(piece.angle / BEND))
        share = np.radians(piece.angle) / count
        turn = share * (np.arange(count) + 0.5)
        centre, out, along = arc_axes(piece)
        corners = np.outer(np.cos(turn), out) + np.outer(np.sin(turn), along)
        found += [list(piece.start), list(piece.end)]
        found += (centre + piece.radius / np.cos(share / 2) * corners).tolist()
    return found
