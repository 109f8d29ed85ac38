"""Small drillings (vents) at the junctions, so that no tube is closed.

::

       target        tube
      |      |_____________________
      | bore |
      |    ==|==   vent along the tube's axis, through the target's wall
      |      |_____________________
      |      |
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.vector import Point, Vector, point, unit, vector
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import Housing
from frame3d.tubes.tube import End, Tube

VENT = 4.0
"""Diameter of a vent hole [mm]. Builders drill such holes so that hot gas leaves a closed tube while
it is joined (common practice, no source). Here they also connect every tube's inside to the outside,
so that the fused frame has one boundary and its STL is one closed shell."""
INSIDE = 3.0
"""How far a vent reaches beyond the wall on either side [mm]."""
BEYOND = 1.0
"""How far a vent comes out of other tubes that cut the vented tube [mm]."""
AT_ONCE = 64
"""Places along a tube that are looked at together."""
PASSAGE = 1.5
"""Width of a gap beside a housing that counts as open [mm]."""
FROM_END = 25.0
"""Distance from a tube's short point to a vent through its own wall [mm]."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A drilling, or a slot with round ends: straight axis, width and length across it."""

    axis: Centreline
    diameter: float
    """Of a drilling; width of a slot [mm]"""
    length: float = 0.0
    """Of a slot across its axis, round ends included [mm]; 0 for a drilling."""
    along: Point = (0.0, 0.0, 0.0)
    """Unit direction of a slot's length, square to the axis."""

    @property
    def is_round(self) -> bool:
        """Whether it is a drilling."""
        return self.length <= self.diameter

    @classmethod
    def through(
        cls, centre: Point, direction: Point, before: float, after: float, diameter: float
    ) -> Hole:
        """Return a hole along `direction`, from `before` behind `centre` to `after` ahead of it [mm]."""
        c, d = vector(centre), unit(vector(direction))
        return cls(Centreline((Line(point(c - before * d), point(c + after * d)),)), diameter)


@dataclass(frozen=True, slots=True)
class Vent:
    """A hole and the bodies that it goes through."""

    hole: Hole
    bodies: tuple[str, ...]


def vents(frame: Frame) -> tuple[Vent, ...]:
    """Return a vent for each hollow tube that has no open end, in build order, and those of housings.

    A tube with vents of the file's own (``features:``) has those in their place, which are not among
    these.

    A vent runs along the tube's axis through the wall of what the tube sits on; that comes earlier in
    the build order, so it is open or vented itself. Where neither end can be vented so (dropouts,
    bars, an axis that misses the target's bore), it goes through the tube's own wall on the side that
    is seen least: toward the centre plane, or below. A bridge between the two tubes of a pair is
    vented into both, so that left and right stay mirror images.
    """
    found: list[Vent] = []
    own = {one.tube for one in frame.features if one.spec.kind == "vent"}
    for tube in frame.tubes:
        if tube.name in own or tube.section.is_solid or _is_open(tube.start) or _is_open(tube.end):
            continue
        ends = (v for at in (True, False) if (v := _through_target(frame, tube, at)) is not None)
        through = [*ends] if _joins_pair(frame, tube) else [*islice(ends, 1)]
        found += through or [_through_wall(tube)]
    return (*found, *_through_housings(frame))


def _through_housings(frame: Frame) -> Iterator[Vent]:
    """Yield vents through housings that close the inside of a tube, into the axle's bore and out."""
    for item in frame.pivots:
        for tube in frame.tubes:
            if not isinstance(item, Housing) or item.name not in tube.cut_by:
                continue
            s = float(tube.axis.nearest(vector(item.at)[None])[0])
            if item.name in (tube.start.target, tube.end.target) or not 0 < s < tube.axis.length:
                continue
            along = tube.axis.tangent(s)
            away = tube.axis.at(s) - vector(item.at)
            apart = float(np.hypot(away[0], away[2]))
            room = float(tube.section.height_at(s)) / 2 - float(tube.section.wall_at(s))
            if item.od / 2 + PASSAGE > room + apart:
                reach = item.od / 2 + INSIDE
                diameter = min(VENT, 0.6 * item.bore)
                yield Vent(
                    Hole.through(item.at, point(along), reach, reach, diameter), (item.name,)
                )


def _is_open(end: End) -> bool:
    return end.cut == "square" and end.target is None


def _joins_pair(frame: Frame, tube: Tube) -> bool:
    """Return whether a tube sits on the left and the right tube of a pair."""
    ends = {tube.start.target, tube.end.target}
    on = [t for t in frame.tubes if t.name in ends]
    return len(on) == 2 and on[0].key == on[1].key and {t.side for t in on} == {"left", "right"}


def _through_target(frame: Frame, tube: Tube, at_start: bool) -> Vent | None:
    """Return the vent through what one end sits on; None where it cannot be vented so."""
    end = tube.start if at_start else tube.end
    if end.cut != "mitre" or end.target is None:
        return None
    room = _bore_radius(frame, end.target, end)
    s = 0.0 if at_start else tube.axis.length
    diameter = min(VENT, 0.6 * _bore_at(tube, s))
    if room is None or diameter < 1.0 or abs(end.offset) + diameter > room:
        return None
    into = tube.axis.tangent(s) if at_start else -tube.axis.tangent(s)
    reach = _clear(frame, tube, at_start)
    if reach is None:
        return None
    hole = Hole.through(end.point, point(into), _to_axis(frame, end, into), reach, diameter)
    others = [name for name in tube.cut_by if name != end.target and _near(frame, name, hole)]
    return Vent(hole, (end.target, *others))


def _to_axis(frame: Frame, end: End, into: Vector) -> float:
    """Return how far behind an end's point a vent starts, in the middle of the target tube [mm].

    More than 0 where the point lies beside the target's axis.
    """
    target = next((tube for tube in frame.tubes if tube.name == end.target), None)
    if target is None:
        return 0.0
    at = vector(end.point)
    middle = target.axis.at(float(target.axis.nearest(at[None])[0]))
    beyond = float((at - middle) @ into)
    return beyond if beyond > 1e-6 else 0.0


def _clear(frame: Frame, tube: Tube, at_start: bool) -> float | None:
    """Return how far along the axis from an end the tube's inside begins [mm]; None if nowhere.

    It begins past the cut, and past what else cuts the tube there.
    """
    end = tube.start if at_start else tube.end
    reach: Vector = np.arange(end.short_point + INSIDE, tube.axis.length, 1.0)
    if not len(reach):
        return None
    bodies = [t for t in frame.tubes if t.name in tube.cut_by and t.name != end.target]
    if not bodies:
        return float(reach[0])
    points = tube.axis.points(reach if at_start else tube.axis.length - reach)
    around = [Envelope.of(body, body.name) for body in bodies]
    for first in range(0, len(reach), AT_ONCE):  # most begin at once
        some = points[first : first + AT_ONCE]
        free = np.all([one.depth(some) < -BEYOND for one in around], axis=0)
        if free.any():
            return float(reach[first + int(np.argmax(free))])
    return None


def _through_wall(tube: Tube) -> Vent:
    """Return a vent through the tube's own wall."""
    length = tube.axis.length
    s = min(tube.start.short_point + FROM_END, length / 2)
    height, width = tube.axis.frame(s)
    here = tube.axis.at(s)
    down = -height if abs(float(height[2])) > 0.1 else width
    inward = -float(here[1] * width[1])  # 0 for a tube that runs across the bike
    beside = abs(float(here[1])) >= 1.0 and abs(inward) > 1e-9
    toward = float(np.sign(inward)) * width if beside else down
    size = max(float(tube.section.height_at(s)), float(tube.section.width_at(s)))
    diameter = min(VENT, 0.6 * _bore_at(tube, s))
    hole = Hole.through(point(here), point(toward), 0.0, size / 2 + INSIDE, diameter)
    return Vent(hole, (tube.name,))


def _bore_at(tube: Tube, s: float) -> float:
    size = min(float(tube.section.height_at(s)), float(tube.section.width_at(s)))
    return size - 2 * float(tube.section.wall_at(s))


def _bore_radius(frame: Frame, name: str, end: End) -> float | None:
    """Return half the bore of a target where an end sits on it [mm]; None for what has no bore."""
    if name == "bottom_bracket":
        return None if frame.shell is None else frame.shell.bore / 2
    for item in frame.pivots:
        if isinstance(item, Housing) and item.name == name:
            return item.bore / 2
    tube = next((t for t in frame.tubes if t.name == name), None)
    if tube is None or tube.section.is_solid:
        return None
    section = tube.section
    if section.is_straight_sided and len(set(section.wall)) == 1:
        return _bore_at(tube, 0.0) / 2
    s = np.linspace(0.0, tube.axis.length, 200)
    away = _lengths(tube.axis.points(s).T - vector(end.point)[:, None])
    return _bore_at(tube, float(s[int(np.argmin(away))])) / 2


def _near(frame: Frame, name: str, hole: Hole) -> bool:
    """Return whether a hole may meet a body, by distance between samples of their axes (safe side)."""
    tube = next((t for t in frame.tubes if t.name == name), None)
    if tube is None:
        return name == "bottom_bracket"
    s = np.linspace(0.0, tube.axis.length, 200)
    body: Vector = tube.axis.points(s)
    along: Vector = hole.axis.points(np.linspace(0.0, hole.axis.length, 20))
    gap = float(_lengths(body.T[:, :, None] - along.T[:, None]).min())
    reach = tube.section.furthest + hole.diameter / 2
    return gap < reach + tube.axis.length / 200


def _lengths(d: Array) -> Array:
    """Return the lengths of vectors that stand in columns: (3, ...) -> (...)."""
    x, y, z = d
    return np.asarray(np.sqrt(x * x + y * y + z * z))
