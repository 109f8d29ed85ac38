"""Outlines of the rear dropouts: boss, arms and sockets, or plate and hoods."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from frame3d.bodies.body import Body
from frame3d.bodies.forms import Form, rod
from frame3d.bodies.frame.pivots import arm_form, socket_form
from frame3d.bodies.frame.plates import plate_form
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.placement import Placement
from frame3d.geometry.vector import Point
from frame3d.pivots.sockets import socket
from frame3d.tubes.hardware import Arm
from frame3d.tubes.tube import Dropout, Tube

NOTE = "holes, slots and pockets of plates count as metal"


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
