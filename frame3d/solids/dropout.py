"""Solids of dropouts and lugs: a boss around the axle, and tapering arms that end in sockets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.vector import Point
from frame3d.pivots.sockets import Socket, plate_of, socket
from frame3d.solids.sweep import Solid, Sweep, rod, straight
from frame3d.tubes.hardware import Arm, Lug
from frame3d.tubes.tube import Dropout, Tube

BESIDE = 25.0
"""Depth of the flat space kept free on either side of the boss [mm]."""


def dropout_metal(dropout: Dropout, stays: Mapping[str, Tube]) -> tuple[Sweep, ...]:
    """Return boss, arms and sockets, boss first; not yet cut by the stays."""
    ends = [socket(dropout, stays[name], which) for name, which in dropout.stays]
    return (_boss(dropout), *_sockets(ends))


def lug_metal(lug: Lug, stays: Mapping[str, Tube]) -> tuple[Solid, ...]:
    """Return boss, tongues, arms, sockets and webs, not yet cut by what they reach."""
    webs = tuple(block(w.metal) if isinstance(w.metal, Arm) else w.metal for w in lug.webs)
    if any(isinstance(web, Flat) for web in webs):
        return webs
    ends = [socket(lug, stays[name], which) for name, which in lug.stays]
    plate = plate_of(lug, ends)
    return (plate if len(plate.discs) > 1 else _boss(lug), *_sockets(ends), *webs)


def _boss(plate: Dropout | Lug) -> Sweep:
    out = 1.0 if plate.side == "left" else -1.0
    x, y, z = plate.axle
    outer: Point = (x, y + out * plate.thickness, z)
    return straight(plate.axle, outer, (plate.boss, plate.boss))


def _sockets(ends: Sequence[Socket]) -> tuple[Sweep, ...]:
    """Return arms and sockets."""
    parts = []
    for end in ends:
        if end.arm is not None:
            parts.append(block(end.arm))
        if end.joined:
            parts.append(straight(end.back, end.front, (end.height,) * 2, (end.width,) * 2))
    return tuple(parts)


def dropout_holes(dropout: Dropout | Lug) -> tuple[Sweep, ...]:
    """Return the axle's bore, and the space beside the boss for hub, axle head or what turns there."""
    out = 1.0 if dropout.side == "left" else -1.0
    x, y, z = dropout.axle
    far = dropout.thickness
    bore = rod(dropout.axle, (0.0, out, 0.0), BESIDE, far + BESIDE, dropout.bore)
    wide = 2 * dropout.room if isinstance(dropout, Lug) else dropout.boss
    inside = rod(dropout.axle, (0.0, -out, 0.0), 0.0, BESIDE, wide)
    outer: Point = (x, y + out * far, z)
    outside = rod(outer, (0.0, out, 0.0), 0.0, BESIDE, wide)
    return (bore, inside, outside)


def block(arm: Arm) -> Sweep:
    """Return an arm as a tapering block."""
    return straight(arm.start, arm.end, arm.height, arm.width, box=True)
