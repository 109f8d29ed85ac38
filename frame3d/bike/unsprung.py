"""The unsprung mass: the mass at the rear axle that the ground carries without the spring.

By virtual work, wheel force x d(travel) = shock force x d(stroke) + sum of m g dz. So a body counts by
the rise of its centre for each mm that the wheel rises: the wheel and parts on it fully, a link in part.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi
from statistics import fmean

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.linkage import Linkage
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import TyreSpec
from frame3d.parameters.sizes import standards
from frame3d.tubes.hardware import Housing, Lug
from frame3d.tubes.mass import Masses, density_of, masses_of

TYRE = 2.4e-6
"""Mass of a tyre per surface of its torus [kg/mm²]; common practice, no source, like all below."""
RIM = 4.2e-4
"""Mass of rim, spokes, tube or sealant per circumference of the rim [kg/mm]."""
HUB = 0.35
"""Mass of hub and axle [kg]."""
TOOTH = 1.2e-3
"""Mass of a cassette per tooth of its cogs [kg]."""
CHANGER = 0.4
"""Mass of rear derailleur and the chain that it carries, where there are several cogs [kg]."""
ROTOR = 8.5e-4
"""Mass of a rotor per diameter [kg/mm]."""
CALIPER = 0.13
"""Mass of a caliper [kg]."""
DROPOUTS = 0.15
"""Mass of both dropouts [kg]."""


@dataclass(frozen=True, slots=True)
class Unsprung:
    """Mass at the rear axle."""

    mass_kg: float
    said: str
    """Source of the figure, as a line of notes."""
    given: bool
    """Whether the file gives it."""


def unsprung(bike: Bike, linkage: Linkage, masses: Masses | None = None) -> Unsprung:
    """Return the unsprung mass that the file gives, else what its parts and tubes come to.

    Args:
        bike: a solved bike.
        linkage: its rear suspension.
        masses: of its tubes, where they are known already.
    """
    suspension = bike.spec.suspension
    if suspension is not None and suspension.unsprung_kg is not None:
        given = suspension.unsprung_kg
        return Unsprung(given, f"unsprung mass {given:g} kg (suspension.unsprung_kg)", True)
    parts = dict(_parts(bike.spec))
    own = _links(bike, linkage, masses_of(bike.frame) if masses is None else masses)
    total = sum(parts.values()) + own
    named = ", ".join(f"{name} {kg:.2f}" for name, kg in parts.items())
    return Unsprung(
        total,
        f"unsprung mass {total:.2f} kg estimated: {named}, the axle's share of the links "
        f"{own:.2f} (common practice, no source; suspension.unsprung_kg gives it)",
        False,
    )


def _parts(spec: FrameSpec) -> Iterator[tuple[str, float]]:
    """Yield the masses that the file gives of the rear wheel and of parts on it: name, mass [kg]."""
    build = spec.build
    wheel = build.rear_wheel
    if wheel is not None and wheel.tyre is not None:
        if isinstance(wheel.tyre, TyreSpec):
            width, outside = wheel.tyre.width, wheel.tyre.diameter
        else:
            size = standards.tyre(wheel.tyre)
            width, outside = size.width, size.bead_seat + 2 * size.width
        yield "tyre", TYRE * pi**2 * width * (outside - width)
        yield "rim and spokes", RIM * pi * (outside - 2 * width)
    yield "hub and axle", HUB
    if build.cassette is not None:
        yield "cassette", TOOTH * sum(build.cassette.cogs)
        if len(build.cassette.cogs) > 1:
            yield "derailleur and chain", CHANGER
    if wheel is not None and wheel.rotor is not None:
        yield "rotor", ROTOR * wheel.rotor
    if build.rear_brake is not None:
        yield "caliper", CALIPER
    yield "dropouts", DROPOUTS


def _links(bike: Bike, linkage: Linkage, masses: Masses) -> float:
    """Return the links' equivalent mass at the axle [kg].

    Each moving mass times the rise of its centre over the wheel's rise, over the whole travel.
    """
    end = linkage.at_strokes(np.array([linkage.full_stroke]))
    total = 0.0
    for link, kg, (x, z) in _moving(bike, masses):
        risen = float(end.body_point(link, complex(x, z)).at[0].imag) - z
        total += kg * risen / linkage.full_travel
    return total


def _moving(bike: Bike, masses: Masses) -> Iterator[tuple[str, float, tuple[float, float]]]:
    """Yield the bodies on moving links: the link, mass [kg], centre of mass (x, z) as drawn [mm].

    Tubes, and housings among them, as weighed; lugs and other housings as bored cylinders; plates
    without their bores, at the mean of their points.
    """
    weighed = {body.name: body for body in masses.bodies}
    for item in (*bike.tubes, *bike.pivots):
        body = weighed.get(item.name)
        if item.link is not None and body is not None:
            yield item.link, body.grams / 1000, (body.centre[0], body.centre[2])
    density = density_of(bike.spec) * 1e-6
    for item in bike.pivots:
        if item.link is None or item.name in weighed:
            continue
        if isinstance(item, Housing):
            round_, at = (item.od, item.bore, item.width), (item.at[0], item.at[2])
        elif isinstance(item, Lug):
            round_, at = (item.boss, item.bore, item.thickness), (item.axle[0], item.axle[2])
        else:
            bosses = item.bosses
            middle = (fmean(b.x for b in bosses), fmean(b.z for b in bosses))
            yield item.link, density * item.plate.volume, middle
            continue
        outside, bore, width = round_
        yield item.link, density * pi / 4 * (outside**2 - bore**2) * width, at
