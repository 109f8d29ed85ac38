"""Angles of the seated rider as bands: the knee at the lowest pedal, and the trunk.

Only what follows from the bike is told. Elbows, and knees of a rider who stands, are put into the
postures, so they are no results.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.rider.contacts import saddle_at
from frame3d.rider.leg import distance_at, flexion, flexion_rate
from frame3d.rider.on_bike import BodyOnBike, body_on_bike
from frame3d.rider.postures import seated

USUAL_KNEE: Final = (25.0, 35.0)
"""Flexion at the lowest pedal that is recommended, measured standing still [degrees] (Peveler et al.
2005, JEPonline 8(1), 51-55, abstract: 25 to 35°)."""

SADDLE_STEP = 10.0
"""Change of the saddle height that a change of the knee angle is told for [mm]."""
CRANK_STEP = 5.0
"""The same of the cranks [mm], shorter."""

KNEE_ERRORS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "10 mm in the height of the hip over the saddle": 4.1,
        "2 % in the length of the leg": 6.0,
        "10° in the slope of the foot": 6.5,
        "10 mm in the thickness of the sole": 3.7,
    }
)
"""How far each of what is not known of a rider moves the knee angle [degrees], derived with this model
on usual bikes; how little is known of each is common practice, no source."""

MEASURED_KNEE_ERRORS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "3° in reading the angle at the knee": 3.0,
        "leg taken as lying in the side view": 2.2,
        "3° in the slope of the foot from one day to the next": 2.0,
    }
)
"""What is left once the rider's knee was measured [degrees]. The second is published (an abstract of
2014: measured in a plane, knees want 2.2° more); the others are common practice, no source."""

TRUNK_ERROR = 5.0
"""Of the trunk's angle [degrees]: what 4 % in the stretch of the arms or 2 % in the length of the trunk
make; common practice, no source."""


@dataclass(frozen=True, slots=True)
class AngleBand:
    """An angle that is known to within so much [degrees]."""

    middle: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class RiderAngles:
    """Angles of the seated rider, and whether the legs reach."""

    legs_reach: bool
    """Whether the foot reaches the pedal at its lowest, the heel as far up as the file says."""
    knee_angle: AngleBand | None
    """Flexion with the pedal straight below the bottom bracket, 0 for a straight leg [degrees]; None
    where the leg does not reach."""
    knee_measured: bool
    """Whether a measured knee angle calibrates it."""
    knee_per_saddle_degrees: float | None
    """Change of the knee angle for a saddle 10 mm higher, `SADDLE_STEP`, by the slope here [degrees]."""
    knee_per_crank_degrees: float | None
    """Change of the knee angle for cranks 5 mm shorter, `CRANK_STEP`, by the slope here [degrees]."""
    usual_saddle_heights: tuple[float, float] | None
    """Saddle heights at which this body's knee would have the upper and the lower of `USUAL_KNEE`
    [mm]."""
    usual_saddle_within: float | None
    """By how much they may be higher or lower: what makes the knee angle's error, in steps of 5 [mm]."""
    trunk_angle: AngleBand | None
    """Trunk above level [degrees]; None where the rider does not reach the grips."""
    assumptions: tuple[str, ...]


def within(angle: float, error: float) -> AngleBand:
    """Return an angle and how much it may be less or more [degrees]; none is below 0."""
    return AngleBand(angle, max(angle - error, 0.0), angle + error)


def knee_error(measured: bool) -> float:
    """Return how well a knee angle is known: root sum square of its errors, whole degrees."""
    errors = MEASURED_KNEE_ERRORS if measured else KNEE_ERRORS
    return float(round(math.hypot(*errors.values())))


def rider_angles(
    spec: FrameSpec,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    hip_height: float | None = None,
) -> RiderAngles | None:
    """Return the angles of the seated rider; None without rider, its size, or grips.

    Args:
        spec: the file.
        nodes: named points of the bike as it stands [mm].
        chart: its figures [mm and degrees].
        hip_height: `Rider.hip_height`, where it is known from another stance of the bike [mm].

    Raises:
        SpecError: the inseam is that of no body, or no leg has the measured knee angle.
    """
    on = body_on_bike(spec, nodes, chart, hip_height)
    rider = spec.build.rider
    if on is None or rider is None:
        return None
    measured = rider.knee_angle is not None
    knee, rates = knee_at_lowest(on), knee_rates(on)
    error = knee_error(measured)
    return RiderAngles(
        legs_reach=knee is not None,
        knee_angle=None if knee is None else within(knee, error),
        knee_measured=measured,
        knee_per_saddle_degrees=None if rates is None else SADDLE_STEP * rates[0],
        knee_per_crank_degrees=None if rates is None else -CRANK_STEP * rates[1],
        usual_saddle_heights=_usual_saddles(on),
        usual_saddle_within=_saddle_error(on, error),
        trunk_angle=_trunk(on),
        assumptions=(
            f"heel {rider.heel_up:g}° up, {on.sole:g} mm from foot to pedal axle",
            f"knee calibrated by the measured angle, good to {error:g}°"
            if measured
            else f"knee from published body proportions, good to {error:g}°; build.rider.knee_angle, "
            f"measured, makes that {knee_error(True):g}°",
        ),
    )


def knee_at_lowest(on: BodyOnBike) -> float | None:
    """Return the knee's flexion, seated, the pedal at its lowest [degrees]; None out of reach."""
    return flexion(on.lengths, on.lowest_distance)


def knee_rates(on: BodyOnBike) -> tuple[float, float] | None:
    """Return the change of `knee_at_lowest` per mm of seatpost and per mm of crank [degrees/mm].

    None where the leg is straight or does not reach.
    """
    rate = flexion_rate(on.lengths, on.lowest_distance)
    if rate is None:
        return None
    way = on.saddle + 1j * on.hip_height - on.lowest_ankle
    way /= abs(way)
    # The hip moves along the seatpost; the ankle straight down with a longer crank.
    return rate * (way.conjugate() * on.seatpost).real, rate * way.imag


def saddle_height_for(on: BodyOnBike, knee: float) -> float | None:
    """Return the saddle height at which the knee is bent so far at the lowest pedal [mm].

    Args:
        on: the body on the bike.
        knee: flexion [degrees].

    Returns:
        Straight from the bottom bracket centre to the saddle; None where no height gives it.
    """
    distance = distance_at(on.lengths, knee)
    # The hip runs along a line beside the seatpost: where that meets a circle about the ankle.
    from_ankle = on.saddle + 1j * on.hip_height - on.lowest_ankle
    along = (from_ankle * on.seatpost.conjugate()).real
    aside = abs(from_ankle - along * on.seatpost)
    if distance < aside:
        return None
    up = math.sqrt(distance**2 - aside**2) - along
    return abs(on.saddle + up * on.seatpost)


def _usual_saddles(on: BodyOnBike) -> tuple[float, float] | None:
    low, high = (saddle_height_for(on, knee) for knee in reversed(USUAL_KNEE))
    return None if low is None or high is None else (low, high)


def _saddle_error(on: BodyOnBike, error: float) -> float | None:
    """Return how much saddle makes so much knee angle, the knee in the middle of `USUAL_KNEE` [mm]."""
    height = saddle_height_for(on, sum(USUAL_KNEE) / 2)
    if height is None:
        return None
    rates = knee_rates(replace(on, saddle=saddle_at(on.saddle, on.seatpost, height)))
    return None if rates is None else 5.0 * round(error / abs(rates[0]) / 5)


def _trunk(on: BodyOnBike) -> AngleBand | None:
    joints = seated(on)
    if joints is None:
        return None
    return within(trunk_angle(joints), TRUNK_ERROR)


def trunk_angle(joints: Mapping[str, complex]) -> float:
    """Return the line from hip to shoulder above level [degrees]."""
    trunk = joints["shoulder"] - joints["hip"]
    return math.degrees(math.atan2(trunk.imag, trunk.real))
