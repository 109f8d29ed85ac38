"""Custom bodies: outlines that the user gives, ``build.bodies`` in the parameter file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final, Literal

from pydantic import Field, Strict

from frame3d.parameters.models.base import Colour, Model, Problem, number
from frame3d.parameters.models.names import LinkName

_Coordinate = Annotated[float, Field(ge=-3000, le=3000)]
_Triple = Annotated[tuple[_Coordinate, _Coordinate, _Coordinate], Strict(False)]
_Size = Annotated[float, Field(gt=0, le=2000)]
_Sizes = Annotated[tuple[_Size, _Size, _Size], Strict(False)]
_Corner = Annotated[tuple[_Coordinate, _Coordinate], Strict(False)]

SIZES: Final[dict[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "capsule": (("diameter", "length"), ("end_diameter",)),
    "cylinder": (("diameter", "length"), ("end_diameter",)),
    "box": (("size",), ("rounding", "forward")),
    "ring": (("profile",), ()),
    "disc": (("profile",), ()),
}
"""Kind -> required keys, and optional keys."""
FIXED: Final = (
    "frame",
    "steering",
    "fork",
    "crank",
    "left_pedal",
    "right_pedal",
    "left_shoe",
    "right_shoe",
)
"""Bodies to which a custom body may be fixed on every bike."""


class SpareSpec(Model):
    """A body of the user's own, in millimetres from the bottom bracket's centre.

    It stands where the bike is as drawn: fork extended, steering straight, left crank ahead.
    """

    kind: Literal["capsule", "cylinder", "box", "ring", "disc"] = Field(
        ...,
        title="Kind",
        description="capsule: a bar with round ends; cylinder: with flat ones; ring, disc: a profile "
        "turned about the axis, a disc reaching the axis",
        examples=["capsule"],
    )
    at: _Triple = Field(
        ...,
        title="At",
        description="Where it starts along its axis, a box its middle: x, y, z [mm]",
        examples=[[-120, 0, 260]],
    )
    axis: _Triple = Field(
        (0.0, 0.0, 1.0),
        title="Axis",
        description="Direction of its axis, a box's own height; any length",
        examples=[[1, 0, 0.5]],
    )
    forward: _Triple | None = Field(
        None,
        title="Forward",
        description="Direction of a box's first size, as near as square to the axis allows; left out, "
        "forward",
    )
    diameter: float | None = number(
        "Diameter", "Of a capsule or cylinder", above=0, high=1000, example=40
    )
    end_diameter: float | None = number(
        "End diameter", "At its other end, where it tapers", above=0, high=1000, example=30
    )
    length: float | None = number(
        "Length",
        "Of a cylinder, or between the centres of a capsule's ends",
        above=0,
        high=2000,
        example=210,
    )
    size: _Sizes | None = Field(
        None,
        title="Size",
        description="Of a box: along `forward`, sideways, along its axis [mm]",
        examples=[[60, 40, 20]],
    )
    rounding: float = number(
        "Rounding", "Of a box's edges and corners", low=0.5, high=500, example=3, default=2
    )
    profile: Annotated[tuple[_Corner, ...], Strict(False)] | None = Field(
        None,
        title="Profile",
        description="Corners of a ring or disc, in order round a convex outline: radius, and distance "
        "along the axis [mm]",
        min_length=2,
        max_length=40,
        examples=[[[0, -5], [30, -5], [30, 5], [0, 5]]],
    )
    fixed_to: LinkName = Field(
        "frame",
        title="Fixed to",
        description=f"What it moves with: {', '.join(FIXED)}, or a link of the rear suspension; fork is "
        "what travels with the front wheel",
        examples=["fork"],
    )
    touches: Annotated[tuple[str, ...], Strict(False)] = Field(
        (),
        title="Touches",
        description="Bodies that it touches on purpose, by name; what it is fixed to need not be named",
        max_length=60,
        examples=[["saddle"]],
    )
    pair: bool = Field(
        False, title="Pair", description="Left as written and right as its mirror image"
    )
    colour: Colour = Field("#8a8f98", title="Colour", description="In pictures, #rrggbb")

    def problems(self) -> Iterator[Problem]:
        """Yield problems of missing sizes, and of sizes that its kind does not have."""
        wanted, taken = SIZES[self.kind]
        for key in wanted:
            if getattr(self, key) is None:
                yield Problem(
                    "missing-key", key, f"missing: a {self.kind} has one", f"a {self.kind} asks for "
                    f"{' and '.join(wanted)}"
                )  # fmt: skip
        for key in ("diameter", "end_diameter", "length", "size", "rounding", "profile", "forward"):
            if key not in (*wanted, *taken) and getattr(self, key) not in (None, 2.0):
                yield Problem(
                    "inconsistent",
                    key,
                    f"a {self.kind} has none",
                    f"a {self.kind} takes {', '.join((*wanted, *taken))}",
                )
        if not any(self.axis):
            yield Problem("inconsistent", "axis", "has no direction", "e.g. axis: [0, 0, 1]")
        if self.size is not None and 2 * self.rounding > min(self.size):
            yield Problem(
                "inconsistent",
                "rounding",
                "more than half of the smallest size",
                f"at most {min(self.size) / 2:g}",
            )
        if self.pair and self.fixed_to in FIXED[3:]:
            yield Problem(
                "inconsistent",
                "pair",
                "left and right do not move alike there",
                "write two bodies, one fixed to the left and one to the right",
            )
