"""Outline of the rear caliper, a block at the rotor's edge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from frame3d.bodies.body import PRACTICE, Absent, Body
from frame3d.bodies.forms import slab
from frame3d.bodies.motion.mounts import FRAME
from frame3d.bodies.motion.mounts import Mount as Mounted
from frame3d.bodies.parts.wheel import rotor_of
from frame3d.bodies.placement import Placement
from frame3d.geometry.vector import Point, Vector, point, vector
from frame3d.parameters.models.mating import RearBrakeSpec
from frame3d.parameters.models.tube_features.kinds import BRAKE_MOUNTS
from frame3d.tubes.features.feature import Mount
from frame3d.tubes.on_dropout import DropoutMount

ROUNDING = 5.0
ANGLE = 20.0
"""Angle of the caliper where there are no stays to place it [degrees]; common practice, no source."""
STAY_DISTANCE = 120.0
"""Distance from the axle at which the direction of the stays is taken [mm]."""


def rear_brake(place: Placement) -> Iterator[Body | Absent]:
    """Yield the rear caliper, on the left."""
    name, spec, rotor = "rear_caliper", place.build.rear_brake, rotor_of(place, "rear")
    if spec is None or rotor is None:
        lacking = [] if spec is not None else ["build.rear_brake"]
        if rotor is None:
            given = place.build.rear_wheel is not None and place.build.rear_wheel.rotor is not None
            lacking.append(f"build.rear_wheel.{'hub' if given else 'rotor'}")
        yield Absent(name, " and ".join(lacking))
        return
    stand = standing(place, spec, rotor)
    form = slab(
        name,
        point(stand.centre),
        (spec.length, spec.inner + spec.outer, spec.depth),
        ROUNDING,
        stand.mount,
        axes=stand.axes,
        edges=True,
    )
    yield Body(
        name=name,
        part="build.rear_brake",
        family="rear_brake",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#3c4046",
        touches=("rear_rotor", "rear_hub", *mounts_of(place)),
        note=f"caliper's sizes: {PRACTICE}, where the file does not give them",
    )


@dataclass(frozen=True)
class Standing:
    """Where the caliper is."""

    centre: Vector
    """Its middle, (3,) [mm]."""
    along: Vector
    """Unit direction along the rotor's edge, (3,)."""
    out: Vector
    """Unit direction out of the faces that it is bolted onto, (3,)."""
    mount: Mounted

    @property
    def axes(self) -> tuple[Point, Point, Point]:
        """Directions along, to the left, and out."""
        return point(self.along), (0.0, 1.0, 0.0), point(self.out)


def standing(place: Placement, spec: RearBrakeSpec, rotor: tuple[float, float]) -> Standing:
    """Return where the caliper is on a rotor of some radius, whose middle is at some y [mm]."""
    radius, y = rotor
    turned = _turn(place)
    turn = np.radians(caliper_angle(place, spec) + turned)
    way = np.array([np.cos(turn), 0.0, np.sin(turn)])
    mount = _mount(place)
    # A mount on the frame does not go with an axle that slides in its slots.
    fixed = mount is not None and place.slots is not None
    axle = place.framed(place.designed.axle("rear")) if fixed else place.axle("rear")
    centre = vector(axle) + (radius + spec.overhang - spec.depth / 2) * way
    # On a mount it is square to its bolts, else to the rotor's radius.
    turn = turn if mount is None else np.radians(mount.bolts + turned)
    out = np.array([np.cos(turn), 0.0, np.sin(turn)])
    along = np.array([out[2], 0.0, -out[0]])
    centre[1] = y + (spec.outer - spec.inner) / 2
    return Standing(centre, along, out, FRAME if fixed else place.brake)


def mounts_of(place: Placement) -> Iterator[str]:
    """Yield the names of a brake mount, and of the tube that the caliper stands on with it."""
    for feature in place.bike.frame.features:
        if feature.spec.kind in BRAKE_MOUNTS:
            yield feature.tube
            yield from (feature.named(label) for label in feature.labels)
    for dropout in place.bike.dropouts:
        if dropout.mount is not None:
            yield from (block.name for block in dropout.mount.blocks)


def _mount(place: Placement) -> Mount | DropoutMount | None:
    """Return the brake mount that the caliper stands on; None where the file has none."""
    on_tubes = (feature.mount for feature in place.bike.frame.features)
    mounts = (*on_tubes, *(dropout.mount for dropout in place.bike.dropouts))
    return next((mount for mount in mounts if mount is not None), None)


def caliper_angle(place: Placement, spec: RearBrakeSpec) -> float:
    """Return the angle of the caliper's middle from straight ahead, as designed [degrees]."""
    mount = _mount(place)
    if mount is not None:
        return mount.caliper
    if spec.angle is not None:
        return spec.angle
    between = _between_stays(place.designed)
    return ANGLE - _turn(place) if between is None else between


def _turn(place: Placement) -> float:
    """Return the turn of what carries the caliper, since the frame was designed [degrees]."""
    linkage = place.bike.linkage
    return place.bike.frame.motion(None if linkage is None else linkage.brake_link).turn


def _between_stays(place: Placement) -> float | None:
    """Return the angle midway between the left stays near the rear axle, from forward [degrees].

    None where there are not two.
    """
    axle = vector(place.axle("rear"))
    angles = []
    for tube in place.bike.tubes:
        if tube.key in ("chainstay", "seatstay") and tube.side == "left":
            s = np.linspace(0.0, tube.axis.length, 400)
            arms = tube.axis.points(s) - axle
            near = arms[int(np.abs(np.hypot(arms[:, 0], arms[:, 2]) - STAY_DISTANCE).argmin())]
            angles.append(float(np.degrees(np.arctan2(near[2], near[0]))))
    return (min(angles) + max(angles)) / 2 if len(angles) > 1 else None
