"""The edge of a hole on its tube, point by point: for templates and for what is near to it."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.features.holes import across
from frame3d.tubes.features.stand import inner, root
from frame3d.tubes.tube import Tube

AROUND = 240
"""Points of an edge."""


def outline(hole: Hole, count: int = AROUND) -> Array:
    """Return points of a hole's own outline, square to its axis: along its length, across (n, 2) [mm].

    The first point closes it too. Points are even along the outline, joints of arcs and lines among
    them.
    """
    radius = hole.diameter / 2
    straight = 0.0 if hole.is_round else hole.length / 2 - radius
    n = max(count // 4, 8)
    turn = np.linspace(-np.pi / 2, np.pi / 2, 2 * n + 1)
    right = np.stack([straight + radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    sides = np.linspace(straight, -straight, n)[1:-1] if straight else np.zeros(0)
    top = np.stack([sides, np.full(len(sides), radius)], axis=1)
    right = right if straight else right[:-1]
    ring = np.concatenate([right, top, -right, -top])
    return np.concatenate([ring, ring[:1]])


def edge_points(hole: Hole, tube: Tube, *, inside: bool = False, count: int = AROUND) -> Array:
    """Return points of a hole's edge on its tube's outside, or on its bore: (n, 3) [mm]."""
    body = inner(tube) if inside else tube
    flat = outline(hole, count)
    way, along, aside = across(hole)
    start = hole.axis.at(0.0) + flat[:, :1] * along + flat[:, 1:] * aside
    size = 2 * tube.section.furthest
    far = hole.axis.length + size
    depth = root(
        lambda x: level(body, start + x[:, None] * way)[0],
        np.zeros(len(flat)),
        np.full(len(flat), far),
    )
    return np.asarray(start + depth[:, None] * way)


def on_tube(points: Array, tube: Tube, *, inside: bool = False) -> tuple[Array, Array]:
    """Return phi [degrees] and s [mm] of points on a tube, as `edge.EdgeOutline` has them: (n,) each."""
    body = inner(tube) if inside else tube
    s = body.axis.nearest(points)
    centre, up, side = body.axis.frames(s)
    d = points - centre
    phi = body.section.phi_of(np.sum(d * up, axis=1), np.sum(d * side, axis=1), s)
    return np.degrees(np.unwrap(np.radians(phi))), s
