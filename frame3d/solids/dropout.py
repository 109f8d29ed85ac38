"""Solids of dropouts and lugs: a boss around the axle, and tapering arms that end in sockets."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.vector import Point
from frame3d.pivots.sockets import Socket, plate_of, socket
from frame3d.solids.sweep import Solid, Sweep, rod, straight
from frame3d.tubes.hardware import Arm, Lug
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Dropout, Tube

BESIDE = 25.0
"""Depth of the flat space kept free on either side of the boss [mm]."""


def dropout_metal(dropout: Dropout, stays: Mapping[str, Tube]) -> tuple[Solid, ...]:
    """Return boss, arms and sockets, or plate and hoods; not yet cut by the stays."""
    ends = [socket(dropout, stays[name], which) for name, which in dropout.stays]
    if dropout.plate is not None:
        round_ = (_boss(replace(dropout, boss=dropout.ring)),) if dropout.ring else ()
        return (dropout.plate.metal, *round_, *(_socket(end) for end in ends))
    return (_boss(dropout), *dropout.ears, *_sockets(ends))


def lug_metal(lug: Lug, stays: Mapping[str, Tube]) -> tuple[Solid, ...]:
    """Return boss, tongues, arms, sockets and webs, not yet cut by what they reach."""
    if lug.plate is not None:
        return (lug.plate.metal,)
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
            parts.append(_socket(end))
    return tuple(parts)


def _socket(end: Socket) -> Sweep:
    around = straight(end.back, end.front, (end.height,) * 2, (end.width,) * 2)
    return replace(around, rounds=end.rounds * 2)


def dropout_holes(dropout: Dropout | Lug) -> tuple[Solid, ...]:
    """Return the axle's bore, and the space beside the boss for hub, axle head or what turns there."""
    if isinstance(dropout, Dropout) and dropout.plate is not None:
        return _flat_holes(dropout, dropout.plate)
    out = 1.0 if dropout.side == "left" else -1.0
    x, y, z = dropout.axle
    far = dropout.thickness
    bore = rod(dropout.axle, (0.0, out, 0.0), BESIDE, far + BESIDE, dropout.bore)
    wide = 2 * dropout.room if isinstance(dropout, Lug) else dropout.boss
    inside = rod(dropout.axle, (0.0, -out, 0.0), 0.0, BESIDE, wide)
    outer: Point = (x, y + out * far, z)
    outside = rod(outer, (0.0, out, 0.0), 0.0, BESIDE, wide)
    eyes = dropout.eyes if isinstance(dropout, Dropout) else ()
    drilled = (rod(eye.at, (0.0, out, 0.0), 1.0, far + 1.0, eye.drill) for eye in eyes)
    return (bore, inside, outside, *drilled)


def _flat_holes(dropout: Dropout, plate: Plate) -> tuple[Solid, ...]:
    """Return what is cut out of a plate, and the space beside it wherever the axle can stand."""
    y = dropout.axle[1]
    low, high = sorted((y, y + math.copysign(dropout.thickness, y)))
    discs = tuple((x, z, dropout.boss / 2) for x, _, z in dropout.places)
    beside = (Flat(discs, low - BESIDE, low), Flat(discs, high, high + BESIDE))
    slide = dropout.slide
    bored: tuple[Solid, ...] = ()
    if slide is not None and slide.stop is not None:
        bored = (straight(*slide.stop, (slide.stop_drill,) * 2),)
    return (*plate.cut_outs(BESIDE), *beside, *bored)


def block(arm: Arm) -> Sweep:
    """Return an arm as a tapering block."""
    return straight(arm.start, arm.end, arm.height, arm.width, box=True)
