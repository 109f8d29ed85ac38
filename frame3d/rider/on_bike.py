"""A rider's body and what it finds on the bike: what all postures and angles are worked out from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from frame3d.errors import SpecError
from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.mating import SaddleSpec, ShoeSpec
from frame3d.rider.body import foot_on, side_view
from frame3d.rider.contacts import crank_of, hands_of, saddle_at, seatpost_axis
from frame3d.rider.leg import distance_at, flexion, hip_over
from frame3d.rider.segments import HIP_HEIGHT, INSEAM_OF_STATURE, Lengths, lengths_of

HIP_OVER_SADDLE = 0.053
"""Hip joint straight above the saddle's top, over the stature that belongs to the inseam.

Derived: with it a leg of 830 mm inseam has its knee bent by 30°, the middle of the published 25 to 35°
(Peveler et al. 2005, static), where both saddle heights of that study meet: 0.883 × inseam from the
bottom bracket with cranks of 170 mm, 1.09 × inseam from the pedal; seatpost at 74°, foot to axle 30 mm,
heel up 20°."""

TALLEST = 2300.0
"""Stature above which no body is worked out [mm]: the highest that ``build.rider.height`` may be."""
ADULTS: Final = (1400.0, 2100.0)
"""Statures for which the tables' proportions, those of adults, are usual [mm]; common practice, no
source."""
USUAL_INSEAMS: Final = (0.42, 0.52)
"""Inseam over stature of adults; common practice, no source."""


@dataclass(frozen=True, slots=True)
class BodyOnBike:
    """A body and what it finds on the bike; points of the side view, x + i·z from the bottom bracket."""

    stature: float
    lengths: Lengths
    saddle: complex
    """Top of the saddle."""
    seatpost: complex
    """Direction of the seatpost, upward."""
    drop: float
    """Travel of a dropper post [mm]; 0 for a rigid one."""
    saddle_length: float
    hip_height: float
    """Hip straight above the saddle's top, seated."""
    hands: complex
    crank: float
    sole: float
    """From the foot's sole to the pedal's axle."""
    heel_up: float
    """Slope of the sole while pedalling [degrees]."""

    @property
    def lowest_saddle(self) -> complex:
        """Top of the saddle at full drop."""
        return self.saddle - self.drop * self.seatpost

    @property
    def pedals(self) -> Mapping[str, complex]:
        """Axles of both pedals, cranks level."""
        return {"front": complex(self.crank), "rear": complex(-self.crank)}

    @property
    def lowest_ankle(self) -> complex:
        """Ankle over the pedal at its lowest."""
        return foot_on(-1j * self.crank, self.lengths, self.sole, self.heel_up).ankle

    @property
    def lowest_distance(self) -> float:
        """Hip to ankle, seated, the pedal at its lowest."""
        return abs(self.saddle + 1j * self.hip_height - self.lowest_ankle)

    @property
    def legs_reach(self) -> bool:
        """Whether the leg is that long."""
        return flexion(self.lengths, self.lowest_distance) is not None


def stature_of(spec: FrameSpec) -> float | None:
    """Return the rider's stature [mm] as given, else the inseam over `INSEAM_OF_STATURE`.

    Raises:
        SpecError: the inseam makes a body taller than `TALLEST`.
    """
    rider = spec.build.rider
    if rider is None or rider.height is not None or rider.inseam is None:
        return None if rider is None else rider.height
    stature = rider.inseam / INSEAM_OF_STATURE
    if stature > TALLEST:
        raise SpecError(
            spec.fault(
                "out-of-range",
                "build.rider.inseam",
                f"{rider.inseam:g} mm makes a rider of {stature:.0f} mm, taller than body tables hold "
                f"({TALLEST:g} mm)",
                f"floor to crotch, barefoot, at most {INSEAM_OF_STATURE * TALLEST:.0f} without a height",
            )
        )
    return stature


def body_on_bike(
    spec: FrameSpec,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    hip_height: float | None = None,
    pitch: float = 0.0,
) -> BodyOnBike | None:
    """Return the rider's body on a solved bike; None without rider, its size, or grips.

    Args:
        spec: the file.
        nodes: named points of the bike as it stands [mm].
        chart: its figures [mm and degrees].
        hip_height: hip above the saddle, known from another stance of the bike [mm]; left out, it is
            worked out here.
        pitch: of the bike against its drawn position, nose up positive [degrees].

    Raises:
        SpecError: the inseam is that of no body, or no leg has the measured knee angle.
    """
    build, rider = spec.build, spec.build.rider
    stature, hands = stature_of(spec), hands_of(spec, nodes, chart, pitch)
    if rider is None or stature is None or hands is None:
        return None
    lengths = lengths_of(stature, rider.inseam)
    saddle, axis = side_view(nodes["saddle"]), seatpost_axis(chart)
    shoe = ShoeSpec() if build.shoe is None else build.shoe
    crank = crank_of(spec)
    if hip_height is None:
        ankle = foot_on(-1j * crank, lengths, shoe.sole, rider.heel_up).ankle
        hip_height = _measured(spec, lengths, saddle, axis, ankle)
    if hip_height is None:
        hip_height = usual_hip_height(lengths)
    return BodyOnBike(
        stature=stature,
        lengths=lengths,
        saddle=saddle,
        seatpost=axis,
        drop=0.0 if build.seatpost is None else build.seatpost.travel,
        saddle_length=(SaddleSpec() if build.saddle is None else build.saddle).length,
        hip_height=hip_height,
        hands=hands,
        crank=crank,
        sole=shoe.sole,
        heel_up=rider.heel_up,
    )


def usual_hip_height(lengths: Lengths) -> float:
    """Return how far above the saddle the hip of a body is that was not measured [mm]."""
    return HIP_OVER_SADDLE * (lengths.leg + lengths.ankle_height) / HIP_HEIGHT


def _measured(
    spec: FrameSpec, lengths: Lengths, saddle: complex, axis: complex, ankle: complex
) -> float | None:
    """Return the height of the hip above the saddle that gives the measured knee angle [mm].

    It takes up all in which this rider differs from the tables: legs, foot, shoe, seat. None where no
    angle was measured.
    """
    rider = spec.build.rider
    if rider is None or rider.knee_angle is None or rider.at_saddle_height is None:
        return None
    distance = distance_at(lengths, rider.knee_angle)
    there = saddle_at(saddle, axis, rider.at_saddle_height)
    found = hip_over(there, ankle, distance)
    if found is None or not math.isfinite(found) or found <= 0:
        raise SpecError(
            spec.fault(
                "inconsistent",
                "build.rider.knee_angle",
                f"no leg of this rider bends its knee by {rider.knee_angle:g}° on a saddle "
                f"{rider.at_saddle_height:g} mm high: the hip would be "
                + ("out of reach" if found is None else f"{-found:.0f} mm below the saddle"),
                "flexion with the pedal at its lowest, 0 is a straight leg, e.g. 32; and the saddle "
                "height at which it was measured",
            )
        )
    return found
