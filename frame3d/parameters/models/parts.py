"""The parts that the frame carries: ``build:`` in the parameter file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field, Strict, Tag

from frame3d.parameters.models.base import (
    Model,
    Problem,
    examples_of,
    known,
    named,
    number,
    part,
)
from frame3d.parameters.models.bottom_bracket import BottomBracketSpec, EccentricSpec
from frame3d.parameters.models.cockpit import HandlebarSpec, StemSpec
from frame3d.parameters.models.custom_bodies import SpareSpec
from frame3d.parameters.models.drivetrain import CassetteSpec, ChainringSpec, CrankSpec, PedalSpec
from frame3d.parameters.models.flat_parts.dropouts import DropoutSpec, SlideSpec
from frame3d.parameters.models.fork import ForkSpec
from frame3d.parameters.models.mating import (
    BottleSpec,
    RearBrakeSpec,
    RimSpec,
    SaddleSpec,
    ShoeSpec,
    TreadSpec,
)
from frame3d.parameters.models.names import OneLine, TubeName
from frame3d.parameters.models.rider import RiderSpec
from frame3d.parameters.sizes import standards

_BEADS = "|".join(str(bead) for bead in standards.BEAD_SEATS)
TyreName = Annotated[
    str, known(standards.tyre), examples_of(rf"^\d{{2,3}}-({_BEADS})$"), Tag("<text>")
]
HubName = Annotated[str, known(standards.hub), examples_of(names=standards.HUBS), Tag("<text>")]
CupCode = Annotated[
    str,
    known(standards.cup),
    examples_of(r"^((EC|ZS)(30|34|44|49|56|62)|IS(41|42|52))(/\d{2}(\.\d)?)?$"),
    Tag("<text>"),
]


class CupSpec(Model):
    """A headset cup in plain millimetres, where no SHIS code fits."""

    bore: float = number("Bore", "Bore of the head tube", low=20, high=80, example=44, default=...)
    depth: float = number(
        "Depth",
        "How deep the bore runs into the head tube",
        above=0,
        high=120,
        example=20,
        default=20,
    )


_Cup = Annotated[
    CupCode | Annotated[CupSpec, Tag("<mapping>")],
    named("a SHIS code such as ZS44/28.6, or {bore: 44, depth: 20}"),
]


class HeadsetSpec(Model):
    """Headset: SHIS codes for the bores, stack under the head tube, angle-adjusting cups."""

    upper: _Cup | None = Field(
        None, title="Upper cup", description="SHIS code, or a bore in mm", examples=["ZS44/28.6"]
    )
    lower: _Cup | None = Field(
        None, title="Lower cup", description="SHIS code, or a bore in mm", examples=["ZS56/40"]
    )
    lower_stack: float | None = number(
        "Lower stack", "Head tube bottom to crown race", low=0, high=60, example=4
    )
    upper_stack: float = number(
        "Upper stack",
        "Head tube top to the lowest spacer or the stem",
        low=0,
        high=60,
        example=8,
        default=0,
    )
    angle: float = number(
        "Cup angle",
        "Turn of the steering axis against the head tube by angle-adjusting cups, about the middle "
        "of the head tube; negative slackens",
        low=-3,
        high=3,
        example=-1,
        unit="degrees",
        default=0,
    )
    stop: float | None = number(
        "Stop",
        "Turn of the bar to each side at which the headset's own stop holds it; left out, it has none "
        "and the bar turns all the way round",
        low=20,
        high=175,
        example=75,
        unit="degrees",
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem unless the upper code has a steerer and the lower one a crown seat."""
        for key, code, fits, wrong in (
            ("upper", self.upper, standards.STEERERS, "a crown seat; the upper cup fits a steerer"),
            ("lower", self.lower, standards.CROWN_SEATS, "a steerer; the lower cup fits a crown"),
        ):
            if isinstance(code, str):
                fit = standards.cup(code).fits
                if fit is not None and fit not in fits:
                    usual = ", ".join(f"{f:g}" for f in fits)
                    yield Problem("inconsistent", key, f"{fit:g} is {wrong}", f"one of {usual}")


class BumperSpec(Model):
    """A bumper on the frame that the fork's crown meets before it turns into the tube."""

    on: str = Field(
        "down_tube",
        title="On",
        description="The tube that carries it",
        examples=["down_tube"],
    )
    stop: float = number(
        "Stop",
        "Turn of the bar to each side at which the fork meets it",
        low=20,
        high=175,
        example=75,
        unit="degrees",
        default=...,
    )


class TyreSpec(Model):
    """A tyre in plain millimetres, where no ETRTO designation fits."""

    width: float = number("Width", "Inflated width", low=15, high=150, example=61, default=...)
    diameter: float = number(
        "Diameter", "Inflated outside diameter", low=200, high=1000, example=744, default=...
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a problem if the tyre leaves no rim."""
        if 2 * self.width >= self.diameter:
            yield Problem(
                "inconsistent",
                "width",
                f"leaves no rim within a diameter of {self.diameter:g} mm",
                "width is the tyre's, diameter the whole wheel's",
            )


class HubSpec(Model):
    """A hub in plain millimetres, where no standard name fits."""

    width: float = number(
        "Width",
        "Between the inner faces of the dropouts",
        low=60,
        high=250,
        example=148,
        default=...,
    )
    axle: float = number("Axle", "Diameter of the axle", low=4, high=30, example=12, default=...)


_Tyre = Annotated[
    TyreName | Annotated[TyreSpec, Tag("<mapping>")],
    named("an ETRTO designation such as 61-622, or {width: 61, diameter: 744}"),
]
_Hub = Annotated[
    HubName | Annotated[HubSpec, Tag("<mapping>")],
    named("a name such as 148x12, or {width: 148, axle: 12}"),
]


class WheelSpec(Model):
    """A wheel: tyre, hub, and its loaded radius where it was measured."""

    tyre: _Tyre | None = Field(
        None,
        title="Tyre",
        description="ETRTO designation width-bead seat, or plain millimetres",
        examples=["61-622"],
    )
    hub: _Hub | None = Field(
        None, title="Hub", description="Width x axle, or plain millimetres", examples=["148x12"]
    )
    radius: float | None = number(
        "Radius",
        "Axle above the ground, where measured; else half the tyre's diameter",
        low=100,
        high=500,
        example=370,
    )
    growth: float = number(
        "Growth",
        "How much wider and higher than its nominal size the tyre may come out, for clearances",
        low=0,
        high=20,
        example=2,
        default=0,
    )
    flex: float = number(
        "Flex",
        "How far the tyre moves to either side under load, for clearances",
        low=0,
        high=20,
        example=2,
        default=0,
    )
    mass_kg: float | None = number(
        "Mass",
        "Of the whole wheel: tyre, rim, spokes, hub, rotor, and behind its cassette",
        above=0,
        high=20,
        example=2.2,
        unit="kg",
    )
    pressure_bar: float | None = number(
        "Pressure", "Of the tyre, above the air outside", low=0.5, high=12, example=1.6, unit="bar"
    )
    tread: TreadSpec | None = part("Tread", "Shoulder knobs that stand out of the round section")
    rim: RimSpec | None = part("Rim", "Where it is not the usual one for the tyre")
    rotor: float | None = number("Rotor", "Diameter", low=120, high=260, example=180)
    rotor_inset: float | None = number(
        "Rotor inset",
        "From the dropout's inner face to the rotor's middle; left out, 9.6 in front; behind 17.9 for "
        "hubs of 142, 148 and 157, whose ends stand 3.5 mm deep in the dropouts, and 14.4 for others "
        "(derived from common practice: bolted onto a face 10.5 and 15.3 from the hub's shoulder)",
        low=2,
        high=50,
        example=17.9,
    )
    axle_thread: OneLine | None = Field(
        None,
        title="Axle thread",
        description="Of the axle in its dropout or fork leg, as text for parts list and bench order",
        examples=["M12 x 1.75"],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: a rotor too large for the rim, tread too wide for the tyre."""
        if self.tyre is None:
            width = bead = None
        elif isinstance(self.tyre, TyreSpec):
            width, bead = self.tyre.width, self.tyre.diameter - 2 * self.tyre.width
        else:
            size = standards.tyre(self.tyre)
            width, bead = size.width, size.bead_seat
        if self.rotor is not None and bead is not None and self.rotor > bead - 50:
            yield Problem(
                "inconsistent",
                "rotor",
                f"larger than fits within the rim (bead seat {bead:g} mm)",
                "the rotor's diameter, e.g. 180",
            )
        if self.tread is not None and width is not None and self.tread.width > width + 20:
            yield Problem(
                "inconsistent",
                "tread.width",
                f"far wider than the tyre itself ({width:g} mm)",
                "across the shoulder knobs, e.g. " + f"{width:g}",
            )


class SeatpostSpec(Model):
    """Seatpost and saddle height."""

    diameter: float | None = number("Diameter", "Of the seatpost", low=20, high=40, example=31.6)
    saddle_height: float | None = number(
        "Saddle height",
        "Straight from the bottom bracket centre to the point of the seatpost axis at the saddle's "
        "top; where given, the effective seat tube angle is taken there",
        low=350,
        high=1100,
        example=720,
    )
    insertion: float | None = number(
        "Insertion", "How deep the post stands in the seat tube", low=30, high=500, example=120
    )
    length: float | None = number(
        "Overall length",
        "Of the post, from its lower end to the saddle's rails, instead of insertion",
        low=100,
        high=700,
        example=400,
    )
    travel: float = number(
        "Travel", "Of a dropper post; 0 for a rigid one", low=0, high=300, example=150, default=0
    )
    head_height: float | None = number(
        "Head height",
        "From the collar of a dropper post at full drop, or the tube of a rigid one, to the middle of "
        "the saddle's rails; left out: 35 (common practice, no source)",
        low=0,
        high=150,
        example=35,
    )
    collar_height: float | None = number(
        "Collar height",
        "Of a dropper post's collar, which stays above the seat tube; left out: 20, 0 for a rigid post "
        "(common practice, no source)",
        low=0,
        high=150,
        example=20,
    )
    least_insertion: float | None = number(
        "Least insertion",
        "From the post's lower end to its mark; left out: 2 diameters (16 CFR 1512.15(b))",
        low=30,
        high=400,
        example=80,
    )
    actuator: float | None = number(
        "Actuator",
        "Its length below a dropper post's lower end, 0 where it is at the collar; left out: 25, 0 for "
        "a rigid post (common practice, no source)",
        low=0,
        high=150,
        example=25,
    )
    cable_room: float | None = number(
        "Cable room",
        "For the bend of cable or hose below the actuator; left out: 30, 0 without an actuator (common "
        "practice, no source)",
        low=0,
        high=200,
        example=30,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield problems: insertion given twice or not determined, travel not less than the length."""
        if self.insertion is not None and self.length is not None:
            yield Problem(
                "inconsistent",
                "length",
                "length and insertion both say how deep the post stands",
                "keep one of the two",
            )
        if self.length is not None and self.saddle_height is None:
            yield Problem(
                "inconsistent",
                "length",
                "says how deep the post stands only together with saddle_height",
                "give saddle_height, or insertion in place of length",
            )
        if self.length is not None and self.travel >= self.length:
            yield Problem(
                "inconsistent",
                "travel",
                f"longer than the post itself ({self.length:g} mm)",
                "how far the saddle drops, e.g. 150",
            )


class BuildSpec(Model):
    """The parts that the frame carries."""

    fork: ForkSpec | None = part("Fork", "Length, offset, travel")
    headset: HeadsetSpec | None = part(
        "Headset", "Cups, the stack under the head tube, a stop where it has one"
    )
    bumper: BumperSpec | None = part("Bumper", "On the frame; stops the fork at an angle")
    front_wheel: WheelSpec | None = part("Front wheel", "Tyre, hub, measured radius")
    rear_wheel: WheelSpec | None = part("Rear wheel", "Tyre, hub, measured radius")
    bottom_bracket: BottomBracketSpec | None = part("Bottom bracket", "The frame's shell")
    dropout: DropoutSpec | None = part(
        "Rear dropouts", "Plain, hooded or sliding plates with the axle's bore or slot"
    )
    crank: CrankSpec | None = part("Cranks", "Length, Q factor, chainline")
    chainring: ChainringSpec | None = part("Chainring", "Number of teeth")
    seatpost: SeatpostSpec | None = part("Seatpost", "Diameter and saddle height")
    stem: StemSpec | None = part("Stem", "Length, angle, spacers")
    handlebar: HandlebarSpec | None = part("Handlebar", "Where the hands are, from the clamp")
    cassette: CassetteSpec | None = part("Cassette", "Cogs and where they stand")
    pedal: PedalSpec | None = part("Pedals", "Their outline; {} takes usual sizes")
    shoe: ShoeSpec | None = part("Shoes", "Sizes beside their length, which stands with the rider")
    rear_brake: RearBrakeSpec | None = part("Rear brake", "Caliper's outline; {} takes usual sizes")
    saddle: SaddleSpec | None = part("Saddle", "Its outline; {} takes usual sizes")
    bottles: Annotated[tuple[BottleSpec, ...], Strict(False)] = Field(
        default=(), title="Bottles", description="Bottles with their cages", max_length=12
    )
    bodies: dict[TubeName, SpareSpec] = Field(
        default_factory=dict,
        title="Bodies",
        description="Outlines of your own, by name: guards, mudguards, batteries, bumpers",
        max_length=30,
    )
    rider: RiderSpec | None = part("Rider", "Mass and body sizes")
    front_assembly_kg: float | None = number(
        "Front assembly's mass",
        "What turns with the bar but the wheel: fork, stem, bar, levers",
        above=0,
        high=20,
        example=3.1,
        unit="kg",
    )
    bike_mass_kg: float | None = number(
        "Bicycle mass", "Whole bicycle without the rider", low=3, high=80, example=14, unit="kg"
    )

    @property
    def insert(self) -> EccentricSpec | None:
        """The eccentric insert in the bottom bracket's shell; None where there is none."""
        return None if self.bottom_bracket is None else self.bottom_bracket.eccentric

    @property
    def slide(self) -> SlideSpec | None:
        """The slots of sliding dropouts; None where they are no such ones."""
        return None if self.dropout is None else self.dropout.slide

    def problems(self) -> Iterator[Problem]:
        """Yield problems of parts that need others, and of masses that do not add up."""
        yield from self._masses()
        if self.rear_brake is not None and (
            self.rear_wheel is None or self.rear_wheel.rotor is None
        ):
            yield Problem(
                "missing-key",
                "rear_wheel.rotor",
                "missing: the rear brake's caliper sits on a rotor",
                "give the rotor's diameter, e.g. rotor: 180, or take rear_brake out",
            )
        if (
            self.rear_brake is not None
            and self.rear_wheel is not None
            and self.rear_wheel.hub is None
        ):
            yield Problem(
                "missing-key",
                "rear_wheel.hub",
                "missing: where the rotor and its caliper sit",
                "give the hub, e.g. hub: 148x12, or take rear_brake out",
            )
        yield from self._mounts()
        yield from self._built_fork()
        if self.fork is not None and self.fork.travel == 0:
            legs = self.fork.legs
            if legs is not None and legs.lead is not None:
                yield Problem(
                    "inconsistent",
                    "fork.legs.lead",
                    "a rigid fork's blades end at the axle",
                    "give the fork's travel, or leave lead out",
                )
            for key in ("knobs", "arch"):
                if getattr(self.fork, key) is not None:
                    yield Problem(
                        "inconsistent",
                        f"fork.{key}",
                        "belongs to a suspension fork; this one has no travel",
                        "give the fork's travel, or take it out",
                    )

    def _built_fork(self) -> Iterator[Problem]:
        """Yield what a built fork needs of the other parts: a hub, and a headset that fits it."""
        fork = self.fork
        if fork is None or fork.built is None:
            return
        if self.front_wheel is None or self.front_wheel.hub is None:
            yield Problem(
                "missing-key",
                "front_wheel.hub",
                "missing: how far apart the built fork's dropouts stand, and their bore",
                "give the hub, e.g. hub: 100x12",
            )
        if self.stem is None and fork.steerer_length is None:
            yield Problem(
                "missing-key",
                "fork.steerer_length",
                "missing: the built fork's steerer",
                "how long it is above the crown race, or give the stem that it has to hold",
            )

    def _mounts(self) -> Iterator[Problem]:
        """Yield problems of brake mounts that are made for a larger rotor than the wheel has."""
        fork, rear = self.fork, self.rear_brake
        own = fork is not None and fork.mount_rotor is None
        for key, native, wheel in (
            (
                "fork.built.brake.rotor" if own else "fork.mount_rotor",
                None if fork is None else fork.native_rotor,
                self.front_wheel,
            ),
            ("rear_brake.mount_rotor", None if rear is None else rear.mount_rotor, self.rear_wheel),
        ):
            rotor = None if wheel is None else wheel.rotor
            if native is not None and rotor is not None and rotor < native:
                yield Problem(
                    "inconsistent",
                    key,
                    f"a mount for a rotor of {native:g} mm takes none of {rotor:g} mm",
                    f"at most {rotor:g}, or a larger rotor; an adaptor only moves the caliper out",
                )

    def _masses(self) -> Iterator[Problem]:
        """Yield problems of masses given twice, or of parts that weigh more than the bicycle."""
        fork = None if self.fork is None else self.fork.mass_kg
        front = self.front_assembly_kg
        if fork is not None and front is not None and fork >= front:
            yield Problem(
                "inconsistent",
                "front_assembly_kg",
                f"not more than the fork alone weighs ({fork:g} kg)",
                "fork, stem, bar and levers together, without the wheel, or leave it out",
            )
        if self.bike_mass_kg is None:
            return
        wheels = [w.mass_kg for w in (self.front_wheel, self.rear_wheel) if w is not None]
        parts = [m for m in (*wheels, fork if front is None else front) if m is not None]
        if parts and sum(parts) >= self.bike_mass_kg:
            yield Problem(
                "inconsistent",
                "bike_mass_kg",
                f"the parts whose masses are given weigh {sum(parts):g} kg already",
                "the whole bicycle without the rider, e.g. 14",
            )
