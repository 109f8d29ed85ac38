"""Outlines of all parts of the bike, seen from the drive side, as closed loops."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from frame3d.bodies.body import Bodies, Body
from frame3d.bodies.motion.pose import Pose, matrix, placed_matrix
from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Disc,
    PlacedShape,
    Prism,
    Profile,
    Ring,
    Torus,
    Tubular,
)
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc
from frame3d.mockup.solid import hull_of

_LAYERS = {
    "rear_wheel": 0,
    "front_wheel": 0,
    "fork": 1,
    "seat": 2,
    "frame": 3,
    "cockpit": 5,
    "drivetrain": 6,
    "crank": 7,
}
"""Drawing order of parts on one side: higher layers are nearer to the viewer."""
_TURN = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)


Loops = tuple[Array, ...]
"""Loops of one solid: (n, 2) float, x forward, z up [mm]. A second loop is a hole in the first."""


@dataclass(frozen=True)
class Outline:
    """One part in the side view."""

    name: str
    family: str
    pieces: tuple[Loops, ...]
    """Loops of each solid, far solids first."""


def outlines(bodies: Bodies, skip: frozenset[str] = frozenset()) -> tuple[Outline, ...]:
    """Return every part that is drawn, far ones first.

    Args:
        bodies: of a solved bike.
        skip: names, or beginnings of names, to leave out.
    """
    shown = [
        body
        for body in bodies.bodies
        if body.drawn and not any(body.name == s or body.name.startswith(f"{s}_") for s in skip)
    ]
    order = {body.name: i for i, body in enumerate(shown)}
    shown.sort(key=lambda body: _nearness(body, order[body.name]))
    return tuple(Outline(b.name, b.family, tuple(_pieces(b))) for b in shown)


def _nearness(body: Body, place: int) -> tuple[int, int, int]:
    """Return a sort key of nearness to the viewer on the right: side, layer, place within the layer."""
    side = -1 if body.name.endswith("_left") else int(body.name.endswith("_right"))
    if body.family == "frame":
        # Stays are drawn before the parts at which they end, which hide their ends.
        return min(side, 0), _LAYERS["frame"], len(_LAYERS) - place
    if body.family == "drivetrain":
        side = 1
    return side, _LAYERS.get(body.family, 4), place


def _pieces(body: Body) -> Iterator[Loops]:
    solids = body.shapes or body.tubes
    for solid in sorted(solids, key=_from_the_left):
        yield (tube_loop(solid),) if isinstance(solid, Tubular) else shape_loops(solid)


def _from_the_left(solid: PlacedShape | Tubular) -> float:
    return -(solid.origin[1] if isinstance(solid, PlacedShape) else solid.axis.start[1])


def tube_loop(tube: Tubular) -> Array:
    """Return a tube's silhouette: (n, 2) float [mm].

    Beside the axis it follows the points of sections farthest from the axis in the view; at the ends,
    their ellipses.
    """
    s = np.unique(np.concatenate([tube.section.s, *_bends(tube)]))
    points, up, side = tube.axis.frames(s)
    still = matrix(tube.mount, Pose())
    points = points @ still[:3, :3].T + still[:3, 3]
    up, side = up @ still[:3, :3].T, side @ still[:3, :3].T
    if tube.section.rounds:
        return _rounded_loop(tube, s, points, up, side)
    high = tube.section.height_at(s)[:, None] / 2 * up
    wide = tube.section.width_at(s)[:, None] / 2 * side
    seen = points[:, [0, 2]]
    run = np.gradient(seen, axis=0) if len(s) > 2 else np.repeat(np.diff(seen, axis=0), 2, axis=0)
    length = np.linalg.norm(run, axis=1, keepdims=True)
    if np.linalg.norm(seen[-1] - seen[0]) < 0.5 * float(tube.section.width_at(s).max()):
        rings = (
            points[:, None, :]
            + np.cos(_TURN)[:, None] * high[:, None, :]
            + np.sin(_TURN)[:, None] * wide[:, None, :]
        )
        return hull(rings[..., [0, 2]].reshape(-1, 2))
    across = np.stack([-run[:, 1], run[:, 0]], axis=1) / np.maximum(length, 1e-9)
    reach = np.hypot(
        np.sum(high[:, [0, 2]] * across, axis=1), np.sum(wide[:, [0, 2]] * across, axis=1)
    )
    edge = reach[:, None] * across
    caps = [
        _cap(seen[i], high[i, [0, 2]], wide[i, [0, 2]], across[i], way * run[i])
        for i, way in ((-1, 1.0), (0, -1.0))
    ]
    return np.concatenate([seen + edge, caps[0], (seen - edge)[::-1], caps[1][::-1]])


def _rounded_loop(tube: Tubular, s: Array, points: Array, up: Array, side: Array) -> Array:
    """Return the silhouette of a rounded tube: (n, 2) float [mm].

    Args:
        tube: whose it is.
        s: where its outside changes its slope, and steps along its bends: (n,) [mm].
        points: of its axis there, (n, 3) [mm].
        up: of the sections' height there, (n, 3).
        side: of their width.
    """
    phi = np.degrees(_TURN)
    y, x = tube.section.place(np.tile(phi, len(s)), np.repeat(s, len(phi)))
    rings = y.reshape(len(s), -1)[:, :, None] * up[:, None]
    rings += x.reshape(len(s), -1)[:, :, None] * side[:, None]
    rings, seen = rings[:, :, [0, 2]], points[:, [0, 2]]
    short = np.linalg.norm(seen[-1] - seen[0]) < float(tube.section.width_at(s).max())
    if len(s) == 2 or short:
        return hull((seen[:, None] + rings).reshape(-1, 2))
    run = np.gradient(seen, axis=0)
    run /= np.maximum(np.linalg.norm(run, axis=1, keepdims=True), 1e-9)
    across = np.stack([-run[:, 1], run[:, 0]], axis=1)
    out = np.einsum("nkx,nx->nk", rings, across)
    caps = []
    for i, way in ((-1, 1.0), (0, -1.0)):
        on, beyond = out[i] * way, rings[i] @ run[i] * way
        half = np.argsort(np.arctan2(beyond, on))
        caps.append(seen[i] + rings[i][half[beyond[half] > 0]])
    high, low = (seen + most[:, None] * across for most in (out.max(axis=1), out.min(axis=1)))
    return np.concatenate([high, caps[0], low[::-1], caps[1]])


def _cap(at: Array, high: Array, wide: Array, across: Array, outward: Array) -> Array:
    """Return the visible half of an end's ellipse, from the edge at `across` on: (n, 2) float.

    Empty where the end is seen edge-on, as a line.
    """
    first = float(np.arctan2(wide @ across, high @ across))
    turn = np.linspace(0.0, np.pi, 14)[1:-1]
    halves = [
        np.cos(first + way * turn)[:, None] * high + np.sin(first + way * turn)[:, None] * wide
        for way in (1.0, -1.0)
    ]
    half = max(halves, key=lambda points: float((points @ outward).max()))
    bulge = float((half @ outward).max()) / max(float(np.linalg.norm(outward)), 1e-9)
    return at + half if bulge > 0.1 else np.zeros((0, 2))


def _bends(tube: Tubular) -> Iterator[Array]:
    for start, piece in zip(tube.axis.starts, tube.axis.pieces, strict=False):
        if isinstance(piece, Arc):
            count = 2 + int(piece.angle / 4)
            yield start + np.linspace(0.0, piece.length, count)


def shape_loops(solid: PlacedShape) -> Loops:
    """Return a shape's silhouette, and the hole of a ring seen along its axis.

    A sphere looks like a circle from everywhere, so rounded shapes are the hull of circles.
    """
    drawn = placed_matrix(solid, Pose())
    match solid.shape:
        case Box(core, rounding):
            corners = np.array(np.meshgrid([-1, 1], [-1, 1], [-1, 1])).reshape(3, -1).T * core
            return (hull(_grown(_seen(drawn, corners), rounding)),)
        case Capsule(length, radius, end):
            ends = _seen(drawn, np.array([(0.0, 0.0, 0.0), (0.0, 0.0, length)]))
            return (hull(np.concatenate([_grown(ends[:1], radius), _grown(ends[1:], end)])),)
        case Prism(profile, half):
            corners = np.array([(x, y, z) for x, y in profile for z in (-half, half)])
            return (hull(_seen(drawn, corners)),)
        case Torus(centre, radius):
            return _turned(drawn, ((centre, 0.0),), radius)
        case Ring(profile) | Disc(profile):
            return _turned(drawn, profile, 0.0)


def _turned(drawn: Array, profile: Profile, radius: float) -> tuple[Array, ...]:
    """Return the silhouette of circles of a radius about a profile's corners, turned about y."""
    if abs(float(drawn[1, 1])) > 0.999:  # seen along its axis
        outer, inner = max(r for r, _ in profile) + radius, min(r for r, _ in profile) - radius
        rings = (_ring(outer, 0.0), _ring(inner, 0.0)) if inner > 1.0 else (_ring(outer, 0.0),)
        return tuple(_seen(drawn, ring) for ring in rings)
    rim = _seen(drawn, np.concatenate([_ring(r, y) for r, y in profile]))
    return (hull(_grown(rim, radius)),)


def _ring(radius: float, y: float) -> Array:
    turn = np.linspace(0.0, 2 * np.pi, 96, endpoint=False)
    return np.stack([radius * np.cos(turn), np.full(96, y), radius * np.sin(turn)], axis=1)


def _grown(points: Array, radius: float) -> Array:
    """Return points on circles about each point: (n, 2) -> (m, 2) float."""
    if radius == 0.0:
        return points
    circle = radius * np.stack([np.cos(_TURN), np.sin(_TURN)], axis=1)
    return np.asarray((points[:, None, :] + circle).reshape(-1, 2))


def _seen(motion: Array, points: Array) -> Array:
    """Return points after a motion, projected to the side view: (n, 3) -> (n, 2) float."""
    return np.asarray((points @ motion[:3, :3].T + motion[:3, 3])[:, [0, 2]])


def hull(points: Array) -> Array:
    """Return the convex hull of points, anticlockwise from the rearmost: (n, 2) -> (m, 2) float."""
    ordered = np.unique(np.round(points, 3), axis=0)
    corners = hull_of(ordered) if len(ordered) > 2 else ordered
    if len(corners) < 3:  # points on one line
        return ordered[:: max(len(ordered) - 1, 1)]
    return np.roll(corners, -int(np.lexsort(corners.T[::-1])[0]), axis=0)
