"""The fork's spring under the rider: load, pressure or rate, sag.

The stanchions stand at the head angle, so by virtual work without friction the force along them is the
vertical load at the front contact × sin(head angle). The angle is that of the bike as drawn, level with
the fork extended, as all loads are; what the sag changes is among the assumptions.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.loaded_spring import LoadedSpring, SpringPlace, loaded_spring
from frame3d.bike.mass_model import mass_model
from frame3d.bike.rider_share import rear_share_of_rider
from frame3d.bike.weight import Weight, weigh
from frame3d.errors import Note
from frame3d.linkage import Sag, Spring, wheel_load
from frame3d.linkage.curves.guide import StraightGuide
from frame3d.linkage.curves.sag import SoldCoil
from frame3d.ride.springs.front_unsprung import FrontUnsprung, front_unsprung

SOLD_STEP = 5
"""Step between the rates of sold fork coils [lb/in]; common practice, no source."""
FRICTION = (
    "friction left out: a fork that sticks stands a little higher or lower than it would float"
)


@dataclass(frozen=True)
class ForkSprung:
    """A fork's spring under its rider, at rest on level ground."""

    weight: Weight
    """Weight of rider and bicycle."""
    guide: StraightGuide
    """Strokes are along the stanchions, travels vertical."""
    load: float | None
    """Vertical load at the front wheel under the rider [N]; None where no mass is given."""
    unsprung: FrontUnsprung
    """Mass that the ground carries past the spring."""
    carried: float | None
    """Vertical load that the spring carries: `load` less the unsprung weight [N]."""
    axial: float | None
    """The same along the stanchions: `carried` × sin(head angle) [N]."""
    loaded: LoadedSpring
    """The spring where it works, with what a measured pair made of it."""
    assumptions: tuple[str, ...]

    @property
    def spring(self) -> Spring | None:
        """The file's spring, as it acts when ridden, along the stanchions.

        None where it gives none, or leaves its rate or pressure open without a rider.
        """
        return self.loaded.spring

    @property
    def asked(self) -> Sag | None:
        """The sag that the file asks for."""
        return self.loaded.place.asked

    @property
    def found(self) -> Sag | None:
        """The sag at which the spring carries the load."""
        return self.loaded.found

    @property
    def rest(self) -> float:
        """Stroke at which the fork rests under its load [mm]."""
        return self.loaded.rest

    @property
    def sold(self) -> tuple[SoldCoil, ...]:
        """The sold coils of the next lower and higher rate."""
        return self.loaded.sold

    @property
    def notes(self) -> tuple[Note, ...]:
        """Warnings about the spring."""
        return self.loaded.notes


def fork_spring_of(bike: Bike) -> ForkSprung | None:
    """Return the fork's spring under its load; None for a bike without a fork that has travel.

    Raises:
        GeometryError: a rate or pressure left open cannot be found, or a measured pair and the model
            cannot be compared.
    """
    spec, fork = bike.spec, bike.spec.build.fork
    angle = bike.chart["head_tube_angle"]
    if fork is None or fork.travel == 0 or angle is None:
        return None
    masses, guide = mass_model(bike), StraightGuide(fork.travel, angle)
    weight, hanging = weigh(bike, masses), front_unsprung(masses)
    load = carried = None
    if weight.mass_kg is not None:
        load = wheel_load(weight.mass_kg, 1 - weight.rear_share)
        carried = load - wheel_load(hanging.mass_kg, 1.0)
    rider = spec.build.rider
    given = fork.spring
    if carried is None and given is not None and given.is_open:
        given = None  # without a load nothing settles it
    loaded = loaded_spring(
        spec,
        SpringPlace(
            path="build.fork.spring",
            sag_path="build.fork.sag",
            unsprung_path="build.fork.mass_kg",
            given=given,
            guide=guide,
            sag=fork.sag if fork.sag > 0 else None,
            sag_of="stroke",
            carried=carried,
            rider_kg=None if rider is None else rider.mass_kg,
            rider_share=1 - rear_share_of_rider(bike, weight),
            sold_step=SOLD_STEP,
        ),
    )
    return ForkSprung(
        weight=weight,
        guide=guide,
        load=load,
        unsprung=hanging,
        carried=carried,
        axial=None if carried is None else carried * guide.ratio,
        loaded=loaded,
        assumptions=(
            *weight.assumptions,
            hanging.said,
            _of_angle(bike, angle),
            FRICTION,
            *(f"fork: {line}" for line in loaded.assumptions),
        ),
    )


def _of_angle(bike: Bike, drawn: float) -> str:
    """Return at which angle the stanchions stand, in words, and what the sag would change."""
    said = f"stanchions at the drawn head angle of {drawn:.1f}°"
    sagged = None if bike.sagged is None else bike.sagged.chart["head_tube_angle"]
    if sagged is None:
        return said
    more = float(np.sin(np.radians(sagged)) / np.sin(np.radians(drawn)) - 1)
    return f"{said}; at sag it is {sagged:.1f}°, {100 * more:+.1f} % of force along them"
