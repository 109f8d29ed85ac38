r"""BuiltForkSpec: a rigid fork that the shop builds from tubes, ``build.fork.built``.

Seen from the front, with both kinds of crown::

          |   |  steerer                          |   |
        __|___|__  crown race: all is measured  __|___|__   seat of the race, on its shoulder
          |   |    from here                      |   |
      .-'''-o-'''-.  ^ join                 ======|=o=|======  segments: tubes across, mitred to the
     / .-'|   |'-. \ | shoulder             ||    '---'    ||  steerer; blades mitred to them
    | |   '---'   | |v                      ||             ||
    | |  spacing  | |                       ||   spacing   ||
    | |<--------->| |  blades               ||<----------->||
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import Field

from frame3d.parameters.models.base import Colour, MaterialName, Model, Problem, number
from frame3d.parameters.models.profiles import (
    BoreSpec,
    ButtedSpec,
    Outside,
    OutsideField,
    TaperSpec,
    WallField,
    height_and_width,
    rounded_sizes,
    sizes,
)
from frame3d.parameters.models.tubes import TubeSpec

Wall = float | ButtedSpec | BoreSpec | Literal["solid"]
"""What the file says of a tube's wall."""


def _walls(od: Outside, wall: Wall) -> Iterator[Problem]:
    """Yield what is wrong with a wall in an outside, as of any tube."""
    yield from TubeSpec.model_construct(od=od, wall=wall).problems()


def _round_or_oval(od: Outside | None) -> Iterator[Problem]:
    """Yield a problem of a rectangle or a D, which no part of a fork is made of here."""
    if od is not None and rounded_sizes(od):
        yield Problem(
            "section",
            "od",
            "tubes of a fork are round or oval here",
            "a diameter, an oval {height: 30, width: 17}, or a taper of them",
        )


RESERVED = "fork_"
"""What the names of a built fork's own tubes and plates begin with."""


class RaceSeatSpec(Model):
    """The seat of the crown race: a ring on the steerer, with a shoulder that the race stands on."""

    diameter: float | None = number(
        "Diameter",
        "Of the seat; left out, that of the lower headset code, else 1.4 more than the steerer, as "
        "30.0 on 28.6",
        low=20,
        high=60,
        example=30,
    )
    height: float = number(
        "Height",
        "Of the seat above the crown race's foot (common practice, no source)",
        low=2,
        high=40,
        example=8,
        default=8,
    )
    shoulder: float | None = number(
        "Shoulder",
        "Diameter of the ring below the race; left out, 6 more than the seat (common practice, no "
        "source)",
        low=20,
        high=90,
        example=36,
    )
    shoulder_height: float = number(
        "Shoulder's height",
        "Of the ring below the race (common practice, no source)",
        low=1,
        high=30,
        example=4,
        default=4,
    )


class SteererSpec(Model):
    """The steerer, from its lower end up."""

    od: OutsideField = Field(
        28.6,
        title="Outside diameter",
        description="As for a tube; its stations count from the lower end [mm]",
        examples=[28.6],
    )
    wall: WallField = Field(
        2.0,
        title="Wall",
        description="As for a tube (2 mm: common practice, no source) [mm]",
        examples=[1.6],
    )
    below: float | None = number(
        "Below",
        "How far it goes down below the crown race; left out, past what is mitred to it",
        low=5,
        high=150,
        example=40,
    )
    race_seat: RaceSeatSpec = Field(
        default_factory=lambda: RaceSeatSpec.model_validate({}),
        title="Race seat",
        description="Seat of the crown race",
    )
    material: MaterialName | None = Field(
        None, title="Material", description="Where it is not the fork's own", examples=["4130"]
    )

    def problems(self) -> Iterator[Problem]:
        """Yield walls that leave no bore, and an oval steerer."""
        yield from _round_or_oval(self.od)
        yield from _walls(self.od, self.wall)
        for key, size in sizes(self.od):
            if len(set(height_and_width(size))) > 1:
                yield Problem(
                    "section",
                    f"od.{key}".rstrip("."),
                    "an oval steerer turns in no bearing",
                    "a diameter",
                )


class BuiltCrownSpec(Model):
    """How the blades are joined to the steerer."""

    kind: Literal["unicrown", "segmented"] = Field(
        "unicrown",
        title="Kind",
        description="unicrown: the blades' own tops are bent inward and mitred to the steerer; "
        "segmented: a tube across, in two segments mitred to the steerer, with the blades mitred below",
    )
    join: float | None = number(
        "Join",
        "From the crown race down to where the axes of blades or segments meet the steerer's; left out, "
        "so far that their upper side is just below the race's shoulder",
        low=0,
        high=150,
        example=26,
    )
    spacing: float | None = number(
        "Spacing",
        "Between the blades' axes at the crown; left out, the front hub's width and 10 mm",
        low=40,
        high=250,
        example=108,
    )
    shoulder: float | None = number(
        "Shoulder",
        "Unicrown: from the crown race down to the corner where the blades turn down; left out, 0.8 of "
        "half the spacing below join",
        low=0,
        high=250,
        example=52,
    )
    radius: float | None = number(
        "Radius",
        "Unicrown: bend radius of the blades at the shoulder, on their axes; left out, three times "
        "their diameter (common practice, no source)",
        above=0,
        high=500,
        example=45,
    )
    drop: float | None = number(
        "Drop",
        "Segmented: how much lower the segments' outer ends are than where they join; left out, 0",
        low=-60,
        high=100,
        example=10,
    )
    beyond: float | None = number(
        "Beyond",
        "Segmented: how far the segments go on beyond the blades' axes; left out, half the blades' "
        "diameter",
        low=0,
        high=80,
        example=14,
    )
    od: OutsideField | None = Field(
        None,
        title="Outside diameter",
        description="Segmented: of the segments, from the steerer out; left out, 28.6 [mm]",
        examples=[28.6],
    )
    wall: WallField | None = Field(
        None, title="Wall", description="Segmented: left out, 1.6 [mm]", examples=[1.6]
    )
    material: MaterialName | None = Field(
        None,
        title="Material",
        description="Segmented: where it is not the fork's own",
        examples=["4130"],
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a key that belongs to the other kind."""
        other = "segmented" if self.kind == "unicrown" else "unicrown"
        keys = {
            "unicrown": ("shoulder", "radius"),
            "segmented": ("drop", "beyond", "od", "wall", "material"),
        }
        for key in keys[other]:
            if getattr(self, key) is not None:
                yield Problem(
                    "inconsistent",
                    key,
                    f"belongs to a crown that is {other}, and this one is {self.kind}",
                    f"leave it out, or kind: {other}",
                )
        yield from _round_or_oval(self.od)
        if self.od is not None and self.wall is not None:
            yield from _walls(self.od, self.wall)
        if self.shoulder is not None and self.join is not None and self.shoulder <= self.join:
            yield Problem(
                "inconsistent",
                "shoulder",
                f"not below join ({self.join:g} mm)",
                "the blades go out and down from the steerer: more than join",
            )


class RakeBendSpec(Model):
    """The bend that takes the blades forward to the axle."""

    above_axle: float = number(
        "Above the axle",
        "Of the bend's corner, along the steering axis",
        low=20,
        high=500,
        example=130,
        default=...,
    )
    radius: float = number(
        "Radius", "Of the bend, on the blades' axes", above=0, high=3000, example=250, default=...
    )


class BladesSpec(Model):
    """Both blades, from the crown to the dropouts; they are laid so that they hit the axle."""

    od: OutsideField = Field(
        TaperSpec(start=25.4, end=16.0),
        title="Outside diameter",
        description="As for a tube, from the crown down; an oval's height is fore and aft [mm]",
        examples=[28.6],
    )
    wall: WallField = Field(
        1.0,
        title="Wall",
        description="As for a tube (1 mm: common practice, no source) [mm]",
        examples=[1.0],
    )
    bend: RakeBendSpec | None = Field(
        None,
        title="Bend",
        description="Left out, the blades are straight below the crown and raked there",
    )
    angle: float | None = number(
        "Angle",
        "Of the blades forward of the steering axis below the crown; left out, 0 with a bend, and "
        "without one what leads straight to the axle",
        low=-20,
        high=30,
        example=3,
        unit="degrees",
    )
    stop_short: float = number(
        "Stop short",
        "How far before the axle they are cut square (common practice, no source)",
        low=5,
        high=150,
        example=26,
        default=26,
    )
    material: MaterialName | None = Field(
        None, title="Material", description="Where it is not the fork's own", examples=["4130"]
    )

    def problems(self) -> Iterator[Problem]:
        """Yield walls that leave no bore."""
        yield from _round_or_oval(self.od)
        yield from _walls(self.od, self.wall)


class ForkDropoutSpec(Model):
    """Both dropouts: plates that the front axle goes through, set into the blades' ends."""

    thickness: float = number(
        "Thickness",
        "Of the plate (common practice, no source)",
        low=2,
        high=25,
        example=6,
        default=6,
    )
    boss: float = number(
        "Boss",
        "Diameter of the plate about the axle (common practice, no source)",
        low=12,
        high=80,
        example=30,
        default=30,
    )
    tang: float = number(
        "Tang",
        "How far the plate goes into the blade, whose end is slotted for it (common practice, no "
        "source)",
        low=0,
        high=80,
        example=10,
        default=10,
    )
    lead: float = number(
        "Lead",
        "Axle ahead of the blades' line",
        low=-20,
        high=40,
        example=0,
        default=0,
    )
    material: MaterialName | None = Field(
        None, title="Material", description="Where it is not the fork's own", examples=["4130"]
    )


class PostMountSpec(Model):
    """A brake mount of two posts behind the left blade, 74 mm apart, for a caliper with two bolts.

    Sizes are values from memory of the post mount that forks have; the brake's own drawing decides.
    Where the caliper comes to lie is not checked.
    """

    kind: Literal["post"] = Field("post", title="Kind", description="post")
    rotor: float = number(
        "Rotor",
        "Diameter of the rotor that it takes without an adaptor",
        low=120,
        high=260,
        example=160,
        default=160,
    )
    stand: float = number(
        "Stand",
        "From the blade's axis back to the posts' faces (value from memory)",
        low=8,
        high=80,
        example=18,
        default=18,
    )
    above_axle: float | None = number(
        "Above the axle",
        "Of the middle between the posts, along the blade; left out, as low as the lower one stands on "
        "the blade. The caliper's drawing says where it reaches the rotor",
        low=10,
        high=300,
        example=74,
    )
    spacing: float = number(
        "Spacing",
        "Between the posts' axes (value from memory of the post mount)",
        low=30,
        high=120,
        example=74,
        default=74.0,
    )
    outward: float | None = number(
        "Outward",
        "Of the posts' axes beside the rotor's middle, toward the blade; left out, they are behind the "
        "blade's own axis. The caliper's drawing says it",
        low=0,
        high=60,
        example=13,
    )
    diameter: float = number(
        "Diameter",
        "Of the posts (common practice, no source)",
        low=8,
        high=30,
        example=14,
        default=14,
    )
    bore: float = number(
        "Bore",
        "Through the posts, drilled for their thread (M6: 5 mm)",
        low=2,
        high=20,
        example=5,
        default=5,
    )

    def problems(self) -> Iterator[Problem]:
        """Yield a bore that leaves no wall."""
        if self.bore > self.diameter - 2:
            yield Problem(
                "inconsistent",
                "bore",
                f"leaves no wall in posts of {self.diameter:g} mm",
                f"at most {self.diameter - 2:g}",
            )


class BuiltForkSpec(Model):
    """A rigid fork that the shop builds: steerer, crown, blades, dropouts, brake mount."""

    steerer: SteererSpec = Field(
        default_factory=lambda: SteererSpec.model_validate({}),
        title="Steerer",
        description="Tube, and the crown race's seat",
    )
    crown: BuiltCrownSpec = Field(
        default_factory=lambda: BuiltCrownSpec.model_validate({}),
        title="Crown",
        description="unicrown or segmented",
    )
    blades: BladesSpec = Field(
        default_factory=lambda: BladesSpec.model_validate({}),
        title="Blades",
        description="Outside, wall, bend",
    )
    dropout: ForkDropoutSpec = Field(
        default_factory=lambda: ForkDropoutSpec.model_validate({}),
        title="Dropouts",
        description="Plates at the axle",
    )
    brake: PostMountSpec | None = Field(
        None, title="Brake mount", description="Left out, there is none"
    )
    material: MaterialName | None = Field(
        None, title="Material", description="Left out, the frame's", examples=["4130"]
    )
    colour: Colour | None = Field(
        None, title="Colour", description="Left out, the frame's, #rrggbb", examples=["#8a5a2b"]
    )


_KEYS = (
    ("tubes.fork_steerer", "steerer"),
    ("tubes.fork_race_seat", "steerer.race_seat"),
    ("tubes.fork_segment", "crown"),
    ("tubes.fork_blade", "blades"),
    ("tubes.fork_post_upper", "brake"),
    ("tubes.fork_post_lower", "brake"),
    ("plates.fork_dropout", "dropout"),
)
_SAID = ("od", "wall")
"""Keys that a tube of the fork has in the file too."""


def said_at(path: str) -> str:
    """Return where the file says what a path of a built fork's own tubes says; others as they are.

    ``tubes.fork_blade.bends.1`` is ``build.fork.built.blades.bend``.
    """
    for own, key in _KEYS:
        if path != own and not path.startswith(f"{own}."):
            continue
        first = path.removeprefix(own).removeprefix(".").split(".")[0]
        said = f"build.fork.built.{key}"
        if first in _SAID and key in ("steerer", "crown", "blades"):
            return said + path.removeprefix(own)
        if first == "bends" and key == "blades" and path.endswith(".1"):
            return f"{said}.bend"
        return said
    return path
