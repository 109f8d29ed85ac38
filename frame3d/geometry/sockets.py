"""Sockets: how a dropout or a lug takes the ends of stays: an arm to each, and a socket round it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.geometry.hardware import Arm, Lug
from frame3d.geometry.layout import Dropout, Tube
from frame3d.geometry.vector import Point, Vector, point, unit

SOCKET_WALL = 1.5
"""Of the socket round a stay's end [mm]; common practice, no source."""
SOCKET_DEPTH = 8.0
"""How far a socket reaches over the stay, from its end [mm]; common practice, no source."""
SOCKET_BACK = 5.0
"""How far a socket reaches toward the axle, from the stay's end [mm]."""
ARM_HEIGHT = 0.8
"""Of an arm where it leaves the boss, as a share of the boss."""
ARM_END = 0.64
"""Of an arm where it meets the socket, as a share of that: its corners stay inside a round one, as a
rectangle of 0.64 x 0.64 has a diagonal of 0.91 times its diameter."""


@dataclass(frozen=True, slots=True)
class Socket:
    """What takes one stay: a short oval bar along its end, and an arm to it from the boss."""

    stay: str
    """`Tube.name`"""
    back: Point
    """Where the socket starts, toward the axle [mm]."""
    front: Point
    """Where it ends, over the stay [mm]."""
    height: float
    width: float
    arm: Arm | None
    """None where the stay ends in the middle of the boss."""


def middle_of(plate: Dropout | Lug) -> Vector:
    """The middle of a dropout or lug: (3,) [mm]."""
    out = 1.0 if plate.side == "left" else -1.0
    x, y, z = plate.axle
    return np.array([x, y + out * plate.thickness / 2, z])


def socket(plate: Dropout | Lug, stay: Tube, which: Literal["start", "end"]) -> Socket:
    """The socket of one stay.

    The arm runs straight from the boss to the stay's end, wherever that lies across the frame; the
    socket follows the stay's own axis.
    """
    middle = middle_of(plate)
    s = 0.0 if which == "start" else stay.axis.length
    inward = unit(stay.axis.tangent(s) if which == "start" else -stay.axis.tangent(s))
    tip = stay.axis.at(s)
    tall = float(stay.section.height_at(s)) + 2 * SOCKET_WALL
    wide = float(stay.section.width_at(s)) + 2 * SOCKET_WALL
    arm = None
    if float(np.linalg.norm(tip - middle)) > 1.0:
        height = (ARM_HEIGHT * plate.boss, ARM_END * tall)
        arm = Arm(point(middle), point(tip), height, (plate.thickness, ARM_END * wide))
    back, front = tip - SOCKET_BACK * inward, tip + SOCKET_DEPTH * inward
    return Socket(stay.name, point(back), point(front), tall, wide, arm)
