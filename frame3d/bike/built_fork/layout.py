"""What a built fork measures, and what in the file contradicts it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from frame3d.bike.steerer import steerer_of
from frame3d.errors import Fault, TubeError
from frame3d.geometry.vector import Point, Vector
from frame3d.parameters.models.forks.built import BuiltForkSpec
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import HubSpec
from frame3d.parameters.models.profiles import height_and_width, sizes
from frame3d.parameters.sizes import standards

SLOPE = 0.8
"""How far the blades of a unicrown go down for each mm outward above the shoulder, where the file does
not say; common practice, no source."""
UNDER = 2.0
"""Room between the race's shoulder and what is mitred to the steerer below it [mm]; common practice, no
source."""
PAST = 3.0
"""How far the steerer goes on below what is mitred to it [mm]; common practice, no source."""
SEAT_OVER = 1.4
"""How much wider the crown race's seat is than the steerer [mm]: 30.0 on 28.6 (SHIS)."""
SEGMENT_OD, SEGMENT_WALL = 28.6, 1.6
SPREAD = 10.0
"""Spacing of the blades beyond the hub's width, where the file does not say [mm]; as of bought forks."""
PROUD = 1.0
"""How far a dropout's tang stands out of the blade on either side, to be filed flush [mm]; common
practice, no source."""
MOST_OF_BLADE = 0.6
"""Thickest plate that a blade may be slotted for, as a share of its width there."""
DIGITS = 9
"""Decimals of what is taken from the bike [mm], so that a fork is the same to the last bit wherever the
bike stands."""
_TURN, _SIZE = 0.01, 0.3


@dataclass(frozen=True)
class ForkLayout:
    """What a built fork measures: x down from the crown race, y left, z forward [mm]."""

    steerer: float
    """Length above the crown race."""
    below: float
    """Length of the steerer below the crown race."""
    seat: float
    """Diameter of the crown race's seat."""
    join: float
    """Of what is mitred to the steerer, below the crown race."""
    top: Vector
    """Where the left blade leaves the crown: its shoulder's corner, or on its segment, (3,)."""
    bend: Vector | None
    """Corner of the bend forward, (3,); None where the blades are straight."""
    foot: Vector
    """Where the left blade's line ends, beside the axle, (3,)."""
    axle: Vector
    """Middle of the axle, (3,)."""
    lean: float
    """Angle of the blades forward of the steering axis below the crown [degrees]."""


def layout_of(
    spec: FrameSpec, nodes: Mapping[str, Point], chart: Mapping[str, float | None]
) -> ForkLayout:
    """Return what the built fork of a solved bike measures.

    Raises:
        TubeError: values that contradict one another or the bike, each named with its counterpart.
    """
    fork = spec.build.fork
    assert fork is not None
    assert fork.built is not None
    faults: list[Fault] = []
    built, angle = fork.built, chart["head_tube_angle"]
    assert angle is not None
    turn = math.radians(angle)
    race, axle = nodes["crown_race"], nodes["front_axle"]
    dx, dz = axle[0] - race[0], axle[2] - race[2]
    drop = round(dx * math.cos(turn) - dz * math.sin(turn), DIGITS)
    offset = round(dx * math.sin(turn) + dz * math.cos(turn), DIGITS)
    steerer = steerer_of(spec, nodes, chart).length
    assert steerer is not None  # held by the spec
    steerer = round(steerer, DIGITS)
    hub = hub_of(spec)
    half = (hub.width + SPREAD if built.crown.spacing is None else built.crown.spacing) / 2
    under = built.steerer.race_seat.shoulder_height + UNDER
    radius = steerer_od(built) / 2
    size = top_size(built)
    crown = built.crown
    if crown.kind == "unicrown":
        slope = SLOPE
        if crown.shoulder is not None and crown.join is not None:
            slope = (crown.shoulder - crown.join) / half
        across = size / 2 * math.hypot(1.0, slope)
        join = under + across - slope * radius if crown.join is None else crown.join
        if crown.shoulder is not None and crown.join is None:
            join = min(join, crown.shoulder - 0.1 * half)
        down = join + SLOPE * half if crown.shoulder is None else crown.shoulder
        slope = (down - join) / half
    else:
        slope = (0.0 if crown.drop is None else crown.drop) / half
        across = _segment_size(built) / 2 * math.hypot(1.0, slope)
        join = under + across - slope * radius if crown.join is None else crown.join
        down = join + slope * half
    lowest = join + max(slope, 0.0) * radius + size / 2 * math.hypot(1.0, slope) + PAST
    if crown.kind == "segmented":
        lowest = join + max(slope, 0.0) * radius + across + PAST
    below = lowest if built.steerer.below is None else built.steerer.below
    if below < join:
        faults.append(
            spec.fault(
                "inconsistent",
                "build.fork.built.steerer.below",
                f"the steerer ends {below:g} mm below the crown race, and what is mitred to it meets "
                f"its axis {join:.1f} mm below (crown.join)",
                f"at least {lowest:.1f}, or leave it out",
            )
        )
    top = np.array([down, half, 0.0])
    foot = np.array(
        [drop, hub.width / 2 + built.dropout.thickness / 2, offset - built.dropout.lead]
    )
    bend, lean = _bend(spec, built, top, foot, faults)
    faults += _misfits(spec, built)
    if faults:
        raise TubeError(faults)
    return ForkLayout(
        steerer=steerer,
        below=below,
        seat=seat_of(spec, built),
        join=join,
        top=top,
        bend=bend,
        foot=foot,
        axle=np.array([drop, 0.0, offset]),
        lean=lean,
    )


def hub_of(spec: FrameSpec) -> HubSpec | standards.Hub:
    """Return the front hub, which a built fork's dropouts are made for."""
    wheel = spec.build.front_wheel
    assert wheel is not None
    assert wheel.hub is not None
    return wheel.hub if isinstance(wheel.hub, HubSpec) else standards.hub(wheel.hub)


def seat_of(spec: FrameSpec, built: BuiltForkSpec) -> float:
    """Return the diameter of the crown race's seat [mm]."""
    given = built.steerer.race_seat.diameter
    asked = _headset_fit(spec, "lower")
    if given is not None:
        return given
    return steerer_od(built) + SEAT_OVER if asked is None else asked


def _headset_fit(spec: FrameSpec, key: str) -> float | None:
    """Return the diameter that a headset's code asks of the fork at one end [mm]; None without one."""
    headset = spec.build.headset
    code = None if headset is None else getattr(headset, key)
    if not isinstance(code, str):
        return None
    fits = standards.cup(code).fits
    return standards.CROWN_SEATS[fits] if key == "lower" and fits is not None else fits


def _misfits(spec: FrameSpec, built: BuiltForkSpec) -> Iterator[Fault]:
    """Yield faults of a fork that does not fit headset, hub, or its own dropouts."""
    at = "build.fork.built"
    asked, seat = _headset_fit(spec, "lower"), built.steerer.race_seat.diameter
    if asked is not None and seat is not None and abs(asked - seat) > _SIZE:
        yield spec.fault(
            "inconsistent",
            f"{at}.steerer.race_seat.diameter",
            f"a seat of {seat:g} mm, and the lower headset (build.headset.lower) sits on {asked:g}",
            "leave it out, or another headset",
        )
    asked, top = _headset_fit(spec, "upper"), _steerer_top(built)
    if asked is not None and abs(asked - top) > _SIZE:
        yield spec.fault(
            "inconsistent",
            f"{at}.steerer.od",
            f"the steerer is {top:g} mm wide at its top, and the upper headset (build.headset.upper) is "
            f"for {asked:g}",
            f"od: {asked:g}, or another headset",
        )
    hub, dropout = hub_of(spec), built.dropout
    if dropout.boss < hub.axle + 4.0:
        yield spec.fault(
            "section",
            f"{at}.dropout.boss",
            f"{dropout.boss:g} mm leaves {(dropout.boss - hub.axle) / 2:.1f} mm around an axle of "
            f"{hub.axle:g} mm",
            f"at least {hub.axle + 4.0:g}",
        )
    if built.blades.stop_short < dropout.boss / 2:
        yield spec.fault(
            "inconsistent",
            f"{at}.blades.stop_short",
            f"the blades end {built.blades.stop_short:g} mm before the axle, within the dropout's boss "
            f"of {dropout.boss:g} mm (dropout.boss)",
            f"at least {dropout.boss / 2:g}, or a smaller boss",
        )
    if dropout.thickness > MOST_OF_BLADE * _foot_width(built):
        yield spec.fault(
            "inconsistent",
            f"{at}.dropout.thickness",
            f"a plate of {dropout.thickness:g} mm does not go into blades that are "
            f"{_foot_width(built):g} mm wide at their ends (blades.od)",
            "a thinner plate, or wider blades",
        )


def _bend(
    spec: FrameSpec, built: BuiltForkSpec, top: Vector, foot: Vector, faults: list[Fault]
) -> tuple[Vector | None, float]:
    """Return the corner of the bend forward, and the blades' lean above it [degrees]."""
    blades, at = built.blades, "build.fork.built.blades"
    room = float(foot[0] - top[0])
    if room <= blades.stop_short + 20.0:
        faults.append(
            spec.fault(
                "inconsistent",
                "build.fork.built.crown",
                f"the blades leave the crown {top[0]:.1f} mm below the crown race, and the axle is "
                f"{foot[0]:.1f} mm below it along the steering axis (build.fork.axle_to_crown)",
                "a lower crown.join and crown.shoulder, or a longer fork",
            )
        )
        return None, 0.0
    if blades.bend is None:
        lean = math.degrees(math.atan2(foot[2] - top[2], room))
        if blades.angle is not None and abs(blades.angle - lean) > _TURN:
            reached = top[2] + room * math.tan(math.radians(blades.angle)) + built.dropout.lead
            faults.append(
                spec.fault(
                    "inconsistent",
                    f"{at}.angle",
                    f"straight blades at {blades.angle:g}° give this axle to crown an offset of "
                    f"{reached:.2f} mm, and the fork's offset is "
                    f"{foot[2] + built.dropout.lead:.2f} (build.fork.offset)",
                    f"leave angle out ({lean:.2f}° leads to the axle), or give the blades a bend",
                )
            )
        return None, lean
    above = blades.bend.above_axle
    lean = 0.0 if blades.angle is None else blades.angle
    if above >= room:
        faults.append(
            spec.fault(
                "inconsistent",
                f"{at}.bend.above_axle",
                f"a bend {above:g} mm above the axle lies above the crown, which the blades leave "
                f"{room:.1f} mm above the axle with this axle to crown (build.fork.axle_to_crown)",
                f"less than {room:.0f}",
            )
        )
    x = foot[0] - above
    share = (x - top[0]) / room
    z = top[2] + (x - top[0]) * math.tan(math.radians(lean))
    return np.array([x, top[1] + share * (foot[1] - top[1]), z]), lean


def steerer_od(built: BuiltForkSpec) -> float:
    """Return the steerer's outside diameter at its lower end [mm]."""
    return float(height_and_width(sizes(built.steerer.od)[0][1])[0])


def _steerer_top(built: BuiltForkSpec) -> float:
    """Return the steerer's outside diameter at its upper end [mm]."""
    return float(height_and_width(sizes(built.steerer.od)[-1][1])[0])


def top_size(built: BuiltForkSpec) -> float:
    """Return the blades' largest size at the crown [mm]."""
    return float(max(height_and_width(sizes(built.blades.od)[0][1])))


def _foot_width(built: BuiltForkSpec) -> float:
    """Return the blades' width at the axle, side to side [mm]."""
    return float(height_and_width(sizes(built.blades.od)[-1][1])[1])


def _segment_size(built: BuiltForkSpec) -> float:
    """Return the segments' largest size at the steerer [mm]."""
    od = SEGMENT_OD if built.crown.od is None else built.crown.od
    return float(max(height_and_width(sizes(od)[0][1])))


def tang_half(built: BuiltForkSpec) -> float:
    """Return half the width of the dropouts' tang: a little more than the blade's, fore and aft [mm]."""
    return float(height_and_width(sizes(built.blades.od)[-1][1])[0]) / 2 + PROUD
