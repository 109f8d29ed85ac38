"""The chart figures: every one may be given or left open."""

from __future__ import annotations

from frame3d.parameters.models.base import Model, number

MM = float | None


class GeometrySpec(Model):
    r"""Chart figures that the file fixes; what it leaves open is solved.

    Side view, origin at the bottom bracket (BB), x forward, z up::

                 saddle *                    * head_tube_top (reach, stack)
                         \  effective_top_tube \
                          \-------------------- \ head_tube_length
              seat_tube_top *                     * head_tube_bottom
                             \                    + crown_race (lower_headset_stack)
                 chainstay    \                     \
        rear_axle *------------* BB      front_centre  \ fork_axle_to_crown
                                                        `-* front_axle (fork_offset)
        ---- rear_contact --- wheelbase ---------------- front_contact ---- ground
    """

    reach: MM = number(
        "Reach",
        "Horizontally from the bottom bracket to the top of the head tube",
        low=50,
        high=800,
        example=455,
    )
    stack: MM = number(
        "Stack",
        "Vertically from the bottom bracket to the top of the head tube",
        low=100,
        high=1000,
        example=620,
    )
    head_tube_angle: MM = number(
        "Head tube angle",
        "Steering axis against the ground",
        low=45,
        high=90,
        example=65.5,
        unit="degrees",
    )
    head_tube_length: MM = number(
        "Head tube length", "Head tube, end face to end face", low=30, high=400, example=115
    )
    effective_seat_tube_angle: MM = number(
        "Effective seat tube angle",
        "Line from the bottom bracket to the seatpost axis, taken at the height of the head tube's "
        "top, or at the saddle where build.seatpost.saddle_height is given",
        low=50,
        high=95,
        example=76,
        unit="degrees",
    )
    effective_seat_tube_angle_at_stack: MM = number(
        "Effective seat tube angle at stack height",
        "Line from the bottom bracket to the seatpost axis, taken at the height of the head tube's "
        "top whatever the saddle height",
        low=50,
        high=95,
        example=75.5,
        unit="degrees",
    )
    actual_seat_tube_angle: MM = number(
        "Actual seat tube angle",
        "Seat tube axis against the ground",
        low=45,
        high=95,
        example=74,
        unit="degrees",
    )
    seat_tube_length: MM = number(
        "Seat tube length",
        "Along the seat tube axis from the bottom bracket (its foot on the axis) to the tube's top",
        low=50,
        high=900,
        example=430,
    )
    seat_tube_offset: MM = number(
        "Seat tube offset",
        "From the bottom bracket centre to the seat tube axis, square to it, positive forward",
        low=-150,
        high=150,
        example=0,
    )
    effective_top_tube: MM = number(
        "Effective top tube",
        "Horizontally from the top of the head tube to the seatpost axis",
        low=100,
        high=900,
        example=610,
    )
    chainstay_length: MM = number(
        "Chainstay length",
        "Straight from the bottom bracket to the rear axle",
        low=50,
        high=900,
        example=435,
    )
    front_centre: MM = number(
        "Front centre",
        "Straight from the bottom bracket to the front axle",
        low=200,
        high=1100,
        example=770,
    )
    wheelbase: MM = number(
        "Wheelbase",
        "Horizontally between the points where the wheels touch the ground",
        low=400,
        high=2500,
        example=1210,
    )
    bb_drop: MM = number(
        "Bottom bracket drop",
        "How far the bottom bracket lies below the rear axle",
        low=-200,
        high=400,
        example=40,
    )
    bb_height: MM = number(
        "Bottom bracket height",
        "Bottom bracket centre above the ground",
        low=50,
        high=600,
        example=332,
    )
    fork_axle_to_crown: MM = number(
        "Fork axle to crown",
        "Along the steering axis from the crown race to the foot of the perpendicular from the "
        "front axle",
        low=150,
        high=750,
        example=529,
    )
    fork_offset: MM = number(
        "Fork offset",
        "From the steering axis to the front axle, square to the axis, positive forward",
        low=-50,
        high=150,
        example=44,
    )
    lower_headset_stack: MM = number(
        "Lower headset stack",
        "Along the steering axis from the bottom of the head tube to the crown race",
        low=0,
        high=60,
        example=4,
    )
    front_wheel_radius: MM = number(
        "Front wheel radius",
        "Front axle above the ground",
        low=100,
        high=500,
        example=372,
    )
    rear_wheel_radius: MM = number(
        "Rear wheel radius",
        "Rear axle above the ground",
        low=100,
        high=500,
        example=372,
    )
    trail: MM = number(
        "Trail",
        "On the ground, from the steering axis back to the front contact point",
        low=-200,
        high=400,
        example=120,
    )
    mechanical_trail: MM = number(
        "Mechanical trail",
        "From the front contact point to the steering axis, square to it",
        low=-200,
        high=400,
        example=110,
    )
    wheel_flop: MM = number(
        "Wheel flop",
        "Trail times sine times cosine of the head tube angle: a measure of how readily the front "
        "drops as the bar turns, not the drop itself; the front would drop by it at 90° of turn if "
        "the tyre kept its contact point, a round wheel drops less, and at 10° by about 1.5 % of it",
        low=-100,
        high=200,
        example=46,
    )
    standover: MM = number(
        "Standover over the bottom bracket",
        "Ground to the upper edge of the tube named top_tube, straight above the bottom bracket",
        low=200,
        high=1200,
        example=720,
    )
    standover_mid_tube: MM = number(
        "Standover at mid-tube",
        "Ground to the upper edge of the tube named top_tube, straight above the middle of its axis",
        low=200,
        high=1200,
        example=770,
    )


FIGURES: tuple[str, ...] = tuple(GeometrySpec.model_fields)
"""Names of the chart figures, in the order in which charts list them."""


STANDOVERS: tuple[str, ...] = ("standover", "standover_mid_tube")
"""The figures that need a top tube."""


def unit(figure: str) -> str:
    """Return the unit of a chart figure: ``mm`` or ``degrees``."""
    extra = GeometrySpec.model_fields[figure].json_schema_extra
    assert isinstance(extra, dict)
    return str(extra["unit"])


def title(figure: str) -> str:
    """Return the title of a chart figure."""
    return GeometrySpec.model_fields[figure].title or figure
