"""Spans of tubes at which a frame may be cut to fit the bed: away from every junction.

The spans of one tube, between its ends and another tube that joins it:

      end                       another tube                  end
       |                            |   |                      |
       +----------------------------+---+----------------------+
       | PAST |     limb     | PAST |   | PAST |  limb  | PAST |
       +-------------------------------------------------------+
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.pose import matrix
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import vector
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.options import PEG
from frame3d.mockup.part import Limb
from frame3d.tubes.tube import End, Tube

STEP = 1.0
"""Distance between points of a limb [mm, printed]."""
PAST = 4.0
"""Distance of a limb from the edge of a junction [mm of the bike]."""
SOCKETED = 14.0
"""Distance of a limb from a tube's end at a dropout, whose socket encloses the tube [mm of the bike]."""
PIVOT = 20.0
"""Distance of a limb from a pivot of the suspension [mm of the bike]."""

Span = tuple[float, float]


def limbs_of(drawing: Drawing, bike: Bike) -> tuple[Limb, ...]:
    """Return the free spans of all tubes but the head tube as limbs at the print's scale [mm]."""
    return tuple(
        limb
        for tube in bike.tubes
        if tube.key != "head_tube"
        for span in _free(drawing, bike, tube)
        for limb in _limb(drawing, tube, span)
    )


def gaps(whole: Span, taken: Sequence[Span]) -> Iterator[Span]:
    """Yield the parts of a span that none of the taken spans covers."""
    here, end = whole
    for low, high in sorted(taken):
        if low > here:
            yield here, min(low, end)
        here = max(here, high)
        if here >= end:
            return
    if here < end:
        yield here, end


def _free(drawing: Drawing, bike: Bike, tube: Tube) -> Iterator[Span]:
    low, high = _kept(tube.start), tube.axis.length - _kept(tube.end)
    if tube.key == "seat_tube":
        high = tube.axis.length - 4 * PEG / drawing.scale
    taken = []
    for other in bike.tubes:
        for end in (other.start, other.end):
            if end.target == tube.name:
                radius = other.section.furthest
                slant = max(
                    float(np.sin(np.radians(90.0 if end.angle is None else end.angle))), 0.3
                )
                taken.append(_about(tube, vector(end.point), radius / slant + PAST))
    if bike.linkage is not None:
        for x, z in bike.linkage.drawn.values():
            s, far = tube.axis.approach(np.array([[x, 0.0, z]]))
            near = float(np.hypot(*(tube.axis.at(float(s[0]))[[0, 2]] - (x, z))))
            if near < 3 * PIVOT and far[0] < 5 * PIVOT:
                taken.append((float(s[0]) - PIVOT, float(s[0]) + PIVOT))
    yield from gaps((low, high), taken)


def _kept(end: End) -> float:
    if end.cut == "square":
        return SOCKETED if end.target is not None else 0.0
    return max(end.short_point, 0.0) + PAST


def _about(tube: Tube, point: Array, reach: float) -> Span:
    s = float(tube.axis.nearest(point[None])[0])
    return s - reach, s + reach


def _limb(drawing: Drawing, tube: Tube, span: Span) -> Iterator[Limb]:
    scale = drawing.scale
    count = int((span[1] - span[0]) * scale / STEP) + 1
    if count < 4:
        return
    s = np.linspace(*span, count)
    motion = matrix(drawing.place.link(tube.link), drawing.pose)
    points = tube.axis.points(s) @ motion[:3, :3].T + motion[:3, 3]
    radius = np.minimum(tube.section.height_at(s), tube.section.width_at(s)) / 2
    yield Limb(scale * points, scale * radius)
