"""Outlines of mating parts: sizes under ``build:`` that only clearances and pictures need.

A part exists if its key is given; each size left out takes its default, which is common
practice without a source unless the field says otherwise.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from frame3d.parameters.models.base import Model, number


class RimSpec(Model):
    """Rim."""

    inner_width: float | None = number(
        "Inner width",
        "Between the rim's flanges; left out, 65 % of the tyre's width below 30 mm and 55 % above",
        low=10,
        high=110,
        example=30,
    )
    depth: float = number(
        "Depth", "From the bead seat inward", low=8, high=120, example=20, default=20
    )


class TreadSpec(Model):
    """Tread that stands out of the tyre's round section: shoulder knobs."""

    width: float = number(
        "Width", "Across the shoulder knobs", low=10, high=150, example=60, default=...
    )
    drop: float = number(
        "Drop",
        "The shoulder knobs' outer edge below the tyre's largest radius",
        low=0,
        high=60,
        example=12,
        default=...,
    )


class CrownSpec(Model):
    """Fork crown: a block under the crown race."""

    height: float = number(
        "Height",
        "From the crown race down to the underside over the tyre, along the steering axis",
        low=10,
        high=150,
        example=25,
        default=25,
    )
    width: float | None = number(
        "Width",
        "Side to side; left out, the legs and 6 mm beyond on either side",
        low=40,
        high=300,
        example=180,
    )
    back: float = number(
        "Back",
        "From the steering axis to the crown's back, which meets the down tube",
        low=10,
        high=100,
        example=30,
        default=30,
    )
    back_width: float | None = number(
        "Back width",
        "Side to side behind the legs' sockets, where the crown narrows to the seat of the race; left "
        "out, the whole width",
        low=30,
        high=300,
        example=90,
    )
    front: float | None = number(
        "Front",
        "From the steering axis to the crown's front; left out, 5 mm ahead of the legs",
        low=10,
        high=150,
        example=50,
    )


class LegsSpec(Model):
    """Fork legs: upper tubes in the crown, lower ones that travel with the wheel."""

    spacing: float | None = number(
        "Spacing",
        "Between the legs' axes; left out, the hub's width and 30 mm (rigid: 10 mm), or without a "
        "hub the tyre's width and 75 mm (rigid: 45 mm)",
        low=50,
        high=250,
        example=140,
    )
    upper: float | None = number(
        "Upper diameter",
        "Of the upper tubes, or of a rigid fork's blades at the crown; left out, 35 (rigid: 28)",
        low=12,
        high=60,
        example=35,
    )
    lower: float | None = number(
        "Lower diameter",
        "Of the lower tubes, or of a rigid fork's blades at the axle; left out, 46 (rigid: 18)",
        low=10,
        high=80,
        example=46,
    )
    lead: float | None = number(
        "Lead",
        "Axle ahead of the legs' axes; left out, 15, or the whole offset where that is less",
        low=-20,
        high=80,
        example=15,
    )
    seal: float = number(
        "Seal",
        "Between the crown's underside and the lower tubes at full travel",
        low=0,
        high=150,
        example=10,
        default=10,
    )


class KnobsSpec(Model):
    """Adjusters on top of the fork's legs."""

    height: float = number(
        "Height", "Above the crown's top", above=0, high=80, example=18, default=18
    )
    diameter: float = number("Diameter", "Of each", low=5, high=60, example=30, default=30)


class ArchSpec(Model):
    """The arch that joins the lower legs over the tyre."""

    radius: float | None = number(
        "Radius",
        "From the front axle to the arch's underside; left out, the bead seat's radius and 72 mm, "
        "room for a tyre of 66 mm",
        low=100,
        high=500,
        example=383,
    )
    thickness: float = number("Thickness", "Of the arch", low=5, high=60, example=22, default=22)


class RearBrakeSpec(Model):
    """Rear brake caliper: a block around the rotor's edge."""

    angle: float | None = number(
        "Angle",
        "From straight ahead of the rear axle upward to the caliper's middle; left out, midway "
        "between chainstay and seatstay, or 20 without them",
        low=-180,
        high=180,
        example=18,
        unit="degrees",
    )
    length: float = number(
        "Length", "Along the rotor's edge", low=20, high=150, example=60, default=60
    )
    depth: float = number(
        "Depth", "Along the rotor's radius", low=15, high=100, example=36, default=36
    )
    overhang: float = number(
        "Overhang",
        "How far the caliper stands out beyond the rotor's edge",
        low=0,
        high=60,
        example=12,
        default=12,
    )
    inner: float = number(
        "Inner side", "From the rotor toward the wheel", low=5, high=60, example=16, default=16
    )
    outer: float = number(
        "Outer side", "From the rotor toward the dropout", low=5, high=60, example=14, default=14
    )
    mount_rotor: float | None = number(
        "Mount's rotor",
        "Diameter of the rotor that the frame's brake mount takes without an adaptor",
        low=120,
        high=260,
        example=160,
    )


class SaddleSpec(Model):
    """Saddle, rails included."""

    length: float = number("Length", "Nose to tail", low=120, high=400, example=260, default=260)
    width: float = number("Width", "Across the tail", low=60, high=350, example=145, default=145)
    height: float = number(
        "Height", "From the rails to the top", low=20, high=150, example=55, default=55
    )
    forward: float = number(
        "Forward",
        "The saddle's middle ahead of the seatpost's axis; negative is behind",
        low=-100,
        high=100,
        example=10,
        default=0,
    )
    rails: float | None = number(
        "Rails",
        "How far the seatpost's clamp may be moved along the rails in all; their middle is taken under "
        "the saddle's middle. Given, front_load is checked with the saddle rearmost, as its rule asks",
        low=0,
        high=150,
        example=60,
    )


class LeversSpec(Model):
    """Brake levers: a block ahead of the grips that holds lever and clamp in every position."""

    from_end: float = number(
        "From the end",
        "From the bar's end to the clamp's inner side",
        low=40,
        high=400,
        example=170,
        default=170,
    )
    span: float | None = number(
        "Span",
        "Along the bar; left out, 130, or 45 on a drop bar",
        low=20,
        high=250,
        example=130,
    )
    reach: float = number("Reach", "Ahead of the bar", low=20, high=150, example=75, default=75)
    thickness: float = number(
        "Thickness", "Square to reach and bar", low=10, high=80, example=30, default=30
    )
    angle: float = number(
        "Angle",
        "Below level",
        low=-90,
        high=120,
        example=30,
        unit="degrees",
        default=30,
    )


class ShoeSpec(Model):
    """Shoes: sizes beside their length, which stands with the rider."""

    width: float | None = number(
        "Width", "Across the ball; left out, 0.36 of the length", low=40, high=160, example=104
    )
    heel_width: float | None = number(
        "Heel width", "Across the heel; left out, 0.27 of the length", low=30, high=140, example=78
    )
    ball: float | None = number(
        "Ball",
        "From the toe's tip back to the pedal's axle; left out, 0.28 of the length",
        low=20,
        high=250,
        example=81,
    )
    sole: float = number(
        "Sole",
        "From the foot to the pedal's axle: sole, cleat and half the pedal",
        low=0,
        high=80,
        example=30,
        default=30,
    )
    toe_height: float = number(
        "Toe height", "Of the fore foot above the pedal", low=20, high=120, example=50, default=50
    )
    heel_height: float = number(
        "Heel height", "Of the heel above the pedal", low=20, high=200, example=70, default=70
    )


class BottleSpec(Model):
    """A bottle with its cage, on a tube."""

    on: str = Field(..., title="On", description="The tube that carries it", examples=["down_tube"])
    from_start: float = number(
        "From the start",
        "From the tube's start to the bottle's nearer end, along the tube",
        low=0,
        high=1500,
        example=250,
        default=...,
    )
    side: Literal["top", "bottom", "front", "rear"] = Field(
        "top",
        title="Side",
        description="Of the tube; front is the same as top on a tube that leans back",
    )
    diameter: float = number("Diameter", "Of the bottle", low=30, high=150, example=74, default=74)
    length: float = number(
        "Length", "Of the bottle, cap included", low=50, high=400, example=190, default=190
    )
    standoff: float = number(
        "Standoff",
        "Between tube and bottle: the cage",
        low=0,
        high=100,
        example=12,
        default=12,
    )
