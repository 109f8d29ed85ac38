r"""A body in the side view, from its contact points; every joint lies where two circles meet.

::

              head o
                   |
          shoulder o
                  /   \  elbow
                 /     o-----o hands
           hip  o
         saddle  \
                  \_o knee
                    /
             ankle o     heel_up: the sole's slope, ball down
             heel o--._ ball over the pedal's axle, the sole's thickness from it

A point is a complex number x + i·z [mm], x forward and z up.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass

from frame3d.geometry.vector import Point
from frame3d.rider.segments import TEXTBOOK, BodyTable, Lengths, Segment

SIDES = ("front", "rear")


def side_view(p: Point) -> complex:
    """Return a point of the bike in the side view."""
    return complex(p[0], p[2])


def in_centre_plane(p: complex) -> Point:
    """Return a point of the side view in the bike's axes, in the centre plane."""
    return (p.real, 0.0, p.imag)


def meet(a: complex, ra: float, b: complex, rb: float, *, left: bool) -> complex | None:
    """Return the intersection of circles about a and b on the left (or right) of a-b; None if none."""
    d = abs(b - a)
    if d < 1e-9 or d > ra + rb or d < abs(ra - rb):
        return None
    along = (ra**2 - rb**2 + d**2) / (2 * d)
    off = math.sqrt(max(ra**2 - along**2, 0.0))
    return a + (b - a) / d * complex(along, off if left else -off)


@dataclass(frozen=True, slots=True)
class Foot:
    """A foot in its shoe, the ball over the pedal's axle."""

    ankle: complex
    ball: complex
    """On the sole of the bare foot."""
    heel: complex
    toe: complex


def foot_on(pedal: complex, lengths: Lengths, sole: float, heel_up: float) -> Foot:
    """Return a foot on a pedal.

    Args:
        pedal: the axle's centre.
        lengths: of the body.
        sole: from the foot's sole to the pedal's axle [mm].
        heel_up: slope of the sole, heel above ball [degrees].
    """
    ahead = cmath.rect(1.0, -math.radians(heel_up))
    up = ahead * 1j
    ball = pedal + sole * up
    return Foot(
        ankle=ball - lengths.ankle * ahead + lengths.ankle_height * up,
        ball=ball,
        heel=ball - lengths.heel * ahead,
        toe=ball + lengths.toe * ahead,
    )


@dataclass(frozen=True, slots=True)
class Supports:
    """What a body touches, and how its feet and arms are held."""

    hands: complex
    pedals: Mapping[str, complex]
    """Axles of the ``front`` and the ``rear`` pedal."""
    sole: float
    """From the foot's sole to the pedal's axle [mm]."""
    heel_up: float
    """Slope of the sole [degrees]."""
    arm_stretch: float
    """Distance shoulder to grip over the arm's full length."""


def joints_at(lengths: Lengths, hip: complex, supports: Supports) -> dict[str, complex] | None:
    """Return the joints of a body with its hip at `hip`; None where it cannot reach grips or pedals.

    Knees are ahead of hip and ankle, elbows below shoulder and grip, the shoulder is above hip and grip.
    Head and neck point halfway between the trunk's direction and upright (common practice, no source).

    Returns:
        hip, shoulder, elbow, wrist, hands, chin, vertex, and of either leg knee, ankle, ball, heel and
        toe with ``_front`` or ``_rear``.
    """
    hands = supports.hands
    shoulder = meet(hip, lengths.trunk, hands, supports.arm_stretch * lengths.arm, left=True)
    if shoulder is None:
        return None
    lower = lengths.forearm + lengths.hand
    elbow = meet(shoulder, lengths.upper_arm, hands, lower, left=False)
    if elbow is None:
        return None
    trunk = (shoulder - hip) / lengths.trunk
    head = cmath.rect(1.0, (cmath.phase(trunk) + math.pi / 2) / 2)
    chin = shoulder + lengths.neck * head
    joints = {
        "hip": hip,
        "shoulder": shoulder,
        "elbow": elbow,
        "wrist": elbow + lengths.forearm / lower * (hands - elbow),
        "hands": hands,
        "chin": chin,
        "vertex": chin + lengths.head * head,
    }
    for side in SIDES:
        foot = foot_on(supports.pedals[side], lengths, supports.sole, supports.heel_up)
        knee = meet(hip, lengths.thigh, foot.ankle, lengths.shank, left=True)
        if knee is None:
            return None
        joints[f"knee_{side}"] = knee
        for part in ("ankle", "ball", "heel", "toe"):
            joints[f"{part}_{side}"] = getattr(foot, part)
    return joints


@dataclass(frozen=True, slots=True)
class PlacedSegment:
    """A segment of a body in place."""

    segment: Segment
    side: str
    """``front`` or ``rear``; empty for what there is once, and for arms, both of which lie alike."""
    start: complex
    end: complex

    @property
    def centre(self) -> complex:
        """Centre of mass."""
        return self.start + self.segment.centre_share * (self.end - self.start)

    @property
    def mass_share(self) -> float:
        """Of the body's mass; of both arms, where `side` is empty."""
        both = self.segment.sides if not self.side else 1
        return both * self.segment.mass_share


def placed_segments(
    joints: Mapping[str, complex], table: BodyTable = TEXTBOOK
) -> tuple[PlacedSegment, ...]:
    """Return the segments of a table between a body's joints; each leg's are told apart."""
    placed = []
    for segment in table.segments:
        legged = f"{segment.end}_front" in joints
        for side in SIDES if legged else ("",):
            ends = [
                joints.get(f"{name}_{side}", joints.get(name))
                for name in (segment.start, segment.end)
            ]
            start, end = ends
            assert start is not None
            assert end is not None
            placed.append(PlacedSegment(segment, side, start, end))
    return tuple(placed)


def centre_of_mass(joints: Mapping[str, complex], table: BodyTable = TEXTBOOK) -> complex:
    """Return the centre of mass of a body: that of its `placed_segments`, worked out faster."""
    moment, mass = 0j, 0.0
    for segment in table.segments:
        legged = f"{segment.end}_front" in joints
        share = segment.mass_share * (1 if legged else segment.sides)
        for side in ("_front", "_rear") if legged else ("",):
            name = f"{segment.start}{side}"
            start = joints[name if name in joints else segment.start]
            end = joints[f"{segment.end}{side}"]
            moment += share * (start + segment.centre_share * (end - start))
            mass += share
    return moment / mass
