"""Where a rider touches the bike: saddle, grips, pedals, in the side view."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping

from frame3d.geometry.vector import Point
from frame3d.parameters.models.frame import FrameSpec
from frame3d.rider.body import side_view
from frame3d.rider.segments import INSEAM_OF_STATURE

SADDLE_OF_INSEAM = 0.883
"""Saddle height over inseam, bottom bracket centre to saddle top (a published rule)."""
CRANK = 170.0
"""Length of cranks that the file does not give [mm]; common practice, no source."""


def saddle_height_of(spec: FrameSpec) -> float | None:
    """Return the saddle height [mm] as given, else 0.883 × inseam; None where neither is known.

    The inseam is that of the file, else `INSEAM_OF_STATURE` × stature.
    """
    if spec.build.seatpost is not None and spec.build.seatpost.saddle_height is not None:
        return spec.build.seatpost.saddle_height
    rider = spec.build.rider
    if rider is not None and rider.inseam is not None:
        return SADDLE_OF_INSEAM * rider.inseam
    if rider is not None and rider.height is not None:
        return SADDLE_OF_INSEAM * INSEAM_OF_STATURE * rider.height
    return None


def crank_of(spec: FrameSpec) -> float:
    """Return the length of the cranks [mm]."""
    return CRANK if spec.build.crank is None else spec.build.crank.length


def hands_of(
    spec: FrameSpec,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    pitch: float = 0.0,
) -> complex | None:
    """Return the grips in the side view, from the head tube's top over headset, spacers, stem and bar.

    Args:
        spec: the file.
        nodes: named points of the bike as it stands [mm].
        chart: its figures [mm and degrees].
        pitch: of the bike against its drawn position, in which the bar's rise is upright and its
            backsweep level; nose up positive [degrees].

    Returns:
        None without a stem.
    """
    build = spec.build
    if build.stem is None:
        return None
    angle = chart["head_tube_angle"]
    assert angle is not None
    up = -cmath.rect(1.0, -math.radians(angle))  # along the steering axis
    ahead = up * -1j
    stem = build.stem
    upper = 0.0 if build.headset is None else build.headset.upper_stack
    clamp = (
        side_view(nodes["head_tube_top"])
        + (upper + stem.spacers + stem.clamp_height / 2) * up
        + stem.length * ahead * cmath.rect(1.0, math.radians(stem.angle))
    )
    bar = build.handlebar
    if bar is None:
        return clamp
    return clamp + complex(bar.forward, bar.rise) * cmath.rect(1.0, math.radians(pitch))


def seatpost_axis(chart: Mapping[str, float | None]) -> complex:
    """Return the seatpost's direction in the side view, upward, of length 1."""
    angle = chart["actual_seat_tube_angle"]
    assert angle is not None
    return cmath.rect(1.0, math.pi - math.radians(angle))


def saddle_at(saddle: complex, axis: complex, height: float) -> complex:
    """Return the saddle moved along the seatpost until it is `height` from the bottom bracket [mm].

    Args:
        saddle: where it is now.
        axis: direction of the seatpost.
        height: straight from the bottom bracket centre; no less than the axis' own distance from it.
    """
    along = (saddle * axis.conjugate()).real
    aside = saddle - along * axis
    return aside + math.sqrt(max(height**2 - abs(aside) ** 2, 0.0)) * axis
