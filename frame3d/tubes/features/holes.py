r"""What features take out of tubes: ports, vents, slots, and the holes that bosses are set into.

A hole runs from the middle of its tube outward, so that it surely goes through one wall and not
through the other::

           along the hole   ^        lean: from square to the tube toward its end
                     ______ | ______
              wall   ______|_|______
                           | |
          axis  - - - - - -+-+- - - -
              wall   _______________
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.vector import Vector, cross, point, unit
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.stand import Spot, far_foot, spot, spots
from frame3d.tubes.tube import Tube

OUT: Final = 3.0
"""How far a hole continues beyond the tube's outside [mm]."""


def holes(feature: Feature, tube: Tube) -> tuple[Hole, ...]:
    """Return what a feature takes out of its tube besides what it fills itself."""
    if feature.implied:
        return ()
    return tuple(_holes(feature, tube))


def marked(feature: Feature, tube: Tube) -> tuple[Hole, ...]:
    """Return the holes that the builder makes in the tube: `holes`, and those for bosses and sleeves.

    Of a flat mount both of each sleeve, one after the other.
    """
    if feature.spec.kind == "flat_mount":
        return tuple(_both_walls(feature, tube))
    if feature.spec.kind != "boss":
        return holes(feature, tube)
    return tuple(_drilling(tube, place, feature.spec.outside) for place in spots(feature, tube))


def _both_walls(feature: Feature, tube: Tube) -> Iterator[Hole]:
    """Yield the holes for sleeves: on the caliper's side, and through the far wall."""
    for place in spots(feature, tube):
        yield _drilling(tube, place, feature.spec.outside)
        yield Hole(_line(place.axis, far_foot(tube, place), -place.out), feature.spec.outside)


def _holes(feature: Feature, tube: Tube) -> Iterator[Hole]:
    spec = feature.spec
    if spec.kind == "vent":
        for place in spots(feature, tube):
            yield _drilling(tube, place, spec.outside)
    elif spec.kind == "port":
        for place in spots(feature, tube):
            yield _port(feature, tube, place)
    elif spec.kind == "clamp_slot":
        yield from _slot(feature, tube)


def _drilling(tube: Tube, place: Spot, diameter: float) -> Hole:
    return Hole(_line(place.axis, place.foot, place.out), diameter)


def _line(start: Vector, foot: Vector, way: Vector) -> Centreline:
    return Centreline((Line(point(start), point(foot + OUT * way)),))


def _port(feature: Feature, tube: Tube, place: Spot) -> Hole:
    spec = feature.spec
    lean, turn = (np.radians(x or 0.0) for x in (spec.lean, spec.turn))
    way = np.cos(lean) * place.out + np.sin(lean) * place.along
    length = np.cos(turn) * place.along + np.sin(turn) * place.around
    length = unit(length - (length @ way) * way)
    # The inner end lies in the plane of the axis with its outermost corner.
    back = (place.radius + spec.long / 2 * abs(float(length @ place.out))) / float(np.cos(lean))
    beyond = spec.long / 2 * abs(np.tan(lean)) + spec.wide**2 / (4 * place.radius)
    axis = _line(place.foot - back * way, place.foot + beyond * way, way)
    if spec.long <= spec.wide:
        return Hole(axis, spec.wide)
    return Hole(axis, spec.wide, spec.long, point(length))


def _slot(feature: Feature, tube: Tube) -> Iterator[Hole]:
    """Yield the slit down from the seat tube's top, and the hole at its lower end."""
    spec, top = feature.spec, tube.axis.length
    low = spot(tube, top - spec.long, feature.angle)
    yield _drilling(tube, low, spec.hole)
    # Its upper round end lies beyond the tube's.
    half = (spec.long + spec.wide + 2 * OUT) / 2
    middle = spot(tube, top - spec.long + half, feature.angle)
    yield Hole(
        _line(middle.axis, middle.foot, middle.out), spec.wide, 2 * half, point(middle.along)
    )


def across(hole: Hole) -> tuple[Vector, Vector, Vector]:
    """Return a hole's directions outward, along its length and across it: unit vectors, (3,)."""
    way = hole.axis.tangent(0.0)
    along = hole.axis.frame(0.0)[0] if hole.is_round else np.array(hole.along)
    return way, along, cross(way, along)
