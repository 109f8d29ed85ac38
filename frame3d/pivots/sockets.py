r"""Sockets and arms by which a dropout or a lug takes the ends of stays.

Side view of a lug::

          .---.
        .'     '.________
       (    o     tongue )======= arm =======[  socket  ]------- stay
        '.     .'--------
          '---'                            back       front
       boss |<-- room -->|

The room around the axle is kept free for what turns there; arms and sockets begin beyond it. The plate
is the hull of the boss and the tongues' tips (`plate_of`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.disc_hull import Disc, Flat
from frame3d.geometry.rounded import Rounds, signs_kept
from frame3d.geometry.vector import Point, Vector, point, unit
from frame3d.tubes.hardware import Arm, Lug
from frame3d.tubes.tube import Dropout, Tube

SOCKET_WALL = 1.5
"""Wall of the socket around a stay's end [mm]; common practice, no source."""
SOCKET_DEPTH = 8.0
"""How far a socket reaches over the stay, from its end [mm]; common practice, no source."""
SOCKET_BACK = 5.0
"""How far a socket reaches beyond the stay's end, toward the axle [mm]."""
ARM_HEIGHT = 0.8
"""Height of an arm where it leaves the boss, as a fraction of the boss's diameter."""
ARM_END = 0.64
"""Height and width of an arm at the socket, as a fraction of the socket's. Its corners stay inside a
round one: a rectangle of 0.64 x 0.64 diameters has a diagonal of 0.91 diameters."""

SLANT = 0.25
"""An arm starts from a tongue, even where the stay ends within the room beside the lug, if at the
edge of the boss it is further aside than this fraction of the lug's thickness."""
SHORTEST = 3.0
"""Least length of a socket that begins only beyond the room beside a lug [mm]."""
TONGUE = 0.25
"""Radius of a tongue's tip, as a share of the lug's boss."""
REACHED = 0.05
"""How deep a socket's wall lies in a lug's plate that holds it [mm]."""
FREE = 1.0
"""Distance of the middle of a tongue's tip from the edge of the room beside a lug [mm]."""


@dataclass(frozen=True, slots=True)
class Socket:
    """What takes one stay: a short oval bar along the stay's end, and an arm to it from the boss."""

    stay: str
    """`Tube.name`"""
    back: Point
    """Where the socket starts, toward the axle [mm]."""
    front: Point
    """Where it ends, along the stay [mm]."""
    height: float
    width: float
    arm: Arm | None
    """None where the stay ends in the middle of the boss, or where a tongue reaches it."""
    tongue: Disc | None = None
    """Tip of the tongue on a lug's own plate that the arm starts from; None where it starts from the
    boss."""
    joined: bool = True
    """False where nothing of the lug would reach it, so that it is left out: the stay ends beside the
    lug's round, and the socket would begin only beyond that end."""
    rounds: tuple[Rounds, ...] = ()
    """Radii of its corners around a rectangular or D stay, as its own axis gives them; else empty."""


def middle_of(plate: Dropout | Lug) -> Vector:
    """Return the middle of a dropout or lug: (3,) [mm]."""
    out = 1.0 if plate.side == "left" else -1.0
    x, y, z = plate.axle
    return np.array([x, y + out * plate.thickness / 2, z])


def socket(plate: Dropout | Lug, stay: Tube, which: Literal["start", "end"]) -> Socket:
    """Return the socket of one stay, on a flat dropout its hood.

    The arm runs straight to the stay's end, however far aside that lies; the socket follows the
    stay's own axis. A flat dropout's arm is a part of its plate, and stands for that where it bends.
    """
    hood = plate.hood if isinstance(plate, Dropout) else None
    wall, reach, behind = (
        (SOCKET_WALL, SOCKET_DEPTH, SOCKET_BACK)
        if hood is None
        else (hood.wall, hood.depth, hood.back)
    )
    middle = middle_of(plate)
    s = 0.0 if which == "start" else stay.axis.length
    inward = unit(stay.axis.tangent(s) if which == "start" else -stay.axis.tangent(s))
    tip = stay.axis.at(s)
    tall = float(stay.section.height_at(s)) + 2 * wall
    wide = float(stay.section.width_at(s)) + 2 * wall
    arm: Arm | None = None
    tongue: Disc | None = None
    begin = -behind
    far = float(np.hypot(*(tip - middle)[[0, 2]]))
    if isinstance(plate, Lug) and plate.boss / 2 < far <= plate.room + FREE:
        tongue = (float(tip[0]), float(tip[2]), TONGUE * plate.boss)
    elif isinstance(plate, Dropout) and plate.plate is not None:
        size = (plate.boss, plate.tip_at(stay, which))
        arm = Arm(point(middle), point(tip), size, (plate.thickness, plate.thickness))
    elif float(np.linalg.norm(tip - middle)) > 1.0:
        arm, tongue = arm_to(plate, tip, (ARM_END * tall, ARM_END * wide))
    if isinstance(plate, Lug) and tongue is not None:
        begin = _beyond(tip - middle, inward, tall / 2, plate.room)
    back, front = tip + begin * inward, tip + reach * inward
    joined = True
    if isinstance(plate, Lug) and tongue is not None and begin >= 0:
        joined = _reaches(plate, tongue, stay, s, inward, begin)
    return Socket(
        stay=stay.name,
        back=point(back),
        front=point(front),
        height=tall,
        width=wide,
        arm=arm,
        tongue=tongue,
        joined=joined,
        rounds=_corners(stay, s, inward, wall),
    )


def _corners(stay: Tube, s: float, inward: Vector, wall: float) -> tuple[Rounds, ...]:
    """Return the radii of the corners of a socket of some wall along `inward` around a stay's end."""
    if not stay.section.rounds:
        return ()
    a, b, c, d = (float(r) + wall for r in stay.section.rounds_at(np.array([s]))[0])
    own = Centreline((Line((0.0, 0.0, 0.0), point(inward)),))
    return (signs_kept(stay.axis.frame(s), own.frame(0.0), (a, b, c, d)),)


def _reaches(lug: Lug, tongue: Disc, stay: Tube, s: float, inward: Vector, begin: float) -> bool:
    """Whether a lug's plate reaches the wall of a socket that begins beyond the stay's end."""
    plate = Flat(((lug.axle[0], lug.axle[2], lug.boss / 2), tongue), *lug.span)
    up, across = stay.axis.frame(s)
    a, b = (float(size) for size in stay.section.radii_at(s))
    turn = np.radians(np.arange(0.0, 360.0, 5.0))[:, None]
    rings = [
        stay.axis.at(s)
        + along * inward
        + (a + x) * np.cos(turn) * up
        + (b + x) * np.sin(turn) * across
        for along in np.linspace(begin, SOCKET_DEPTH, 9)
        for x in SOCKET_WALL * np.linspace(0.0, 1.0, 4)
    ]
    return bool(plate.depth(np.concatenate(rings)).max() > REACHED)


def _beyond(tip: Vector, inward: Vector, half: float, room: float) -> float:
    """Return where along a stay, from its tip, its socket begins, outside of a lug's room [mm].

    Args:
        tip: (3,) the stay's end, seen from the middle of the lug's boss [mm].
        inward: (3,) unit vector along the stay, away from its end.
        half: half the socket's height [mm].
        room: radius about the axle of what is kept free [mm].
    """
    along, across = inward[[0, 2]], np.array([-inward[2], inward[0]])
    for begin in np.arange(-SOCKET_BACK, SOCKET_DEPTH - SHORTEST, 0.25):
        middle = tip[[0, 2]] + begin * along
        t = np.clip(-(middle @ across) / max(float(across @ across), 1e-9), -half, half)
        if float(np.hypot(*(middle + t * across))) >= room:
            return float(begin)
    return -SOCKET_BACK


def arm_to(plate: Dropout | Lug, end: Vector, size: tuple[float, float]) -> tuple[Arm, Disc | None]:
    """Return an arm from a dropout or lug to a place, and the tip of the tongue that it starts from.

    Args:
        plate: the dropout or lug.
        end: (3,) where the arm ends [mm].
        size: its height and width there [mm].

    Returns:
        The arm, and the tongue's tip, None where the arm starts from the middle of the boss.
    """
    start, tongue = middle_of(plate), None
    height = ARM_HEIGHT * plate.boss
    ahead = (end - start)[[0, 2]]
    far, aside = float(np.hypot(*ahead)), abs(float(end[1] - start[1]))
    slanted = aside * plate.boss / 2 > SLANT * plate.thickness * far
    if isinstance(plate, Lug) and far > 0 and (slanted or far > plate.room + FREE):
        reach = min(plate.room + FREE, far)
        start = start + reach / far * np.array([ahead[0], 0.0, ahead[1]])
        tongue = (float(start[0]), float(start[2]), TONGUE * plate.boss)
        height = 2 * TONGUE * plate.boss
    arm = Arm(point(start), point(end), (height, size[0]), (plate.thickness, size[1]))
    return arm, tongue


def plate_of(lug: Lug, sockets: Sequence[Socket]) -> Flat:
    """Return a lug's flat plate: the hull of its boss and the tongues that its arms start from."""
    tongues = [*(end.tongue for end in sockets), *(web.tongue for web in lug.webs)]
    round_ = (lug.axle[0], lug.axle[2], lug.boss / 2)
    return Flat((round_, *(tip for tip in tongues if tip is not None)), *lug.span)
