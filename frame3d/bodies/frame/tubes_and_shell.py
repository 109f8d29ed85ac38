"""Outlines of the frame's tubes and of the bottom bracket shell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Body
from frame3d.bodies.frame.hull import hull_of
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Cutter, PlacedShape, Tubular, cylinder
from frame3d.geometry.vector import vector
from frame3d.tubes.cuts.straight_lines import Outside
from frame3d.tubes.hardware import Housing
from frame3d.tubes.tube import End, Tube

CLOSE = 1.5
"""A cutter continues beyond its own end where a tube sits on it nearer to that end than this, in the
tube's widths."""


def frame(place: Placement) -> Iterator[Body]:
    """Yield every tube, from its first to its last metal, and the shell."""
    bike = place.bike
    cutters = outsides_of(bike)
    for tube in bike.tubes:
        if not place.is_wanted(tube.name):
            continue
        yield Body(
            name=tube.name,
            part=f"tubes.{tube.key}",
            family="frame",
            shapes=(),
            tubes=(metal_of(tube, cutters, place.link(tube.link)),),
            colour=tube.colour,
            hull=hull_of(tube, place.link(tube.link)) if _is_held(bike, tube) else (),
            axles=_axles(bike, tube),
        )
    shell = bike.shell
    if shell is not None:
        yield Body(
            name="bottom_bracket",
            part="build.bottom_bracket",
            family="frame",
            shapes=(
                PlacedShape("bottom_bracket", cylinder(shell.od / 2, *shell.faces), shell.place),
            ),
            tubes=(Tubular("bottom_bracket", shell.axis, shell.section),),
            colour=bike.spec.colour,
            axles=() if bike.linkage is None else ("bottom_bracket",),
        )


def outsides_of(bike: Bike) -> dict[str, Outside]:
    """Return everything that cuts tubes, by name."""
    found: dict[str, Outside] = {tube.name: tube for tube in bike.tubes}
    found |= {item.name: item for item in bike.pivots if isinstance(item, Housing)}
    if bike.shell is not None:
        found["bottom_bracket"] = bike.shell
    return found


def metal_of(tube: Tube, outsides: Mapping[str, Outside], mount: Mount) -> Tubular:
    """Return a tube from its first to its last metal, with what cuts it."""
    return Tubular(
        tube.name,
        tube.axis,
        tube.section,
        mount,
        trimmed=(tube.start.long_point, tube.end.long_point),
        cutters=tuple(_cutter(tube, name, outsides[name]) for name in tube.cut_by),
    )


def _cutter(tube: Tube, name: str, body: Outside) -> Cutter:
    """Return what a tube is cut by; it continues beyond an end that the tube sits close to."""
    ends = [end for end in (tube.start, tube.end) if end.target == name and end.cut == "mitre"]
    runs_on = [_is_close(tube, ends, tip) for tip in (body.axis.start, body.axis.end)]
    length = tube.axis.length
    between = None
    if len(ends) == 1 and ends[0] is tube.start:
        between = (tube.start.long_point, tube.start.short_point)
    elif len(ends) == 1:
        between = (length - tube.end.short_point, length - tube.end.long_point)
    return Cutter(body.axis, body.section, (runs_on[0], runs_on[1]), between)


def _is_close(tube: Tube, ends: list[End], tip: tuple[float, float, float]) -> bool:
    near = CLOSE * 2 * tube.section.furthest
    return any(float(np.linalg.norm(vector(end.point) - vector(tip))) < near for end in ends)


def _is_held(bike: Bike, tube: Tube) -> bool:
    """Return whether a tube has a hull: those of links, and others that one straight piece contains."""
    if bike.linkage is None:
        return False
    plain = tube.section.is_round or bool(tube.section.rounds)
    return tube.link is not None or (tube.axis.is_straight and plain)


def _axles(bike: Bike, tube: Tube) -> tuple[str, ...]:
    """Return the points of the rear suspension that a tube ends on."""
    if bike.linkage is None:
        return ()
    spec = bike.spec.tubes[tube.key]
    ends = [junction.on for junction in (spec.start, spec.end) if junction is not None]
    points = bike.linkage.drawn
    return tuple(dict.fromkeys(on for on in ends if on is not None and on in points))
