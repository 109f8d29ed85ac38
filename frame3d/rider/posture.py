r"""The rider: contact points, postures from body segments, centre of mass.

Side view; every joint between two known points is the intersection of two circles:

               shoulder o
                      /   \  elbow
                     /     o-----o hands
               hip  o
             saddle  \
                      \_o knee
                        /
                 ankle o__ foot on the pedal

Segment lengths are fractions of stature by Drillis and Contini (1966) as given in Winter,
Biomechanics and Motor Control of Human Movement, figure 4.1 (numbers agree in two public documents
that cite it). Segment masses and centres are those of Winter's table 3.1 (2nd edition; 4.1 in later
ones), published: two public copies agree. Users read "published body-segment tables".
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise

from frame3d.errors import Note
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec

# Lengths as fractions of stature (Drillis and Contini 1966, as Winter figure 4.1).
ANKLE_HEIGHT = 0.039
THIGH = 0.530 - 0.285
SHANK = 0.285 - 0.039
TRUNK = 0.818 - 0.530
UPPER_ARM = 0.186
FOREARM = 0.146
HAND = 0.108
FOOT = 0.152

# Mass as a fraction of the body's, and its centre from the nearer joint as a fraction of the segment
# (Winter, table 3.1 of the 2nd edition, published). Arms and legs are one side each; the trunk, with
# head and neck, counts from the hip.
TRUNK_MASS, TRUNK_CENTRE = 0.578, 0.66
UPPER_ARM_MASS, UPPER_ARM_CENTRE = 0.028, 0.436
FOREARM_HAND_MASS, FOREARM_HAND_CENTRE = 0.022, 0.682
THIGH_MASS, THIGH_CENTRE = 0.100, 0.433
SHANK_MASS, SHANK_CENTRE = 0.0465, 0.433
FOOT_MASS, FOOT_CENTRE = 0.0145, 0.50

SADDLE_OF_INSEAM = 0.883
"""Saddle height over inseam, bottom bracket centre to saddle top (a published rule)."""
INSEAM_OF_STATURE = 0.47
"""Common practice, no source."""
HIP_OVER_SADDLE = 0.05
"""Hip joint above the saddle's top, as a fraction of stature; common practice, no source."""
ARM_STRETCH = 0.94
"""Distance shoulder to grip over the arm's full length, elbows a little bent; common practice, no
source."""
LEG_STRETCH = 0.88
"""Standing: distance hip to ankle over the leg's full length; common practice, no source."""

ASSUMPTIONS = (
    "side view, both hands at the grips, cranks level, 170 mm long where not given",
    "segment lengths from stature, and masses, from published body-segment tables",
    "elbows and, standing, knees a little bent; standing, the hands carry nothing",
)


@dataclass(frozen=True)
class Posture:
    """A rider on the bike."""

    joints: Mapping[str, Point]
    """hip, shoulder, elbow, knee_front, knee_rear, ankle_front, ankle_rear [mm]."""
    centre_of_mass: Point
    """Centre of mass of the rider alone [mm]."""


@dataclass(frozen=True)
class Rider:
    """Contact points and postures."""

    stature: float | None
    """Stature as given, or from the inseam [mm]."""
    saddle_height: float | None
    """Saddle height as given, or from inseam or stature [mm]."""
    contacts: Mapping[str, Point]
    """foot_front, foot_rear (pedal centres, cranks level), saddle, and hands where bar and stem are
    given [mm]."""
    seated: Posture | None
    standing: Posture | None
    notes: tuple[Note, ...]
    assumptions: tuple[str, ...] = ASSUMPTIONS

    @property
    def postures(self) -> dict[str, Posture]:
        """The postures that the rider can take, by name."""
        known = {"seated": self.seated, "standing": self.standing}
        return {name: posture for name, posture in known.items() if posture is not None}


def saddle_height_of(spec: FrameSpec) -> float | None:
    """Return the saddle height [mm] as given, else 0.883 × inseam; None where neither is known.

    The inseam is that of the file, else `INSEAM_OF_STATURE` × stature.
    """
    if spec.build.seatpost is not None and spec.build.seatpost.saddle_height is not None:
        return spec.build.seatpost.saddle_height
    rider = spec.build.rider
    if rider is not None and rider.inseam is not None:
        return SADDLE_OF_INSEAM * rider.inseam
    if rider is not None and rider.height is not None:
        return SADDLE_OF_INSEAM * INSEAM_OF_STATURE * rider.height
    return None


def place_rider(
    spec: FrameSpec, nodes: Mapping[str, Point], chart: Mapping[str, float | None]
) -> Rider:
    """Return the rider on a solved bike.

    Args:
        spec: the file, for rider, crank, stem, handlebar and bicycle mass.
        nodes: named points of the bike as it stands [mm].
        chart: its figures [mm and degrees].
    """
    build = spec.build
    crank = 170.0 if build.crank is None else build.crank.length
    contacts: dict[str, Point] = {
        "foot_front": (crank, 0.0, 0.0),
        "foot_rear": (-crank, 0.0, 0.0),
        "saddle": nodes["saddle"],
    }
    hands = _hands(spec, nodes, chart)
    notes: list[Note] = []
    if hands is not None:
        contacts["hands"] = _point(hands)
    rider = build.rider
    saddle_height = saddle_height_of(spec)
    stature = None
    if rider is not None:
        stature = rider.height
        if stature is None and rider.inseam is not None:
            stature = rider.inseam / INSEAM_OF_STATURE
            notes.append(
                spec.note(
                    "assumed",
                    f"stature {stature:.0f} mm taken as inseam / {INSEAM_OF_STATURE} (common practice, "
                    "no source)",
                    "build.rider",
                )
            )
        if saddle_height is not None and (
            build.seatpost is None or build.seatpost.saddle_height is None
        ):
            source = "inseam" if rider.inseam is not None else f"{INSEAM_OF_STATURE} × stature"
            notes.append(
                spec.note(
                    "assumed",
                    f"saddle height {saddle_height:.0f} mm taken as {SADDLE_OF_INSEAM} × {source}",
                    "build.rider",
                )
            )
    seated = standing = None
    if rider is not None and stature is not None and hands is not None:
        seated = _seated(contacts, stature, hands)
        standing = _standing(contacts, stature, hands)
        for name, posture in (("seated", seated), ("standing", standing)):
            if posture is None:
                notes.append(
                    spec.note(
                        "warning",
                        f"{name}, this rider cannot reach the grips or the pedals; check saddle height, "
                        "stem and stature",
                        "build.rider",
                    )
                )
    elif rider is not None:
        missing = "build.stem" if hands is None else "build.rider.height or build.rider.inseam"
        notes.append(spec.note("default", f"no centre of mass without {missing}", "build.rider"))
    return Rider(
        stature=stature,
        saddle_height=saddle_height,
        contacts=contacts,
        seated=seated,
        standing=standing,
        notes=tuple(notes),
    )


# Below, a point of the side view is a complex number x + i·z [mm].


def _side(p: Point) -> complex:
    return complex(p[0], p[2])


def _point(p: complex) -> Point:
    return (p.real, 0.0, p.imag)


def _hands(
    spec: FrameSpec, nodes: Mapping[str, Point], chart: Mapping[str, float | None]
) -> complex | None:
    """Return the grips, reached from the head tube's top over headset, spacers, stem and bar.

    None without a stem.
    """
    build = spec.build
    if build.stem is None:
        return None
    angle = chart["head_tube_angle"]
    assert angle is not None
    up = -cmath.rect(1.0, -math.radians(angle))  # along the steering axis
    ahead = up * -1j
    stem = build.stem
    upper = 0.0 if build.headset is None else build.headset.upper_stack
    clamp = (
        _side(nodes["head_tube_top"])
        + (upper + stem.spacers + stem.clamp_height / 2) * up
        + stem.length * ahead * cmath.rect(1.0, math.radians(stem.angle))
    )
    bar = build.handlebar
    return clamp if bar is None else clamp + complex(bar.forward, bar.rise)


def _meet(a: complex, ra: float, b: complex, rb: float, *, left: bool) -> complex | None:
    """Return the intersection of circles about a and b on the left (or right) of a-b; None if none."""
    d = abs(b - a)
    if d < 1e-9 or d > ra + rb or d < abs(ra - rb):
        return None
    along = (ra**2 - rb**2 + d**2) / (2 * d)
    off = math.sqrt(max(ra**2 - along**2, 0.0))
    return a + (b - a) / d * complex(along, off if left else -off)


@dataclass(frozen=True)
class _Body:
    joints: dict[str, complex]
    centre: complex
    """Centre of mass."""


def _body(
    stature: float, hip: complex, hands: complex, contacts: Mapping[str, Point]
) -> _Body | None:
    """Return the body with its hip at `hip`; None where it cannot reach grips or pedals."""
    arm = UPPER_ARM + FOREARM + HAND / 2
    shoulder = _meet(hip, TRUNK * stature, hands, ARM_STRETCH * arm * stature, left=True)
    if shoulder is None:
        return None
    elbow = _meet(shoulder, UPPER_ARM * stature, hands, (FOREARM + HAND / 2) * stature, left=False)
    if elbow is None:
        return None
    joints = {"hip": hip, "shoulder": shoulder, "elbow": elbow}
    # Winter's centre of forearm and hand is a share of the forearm; the grip is half a hand further.
    forearm = FOREARM_HAND_CENTRE * FOREARM / (FOREARM + HAND / 2)
    moment = (
        TRUNK_MASS * (hip + TRUNK_CENTRE * (shoulder - hip))
        + 2 * UPPER_ARM_MASS * (shoulder + UPPER_ARM_CENTRE * (elbow - shoulder))
        + 2 * FOREARM_HAND_MASS * (elbow + forearm * (hands - elbow))
    )
    mass = TRUNK_MASS + 2 * UPPER_ARM_MASS + 2 * FOREARM_HAND_MASS
    for which in ("front", "rear"):
        ball = _side(contacts[f"foot_{which}"])
        ankle = ball + stature * complex(-FOOT / 2, ANKLE_HEIGHT)
        knee = _meet(hip, THIGH * stature, ankle, SHANK * stature, left=True)
        if knee is None:
            return None
        joints[f"knee_{which}"], joints[f"ankle_{which}"] = knee, ankle
        moment += (
            THIGH_MASS * (hip + THIGH_CENTRE * (knee - hip))
            + SHANK_MASS * (knee + SHANK_CENTRE * (ankle - knee))
            + FOOT_MASS * (ankle + FOOT_CENTRE * (ball - ankle))
        )
        mass += THIGH_MASS + SHANK_MASS + FOOT_MASS
    return _Body(joints, moment / mass)


def _posture(body: _Body) -> Posture:
    return Posture({name: _point(p) for name, p in body.joints.items()}, _point(body.centre))


def _seated(
    contacts: Mapping[str, Point],
    stature: float,
    hands: complex,
) -> Posture | None:
    hip = _side(contacts["saddle"]) + 1j * HIP_OVER_SADDLE * stature
    body = _body(stature, hip, hands, contacts)
    return None if body is None else _posture(body)


def _standing(
    contacts: Mapping[str, Point],
    stature: float,
    hands: complex,
) -> Posture | None:
    """Return the posture with its centre of mass over the bottom bracket: hands carry nothing."""
    ankles = stature * complex(-FOOT / 2, ANKLE_HEIGHT)
    leg = LEG_STRETCH * (THIGH + SHANK) * stature

    def at(x: float) -> _Body | None:
        height = leg**2 - (x - ankles.real) ** 2
        if height <= 0:
            return None
        return _body(stature, complex(x, ankles.imag + math.sqrt(height)), hands, contacts)

    # The centre of mass moves forward with the hip: bracket the crossing on a grid, then bisect.
    grid = [stature * (-0.3 + 0.0125 * i) for i in range(41)]
    bodies = ((x, body) for x in grid if (body := at(x)) is not None)
    for (low, behind), (high, ahead) in pairwise(bodies):
        if behind.centre.real <= 0 < ahead.centre.real:
            body = _bisect(at, low, high)
            return None if body is None else _posture(body)
    return None


def _bisect(at: Callable[[float], _Body | None], low: float, high: float) -> _Body | None:
    """Return the body whose centre of mass is over the bottom bracket, hip x in `low` to `high`."""
    for _ in range(50):
        middle = (low + high) / 2
        body = at(middle)
        if body is None:
            return None
        low, high = (middle, high) if body.centre.real <= 0 else (low, middle)
    return at((low + high) / 2)
