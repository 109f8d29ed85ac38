"""Outlines of gussets, tabs and other plates; their holes count as metal."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from frame3d.bodies.body import Body
from frame3d.bodies.forms import Form
from frame3d.bodies.motion.mounts import FRAME, Mount
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import PlacedShape, Tubular, bar, prism
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.closed_path import Edge, Path
from frame3d.geometry.convex_pieces import Piece, convex_pieces
from frame3d.geometry.extrusion import Extrusion
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point
from frame3d.tubes.plate import Plate

RIM = 0.02
"""Radius of the bars along the edges of plates, arms and webs, and of their rounding [mm]. A corner,
which is sharp in the metal, is off by less."""
WITHIN = 0.03
"""How far the polygons that stand for a plate may stand out of its edge [mm]."""
WIDEST = 2.0
"""Largest angle of one piece of an arc along the edge [rad]."""


def plates(place: Placement) -> Iterator[Body]:
    """Yield every plate that the file names."""
    for plate in place.bike.plates:
        if not place.is_wanted(plate.name):
            continue
        form = plate_form(plate, place.link(plate.link))
        yield Body(
            name=plate.name,
            part=f"plates.{plate.key}",
            family="frame",
            shapes=form.shapes,
            tubes=form.tubes,
            colour=plate.colour,
            note="holes, slots and pockets of plates count as metal",
        )


@lru_cache(maxsize=256)
def _pieces(path: Path) -> tuple[Piece, ...]:
    return convex_pieces(path, WITHIN)


def plate_form(plate: Plate, mount: Mount) -> Form:
    """Return a plate, fitted to its tubes, as `extruded`."""
    whole = Extrusion(plate.outline.outer, plate.plane, plate.low, plate.high)
    return extruded(plate.name, whole, mount)


def extruded(name: str, plate: Extrusion, mount: Mount) -> Form:
    """Return a flat solid: as shapes prisms that hold it, as tubes fine bars along its edges."""
    form = _still(name, plate)
    if mount == FRAME:
        return form
    return Form(
        tuple(replace(shape, mount=mount) for shape in form.shapes),
        tuple(replace(tube, mount=mount) for tube in form.tubes),
    )


@lru_cache(maxsize=64)
def _still(name: str, plate: Extrusion) -> Form:
    """Return `extruded` on the frame: bikes that are tried one after another share most plates."""
    path, plane = plate.path, plate.plane
    middle = (plate.low + plate.high) / 2
    axes = (plane.x, plane.y, point(plane.normal))
    shapes = tuple(
        PlacedShape(name, prism(piece, plate.thickness), plane.at((0.0, 0.0), middle), FRAME, axes)
        for piece in _pieces(path)
    )
    rim = min(RIM, plate.thickness / 4)
    tubes = tuple(
        _bar(name, plate, run, height, rim)
        for run in _inset(path, rim)
        for height in (plate.low + rim, plate.high - rim)
    )
    return Form(shapes, tubes)


def _inset(path: Path, rim: float) -> Iterator[Edge]:
    """Yield the lines and arcs of a path moved inward, each ended before it leaves the path again."""
    edges = path.edges
    for i, edge in enumerate(edges):
        before, after = edges[i - 1], edges[(i + 1) % len(edges)]
        start, end = _room(before, edge, rim), _room(edge, after, rim)
        if edge.length <= start + end + rim:
            continue
        shares = (start / edge.length, 1 - end / edge.length)
        if not edge.is_arc:
            a, b = edge.at(shares[0]), edge.at(shares[1])
            nx, ny = (
                (edge.end[1] - edge.start[1]) / edge.chord,
                (edge.start[0] - edge.end[0]) / edge.chord,
            )
            yield Edge((a[0] - rim * nx, a[1] - rim * ny), (b[0] - rim * nx, b[1] - rim * ny))
            continue
        (x, y), inward = edge.centre, -rim if edge.bulge > 0 else rim
        grown = (edge.radius + inward) / edge.radius
        if grown <= 0.01:
            continue
        count = max(1, math.ceil(abs(edge.sweep) / WIDEST))
        bulge = math.tan(edge.sweep * (shares[1] - shares[0]) / count / 4)
        places = []
        for k in range(count + 1):
            u, v = edge.at(shares[0] + (shares[1] - shares[0]) * k / count)
            places.append((x + grown * (u - x), y + grown * (v - y)))
        for k in range(count):
            yield Edge(places[k], places[k + 1], bulge)


def _room(before: Edge, after: Edge, rim: float) -> float:
    """Return how far from a corner the middle of a round bar is that touches both sides [mm]."""
    turn = _way(after, 0.0) - _way(before, 1.0)
    turn = math.remainder(turn, 2 * math.pi)
    if turn <= 0:
        return 0.0
    return rim * math.tan(min(turn, math.radians(170)) / 2)


def _way(edge: Edge, share: float) -> float:
    """Return the direction of an edge at its start or end [rad]."""
    chord = math.atan2(edge.end[1] - edge.start[1], edge.end[0] - edge.start[0])
    return chord + (share - 0.5) * edge.sweep


def _bar(name: str, plate: Extrusion, run: Edge, height: float, rim: float) -> Tubular:
    """Return a fine bar along a line or an arc, with round ends."""
    a, b = plate.plane.at(run.start, height), plate.plane.at(run.end, height)
    if not run.is_arc:
        straight = bar(name, a, b, rim, FRAME)
        return Tubular(name, straight.axis, straight.section, FRAME, (False, False))
    centre = plate.plane.at(run.centre, height)
    angle = math.degrees(abs(run.sweep))
    axis = Centreline((Arc(a, b, centre, run.radius, angle),))
    section = Section.round(axis.length, 2 * rim, 0.0)
    return Tubular(name, axis, section, FRAME, (False, False))
