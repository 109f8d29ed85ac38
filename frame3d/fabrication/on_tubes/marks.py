"""Where each feature of a tube is measured on the tube: numbered, from its cut ends, around it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.fabrication.develop import Development
from frame3d.fabrication.tube_facts import TubeFacts, line_name, plain
from frame3d.geometry.arrays import Array, Ints, Mask
from frame3d.geometry.vector import Vector
from frame3d.tubes.cuts.edge import EdgeOutline
from frame3d.tubes.cuts.vents import Hole
from frame3d.tubes.features.edges import AROUND, edge_points, on_tube
from frame3d.tubes.features.extent import extent
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.holes import across, marked
from frame3d.tubes.features.patches import patches
from frame3d.tubes.features.stand import Spot, directions, spot, spots
from frame3d.tubes.features.towers import footprint, towers
from frame3d.tubes.tube import Tube

FINE: Final = 2000
"""Points of the edge of a slot, which another hole cuts short."""
CLAMP_SLOT: Final = "clamp_slot"


@dataclass(frozen=True)
class Mark:
    """One of a feature's row, as it is measured on its tube."""

    number: int
    """The same on the left and the right tube of a pair."""
    feature: Feature
    label: str
    """One of `Feature.labels`."""
    tube: Tube
    spot: Spot
    """Its middle; of a clamp slot, that of the hole at its lower end."""
    phi: float
    """Angle of the middle around the tube, as `EdgeOutline.phi` [degrees]."""
    from_start: float
    """From the long point of the tube's start, along the axis [mm]."""
    from_end: float
    """From the long point of the tube's end, along the axis [mm]."""
    around: float
    """From the line of angle 0 around the tube to the middle, with the sign of the angle [mm]."""
    zero: str
    """Name of that line: ``top``, ``front``."""
    toward: str
    """Name of the line on the side to which the middle lies from it."""
    cut: tuple[EdgeOutline, ...]
    """Edges on the tube's outside of what is drilled and cut, open where the tube ends."""
    covered: EdgeOutline | None
    """What a guide, stop, eye, brake post or patch covers of the tube; None for others."""
    face: Vector | None
    """Middle of the face of a brake post, (3,) [mm]; None for others."""

    @property
    def s(self) -> float:
        """Of the middle along the tube's axis, from where the axis starts [mm]."""
        return self.spot.s

    @property
    def angle(self) -> float:
        """Around the tube from the line of angle 0, -180 to 180 [degrees]."""
        return 180.0 - (180.0 - self.feature.angles[self.feature.labels.index(self.label)]) % 360.0

    @property
    def around_text(self) -> str:
        """Angle in words: ``60° from top toward left``."""
        angle = self.angle
        if abs(angle) < 0.005:
            return self.zero
        if 180.0 - abs(angle) < 0.005:
            return self.toward
        return f"{abs(angle):.2f}".rstrip("0").rstrip(".") + f"° from {self.zero} to {self.toward}"

    @property
    def what(self) -> str:
        """Kind and sizes in words."""
        return sizes_text(self.feature)

    @property
    def name(self) -> str:
        """Name in the file; of a row, with its place in it."""
        own = plain(self.feature.name)
        if len(self.feature.labels) == 1:
            return own
        return f"{own} {self.feature.labels.index(self.label) + 1}"


def sizes_text(feature: Feature) -> str:
    """Return a feature's kind and sizes in words."""
    spec = feature.spec
    match spec.kind:
        case "boss":
            return f"boss {spec.thread or 'M5'}, hole {spec.outside:g}"
        case "port":
            size = f"{spec.wide:g}" if spec.long <= spec.wide else f"{spec.wide:g} × {spec.long:g}"
            lean = f", leaning {spec.lean:g}°" if spec.lean else ""
            turn = f", turned {spec.turn:g}°" if spec.turn and spec.long > spec.wide else ""
            patch = f", patch {spec.patch:g} thick" if spec.patch is not None else ""
            return f"port {size}{turn}{lean}{patch}"
        case "guide" | "stop":
            return f"{spec.kind} for {spec.held:g}, {spec.long:g} long"
        case "eye":
            return f"eye {spec.thread or 'M5'}, {spec.wide:g} wide"
        case "vent":
            return f"vent {spec.outside:g}"
        case "clamp_slot":
            return f"slot {spec.wide:g} to the top, hole {spec.hole:g}"
        case "flat_mount" | "post_mount":
            size = f"{spec.threaded}, {spec.outside:g} square"
            if spec.kind == "flat_mount":
                size = f"{spec.threaded}, hole {spec.outside:g} through both walls"
            return f"{plain(spec.kind)} {size}"
        case "collar":
            return f"collar, {spec.long:g} high, {spec.thread or 'M5'}"


def marks_of(bike: Bike, facts: Sequence[TubeFacts]) -> list[Mark]:
    """Return all marks of a bike's tubes in the file's order; left and right share their numbers."""
    by_name = {one.tube.name: one for one in facts}
    numbers: dict[str, int] = {}
    found = []
    for feature in bike.frame.features:
        if feature.tube not in by_name or feature.spec.kind == "collar":
            continue  # a collar is set where the tube ends: nothing is marked
        one = by_name[feature.tube]
        for label, place in zip(feature.labels, _middles(feature, one.tube), strict=True):
            number = numbers.setdefault(label, len(numbers) + 1)
            found.append(_mark(number, feature, label, one, place))
    return found


def _middles(feature: Feature, tube: Tube) -> tuple[Spot, ...]:
    if feature.spec.kind == CLAMP_SLOT:
        return (spot(tube, tube.axis.length - feature.spec.long, feature.angle),)
    return spots(feature, tube)


def _mark(number: int, feature: Feature, label: str, one: TubeFacts, place: Spot) -> Mark:
    tube = one.tube
    phi = float(on_tube(place.foot[None], tube)[0][0])
    up, quarter = (_phi(tube, place.s, way) for way in directions(tube, place.s))
    index = feature.labels.index(label)
    away = 180.0 - (180.0 - feature.angles[index]) % 360.0
    beyond = quarter if away >= 0 else 2 * up - quarter
    if 180.0 - abs(away) < 0.005:
        beyond = up + 180.0
    posts = towers(feature, tube)
    return Mark(
        number=number,
        feature=feature,
        label=label,
        tube=tube,
        spot=place,
        phi=phi,
        from_start=place.s - one.low,
        from_end=one.low + one.long_to_long - place.s,
        around=_arc(tube, place.s, up, phi) * (-1.0 if away < 0 else 1.0),
        zero=line_name(tube, place.s, up),
        toward=line_name(tube, place.s, beyond),
        cut=_edges(feature, tube, index, one),
        covered=_covered(feature, tube, index),
        face=posts[index].face if posts else None,
    )


def _phi(tube: Tube, s: float, way: Array) -> float:
    up, side = tube.axis.frame(s)
    return float(np.degrees(np.arctan2(float(way @ side), float(way @ up))))


def _arc(tube: Tube, s: float, start: float, end: float) -> float:
    """Return the shorter way around the outside between two phi [mm]."""
    flat = Development(tube.section, s - 0.5, s + 0.5, start)
    turn = 180.0 - (180.0 - (start - end)) % 360.0
    return abs(float(flat.at(np.array([turn]), np.array([s]))[0, 0]))


def _edges(feature: Feature, tube: Tube, index: int, one: TubeFacts) -> tuple[EdgeOutline, ...]:
    """Return the edges that one of a row has on the tube's outside, where there is metal."""
    all_holes = marked(feature, tube)
    if feature.spec.kind != CLAMP_SLOT:
        if not all_holes:
            return ()
        each = len(all_holes) // len(feature.labels)
        own = all_holes[each * index : each * (index + 1)]
        paths = [on_tube(edge_points(hole, tube, count=AROUND), tube) for hole in own]
        return tuple(EdgeOutline(*path, is_hole=True) for path in paths)
    found = []
    for hole in all_holes:
        points = edge_points(hole, tube, count=FINE)
        phi, s = on_tube(points, tube)
        kept = s <= one.low + one.long_to_long
        for other in all_holes:
            if other is not hole:
                kept &= ~_inside(points, other)
        found += [EdgeOutline(phi[run], s[run], is_hole=True) for run in _runs(kept)]
    return tuple(found)


def _inside(points: Array, hole: Hole) -> Mask:
    """Return which points lie within a hole, along its axis: (n, 3) -> (n,)."""
    _, along, aside = across(hole)
    off = points - hole.axis.at(0.0)
    straight = 0.0 if hole.is_round else (hole.length - hole.diameter) / 2
    u = np.maximum(np.abs(off @ along) - straight, 0.0)
    return np.asarray(np.hypot(u, off @ aside) < hole.diameter / 2)


def _runs(kept: Mask) -> list[Ints]:
    """Return the indices of each unbroken run of kept points of a closed path."""
    if kept.all():
        return [np.arange(len(kept))]
    count = len(kept) - 1  # the last point is the first
    first = int(np.argmin(kept[:count]))
    order = (first + np.arange(count)) % count
    edges = np.flatnonzero(np.diff(kept[order].astype(int)))
    pieces = np.split(order, edges + 1)
    return [piece for piece in pieces if kept[piece[0]] and len(piece) > 1]


def _covered(feature: Feature, tube: Tube, index: int) -> EdgeOutline | None:
    """Return the outline of what stands on the tube, laid onto it."""
    if feature.spec.kind == "post_mount":
        return EdgeOutline(*on_tube(footprint(feature, tube)[index], tube), is_hole=True)
    if feature.spec.patch is not None:
        column = patches(feature, tube)[index].column
        return EdgeOutline(*on_tube(edge_points(column, tube, count=AROUND), tube), is_hole=True)
    if feature.spec.kind not in ("guide", "stop", "eye"):
        return None
    place = spots(feature, tube)[index]
    along, around = extent(feature)
    share = np.linspace(-1.0, 1.0, 21)
    one = np.ones(21)
    u = np.concatenate([along * share, along * one, -along * share, -along * one])
    v = np.concatenate([around * -one, around * share, around * one, around * -share])
    points = place.foot + u[:, None] * place.along + v[:, None] * place.around
    return EdgeOutline(*on_tube(points, tube), is_hole=True)
