"""Positions at which a suspension's points are drawn, and their derivatives by coordinates."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, TypeAlias

import numpy as np

from frame3d.parameters.models.suspension import PointSpec, SuspensionSpec

OnTube: TypeAlias = Callable[[str, float | None, float | None, float], tuple[float, float]]
"""(tube, from_start, from_end, offset) -> (x, z) [mm]; from_start or from_end is given. The offset is
square to the axis, positive above it, or ahead of a vertical tube: see `beside`."""
Coordinate: TypeAlias = tuple[str, str]
"""(name of a point, name of one of its coordinates)."""

_DIRECTIONS: Final = {"x": 1 + 0j, "z": 1j, "forward": 1 + 0j, "above": 1j}


def beside(
    start: tuple[float, float], end: tuple[float, float], along: float, offset: float
) -> tuple[float, float]:
    """Return the point (x, z) at a distance from a straight line [mm]; a helper for `OnTube`.

    Args:
        start: of the line, (x, z).
        end: of the line, (x, z).
        along: distance from the start along the line.
        offset: distance from the line, positive above it, or ahead of it where it is vertical.
    """
    away = complex(end[0] - start[0], end[1] - start[1])
    away /= abs(away)
    square = away * 1j
    if square.imag < -1e-9 or (abs(square.imag) <= 1e-9 and square.real < 0):
        square = -square
    at = complex(*start) + along * away + offset * square
    return (at.real, at.imag)


def no_tubes(tube: str, *_: object) -> tuple[float, float]:
    """The `OnTube` of linkages that have no points on tubes: always raise KeyError."""
    raise KeyError(tube)


def positions(
    suspension: SuspensionSpec,
    axle: tuple[float, float],
    on_tube: OnTube,
    moved: Mapping[Coordinate, float] | None = None,
) -> dict[str, complex]:
    """Return the drawn position of every point, x + i·z [mm].

    Args:
        suspension: the file's section; no point is given relative to itself through others.
        axle: the rear axle (x, z) [mm].
        on_tube: returns the position of a point on a tube.
        moved: values [mm] that replace the file's.
    """
    out: dict[str, complex] = {"bottom_bracket": 0j, "rear_axle": complex(*axle)}

    def place(name: str) -> complex:
        if name not in out:
            out[name] = position(suspension, name, place, on_tube, moved)
        return out[name]

    for name in suspension.points:
        place(name)
    return out


def position(
    suspension: SuspensionSpec,
    name: str,
    of: Callable[[str], complex],
    on_tube: OnTube,
    moved: Mapping[Coordinate, float] | None = None,
) -> complex:
    """Return the drawn position of one point, x + i·z [mm].

    Args:
        suspension: the file's section.
        name: of the point.
        of: returns the position of a point that it is given from [mm].
        on_tube: returns the position of a point on a tube.
        moved: values [mm] that replace the file's.
    """
    other = {} if moved is None else moved

    def value(coordinate: str, given: float | None) -> float:
        return other.get((name, coordinate), 0.0 if given is None else given)

    spec = suspension.points[name]
    if not isinstance(spec, PointSpec):
        return complex(value("x", spec[0]), value("z", spec[1]))
    if spec.is_on_tube:
        start = None if spec.from_start is None else value("from_start", spec.from_start)
        end = None if spec.from_end is None else value("from_end", spec.from_end)
        return complex(*on_tube(spec.on, start, end, value("offset", spec.offset)))
    return of(spec.on) + complex(value("forward", spec.forward), value("above", spec.above))


def given_value(suspension: SuspensionSpec, coordinate: Coordinate) -> float:
    """Return the file's value of a coordinate [mm]; 0 where the file leaves it out."""
    name, key = coordinate
    spec = suspension.points[name]
    if isinstance(spec, PointSpec):
        value: float | None = getattr(spec, key)
        return 0.0 if value is None else value
    return spec[0] if key == "x" else spec[1]


def drift(
    suspension: SuspensionSpec,
    axle: tuple[float, float],
    on_tube: OnTube,
    moved: Mapping[Coordinate, float],
    coordinate: Coordinate,
) -> dict[str, complex]:
    """Return the derivative of every point's position by one coordinate [mm/mm], complex.

    Exact for free points and for points on straight tubes, whose positions are linear in the coordinate;
    on a bent tube, the central difference over 1 mm.
    """
    name, key = coordinate
    here = moved.get(coordinate, given_value(suspension, coordinate))
    if key in _DIRECTIONS:
        own = _DIRECTIONS[key]
    else:
        ends = [
            positions(suspension, axle, on_tube, {**moved, coordinate: here + d})[name]
            for d in (-0.5, 0.5)
        ]
        own = ends[1] - ends[0]

    def follows(point: str) -> bool:
        while point != name:
            spec = suspension.points.get(point)
            if not isinstance(spec, PointSpec) or spec.is_on_tube:
                return False
            point = spec.on
        return True

    names = ("bottom_bracket", "rear_axle", *suspension.points)
    return {point: own if follows(point) else 0j for point in names}


def as_pairs(points: Mapping[str, complex]) -> dict[str, tuple[float, float]]:
    """Return complex positions as (x, z)."""
    return {name: (float(np.real(p)), float(np.imag(p))) for name, p in points.items()}
