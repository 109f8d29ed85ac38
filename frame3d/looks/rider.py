r"""The rider as a plain figure between the joints of a posture, in the frame's own axes.

What the side view leaves open is spread across the bike: shoulders and hips by published shares of the
stature, hands to the grips, feet to the pedals. Each limb then is two segments of its own lengths
between a joint of the trunk and what it holds; it bends where the posture's does, elbows outward too::

        shoulder o-.  trunk: hip to shoulder        limb: root o
              .-'   \                                           \   middle: as far from root and tip as
         hip o       o elbow                                     o    upper and lower are long, on the
              \     /                                           /     side that `bend` points to
          knee o   o hands                                 tip o

Nothing is measured on it, and it is no part of the bike: it is made to show how somebody sits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.bodies.motion.mounts import FRAME, Mount
from frame3d.bodies.parts.cockpit import GRIP
from frame3d.bodies.placement import SIDES, Placement, Side
from frame3d.geometry.vector import Point
from frame3d.looks.girths import MASS_SHARES, Shape, limb, neck, shoe, skull, trunk
from frame3d.rider.posture import Posture, Rider
from frame3d.rider.segments import FOOT

LOWERED: Final = frozenset({"descending", "lowest_saddle"})
"""Postures with the saddle at full drop."""
SHOULDER_BREADTH, HIP_BREADTH = 0.259, 0.191
"""Over all, as shares of stature (Drillis and Contini 1966; from memory of Winter's figure 4.1)."""
SHOULDER_JOINT, HIP_JOINT = 0.77, 0.50
"""Where the joint is in half the breadth, from the middle; common practice, no source."""
SHOE_OF_FOOT: Final = 1.08
"""Length of a shoe over the foot's; common practice, no source."""
BALL: Final = 0.28
"""Toe to pedal axle over the shoe's length, as in `ShoeSpec`."""
UNDER: Final = 8.0
"""Pedal's axle to the shoe where the file gives no pedal [mm]; common practice, no source."""
BESIDE: Final = 55.0
"""Crank's outer face to the shoe's middle where the file gives no pedal [mm]; common practice, no
source."""
ELBOW_OUT, KNEE_OUT = 0.9, 0.12
"""How far elbows and knees point outward, over how far they bend in the side view; common practice, no
source."""
STRETCH: Final = 1.08
"""Limbs that are too short by less than this are drawn longer; others let go of what they hold."""


@dataclass(frozen=True)
class Bone:
    """A segment in place."""

    shape: str
    side: str
    """``left``, ``right``, or empty."""
    start: Point
    end: Point
    front: Point
    """Which way its front looks; only its share square to the axis counts."""
    mount: Mount = FRAME


@dataclass(frozen=True)
class Limb:
    """An arm or a leg between a joint of the trunk and what it holds."""

    side: Side
    root: Point
    tip: Point
    """Grip, or ankle."""
    bend: Point
    """Which way its middle joint lies from the line between root and tip."""
    upper: tuple[str, float]
    """Segment from the root to the middle joint, and its length [mm]."""
    lower: tuple[tuple[str, float], ...]
    """Segments from there to the tip, in line."""
    fronts: tuple[float, ...]
    """For each segment whether its front looks where the limb bends (1), away from there (-1), or up
    (0)."""
    mount: Mount = FRAME
    """What the tip moves with."""

    def middle(self) -> Point:
        """Return the knee or the elbow: where the lengths to root and tip are right."""
        upper, lower = self.upper[1], sum(length for _, length in self.lower)
        way = _less(self.tip, self.root)
        distance = math.hypot(*way)
        along = _times(1 / distance, way)
        if distance >= upper + lower:
            stretch = min(distance / (upper + lower), STRETCH)
            return _plus(self.root, _times(stretch * upper, along))
        foot = (upper**2 - lower**2 + distance**2) / (2 * distance)
        off = math.sqrt(max(upper**2 - foot**2, 0.0))
        out = _square_to(self.bend, along)
        return _plus(_plus(self.root, _times(foot, along)), _times(off, out))

    def bones(self) -> Iterator[Bone]:
        """Yield its segments in place."""
        middle = self.middle()
        fronts = [_times(f, self.bend) if f else (0.0, 0.0, 1.0) for f in self.fronts]
        yield Bone(self.upper[0], self.side, self.root, middle, fronts[0])
        way = _less(self.tip, middle)
        lower = sum(length for _, length in self.lower)
        stretch = min(math.hypot(*way) / lower, STRETCH) / math.hypot(*way)
        start, done = middle, 0.0
        for (name, length), front in zip(self.lower, fronts[1:], strict=True):
            done += length
            end = _plus(middle, _times(done * stretch, way))
            yield Bone(name, self.side, start, end, front)
            start = end


@dataclass(frozen=True)
class Pose:
    """The figure in one posture."""

    name: str
    """Of the rider's posture."""
    fixed: tuple[Bone, ...]
    """Trunk, neck, head, and the shoes, which move with the pedals."""
    limbs: tuple[Limb, ...]
    drop: Point
    """How far the saddle is lowered [mm]."""

    def bones(self) -> Iterator[Bone]:
        """Yield all segments in place."""
        yield from self.fixed
        for one in self.limbs:
            yield from one.bones()


@dataclass(frozen=True)
class Figure:
    """The rider on a bike, drawn to scale."""

    shapes: Mapping[str, Shape]
    """Each segment's surface by name: trunk, neck, head, upper_arm, forearm, hand, thigh, shank,
    shoe."""
    poses: tuple[Pose, ...]


def figure_of(bike: Bike) -> Figure | None:
    """Return the rider of a bike; None where the file does not give enough about rider and cockpit."""
    rider, spec = bike.rider, bike.spec.build.rider
    if rider is None or spec is None or rider.stature is None:
        return None
    postures = rider.postures
    if not postures:
        return None
    lengths = _lengths(next(iter(postures.values())))
    sole = _shoe_length(bike, rider.stature)
    body = _Body(Placement(bike), rider, rider.stature, lengths, sole)
    masses = {name: share * spec.mass_kg for name, share in MASS_SHARES.items()}
    shapes = {
        "trunk": trunk(lengths["trunk"], masses["trunk"]),
        "neck": neck(lengths["neck"], lengths["head"]),
        "head": skull(lengths["head"]),
        **{
            name: limb(name, lengths[name], masses[name])
            for name in ("upper_arm", "forearm", "hand", "thigh", "shank")
        },
        "shoe": shoe(sole),
    }
    poses = tuple(body.pose(name, posture) for name, posture in postures.items())
    return Figure(shapes, poses)


def _shoe_length(bike: Bike, stature: float) -> float:
    spec = bike.spec.build.rider
    if spec is not None and spec.shoe_length is not None:
        return spec.shoe_length
    return SHOE_OF_FOOT * FOOT * stature


def _lengths(posture: Posture) -> dict[str, float]:
    """Return the lengths of the segments [mm], from joint to joint."""
    at = {name: complex(p[0], p[2]) for name, p in posture.joints.items()}
    ends = {
        "trunk": ("hip", "shoulder"),
        "neck": ("shoulder", "chin"),
        "head": ("chin", "vertex"),
        "upper_arm": ("shoulder", "elbow"),
        "forearm": ("elbow", "wrist"),
        "hand": ("wrist", "hands"),
        "thigh": ("hip", "knee_front"),
        "shank": ("knee_front", "ankle_front"),
    }
    return {name: abs(at[end] - at[start]) for name, (start, end) in ends.items()}


@dataclass(frozen=True)
class _Body:
    """A rider to be placed on a bike."""

    place: Placement
    rider: Rider
    stature: float
    lengths: Mapping[str, float]
    sole: float
    """Length of a shoe [mm]."""

    def pose(self, name: str, posture: Posture) -> Pose:
        """Return the figure in a posture."""
        points = {**self.rider.contacts, **posture.joints}
        at = {name: complex(p[0], p[2]) for name, p in points.items()}
        limbs, shoes = [], []
        for side, sign in SIDES:
            # The left pedal stands ahead as the bike is drawn.
            foot = "front" if side == "left" else "rear"
            limbs.append(self._leg(at, side, sign, foot))
            shoes.append(self._shoe(at, side, sign, foot))
            limbs.append(self._arm(at, side, sign))
        trunk_front = (at["shoulder"] - at["hip"]) * -1j
        head_front = (at["vertex"] - at["chin"]) * -1j
        fixed = (
            _bone("trunk", at["hip"], at["shoulder"], trunk_front),
            _bone("neck", at["shoulder"], at["chin"], head_front),
            _bone("head", at["chin"], at["vertex"], head_front),
        )
        post = self.place.build.seatpost
        travel = post.travel if post is not None and name in LOWERED else 0.0
        down = -travel * self.place.seat_up
        drop = (float(down[0]), 0.0, float(down[2]))
        return Pose(name, (*fixed, *shoes), tuple(limbs), drop)

    def _leg(self, at: Mapping[str, complex], side: Side, sign: float, foot: str) -> Limb:
        hip, knee, ankle = at["hip"], at[f"knee_{foot}"], at[f"ankle_{foot}"]
        lateral = sign * HIP_JOINT * HIP_BREADTH / 2 * self.stature
        return Limb(
            side,
            root=_point(hip, lateral),
            tip=_point(ankle, sign * self._pedal),
            bend=_bend(hip, knee, ankle, sign * KNEE_OUT),
            upper=("thigh", self.lengths["thigh"]),
            lower=(("shank", self.lengths["shank"]),),
            fronts=(1.0, 1.0),
            mount=self._pedal_mount(side),
        )

    def _arm(self, at: Mapping[str, complex], side: Side, sign: float) -> Limb:
        shoulder, elbow, hands = at["shoulder"], at["elbow"], at["hands"]
        lateral = sign * SHOULDER_JOINT * SHOULDER_BREADTH / 2 * self.stature
        return Limb(
            side,
            root=_point(shoulder, lateral),
            tip=_point(hands, sign * self._grip),
            bend=_bend(shoulder, elbow, hands, sign * ELBOW_OUT),
            upper=("upper_arm", self.lengths["upper_arm"]),
            lower=(("forearm", self.lengths["forearm"]), ("hand", self.lengths["hand"])),
            fronts=(-1.0, -1.0, 0.0),
            mount=self.place.steering,
        )

    def _shoe(self, at: Mapping[str, complex], side: Side, sign: float, foot: str) -> Bone:
        axle, way = at[f"foot_{foot}"], at[f"toe_{foot}"] - at[f"heel_{foot}"]
        ahead = way / abs(way)
        up = ahead * 1j
        pedal = self.place.build.pedal
        under = axle + (UNDER if pedal is None else pedal.thickness / 2) * up
        lateral = sign * self._pedal
        return Bone(
            "shoe",
            side,
            _point(under - (1 - BALL) * self.sole * ahead, lateral),
            _point(under + BALL * self.sole * ahead, lateral),
            _point(up),
            self._pedal_mount(side),
        )

    @property
    def _pedal(self) -> float:
        """Distance of a foot from the centre plane [mm]."""
        crank = self.place.build.crank
        if self.place.pedal_lateral is not None:
            return self.place.pedal_lateral
        if crank is not None and crank.q_factor is not None:
            return crank.q_factor / 2 + BESIDE
        return HIP_BREADTH / 2 * self.stature

    def _pedal_mount(self, side: Side) -> Mount:
        if self.place.build.crank is None:
            return FRAME
        return self.place.pedal_mounts(side, self._pedal)[0]

    @property
    def _grip(self) -> float:
        """Distance of a hand from the centre plane [mm]."""
        bar = self.place.build.handlebar
        if bar is None or bar.width is None:
            return SHOULDER_BREADTH / 2 * self.stature
        return bar.width / 2 - (0.0 if bar.drop > 0 else GRIP)


def _bone(shape: str, start: complex, end: complex, front: complex) -> Bone:
    return Bone(shape, "", _point(start), _point(end), _point(front))


def _bend(root: complex, middle: complex, tip: complex, out: float) -> Point:
    """Return which way a limb bends: as in the side view, and outward."""
    way = (tip - root) / abs(tip - root)
    off = (middle - root) / way
    aside = way * 1j * (1.0 if off.imag >= 0 else -1.0)
    return _point(aside, out)


def _point(p: complex, lateral: float = 0.0) -> Point:
    return (p.real, lateral, p.imag)


def _plus(a: Point, b: Point) -> Point:
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def _less(a: Point, b: Point) -> Point:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _times(by: float, a: Point) -> Point:
    return (by * a[0], by * a[1], by * a[2])


def _square_to(a: Point, along: Point) -> Point:
    """Return the unit vector of the share of `a` square to a unit vector."""
    share = sum(x * y for x, y in zip(a, along, strict=True))
    out = _less(a, _times(share, along))
    return _times(1 / math.hypot(*out), out)
