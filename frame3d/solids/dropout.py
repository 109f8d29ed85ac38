"""A dropout or lug: a boss round the axle and tapering arms that end in sockets over the stays."""

from __future__ import annotations

from collections.abc import Mapping

from frame3d.geometry.hardware import Arm, Lug
from frame3d.geometry.layout import Dropout, Tube
from frame3d.geometry.sockets import socket
from frame3d.geometry.vector import Point
from frame3d.solids.sweep import Sweep, rod, straight

BESIDE = 25.0
"""Depth of the flat space kept on either side of the boss [mm]."""


def dropout_metal(dropout: Dropout | Lug, stays: Mapping[str, Tube]) -> tuple[Sweep, ...]:
    """Boss, arms and sockets, not yet cut by the stays: boss first."""
    out = 1.0 if dropout.side == "left" else -1.0
    x, y, z = dropout.axle
    outer: Point = (x, y + out * dropout.thickness, z)
    parts = [straight(dropout.axle, outer, (dropout.boss, dropout.boss))]
    for name, which in dropout.stays:
        end = socket(dropout, stays[name], which)
        if end.arm is not None:
            parts.append(block(end.arm))
        parts.append(straight(end.back, end.front, (end.height,) * 2, (end.width,) * 2))
    return tuple(parts)


def dropout_holes(dropout: Dropout | Lug) -> tuple[Sweep, ...]:
    """The axle's bore, and the space beside the boss for hub and axle head, or what a lug turns on."""
    out = 1.0 if dropout.side == "left" else -1.0
    x, y, z = dropout.axle
    far = dropout.thickness
    bore = rod(dropout.axle, (0.0, out, 0.0), BESIDE, far + BESIDE, dropout.bore)
    inside = rod(dropout.axle, (0.0, -out, 0.0), 0.0, BESIDE, dropout.boss)
    outer: Point = (x, y + out * far, z)
    outside = rod(outer, (0.0, out, 0.0), 0.0, BESIDE, dropout.boss)
    return (bore, inside, outside)


def block(arm: Arm) -> Sweep:
    """An arm as a tapering block."""
    return straight(arm.start, arm.end, arm.height, arm.width, box=True)
