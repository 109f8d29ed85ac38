"""Gussets: plates in the corner between two tubes whose axes lie in one plane."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.closed_path import Path, Vertex
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Hole, Outline
from frame3d.geometry.vector import cross, point, unit, vector
from frame3d.parameters.models.flat_parts.plates import GussetSpec
from frame3d.plates.surface import SUNK, Edges, fitted, heights
from frame3d.plates.tabs import MisfitError
from frame3d.tubes.tube import Tube

STEP = 1.0
"""Between the places along a tube at which its surface is found [mm]."""
FLAT = 0.5
"""How far the axes of two tubes may be out of one plane [mm]."""
APART = 60.0
"""How far from one another the axes of two tubes may be that meet [mm]."""
ONE, TWO = 0, 1


@dataclass(frozen=True)
class Corner:
    """The corner between two tubes: the plane of their axes, and which way the gusset runs."""

    tubes: tuple[Tube, Tube]
    plane: Plane
    at: tuple[float, float]
    """Where the axes are nearest, along each [mm]."""
    ways: tuple[float, float]
    """1 toward a tube's end, -1 toward its start."""


def corner_of(spec: GussetSpec, tubes: tuple[Tube, Tube]) -> Corner:
    """Return the corner of a gusset.

    Raises:
        MisfitError: the tubes do not meet, or not in one plane.
    """
    places = [_places(tube) for tube in tubes]
    points = [tube.axis.points(s) for tube, s in zip(tubes, places, strict=True)]
    far = np.linalg.norm(points[ONE][:, None] - points[TWO][None], axis=2)
    i, j = np.unravel_index(int(np.argmin(far)), far.shape)
    names = f"{tubes[ONE].name} and {tubes[TWO].name}"
    if float(far[i, j]) > APART:
        raise MisfitError(
            "on", f"{names} are {float(far[i, j]):.0f} mm apart at their nearest", "tubes that meet"
        )
    at = float(places[ONE][i]), float(places[TWO][j])
    ways = tuple(
        (1.0 if spec.toward[k] == "end" else -1.0)
        if spec.toward is not None
        else (1.0 if tube.axis.length - s >= s else -1.0)
        for k, (tube, s) in enumerate(zip(tubes, at, strict=True))
    )
    normal = cross(*(way * t.axis.tangent(s) for way, t, s in zip(ways, tubes, at, strict=True)))
    if float(np.linalg.norm(normal)) < 0.05:
        raise MisfitError("on", f"{names} run the same way", "two tubes at an angle")
    normal = unit(normal)
    normal = -normal if normal[1] > 0 else normal  # seen from the drive side
    origin = vector(point(points[ONE][i]))
    used = [
        pts[np.abs(s - a) < length + 30.0]
        for pts, s, a, length in zip(points, places, at, spec.lengths, strict=True)
    ]
    off = np.abs((np.concatenate(used) - origin) @ normal)
    if float(off.max()) > FLAT:
        raise MisfitError(
            "on",
            f"the axes of {names} are {float(off.max()):.1f} mm out of one plane",
            "tubes whose axes lie in one plane, or a plate with a path",
        )
    ahead = np.array([1.0, 0.0, 0.0])
    x = unit(ahead - (ahead @ normal) * normal)
    return Corner(
        tubes, Plane(point(origin), point(x), point(cross(normal, x))), at, (ways[0], ways[1])
    )


def edges_of(spec: GussetSpec, corner: Corner, height: float) -> Edges:
    """Return a gusset's edge at a height above its plane, and the same with its sides in the tubes.

    Raises:
        MisfitError: it does not fit between the tubes.
    """
    sides = [_surface(corner, k, height, spec) for k in (ONE, TWO)]
    meet = _meeting(sides[ONE], sides[TWO])
    if meet is None:
        raise MisfitError(
            "on",
            f"no corner between {corner.tubes[ONE].name} and {corner.tubes[TWO].name} on that side",
            "toward: [start or end, start or end] says on which side of each",
        )
    at, starts = meet
    legs = [_leg(spec, corner, k, sides[k], at, starts[k]) for k in (ONE, TWO)]
    inward = [_inward(legs[k], legs[1 - k]) for k in (ONE, TWO)]
    return Edges(_path(spec, legs, inward, 0.0), _path(spec, legs, inward, SUNK))


def outline_of(spec: GussetSpec, edge: Path) -> Outline:
    """Return a gusset's outline with its hole."""
    plain = Outline(edge)
    if spec.hole is None:
        return plain
    return Outline(edge, (Hole(*plain.centroid, spec.hole, note="for lightness"),))


def _places(tube: Tube) -> Array:
    """Return places along a tube's axis [mm]."""
    count = int(np.ceil(tube.axis.length / STEP)) + 1
    return np.linspace(0.0, tube.axis.length, count)


def _surface(corner: Corner, k: int, height: float, spec: GussetSpec) -> Array:
    """Return the side of a tube that faces the other one, from the corner on: (n, 2) [mm]."""
    tube, at, way = corner.tubes[k], corner.at[k], corner.ways[k]
    other = corner.tubes[1 - k]
    toward = corner.ways[1 - k] * other.axis.tangent(corner.at[1 - k])
    ahead = spec.lengths[k] + 4 * max(*tube.section.height, *other.section.height)
    back = 2 * max(*other.section.height, *tube.section.height)
    length = tube.axis.length
    low, high = (at - back, at + ahead) if way > 0 else (at - ahead, at + back)
    low, high = max(low, 0.0), min(high, length)
    s = np.linspace(low, high, max(2, int(np.ceil((high - low) / STEP)) + 1))
    points, up, across = tube.axis.frames(s)
    out = cross(corner.plane.normal, cross(across, up))
    sign = 1.0 if float(cross(corner.plane.normal, tube.axis.tangent(at)) @ toward) > 0 else -1.0
    out = sign * out
    level = corner.plane.of(points)
    level[:, 2] = height
    far = heights(tube, corner.plane.place(level), out)
    if far is None:
        raise MisfitError(
            "thickness", f"as wide as {tube.name}", "a plate that is thinner than the tubes"
        )
    local = level[:, :2] + far[:, None] * corner.plane.of(vector(corner.plane.origin) + out)[:, :2]
    local = local if way > 0 else local[::-1]
    # A tube that ends before the other's surface goes on in line.
    first = local[0] + back * _unit(local[0] - local[1])
    return np.concatenate([first[None], local])


def _meeting(a: Array, b: Array) -> tuple[Array, tuple[float, float]] | None:
    """Return where two polylines cross, and how far along each that is; None if they do not."""
    p, r = a[:-1, None], (a[1:] - a[:-1])[:, None]
    q, s = b[None, :-1], (b[1:] - b[:-1])[None]
    across = r[..., 0] * s[..., 1] - r[..., 1] * s[..., 0]
    safe = np.where(np.abs(across) < 1e-12, 1.0, across)
    gap = q - p
    t = (gap[..., 0] * s[..., 1] - gap[..., 1] * s[..., 0]) / safe
    u = (gap[..., 0] * r[..., 1] - gap[..., 1] * r[..., 0]) / safe
    inside = (np.abs(across) > 1e-12) & (t >= 0) & (t < 1) & (u >= 0) & (u < 1)
    if not inside.any():
        return None
    i, j = (int(x[0]) for x in np.nonzero(inside))
    along = [np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(c, axis=0).T))]) for c in (a, b)]
    at = a[i] + t[i, j] * (a[i + 1] - a[i])
    lengths = [
        float(way[n] + np.hypot(*(at - c[n])))
        for way, c, n in zip(along, (a, b), (i, j), strict=True)
    ]
    return at, (lengths[0], lengths[1])


def _leg(spec: GussetSpec, corner: Corner, k: int, side: Array, at: Array, start: float) -> Array:
    """Return a side of the gusset along a tube, from its corner outward: (n, 2) [mm]."""
    steps = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(side, axis=0).T))])
    low, high = start + spec.corner, start + spec.lengths[k]
    if high > steps[-1]:
        tube = corner.tubes[k]
        raise MisfitError(
            f"lengths.{k}",
            f"{tube.name} ends {steps[-1] - start:.1f} mm from the corner",
            f"at most {steps[-1] - start:.1f}",
        )
    marks = np.unique(np.concatenate([[low, high], steps[(steps > low) & (steps < high)]]))
    leg = np.stack([np.interp(marks, steps, side[:, i]) for i in (0, 1)], axis=1)
    if spec.corner == 0:
        leg[0] = at
    return leg


def _inward(leg: Array, other: Array) -> Array:
    """Return unit normals of a leg's points, away from the other leg: (n, 2)."""
    along = np.gradient(leg, axis=0)
    along /= np.hypot(*along.T)[:, None]
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1)
    aside = other[-1] - leg[0]
    return np.asarray(-np.sign(normal[0] @ aside) * normal)


def _path(spec: GussetSpec, legs: Sequence[Array], inward: Sequence[Array], sunk: float) -> Path:
    """Return a gusset's edge, its sides moved so far into the tubes [mm]."""
    sides = [leg + sunk * into for leg, into in zip(legs, inward, strict=True)]
    tips = [leg[-1] - spec.tip * into[-1] for leg, into in zip(legs, inward, strict=True)]
    one, two = sides
    if spec.corner == 0 and sunk > 0:
        meet = _lines_meet(one[0], one[1] - one[0], two[0], two[1] - two[0])
        one, two = (np.concatenate([meet[None], side[1:]]) for side in sides)
    found: list[Vertex] = [*fitted(one), _vertex(one[-1])]
    edge = tips[TWO] - tips[ONE]
    chord = float(np.hypot(*edge))
    bulge = 0.0
    if spec.edge_radius is not None:
        if 2 * spec.edge_radius < chord:
            raise MisfitError(
                "edge_radius",
                f"the free edge is {chord:.1f} mm long",
                f"a radius of at least {chord / 2:.1f}",
            )
        bulge = math.tan(math.asin(chord / 2 / spec.edge_radius) / 2)
        a, b = legs[ONE][-1] - legs[ONE][0], legs[TWO][-1] - legs[TWO][0]
        if float(a[0] * b[1] - a[1] * b[0]) > 0:
            bulge = -bulge
    if spec.tip > 0 or sunk > 0:
        found += [(*_vertex(tips[ONE])[:2], bulge), _vertex(tips[TWO])]
    else:
        found[-1] = (*found[-1][:2], bulge)
    found += fitted(two[::-1])
    if spec.corner > 0:
        found.append(_vertex(two[0]))
    return Path(tuple(found)).anticlockwise()


def _unit(v: Array) -> Array:
    return np.asarray(v / np.hypot(*v))


def _vertex(p: Array) -> Vertex:
    return float(p[0]), float(p[1]), 0.0


def _lines_meet(p: Array, r: Array, q: Array, s: Array) -> Array:
    """Return where two lines meet, each a point and a direction."""
    across = float(r[0] * s[1] - r[1] * s[0])
    gap = q - p
    return np.asarray(p + float(gap[0] * s[1] - gap[1] * s[0]) / across * r)
