"""A dropout or lug: a boss round the axle and tapering arms that end in sockets over the stays."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import numpy as np

from frame3d.geometry.hardware import Lug
from frame3d.geometry.layout import Dropout, Tube
from frame3d.geometry.vector import Point, Vector, point, unit, vector
from frame3d.solids.sweep import Sweep, rod, straight

SOCKET_WALL = 1.5
"""Of the socket round a stay's end [mm]; common practice, no source."""
SOCKET_DEPTH = 8.0
"""How far a socket reaches over the stay, from its end [mm]; common practice, no source."""
SOCKET_BACK = 5.0
"""How far a socket reaches toward the axle, from the stay's end [mm]."""
ARM_HEIGHT = 0.8
"""Of an arm where it leaves the boss, as a share of the boss."""
HUB_SPACE = 25.0
"""Depth of the flat space kept on either side of the boss [mm]."""


def dropout_metal(dropout: Dropout | Lug, stays: Mapping[str, Tube]) -> tuple[Sweep, ...]:
    """Boss, arms and sockets, not yet cut by the stays: boss first.

    An arm runs straight from the boss to the stay's end, wherever that lies across the frame; the
    socket follows the stay's own axis.
    """
    out = 1.0 if dropout.side == "left" else -1.0
    x, y, z = dropout.axle
    outer: Point = (x, y + out * dropout.thickness, z)
    boss = straight(dropout.axle, outer, (dropout.boss, dropout.boss))
    middle = vector((x, y + out * dropout.thickness / 2, z))
    parts = [boss]
    for name, which in dropout.stays:
        stay = stays[name]
        tip, inward, height, width = _stay_end(stay, which)
        tall, wide = height + 2 * SOCKET_WALL, width + 2 * SOCKET_WALL
        if float(np.linalg.norm(tip - middle)) > 1.0:
            # The arm's corners stay inside the round socket: a rectangle of 0.64 x 0.64 has a
            # diagonal of 0.91 times its diameter.
            parts.append(
                straight(
                    point(middle),
                    point(tip),
                    (ARM_HEIGHT * dropout.boss, 0.64 * tall),
                    (dropout.thickness, 0.64 * wide),
                    box=True,
                )
            )
        back, front = tip - SOCKET_BACK * inward, tip + SOCKET_DEPTH * inward
        parts.append(straight(point(back), point(front), (tall, tall), (wide, wide)))
    return tuple(parts)


def dropout_holes(dropout: Dropout | Lug) -> tuple[Sweep, ...]:
    """The axle's bore, and the space beside the boss for hub and axle head, or what a lug turns on."""
    out = 1.0 if dropout.side == "left" else -1.0
    x, y, z = dropout.axle
    far = dropout.thickness
    bore = rod(dropout.axle, (0.0, out, 0.0), HUB_SPACE, far + HUB_SPACE, dropout.bore)
    inside = rod(dropout.axle, (0.0, -out, 0.0), 0.0, HUB_SPACE, dropout.boss)
    outer: Point = (x, y + out * far, z)
    outside = rod(outer, (0.0, out, 0.0), 0.0, HUB_SPACE, dropout.boss)
    return (bore, inside, outside)


def _stay_end(stay: Tube, which: Literal["start", "end"]) -> tuple[Vector, Vector, float, float]:
    """A stay's end: its centre, the direction into the stay, height and width there."""
    s = 0.0 if which == "start" else stay.axis.length
    into = stay.axis.tangent(s) if which == "start" else -stay.axis.tangent(s)
    return (
        stay.axis.at(s),
        unit(into),
        float(stay.section.height_at(s)),
        float(stay.section.width_at(s)),
    )
