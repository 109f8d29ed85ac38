"""A fork that the shop builds: its own tubes and plates, which turn with the bar."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Body
from frame3d.bodies.forms import rod
from frame3d.bodies.frame.hull import hull_of
from frame3d.bodies.frame.plates import plate_form
from frame3d.bodies.frame.tubes_and_shell import metal_of, outsides_of
from frame3d.bodies.placement import Placement
from frame3d.geometry.vector import vector
from frame3d.parameters.models.forks.built import said_at
from frame3d.tubes.hardware import FORK_DROPOUT, RACE_SEAT, STEERER
from frame3d.tubes.tube import Tube

IN_HEAD_TUBE = (STEERER, RACE_SEAT)
"""What stands in the head tube and its bearings above the crown race, and is no body there."""


def built_fork(place: Placement) -> Iterator[Body]:
    """Yield every tube of a built fork from its first to its last metal, its dropouts and the axle.

    Steerer and race seat end at the crown race: above it they stand in headset and head tube.
    """
    fork = place.bike.fork
    if fork is None:
        return
    yield _axle(place, fork)
    outsides = outsides_of(fork)
    for tube in fork.tubes:
        if not place.is_wanted(tube.name):
            continue
        inside = tube.name in IN_HEAD_TUBE
        shown = _below(tube, place) if inside else tube
        yield Body(
            name=tube.name,
            part=said_at(f"tubes.{tube.key}"),
            family="fork",
            shapes=(),
            tubes=(metal_of(shown, outsides, place.steering),),
            colour=tube.colour,
            hull=hull_of(shown, place.steering),
            touches=("head_tube",) if inside else (),
            note="steerer and race seat are measured below the crown race" if inside else "",
        )
    for plate in fork.plates:
        if not place.is_wanted(plate.name):
            continue
        form = plate_form(plate, place.steering)
        yield Body(
            name=plate.name,
            part=said_at(f"plates.{plate.key}"),
            family="fork",
            shapes=form.shapes,
            tubes=form.tubes,
            colour=plate.colour,
            touches=("front_hub",) if plate.key == FORK_DROPOUT else (),
            note="holes of plates count as metal",
        )


def _axle(place: Placement, fork: Bike) -> Body:
    """Return the axle, from the outer face of one dropout to the other's."""
    hub = place.hub("front")
    assert hub is not None  # held by the spec
    x, _, z = place.axle("front")
    half = max(abs(plate.plane.origin[1]) + plate.thickness / 2 for plate in fork.plates)
    form = rod("fork_axle", (x, -half, z), (x, half, z), hub[1] / 2, place.fork)
    return Body(
        name="fork_axle",
        part="build.front_wheel.hub",
        family="fork",
        shapes=form.shapes,
        tubes=form.tubes,
        colour="#7b8087",
        touches=("front_hub", "front_rotor"),
    )


def _below(tube: Tube, place: Placement) -> Tube:
    """Return what of a tube along the steering axis, from its lower end up, is below the crown race."""
    low = float((place.node("crown_race") - vector(tube.axis.start)) @ place.up)
    return replace(tube, axis=tube.axis.trimmed(0.0, tube.axis.length - low))
