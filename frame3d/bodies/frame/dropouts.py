"""Outlines of the rear dropouts: boss, arms and sockets, or plate and hoods; and what stands on them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from frame3d.bodies.body import PRACTICE, Body
from frame3d.bodies.forms import Form, rod
from frame3d.bodies.frame.features import BOLT, FITTING
from frame3d.bodies.frame.pivots import arm_form, socket_form
from frame3d.bodies.frame.plates import extruded, plate_form
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.placement import Placement
from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.vector import Point, point, vector
from frame3d.pivots.sockets import socket
from frame3d.tubes.hardware import Arm
from frame3d.tubes.on_dropout import DropoutMount
from frame3d.tubes.tube import Dropout, Tube

NOTE = "holes, slots and pockets of plates count as metal"
MOUNT = f"sizes of a brake mount's blocks and bolts: {PRACTICE}, where the file does not give them"
SIDE_VIEW = Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


def dropouts(place: Placement) -> Iterator[Body]:
    """Yield every rear dropout."""
    tubes = {tube.name: tube for tube in place.bike.tubes}
    for dropout in place.bike.dropouts:
        form = _form(dropout, tubes, place.link(dropout.link))
        yield Body(
            name=dropout.name,
            part="build.dropout",
            family="frame",
            shapes=form.shapes,
            tubes=form.tubes,
            hull=form.hull,
            colour=place.bike.spec.colour if dropout.plate is None else dropout.plate.colour,
            touches=("rear_hub",),
            axles=() if place.bike.linkage is None else ("rear_axle",),
            note="" if dropout.plate is None else NOTE,
        )
        if dropout.mount is not None:
            yield from _blocks(place, dropout, dropout.mount)


def _blocks(place: Placement, dropout: Dropout, on: DropoutMount) -> Iterator[Body]:
    """Yield the blocks of a brake mount, and the heads of bolts that go through them from below."""
    mount = place.link(dropout.link)
    head, high = on.bolt_head
    names = tuple(one.name for one in on.blocks)
    for one in on.blocks:
        form = extruded(one.name, one.metal, mount)
        yield Body(
            name=one.name,
            part=on.path,
            family="frame",
            shapes=form.shapes,
            tubes=form.tubes,
            colour=place.bike.spec.colour,
            axles=() if place.bike.linkage is None else ("rear_axle",),
            note=MOUNT,
        )
        if high > 0:
            name = f"bolt_{one.name}"
            low = point(vector(one.bottom) - high * vector(one.way))
            form = rod(name, one.bottom, low, head / 2, mount)
            yield Body(
                name=name,
                part=on.path,
                family=FITTING,
                shapes=form.shapes,
                tubes=form.tubes,
                colour=BOLT,
                touches=(dropout.name, *names),
                note=MOUNT,
            )


def _form(dropout: Dropout, tubes: Mapping[str, Tube], mount: Mount) -> Form:
    """Return a dropout's outline; stays fill their sockets and hoods."""
    ends = [socket(dropout, tubes[name], which) for name, which in dropout.stays]
    if dropout.plate is not None:
        form = plate_form(dropout.plate, mount)
    else:
        x, y, z = dropout.axle
        outer: Point = (x, y + math.copysign(dropout.thickness, y), z)
        form = rod(dropout.name, dropout.axle, outer, dropout.boss / 2, mount)
        for end in ends:
            if end.arm is not None:
                form += arm_form(dropout.name, end.arm, mount, _within(dropout, end.arm))
        for ear in dropout.ears:
            flat = Extrusion(Path.of_flat(ear), SIDE_VIEW, -ear.high, -ear.low)
            form += extruded(dropout.name, flat, mount)
    for end in ends:
        form += socket_form(dropout.name, end, mount)
    return form


def _within(dropout: Dropout, arm: Arm) -> float:
    """Return the fraction of an arm, from its start, that is cut away or lies within the boss.

    Beside the boss all is kept free for hub and axle, as wide as the boss; an arm is outside of that
    from where its corners leave the round.
    """
    far = math.dist((arm.end[0], arm.end[2]), (dropout.axle[0], dropout.axle[2]))
    clear = math.sqrt(max((dropout.boss / 2) ** 2 - (max(arm.height) / 2) ** 2, 0.0))
    return min(clear / far, 0.9) if far > 1.0 else 0.9
