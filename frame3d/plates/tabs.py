"""Tabs: plates that stand on a tube, along it or across it, with a hole in their round end."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import Path, Vertex
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline
from frame3d.geometry.vector import Vector, cross, point
from frame3d.parameters.models.flat_parts.plates import TabSpec
from frame3d.plates.surface import SUNK, Edges, fitted, heights
from frame3d.tubes.cuts.straight_lines import Outside
from frame3d.tubes.tube import Shell

SAMPLES = 33
"""Places along the base at which the tube's surface is found."""


class MisfitError(Exception):
    """A plate that does not fit its tubes, with the key that is at fault and the way out."""

    def __init__(self, key: str, message: str, hint: str) -> None:
        super().__init__(message)
        self.key = key
        self.message = message
        self.hint = hint


@dataclass(frozen=True)
class Stand:
    """Where a tab stands: its plane has its origin on the tube's axis, y outward."""

    body: Outside
    plane: Plane
    s: float


def stand_of(spec: TabSpec, body: Outside) -> Stand:
    """Return where a tab stands on a tube.

    Raises:
        MisfitError: it is beyond the tube's ends.
    """
    length = body.axis.length
    s = spec.from_start if spec.from_start is not None else length - (spec.from_end or 0.0)
    if not 0 <= s <= length:
        key = "from_start" if spec.from_start is not None else "from_end"
        raise MisfitError(
            key, f"{spec.on} is {length:.1f} mm long", f"a place from 0 to {length:.1f}"
        )
    along = body.axis.tangent(s)
    above, beside = _around(body, s)
    turn = math.radians(spec.angle)
    out = math.cos(turn) * above + math.sin(turn) * beside
    base = along
    if spec.across:
        base = cross(along, out)
        if base[1] < -1e-9 or (abs(base[1]) < 1e-9 and base[0] < 0):
            base = -base
    return Stand(body, Plane(point(body.axis.at(s)), point(base), point(out)), s)


def _around(body: Outside, s: float) -> tuple[Vector, Vector]:
    """Return the directions above and beside a tube, from which `TabSpec.angle` counts."""
    if isinstance(body, Shell):
        return np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0])
    above, beside = body.axis.frame(s)
    if above[2] < -1e-9 or (abs(above[2]) < 1e-9 and above[0] < 0):
        above = -above
    return above, beside if beside[1] >= 0 else -beside


def edges_of(spec: TabSpec, stand: Stand, height: float) -> Edges:
    """Return a tab's edge at a height above its plane, and the same with its base in the tube.

    Raises:
        MisfitError: it would stand beside the tube, or its shape is not possible.
    """
    half, plane, body = spec.base / 2, stand.plane, stand.body
    u = np.linspace(-half, half, SAMPLES)
    level = np.stack([u, np.zeros(SAMPLES), np.full(SAMPLES, height)], axis=1)
    out = np.array(plane.y)
    starts = plane.place(level)
    if not spec.across:
        # On a bent tube, from the axis itself.
        ends = body.axis.points(np.clip(stand.s + u, 0.0, body.axis.length))
        level[:, 1] = np.where(
            (stand.s + u >= 0) & (stand.s + u <= body.axis.length), plane.of(ends)[:, 1], 0.0
        )
        starts = plane.place(level)
    far = heights(body, starts, out)
    if far is None:
        raise MisfitError(
            "base" if spec.across or spec.gap is None else "gap",
            f"its base stands beside {spec.on}",
            "a narrower one, on a wider tube",
        )
    v = level[:, 1] + far
    surface = np.stack([u, v], axis=1)
    centre = np.array(hole_at(spec, stand))
    return Edges(_path(surface, centre, spec, 0.0), _path(surface, centre, spec, SUNK))


def hole_at(spec: TabSpec, stand: Stand) -> tuple[float, float]:
    """Return the hole's centre, above the surface in the radial plane in the middle of the base."""
    far = heights(stand.body, np.array([stand.plane.origin]), np.array(stand.plane.y))
    assert far is not None
    return spec.lean, float(far[0]) + spec.height


def outline_of(spec: TabSpec, edge: Path, stand: Stand) -> Outline:
    """Return a tab's outline with its hole."""
    hole = Hole(*hole_at(spec, stand), spec.hole, thread=spec.thread or "", note=spec.note or "")
    return Outline(edge, (hole,))


def _path(base: Array, centre: Array, spec: TabSpec, sunk: float) -> Path:
    """Return the edge over a base (n, 2), with tangents to the round end about the hole.

    Args:
        base: where the tube's surface is.
        centre: of the round end.
        spec: the tab.
        sunk: how much lower the base is [mm].
    """
    left, right = base[0], base[-1]
    up_right, up_left = _touch(right, centre, spec, 1.0), _touch(left, centre, spec, -1.0)
    a, b = ((math.atan2(*(p - centre)[::-1])) for p in (up_right, up_left))
    bulge = math.tan(((b - a) % (2 * math.pi)) / 4)
    found: list[Vertex] = [*fitted(base - np.array([0.0, sunk]))]
    if sunk > 0:
        found.append((float(right[0]), float(right[1]) - sunk, 0.0))
    found += [
        (float(right[0]), float(right[1]), 0.0),
        (float(up_right[0]), float(up_right[1]), bulge),
        (float(up_left[0]), float(up_left[1]), 0.0),
    ]
    if sunk > 0:
        found.append((float(left[0]), float(left[1]), 0.0))
    return Path(tuple(found))


def _touch(end: Array, centre: Array, spec: TabSpec, side: float) -> Array:
    """Return where the line from an end of the base touches the round end, on one side of it."""
    way = centre - end
    far = float(np.hypot(*way))
    if far <= spec.radius + 1e-6:
        raise MisfitError(
            "radius",
            "the round end reaches past the base's corner",
            f"less than {far:.1f}, or a longer base",
        )
    turn = math.atan2(way[1], way[0]) - side * math.asin(spec.radius / far)
    length = math.sqrt(far**2 - spec.radius**2)
    return np.asarray(end + length * np.array([math.cos(turn), math.sin(turn)]))
