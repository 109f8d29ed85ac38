"""Shapes with a closed-form signed distance, and tubes, where they are drawn on the bike.

Profiles of the shapes, each in its own axes::

      Torus, Ring, Disc: turned about y                      Capsule, along z    Box, Prism

      y ^                y ^                y +-----+.           .-.             +---------+
        |    .-.           |   +----+         |       +         ( o ) z=length   |    o    |
        |   ( + )          |   |    |         |       |         |   |            +---------+
      --+----------> r   --+--------> r     --+-------+--> r    (  o  ) z=0      size, rounding
        |    `-'           |   +----+         +-----+'           `---'
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final, TypeAlias

import numpy as np

from frame3d.bodies.motion.mounts import FRAME, Mount
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point, Vector, apart, cross, point, vector

Profile: TypeAlias = tuple[tuple[float, float], ...]
"""Corners (radius, y) of a convex polygon, counter-clockwise [mm]."""


@dataclass(frozen=True, slots=True)
class Torus:
    """A ring of round section about y."""

    centre_radius: float
    """Radius of the circle about y on which the section's centre lies [mm]."""
    tube_radius: float
    """Radius of the section [mm]."""


@dataclass(frozen=True, slots=True)
class Ring:
    """A convex profile turned about y, clear of the axis: see `ring`."""

    profile: Profile
    """All at positive radius."""


@dataclass(frozen=True, slots=True)
class Disc:
    """A convex profile turned about y, which reaches the axis: see `disc`."""

    profile: Profile
    """With its mirror image at negative radius."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box about its own origin, rounded all over: see `box`."""

    core: tuple[float, float, float]
    """Half sizes less the rounding [mm]."""
    rounding: float
    """Radius of edges and corners [mm]."""

    @property
    def half(self) -> tuple[float, float, float]:
        """Half sizes [mm]."""
        x, y, z = self.core
        return x + self.rounding, y + self.rounding, z + self.rounding


@dataclass(frozen=True, slots=True)
class Capsule:
    """The hull of two spheres, at the origin and at z = `length`: see `capsule`."""

    length: float
    """Distance of their centres [mm]."""
    radius: float
    """Radius of the sphere at the origin [mm]."""
    end_radius: float
    """Radius of the other [mm]."""


@dataclass(frozen=True, slots=True)
class Prism:
    """A convex polygon of (x, y) corners, from z = -half to z = half: see `prism`."""

    profile: Profile
    half: float
    """Half of its thickness [mm]."""


Shape: TypeAlias = Torus | Ring | Disc | Box | Capsule | Prism
"""A shape with a closed-form signed distance in its own axes."""


def ring(profile: Sequence[tuple[float, float]]) -> Ring:
    """Return a convex profile of (radius, y) corners, all at positive radius, turned about y [mm].

    Raises:
        ValueError: the profile is not convex or reaches the axis.
    """
    corners = _counter_clockwise(profile)
    if corners[:, 0].min() <= 0:
        raise ValueError("a ring stays clear of its axis")
    return Ring(_profile(corners))


def disc(profile: Sequence[tuple[float, float]]) -> Disc:
    """Return a solid of revolution about y, from its half profile of (radius, y) corners [mm].

    The corners go from axis to axis.

    Raises:
        ValueError: the profile with its mirror image is not convex.
    """
    half = np.asarray(profile, dtype=np.float64)
    whole = np.concatenate([half, half[::-1] * np.array([-1.0, 1.0])])
    steps = _next(whole) - whole
    kept = _next(whole)[(steps**2).sum(axis=1) > 1e-18]
    return Disc(_profile(_counter_clockwise(kept)))


def cylinder(radius: float, low: float, high: float) -> Disc:
    """Return a flat-ended cylinder about y between two y [mm]."""
    return disc([(0.0, low), (radius, low), (radius, high), (0.0, high)])


def frustum(radius: float, end_radius: float, length: float) -> Disc:
    """Return a flat-ended round bar about y, tapering, from y = 0 to y = `length` [mm].

    As `disc` makes it, but faster: its corners are in order and convex as they stand.
    """
    if not (radius > 0 and end_radius > 0 and length > 1e-9):
        return disc([(0.0, 0.0), (radius, 0.0), (end_radius, length), (0.0, length)])
    up, down = (0.0, length), (-0.0, 0.0)
    return Disc(
        ((radius, 0.0), (end_radius, length), up, (-end_radius, length), (-radius, 0.0), down)
    )


def box(x: float, y: float, z: float, rounding: float = 0.0) -> Box:
    """Return a box about its own origin: whole sizes, edges and corners rounded [mm].

    Raises:
        ValueError: the rounding is more than half a size.
    """
    core = (x / 2 - rounding, y / 2 - rounding, z / 2 - rounding)
    if min(core) < 0:
        raise ValueError("the rounding is more than half a size")
    return Box(core, rounding)


def prism(corners: Sequence[tuple[float, float]], thickness: float) -> Prism:
    """Return a convex polygon of (x, y) corners, so thick about its own plane z = 0 [mm].

    Raises:
        ValueError: it is not convex.
    """
    return Prism(_profile(_counter_clockwise(corners)), thickness / 2)


def capsule(length: float, radius: float, end_radius: float | None = None) -> Capsule:
    """Return the hull of two spheres, of one radius where `end_radius` is None [mm]."""
    return Capsule(length, radius, radius if end_radius is None else end_radius)


def _counter_clockwise(profile: Sequence[tuple[float, float]] | Array) -> Array:
    """Return corners in counter-clockwise order: (n, 2) float.

    Raises:
        ValueError: they are not the corners of a convex polygon.
    """
    corners = np.asarray(profile, dtype=np.float64)
    edges = _next(corners) - corners
    after = _next(edges)
    turns = edges[:, 0] * after[:, 1] - edges[:, 1] * after[:, 0]
    if len(corners) < 3 or not ((turns > -1e-9).all() or (turns < 1e-9).all()):
        raise ValueError("the profile must be a convex polygon")
    return corners if turns.sum() > 0 else corners[::-1].copy()


def _profile(corners: Array) -> Profile:
    """Return corners (n, 2) as a profile."""
    return tuple((radius, y) for radius, y in corners.tolist())


def _next(corners: Array) -> Array:
    """Return the next corner of each, cyclically: (n, 2). Faster than the general `numpy.roll`."""
    return np.concatenate((corners[1:], corners[:1]))


@dataclass(frozen=True)
class PlacedShape:
    """A shape where it is drawn, and its mount."""

    name: str
    shape: Shape
    origin: Point
    """Origin of its own axes, where drawn [mm]."""
    mount: Mount = FRAME
    axes: tuple[Point, Point, Point] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    """Its own x, y and z directions, right-handed."""

    @cached_property
    def bounding_spheres(self) -> Array:
        """Spheres that together contain it where it is drawn: centres and radii, (n, 4) float [mm]."""
        middles, reach = _spheres(self.shape)
        if middles is None:
            return np.array([[*self.origin, reach]])
        return _with_radius(vector(self.origin) + middles @ np.array(self.axes), reach)


@dataclass(frozen=True)
class Cutter:
    """A body that cuts a tube: what of the tube lies inside it is no metal."""

    axis: Centreline
    section: Section
    """Its outside."""
    runs_on: tuple[bool, bool] = (True, True)
    """Whether it continues beyond its start and end."""
    between: tuple[float, float] | None = None
    """Range along the tube in which it cuts [mm]; None if that is to be searched for."""


@dataclass(frozen=True)
class Tubular:
    """A tube, or anything shaped like one, where it is drawn, and its mount."""

    name: str
    axis: Centreline
    section: Section
    mount: Mount = FRAME
    flat: tuple[bool, bool] = (True, True)
    """Whether start and end are cut flat; else they are rounded."""
    trimmed: tuple[float, float] = (0.0, 0.0)
    """Distance from the axis's start and end to the first and last metal [mm]; negative where the
    metal goes beyond them, with the section that it has there."""
    cutters: tuple[Cutter, ...] = ()
    """What cuts it, drawn with it and moving with it."""

    @property
    def span(self) -> tuple[float, float]:
        """Places along the axis of the first and last metal [mm]."""
        return self.trimmed[0], self.axis.length - self.trimmed[1]

    @property
    def middle(self) -> Vector:
        """The centre of the middle one of its bounding spheres, of two that of the last: (3,) [mm]."""
        low, high = self.span
        count, share = _shares(high - low, 2 * self.section.furthest)
        return self.axis.at(low + (count // 2 + 0.5) * share)

    @cached_property
    def bounding_spheres(self) -> Array:
        """Spheres that together contain it where it is drawn: centres and radii, (n, 4) float [mm]."""
        half = self.section.furthest
        low, high = self.span
        count, share = _shares(high - low, 2 * half)
        # No point of the axis is further than half a share from the nearest of these, along it; its
        # section is square to that where the axis is straight.
        is_plain = self.axis.is_straight and all(self.flat)
        reach = math.hypot(share / 2, half) if is_plain else share / 2 + half
        if count == 1:
            return np.array([[*self.axis.at(low + share / 2).tolist(), reach]])
        places = low + np.arange(0.5, count, dtype=np.float64) * share
        return _with_radius(self.axis.points(places), reach)


SHORT: Final = 60.0
"""Lengths up to this, or up to the width, get one bounding sphere [mm]."""


def _with_radius(middles: Array, radius: float) -> Array:
    """Return centres (n, 3) of spheres with their radius: (n, 4) float [mm]."""
    spheres = np.empty((len(middles), 4))
    spheres[:, :3], spheres[:, 3] = middles, radius
    return spheres


@lru_cache(maxsize=4096)
def _spheres(shape: Shape) -> tuple[Array | None, float]:
    """Return spheres that together contain a shape in its own axes: centres (n, 3), and their radius.

    None for one about the origin of those axes.

    Cached: left and right have the same shapes, and most of a bike's parts those of the next design.
    """
    match shape:
        case Torus(centre, radius):
            count, _ = _shares(2 * np.pi * centre, 2 * radius)
            at = 2 * np.pi / count * np.arange(count)
            middles = centre * np.stack((np.cos(at), 0 * at, np.sin(at)), axis=1)
            # The furthest point of the circle is half a share away: its chord.
            return middles, float(2 * centre * np.sin(np.pi / count / 2) + radius)
        case Box():
            half = np.array(shape.half)
            order = np.argsort(half)
            longest = np.eye(3)[order[2]]
            middles, share = _along(longest, 2 * half[order[2]], 2 * half[order[1]])
            middles -= half[order[2]] * longest
            return middles if len(middles) > 1 else None, float(
                np.linalg.norm([share / 2, *half[order[:2]]])
            )
        case Capsule(length, start, end):
            radius = max(start, end)
            middles, share = _along(np.array([0.0, 0.0, 1.0]), length, 2 * radius)
            return middles, share / 2 + radius
        case Prism(profile, half_thick):
            corners = np.array(profile)
            centre = (corners.min(axis=0) + corners.max(axis=0)) / 2
            wide = float(np.hypot(*(corners - centre).T).max())
            return np.array([[*centre, 0.0]]), math.hypot(wide, half_thick)
        case Ring(profile) | Disc(profile):
            across, along = np.array(profile).T
            middle = (along.min() + along.max()) / 2
            return np.array([[0.0, middle, 0.0]]), float(np.hypot(across, along - middle).max())


def _shares(length: float, width: float) -> tuple[int, float]:
    """Return into how many parts a length is divided, one for each sphere, and how long each is."""
    count = max(1, math.ceil(length / max(SHORT, width)))
    return count, length / count


def _along(direction: Vector, length: float, width: float) -> tuple[Array, float]:
    """Return the middles of the parts of a length from the origin, (n, 3), and how long each is."""
    count, share = _shares(length, width)
    return np.outer(share * (np.arange(count) + 0.5), direction), share


Solid = PlacedShape | Tubular


def bar(
    name: str,
    a: Point,
    b: Point,
    radius: float,
    mount: Mount = FRAME,
    end_radius: float | None = None,
) -> Tubular:
    """Return a straight round bar from a to b with flat ends [mm]."""
    end = radius if end_radius is None else end_radius
    length = apart(a, b)
    section = Section((0.0, length), (2 * radius, 2 * end), (2 * radius, 2 * end), (0.0, 0.0))
    return Tubular(name, Centreline((Line(a, b),)), section, mount)


def standing(z: Vector, x: Vector) -> tuple[Point, Point, Point]:
    """Return axes with z along one direction and x as near as possible to another: rows of points."""
    up = z / np.linalg.norm(z)
    ahead = x - (x @ up) * up
    ahead = ahead / np.linalg.norm(ahead)
    return point(ahead), point(cross(up, ahead)), point(up)
