r"""Where the bicycle's mass is: each part with its mass, its centre, and what carries it.

::

          saddle, post            stem, bar, levers
                 \                  /   front assembly
     links, shock \_________tubes__/_   fork: steerer, crown, stanchions
    .---.           cranks         \   .---.
    | o |  cassette                 \  | o |  its lower legs move with the front wheel
    '---'  rear wheel                  '---'  front wheel

Tubes, and the hardware of pivots, are weighed. Parts have the mass that the file gives, else a usual
one, said among the assumptions (common practice, no source). Where the file gives the mass of the whole
bicycle, usual masses shrink if all together would be heavier; what is missing is put at the common
centre of all the others, which it leaves where it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import pi
from statistics import fmean
from typing import Final, TypeAlias

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.geometry.vector import Point, point
from frame3d.parameters.models.parts import TyreSpec, WheelSpec
from frame3d.parameters.sizes import standards
from frame3d.tubes.features.collar import collar_in, collar_of
from frame3d.tubes.hardware import Housing, Lug
from frame3d.tubes.mass import density_of
from frame3d.tubes.tube import Dropout

SideView: TypeAlias = tuple[float, float]
"""(x, z) from the bottom bracket [mm]."""

FRAME: Final = "frame"
REAR_WHEEL: Final = "rear_wheel"
FRONT_WHEEL: Final = "front_wheel"
FRONT_ASSEMBLY: Final = "front_assembly"
FORK_LEGS: Final = "fork_legs"
"""What carries a part, beside the names of links: the front frame, a wheel, what turns with the bar, and
of that the fork's lower legs, which move with the front wheel."""

# Usual masses, all of them common practice without a source.
TYRE = 2.4e-6
"""Mass of a tyre per surface of its torus [kg/mm²]."""
RIM = 4.2e-4
"""Mass of rim, spokes, tube or sealant per circumference of the rim [kg/mm]."""
REAR_HUB, FRONT_HUB = 0.35, 0.22
"""Mass of hub and axle [kg]."""
TOOTH = 1.2e-3
"""Mass of a cassette per tooth of its cogs [kg]."""
CHANGER = 0.4
"""Mass of rear derailleur and the chain that it carries, where there are several cogs [kg]."""
ROTOR = 8.5e-4
"""Mass of a rotor per diameter [kg/mm]."""
SEAT_COLLAR: Final = "seat collar"
"""Name of the mass of the collar that the file gives."""
CALIPER = 0.13
"""Mass of a caliper [kg]."""
DROPOUTS = 0.15
"""Mass of both dropouts [kg]."""
RIGID_FORK = 0.9
"""Mass of a rigid fork [kg]."""
FORK, FORK_PER_TRAVEL = 1.4, 4.5e-3
"""Mass of a suspension fork [kg], and more for each mm of travel [kg/mm]."""
LEGS = 0.45
"""Share of a suspension fork's mass that is in its lower legs."""
STEM, BAR, LEVERS = 0.13, 0.36, 0.25
"""Masses of stem, bar with grips, levers [kg]."""
HEADSET = 0.12
SADDLE = 0.23
POST, POST_PER_TRAVEL = 0.25, 2.2e-3
"""Mass of a rigid seatpost [kg], and more for each mm of a dropper post's travel [kg/mm]."""
CRANKS, RING, PEDALS = 0.7, 0.1, 0.4
"""Masses of cranks with their bearings, chainring, pedals [kg]."""
SHOCK = 0.42
BIKE = 13.0
"""Mass of a bicycle of which neither its own mass nor any tube is known [kg]."""
USUAL: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class PlacedMass:
    """One part's mass."""

    name: str
    mass_kg: float
    at: SideView
    """Its centre, as the bike is drawn, in the frame's axes [mm]."""
    on: str
    """What carries it: `FRAME`, a wheel, `FRONT_ASSEMBLY`, `FORK_LEGS`, or the name of a link."""
    known: bool
    """Whether it is weighed, or the file gives it; otherwise it is a usual mass."""


@dataclass(frozen=True, slots=True)
class MassModel:
    """The bicycle's masses, without a rider."""

    parts: tuple[PlacedMass, ...]
    assumptions: tuple[str, ...]

    @property
    def total_kg(self) -> float:
        """Mass of the bicycle [kg]."""
        return sum(part.mass_kg for part in self.parts)

    @property
    def centre(self) -> SideView:
        """Centre of mass of the bicycle as drawn [mm]."""
        return together((part.mass_kg, part.at) for part in self.parts)

    def on(self, *carriers: str) -> tuple[PlacedMass, ...]:
        """Return the parts that one of these carries."""
        return tuple(part for part in self.parts if part.on in carriers)

    def moved(self, bike: Bike, rear: float, fork: float) -> tuple[PlacedMass, ...]:
        """Return the parts with wheels and links moved, in the axes of the frame as drawn.

        Args:
            bike: the bike of this model.
            rear: rear travel [mm].
            fork: fork travel along the stanchions [mm].
        """
        angle = bike.solved.values["head_tube_angle"]
        along = complex(-np.cos(angle), np.sin(angle)) * fork
        linkage = bike.linkage
        stroke = None if linkage is None else linkage.strokes_at(np.array([rear]))
        motion = None if linkage is None or stroke is None else linkage.at_strokes(stroke)
        axle = complex(bike.nodes["rear_axle"][0], bike.nodes["rear_axle"][2])
        shift = 0j if linkage is None else complex(*linkage.axle_at(rear)) - axle
        out = []
        for part in self.parts:
            at = complex(*part.at)
            if part.on in (FRONT_WHEEL, FORK_LEGS):
                at += along
            elif part.on == REAR_WHEEL:
                at += shift
            elif motion is not None and linkage is not None and part.on in linkage.links:
                at = complex(motion.body_point(part.on, at).at[0])
            out.append(replace(part, at=(at.real, at.imag)))
        return tuple(out)


def together(parts: Iterable[tuple[float, SideView]]) -> SideView:
    """Return the common centre of mass of parts, each (mass, own centre of mass)."""
    known = tuple(parts)
    total = sum(mass for mass, _ in known)
    return (
        sum(mass * at[0] for mass, at in known) / total,
        sum(mass * at[1] for mass, at in known) / total,
    )


def mass_model(bike: Bike) -> MassModel:
    """Return the masses of a bicycle as it is drawn."""
    build = bike.spec.build
    weighed, said = [*_metal(bike)], []
    usual: list[PlacedMass] = []
    for part in (*_rear_wheel(bike), *_front_wheel(bike), *_front_assembly(bike), *_others(bike)):
        (weighed if part.known else usual).append(part)
    whole, known = build.bike_mass_kg, sum(part.mass_kg for part in weighed)
    rest = sum(part.mass_kg for part in usual)
    if usual:
        said.append(f"usual masses [kg], where the file gives none: {_summed(usual)} ({USUAL})")
    if whole is None:
        if not bike.tubes:
            whole = BIKE
            said.append(f"bicycle {BIKE:g} kg ({USUAL}; build.bike_mass_kg gives it)")
        else:
            said.append(
                f"bicycle {known + rest:.1f} kg, the sum of its tubes and parts; "
                "build.bike_mass_kg gives it"
            )
    elif known > whole:
        said.append(f"tubes and parts of known mass weigh {known:.1f} kg, more than the bicycle's")
    if whole is not None:
        room = max(whole - known, 0.0)
        if usual and rest > room:
            usual = [replace(part, mass_kg=room / rest * part.mass_kg) for part in usual]
            said.append(f"usual masses x {room / rest:.2f}: the bicycle's own leaves {room:.1f} kg")
        elif room - rest > 1e-9:
            at = together((part.mass_kg, part.at) for part in (*weighed, *usual))
            usual.append(PlacedMass("rest", room - rest, at, FRAME, known=False))
            said.append(
                f"the bicycle's other {room - rest:.1f} kg at the common centre of its tubes and parts"
            )
    return MassModel((*weighed, *usual), tuple(said))


_GROUPS: Final = {
    REAR_WHEEL: "rear wheel",
    FRONT_WHEEL: "front wheel",
    FRONT_ASSEMBLY: "fork, stem and bar",
    FORK_LEGS: "fork, stem and bar",
}


def _summed(parts: Iterable[PlacedMass]) -> str:
    """Return masses in words, those of a wheel and of what turns with the bar as one."""
    sums: dict[str, float] = {}
    for part in parts:
        name = _GROUPS.get(part.on, part.name)
        sums[name] = sums.get(name, 0.0) + part.mass_kg
    return ", ".join(f"{name} {kg:.2f}" for name, kg in sums.items())


def _side(p: Point) -> SideView:
    return (p[0], p[2])


def _metal(bike: Bike) -> Iterator[PlacedMass]:
    """Yield tubes, features, shell, plates and housings as weighed; others as bored cylinders.

    Plates of links count without their bores, at the mean of their points.
    """
    # Parts exchanged later are on the same metal: it is weighed once, where it was designed.
    designed = bike if bike.designed is None else bike.designed
    masses = designed.frame.masses
    link = {
        item.name: item.link for item in (*bike.tubes, *bike.dropouts, *bike.pivots, *bike.plates)
    }
    for feature in bike.frame.features:
        link |= dict.fromkeys(map(feature.named, feature.labels), link[feature.tube])
    for dropout in bike.dropouts:
        if dropout.mount is not None:
            link |= {one.name: dropout.link for one in dropout.mount.blocks}
    for body in masses.bodies:
        on = link.get(body.name)
        at = _side(body.centre)
        if bike.designed is not None:
            at = bike.frame.motion(on).side(at)
        yield PlacedMass(body.name, body.grams / 1000, at, on or FRAME, known=True)
    weighed, density = masses.parts, density_of(bike.spec) * 1e-6
    for item in bike.pivots:
        if item.name in weighed:
            continue
        if isinstance(item, Housing | Lug):
            outside = item.od if isinstance(item, Housing) else item.boss
            width = item.width if isinstance(item, Housing) else item.thickness
            at = _side(item.at if isinstance(item, Housing) else item.axle)
            volume = pi / 4 * (outside**2 - item.bore**2) * width
        else:
            own = item.own
            volume = item.plate.volume if own is None else own.grams / 1000 / density
            at = (fmean(b.x for b in item.bosses), fmean(b.z for b in item.bosses))
        yield PlacedMass(item.name, density * volume, at, item.link or FRAME, known=True)


def _rolling(wheel: WheelSpec | None) -> Iterator[tuple[str, float]]:
    """Yield usual masses of a wheel without its hub: name, mass [kg]."""
    if wheel is not None and wheel.tyre is not None:
        if isinstance(wheel.tyre, TyreSpec):
            width, outside = wheel.tyre.width, wheel.tyre.diameter
        else:
            size = standards.tyre(wheel.tyre)
            width, outside = size.width, size.bead_seat + 2 * size.width
        yield "tyre", TYRE * pi**2 * width * (outside - width)
        yield "rim and spokes", RIM * pi * (outside - 2 * width)
    if wheel is not None and wheel.rotor is not None:
        yield "rotor", ROTOR * wheel.rotor


def _rear_wheel(bike: Bike) -> Iterator[PlacedMass]:
    """Yield the rear wheel with its cassette, and what else is at its axle."""
    build, at = bike.spec.build, _side(bike.nodes["rear_axle"])
    wheel, suspension = build.rear_wheel, bike.spec.suspension
    if wheel is not None and wheel.mass_kg is not None:
        yield PlacedMass("rear wheel", wheel.mass_kg, at, REAR_WHEEL, known=True)
    else:
        for name, kg in _rolling(wheel):
            yield PlacedMass(f"rear {name}", kg, at, REAR_WHEEL, known=False)
        yield PlacedMass("rear hub and axle", REAR_HUB, at, REAR_WHEEL, known=False)
        if build.cassette is not None:
            teeth = sum(build.cassette.cogs)
            yield PlacedMass("cassette", TOOTH * teeth, at, REAR_WHEEL, known=False)
    axle = FRAME if suspension is None else suspension.axle.on
    if build.cassette is not None and len(build.cassette.cogs) > 1:
        yield PlacedMass("derailleur and chain", CHANGER, at, axle, known=False)
    if build.rear_brake is not None:
        brake = FRAME if suspension is None else suspension.brake_link
        yield PlacedMass("rear caliper", CALIPER, at, brake, known=False)
    if bike.tubes and not any(dropout.plate for dropout in bike.dropouts):
        kg = DROPOUTS + density_of(bike.spec) * 1e-6 * sum(map(_ears, bike.dropouts))
        yield PlacedMass("dropouts", kg, at, axle, known=False)


def _ears(dropout: Dropout) -> float:
    """Return what the ears of a plain dropout add to it [mm³]; what two of them share counts twice."""
    boss = pi / 4 * dropout.boss**2 * dropout.thickness
    return sum(ear.volume - boss for ear in dropout.ears)


def _front_wheel(bike: Bike) -> Iterator[PlacedMass]:
    wheel, at = bike.spec.build.front_wheel, _side(bike.nodes["front_axle"])
    if wheel is not None and wheel.mass_kg is not None:
        yield PlacedMass("front wheel", wheel.mass_kg, at, FRONT_WHEEL, known=True)
        return
    for name, kg in _rolling(wheel):
        yield PlacedMass(f"front {name}", kg, at, FRONT_WHEEL, known=False)
    yield PlacedMass("front hub and axle", FRONT_HUB, at, FRONT_WHEEL, known=False)


def _front_assembly(bike: Bike) -> Iterator[PlacedMass]:
    """Yield fork, headset, stem, bar and levers; their sum is that of the file where it gives one."""
    build, parts = bike.spec.build, [*_fork(bike), *_bar(bike)]
    whole = build.front_assembly_kg
    if whole is None:
        yield from parts
        return
    known = sum(part.mass_kg for part in parts if part.known)
    rest = sum(part.mass_kg for part in parts if not part.known)
    share = max(whole - known, 0.0) / rest  # a built fork may weigh more than is left for it
    for part in parts:
        kg = part.mass_kg if part.known else share * part.mass_kg
        yield replace(part, mass_kg=kg, known=True)


def _fork(bike: Bike) -> Iterator[PlacedMass]:
    """Yield the fork: a built one part by part, a rigid one in the middle; of a sprung one steerer and
    stanchions above, lower legs below.
    """
    fork, build = bike.spec.build.fork, bike.spec.build
    if bike.fork is not None:
        for body in bike.fork.frame.masses.bodies:
            yield PlacedMass(
                body.name, body.grams / 1000, _side(body.centre), FRONT_ASSEMBLY, known=True
            )
        if build.front_wheel is not None and build.front_wheel.rotor is not None:
            at_axle = _side(bike.nodes["front_axle"])
            yield PlacedMass("front caliper", CALIPER, at_axle, FRONT_ASSEMBLY, known=False)
        return
    known = fork is not None and fork.mass_kg is not None
    travel = 0.0 if fork is None else fork.travel
    kg = FORK + FORK_PER_TRAVEL * travel if travel > 0 else RIGID_FORK
    if fork is not None and fork.mass_kg is not None:
        kg = fork.mass_kg
    crown, axle, top = (
        complex(*_side(bike.nodes[name])) for name in ("crown_race", "front_axle", "head_tube_top")
    )

    def at(place: complex) -> SideView:
        return (place.real, place.imag)

    if travel == 0:
        middle = crown + 0.4 * (axle - crown)
        yield PlacedMass("fork", kg, at(middle), FRONT_ASSEMBLY, known)
    else:
        upper = 0.5 * crown + 0.25 * top + 0.25 * (crown + 0.5 * (axle - crown))
        lower = crown + 0.75 * (axle - crown)
        yield PlacedMass("fork", (1 - LEGS) * kg, at(upper), FRONT_ASSEMBLY, known)
        yield PlacedMass("fork's lower legs", LEGS * kg, at(lower), FORK_LEGS, known)
    if build.front_wheel is not None and build.front_wheel.rotor is not None:
        where = FORK_LEGS if travel > 0 else FRONT_ASSEMBLY
        yield PlacedMass("front caliper", CALIPER, at(axle), where, known=False)


def _bar(bike: Bike) -> Iterator[PlacedMass]:
    """Yield headset, stem, bar and levers; without a stem they are at the head tube's top."""
    top, bottom = _side(bike.nodes["head_tube_top"]), _side(bike.nodes["head_tube_bottom"])
    middle = ((top[0] + bottom[0]) / 2, (top[1] + bottom[1]) / 2)
    hands = None if bike.rider is None else bike.rider.contacts.get("hands")
    grips = top if hands is None else _side(hands)
    stem = ((top[0] + grips[0]) / 2, (top[1] + grips[1]) / 2)
    yield PlacedMass("headset", HEADSET, middle, FRONT_ASSEMBLY, known=False)
    yield PlacedMass("stem", STEM, stem, FRONT_ASSEMBLY, known=False)
    yield PlacedMass("bar and grips", BAR, grips, FRONT_ASSEMBLY, known=False)
    yield PlacedMass("levers", LEVERS, grips, FRONT_ASSEMBLY, known=False)


def _others(bike: Bike) -> Iterator[PlacedMass]:
    """Yield saddle, post, collar, cranks, pedals, chainring and shock."""
    build = bike.spec.build
    saddle, top = _side(bike.nodes["saddle"]), _side(bike.nodes["seat_tube_top"])
    middle = ((saddle[0] + top[0]) / 2, (saddle[1] + top[1]) / 2)
    post = POST if build.seatpost is None else POST + POST_PER_TRAVEL * build.seatpost.travel
    yield PlacedMass("saddle", SADDLE, saddle, FRAME, known=False)
    yield PlacedMass("seatpost", post, middle, FRAME, known=False)
    collar = collar_in(bike.frame.features)
    if collar is not None:
        made = collar_of(collar, bike.tube(collar.tube))
        at = _side(point(made.middle.axis))
        yield PlacedMass(SEAT_COLLAR, made.grams / 1000, at, FRAME, known=False)
    yield PlacedMass("cranks", CRANKS, (0.0, 0.0), FRAME, known=False)
    yield PlacedMass("pedals", PEDALS, (0.0, 0.0), FRAME, known=False)
    if build.chainring is not None:
        yield PlacedMass("chainring", RING, (0.0, 0.0), FRAME, known=False)
    if bike.linkage is not None and bike.spec.suspension is not None:
        shock, drawn = bike.spec.suspension.shock, bike.linkage.drawn
        (x0, z0), (x1, z1) = drawn[shock.start], drawn[shock.end]
        yield PlacedMass("shock", SHOCK, ((x0 + x1) / 2, (z0 + z1) / 2), FRAME, known=False)
