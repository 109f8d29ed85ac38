"""Simple outlines, each as shapes and as tubes with the same outside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np

from frame3d.bodies.motion.mounts import FRAME, Mount
from frame3d.bodies.shapes import (
    Box,
    PlacedShape,
    Torus,
    Tubular,
    bar,
    box,
    capsule,
    disc,
    frustum,
    ring,
    standing,
)
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point, Vector, cross, point, vector

Axes = tuple[Point, Point, Point]
LEVEL: Axes = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
"""The frame's axes: forward, left, up."""
_FORWARD, _UP = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
WIRE = 0.1
"""Radius of the thin tubes that stand for a ring's edges [mm]."""


@dataclass(frozen=True)
class Form:
    """One outline as shapes and as tubes."""

    shapes: tuple[PlacedShape, ...] = ()
    tubes: tuple[Tubular, ...] = ()
    hull: tuple[PlacedShape, ...] = ()
    """As `Body.hull`: for tubes that none of the shapes contains closely."""

    def __add__(self, other: Form) -> Form:
        """Return both together."""
        return Form(self.shapes + other.shapes, self.tubes + other.tubes, self.hull + other.hull)


def pill(name: str, a: Point, b: Point, radius: float, mount: Mount = FRAME) -> Form:
    """Return a round bar from a to b with round ends [mm]."""
    along = vector(b) - vector(a)
    tube = bar(name, a, b, radius, mount)
    shape = capsule(float(np.linalg.norm(along)), radius)
    return Form(
        (PlacedShape(name, shape, a, mount, about(along)),),
        (Tubular(name, tube.axis, tube.section, mount, (False, False)),),
    )


def pills(name: str, points: Sequence[Point], radius: float, mount: Mount = FRAME) -> Form:
    """Return a round bar along straight legs, round at the corners and ends [mm]."""
    form = Form()
    for a, b in pairwise(points):
        form += pill(name, a, b, radius, mount)
    return form


def rod(
    name: str,
    a: Point,
    b: Point,
    radius: float,
    mount: Mount = FRAME,
    end_radius: float | None = None,
) -> Form:
    """Return a round bar from a to b with flat ends, tapering where `end_radius` is given [mm]."""
    along = vector(b) - vector(a)
    length = float(np.linalg.norm(along))
    end = radius if end_radius is None else end_radius
    x, y, z = about(along)
    shape = frustum(radius, end, length)
    return Form(
        (PlacedShape(name, shape, a, mount, (y, z, x)),),  # a disc turns about its own y
        (bar(name, a, b, radius, mount, end_radius),),
    )


def rods(
    name: str, starts: Array, ends: Array, radii: Array, mount: Mount = FRAME
) -> tuple[PlacedShape, ...]:
    """Return the shapes of many `rod`s, made at once.

    Args:
        name: of all.
        starts: (n, 3) [mm].
        ends: (n, 3) [mm].
        radii: (n, 2), at start and end [mm].
        mount: of all.
    """
    along = ends - starts
    length = np.linalg.norm(along, axis=1)
    up = along / length[:, None]
    toward = np.where((np.abs(along[:, 0]) < 0.9 * length)[:, None], _FORWARD, _UP)  # as `about`
    ahead = toward - np.einsum("ij,ij->i", toward, up)[:, None] * up
    ahead /= np.linalg.norm(ahead, axis=1)[:, None]
    axes = np.stack((cross(up, ahead), up, ahead), axis=1) + 0.0  # a disc turns about its own y
    made = zip((starts + 0.0).tolist(), axes.tolist(), radii.tolist(), length.tolist(), strict=True)
    return tuple(
        PlacedShape(
            name,
            frustum(first, last, long),
            (at[0], at[1], at[2]),
            mount,
            ((x[0], x[1], x[2]), (y[0], y[1], y[2]), (z[0], z[1], z[2])),
        )
        for at, (x, y, z), (first, last), long in made
    )


def turned(
    name: str,
    profile: Sequence[tuple[float, float]],
    origin: Point,
    mount: Mount = FRAME,
    axes: Axes = LEVEL,
) -> Form:
    """Return a solid of revolution about its own y, as `shapes.disc` [mm].

    As tubes, a round bar for each step of the profile.

    Raises:
        ValueError: the profile with its mirror image is not convex.
    """
    placed = PlacedShape(name, disc(profile), origin, mount, axes)
    tubes = []
    upward = profile if profile[0][1] <= profile[-1][1] else profile[::-1]
    for (r0, y0), (r1, y1) in pairwise(upward):
        if y1 - y0 > 1e-6:
            a, b = (_at(origin, axes, (0.0, y, 0.0)) for y in (y0, y1))
            tubes.append(bar(name, a, b, r0, mount, r1))
    return Form((placed,), tuple(tubes))


def wheel(name: str, radius: float, low: float, high: float, centre: Point, mount: Mount) -> Form:
    """Return a flat disc about the lateral direction, between two distances from its centre [mm]."""
    profile = [(0.0, low), (radius, low), (radius, high), (0.0, high)]
    return turned(name, profile, centre, mount)


def slab(
    name: str,
    centre: Point,
    size: tuple[float, float, float],
    rounding: float,
    mount: Mount = FRAME,
    axes: Axes = LEVEL,
    *,
    edges: bool = False,
) -> Form:
    """Return a box, rounded all over [mm]; with `edges` also, as tubes, bars along its edges.

    A box as thick as twice its rounding has its whole rim in those bars. Flat faces are in no bar: a
    gap to something that is a tube as well is better measured from that one.
    """
    shape = box(*size, rounding)
    placed = PlacedShape(name, shape, centre, mount, axes)
    return Form((placed,), _edges(placed, shape) if edges else ())


def hoop(
    name: str,
    centre: Point,
    radius: float,
    tube_radius: float,
    mount: Mount = FRAME,
    axes: Axes = LEVEL,
) -> Form:
    """Return a ring of round section about its own y; as a tube three arcs with the same outside."""
    corners = [
        _at(centre, axes, (radius * np.cos(t), 0.0, radius * np.sin(t)))
        for t in 2 * np.pi / 3 * np.arange(3)
    ]
    arcs = tuple(Arc(corners[i], corners[(i + 1) % 3], centre, radius, 120.0) for i in range(3))
    axis = Centreline(arcs)
    section = Section.round(axis.length, 2 * tube_radius, 0.0)
    return Form(
        (PlacedShape(name, Torus(radius, tube_radius), centre, mount, axes),),
        (Tubular(name, axis, section, mount, (False, False)),),
    )


def rimmed(
    name: str,
    profile: Sequence[tuple[float, float]],
    origin: Point,
    mount: Mount = FRAME,
    axes: Axes = LEVEL,
) -> Form:
    """Return a ring as `shapes.ring`; as tubes the thin wires along its edges [mm].

    Raises:
        ValueError: the profile is not convex or reaches the axis.
    """
    shape = ring(profile)
    corners = np.array(shape.profile)
    before, after = np.roll(corners, 1, axis=0) - corners, np.roll(corners, -1, axis=0) - corners
    inward = [x / np.linalg.norm(x, axis=1, keepdims=True) for x in (before, after)]
    middle = inward[0] + inward[1]
    # A wire of radius e touches both faces at e / sin(half the corner's angle) from the corner.
    half = np.arccos(np.clip((inward[0] * inward[1]).sum(axis=1), -1.0, 1.0)) / 2
    far = WIRE / np.maximum(np.sin(half), 1e-3) / np.linalg.norm(middle, axis=1)
    tubes: tuple[Tubular, ...] = ()
    for r, y in corners + far[:, None] * middle:
        tubes += hoop(name, _at(origin, axes, (0.0, y, 0.0)), r, WIRE, mount, axes).tubes
    return Form((PlacedShape(name, shape, origin, mount, axes),), tubes)


def about(direction: Vector) -> Axes:
    """Return axes with z along a direction and x near to forward, or to up if z is forward."""
    size = float(np.linalg.norm(direction))
    forward = abs(float(direction[0])) < 0.9 * size
    return standing(direction, np.array([1.0, 0.0, 0.0] if forward else [0.0, 0.0, 1.0]))


def _edges(placed: PlacedShape, shape: Box) -> tuple[Tubular, ...]:
    """Return the edges of a box as round bars with round ends."""
    half = shape.core
    found: dict[tuple[Point, Point], Tubular] = {}
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        if half[i] <= 0:
            continue
        for sj, sk in product((-1.0, 1.0), repeat=2):
            ends = []
            for s in (-1.0, 1.0):
                corner = [0.0, 0.0, 0.0]
                corner[i], corner[j], corner[k] = s * half[i], sj * half[j], sk * half[k]
                ends.append(_at(placed.origin, placed.axes, tuple(corner)))
            a, b = ends
            edge = bar(placed.name, a, b, shape.rounding, placed.mount)
            found[a, b] = Tubular(
                placed.name, edge.axis, edge.section, placed.mount, (False, False)
            )
    return tuple(found.values())


def _at(origin: Point, axes: Axes, local: Sequence[float]) -> Point:
    """Return a point given in its own axes in the frame's."""
    return point(vector(origin) + np.array(local) @ np.array(axes))
