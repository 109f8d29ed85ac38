"""The unsprung mass in front: wheel, brake, and the lower part of the fork."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi

from frame3d.bike.bike import Bike
from frame3d.bike.unsprung import CALIPER, HUB, RIM, ROTOR, TYRE
from frame3d.parameters.models.parts import TyreSpec, WheelSpec
from frame3d.parameters.sizes import standards

FORK = 2.1
"""Mass of a fork with travel [kg]; common practice, no source."""
LOWER = 0.45
"""Share of it that goes up and down with the wheel: lower legs, arch, axle, half of the rods; common
practice, no source."""


@dataclass(frozen=True, slots=True)
class FrontUnsprung:
    """Mass at the front axle that the ground carries past the fork's spring."""

    mass_kg: float
    said: str
    """Source of the figure, as a line of notes."""


def front_unsprung(bike: Bike) -> FrontUnsprung:
    """Return the mass of front wheel, caliper and lower fork; estimated where the file gives none."""
    build = bike.spec.build
    parts: dict[str, float] = {}
    wheel = build.front_wheel
    if wheel is not None and wheel.mass_kg is not None:
        parts["wheel"] = wheel.mass_kg
    else:
        parts.update(_wheel(wheel))
    if wheel is not None and wheel.rotor is not None:
        parts["caliper"] = CALIPER
    fork = None if build.fork is None else build.fork.mass_kg
    parts["lower part of the fork"] = LOWER * (FORK if fork is None else fork)
    total = sum(parts.values())
    named = ", ".join(f"{name} {kg:.2f}" for name, kg in parts.items())
    return FrontUnsprung(
        total,
        f"unsprung mass in front {total:.2f} kg: {named} (common practice, no source, but for "
        "build.front_wheel.mass_kg and build.fork.mass_kg where given)",
    )


def _wheel(wheel: WheelSpec | None) -> Iterator[tuple[str, float]]:
    """Yield the masses of a wheel that is not weighed: name, mass [kg]."""
    if wheel is not None and wheel.tyre is not None:
        if isinstance(wheel.tyre, TyreSpec):
            width, outside = wheel.tyre.width, wheel.tyre.diameter
        else:
            size = standards.tyre(wheel.tyre)
            width, outside = size.width, size.bead_seat + 2 * size.width
        yield "tyre", TYRE * pi**2 * width * (outside - width)
        yield "rim and spokes", RIM * pi * (outside - 2 * width)
    yield "hub and axle", HUB
    if wheel is not None and wheel.rotor is not None:
        yield "rotor", ROTOR * wheel.rotor
