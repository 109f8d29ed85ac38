"""The tubes of the frame: ``tubes:`` in the parameter file."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from frame3d.spec.base import Model, number

Side = Literal["left", "right"]


class JunctionSpec(Model):
    """Where a tube's end sits: on another tube, a shell, an axle, a node, or at a free point.

    On a tube exactly one of `below_top`, `above_bottom`, `from_start`, `from_end` and `angle`
    places the end. A tube runs from its start to its end; for head and seat tube the start is the
    bottom and the end is the top.
    """

    on: str | None = Field(
        None,
        title="On",
        description="Name of a tube, or bottom_bracket, rear_dropout, rear_axle, front_axle or "
        "another node",
        examples=["head_tube"],
    )
    at: tuple[float, float, float] | None = Field(
        None,
        title="At",
        description="A free point x, y, z from the bottom bracket centre [mm]",
        examples=[[-200, 0, 150]],
    )
    side: Side | None = Field(
        None,
        title="Side",
        description="Which one of a pair; left out, a pair's own side is meant",
    )
    below_top: float | None = number(
        "Below top", "Along the target's axis, below its top", low=-200, high=1500, example=40
    )
    above_bottom: float | None = number(
        "Above bottom", "Along the target's axis, above its bottom", low=-200, high=1500, example=32
    )
    from_start: float | None = number(
        "From start", "Along the target's axis, from its start", low=-200, high=1500, example=60
    )
    from_end: float | None = number(
        "From end", "Along the target's axis, from its end", low=-200, high=1500, example=60
    )
    angle: float | None = number(
        "Angle",
        "Between this tube, looking away from the junction, and the target's axis toward its top "
        "(or end)",
        low=5,
        high=175,
        example=78,
        unit="degrees",
    )
    y: float | None = number(
        "Lateral position",
        "Of this end from the centre plane, positive to the rider's left",
        low=-200,
        high=200,
        example=29,
    )
    forward: float = number(
        "Forward",
        "Of this end ahead of the axle or node",
        low=-400,
        high=400,
        example=25,
        default=0,
    )
    above: float = number(
        "Above", "Of this end above the axle or node", low=-400, high=400, example=10, default=0
    )
    stop_short: float = number(
        "Stop short",
        "How far before the axle or node the tube is cut square",
        low=0,
        high=300,
        example=28,
        default=0,
    )
    cut: Literal["mitre", "square"] | None = Field(
        None,
        title="Cut",
        description="mitre on a tube or shell, square elsewhere, unless said otherwise",
    )


class BendSpec(Model):
    """A bend: a corner of the tube's axis, rounded by the bend radius."""

    along: float = number(
        "Along",
        "Of the corner, along the straight line from start to end",
        above=0,
        high=1500,
        example=110,
        default=...,
    )
    y: float | None = number(
        "Lateral position",
        "Of the corner from the centre plane; left out, it stays on the straight line",
        low=-200,
        high=200,
        example=37,
    )
    rise: float = number(
        "Rise",
        "Of the corner above the straight line, square to it in the upright plane",
        low=-400,
        high=400,
        example=15,
        default=0,
    )
    radius: float = number(
        "Radius", "Bend radius of the axis", above=0, high=5000, example=180, default=...
    )


class OvalSpec(Model):
    """An oval (elliptic) section."""

    height: float = number(
        "Height", "Across the tube in its upright plane", above=0, high=150, example=30, default=...
    )
    width: float = number(
        "Width", "Across the tube, sideways", above=0, high=150, example=17, default=...
    )


Size = float | OvalSpec


class TaperSpec(Model):
    """A section that runs evenly from start to end."""

    start: Size = Field(
        ..., title="At the start", description="Diameter, or oval [mm]", examples=[61]
    )
    end: Size = Field(..., title="At the end", description="Diameter, or oval [mm]", examples=[50])


class ButtedSpec(Model):
    """A wall that is thicker toward an end.

    Two thicknesses (single butted): the first holds for `lengths[0]` from the start. Three (double,
    or triple butted where both ends differ): start butt `lengths[0]`, end butt `lengths[1]`.
    Lengths are measured from the cut ends of the tube, each at its long point; `transition` follows
    each butt.
    """

    butted: tuple[float, float] | tuple[float, float, float] = Field(
        ...,
        title="Wall thicknesses",
        description="From start to end [mm]",
        examples=[[0.9, 0.6, 0.9]],
    )
    lengths: tuple[float] | tuple[float, float] = Field(
        ..., title="Butt lengths", description="Of start and end butt [mm]", examples=[[90, 120]]
    )
    transition: float = number(
        "Transition",
        "Length of each taper between thicknesses",
        above=0,
        high=300,
        example=50,
        default=...,
    )


class TubeSpec(Model):
    """A tube: where its ends sit, its section, its wall.

    `head_tube` and `seat_tube` take their axes from the chart.
    """

    start: JunctionSpec | None = Field(None, title="Start", description="Where the tube starts")
    end: JunctionSpec | None = Field(None, title="End", description="Where the tube ends")
    pair: bool = Field(
        False, title="Pair", description="Left as written and right as its mirror image"
    )
    bends: tuple[BendSpec, ...] = Field((), title="Bends", description="From start to end")
    od: Size | TaperSpec = Field(
        ...,
        title="Outside diameter",
        description="Number, oval, or start and end [mm]",
        examples=[38.1],
    )
    wall: float | ButtedSpec | Literal["solid"] = Field(
        ..., title="Wall", description="Thickness, butts, or solid [mm]", examples=[0.8]
    )
    material: str | None = Field(
        None, title="Material", description="Where it is not the frame's own", examples=["4130"]
    )
    colour: str | None = Field(
        None,
        title="Colour",
        description="Of this tube in STEP, 3MF and GLB, #rrggbb",
        pattern=r"^#[0-9a-fA-F]{6}$",
        examples=["#3b5b7a"],
    )
