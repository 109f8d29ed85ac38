"""How a rider sits and stands: each posture is a place of the hip and how arms and feet are held.

All numbers here are common practice, no source. They are shares of stature, so that they fit any rider.
Elbows and, standing, knees follow from `ARM_STRETCH` and `LEG_STRETCH`: they are put in, so their angles
say nothing about a bike.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import lru_cache
from itertools import pairwise
from typing import Final, TypeAlias

from frame3d.rider.body import Supports, centre_of_mass, foot_on, joints_at
from frame3d.rider.on_bike import BodyOnBike

ARM_STRETCH = 0.94
"""Distance shoulder to grip over the arm's full length, elbows a little bent."""
CLIMBING_STRETCH = 0.70
"""The same on the saddle's nose, elbows bent further."""
DESCENDING_STRETCH = 0.85
LEG_STRETCH = 0.88
"""Standing: distance hip to ankle over the leg's full length."""
NOSE = 0.30
"""How far ahead of its usual place the hip is on the saddle's nose, over the saddle's length."""
LOW_AND_BACK = 0.068
"""Descending: how far below and how far behind its place when standing the hip is, over stature."""

Joints: TypeAlias = dict[str, complex]


def _pedalling(on: BodyOnBike, arm_stretch: float = ARM_STRETCH) -> Supports:
    """Return what the seated rider touches."""
    return Supports(on.hands, on.pedals, on.sole, on.heel_up, arm_stretch)


def _on_level_feet(on: BodyOnBike, arm_stretch: float = ARM_STRETCH) -> Supports:
    """Return what the standing rider touches."""
    return Supports(on.hands, on.pedals, on.sole, 0.0, arm_stretch)


def seated(on: BodyOnBike) -> Joints | None:
    """Return the joints with the hip over the saddle; None where grips or pedals are out of reach."""
    return joints_at(on.lengths, on.saddle + 1j * on.hip_height, _pedalling(on))


def lowest_saddle(on: BodyOnBike) -> Joints | None:
    """Return the same at full drop of a dropper post; None without one."""
    if on.drop <= 0:
        return None
    return joints_at(on.lengths, on.lowest_saddle + 1j * on.hip_height, _pedalling(on))


def forward(on: BodyOnBike) -> Joints | None:
    """Return the joints of a rider on the saddle's nose, trunk low, as on a steep climb."""
    hip = on.saddle + complex(NOSE * on.saddle_length, on.hip_height)
    return joints_at(on.lengths, hip, _pedalling(on, CLIMBING_STRETCH))


@lru_cache(maxsize=1)  # two postures follow from it
def standing(on: BodyOnBike) -> Joints | None:
    """Return the joints with the centre of mass over the bottom bracket: hands carry nothing."""
    ankle = foot_on(0j, on.lengths, on.sole, 0.0).ankle
    leg = LEG_STRETCH * on.lengths.leg

    def at(x: float) -> Joints | None:
        height = leg**2 - (x - ankle.real) ** 2
        if height <= 0:
            return None
        hip = complex(x, ankle.imag + math.sqrt(height))
        return joints_at(on.lengths, hip, _on_level_feet(on))

    # The centre of mass moves forward with the hip: bracket the crossing on a grid, then bisect.
    grid = [on.stature * (-0.3 + 0.0125 * i) for i in range(41)]
    found = ((x, joints) for x in grid if (joints := at(x)) is not None)
    for (low, behind), (high, ahead) in pairwise(found):
        if centre_of_mass(behind).real <= 0 < centre_of_mass(ahead).real:
            return _balanced(at, low, high)
    return None


def _balanced(at: Callable[[float], Joints | None], low: float, high: float) -> Joints | None:
    """Return the body whose centre of mass is over the bottom bracket, hip x in `low` to `high`."""
    for _ in range(50):
        middle = (low + high) / 2
        joints = at(middle)
        if joints is None:
            return None
        low, high = (middle, high) if centre_of_mass(joints).real <= 0 else (low, middle)
    return at((low + high) / 2)


def descending(on: BodyOnBike) -> Joints | None:
    """Return the joints of a rider who stands low and behind, knees bent, as on a steep descent.

    Over the saddle, at full drop where it drops, the hip stays as high as if seated there.
    """
    upright = standing(on)
    if upright is None:
        return None
    low = LOW_AND_BACK * on.stature
    hip = upright["hip"] - complex(low, low)
    saddle = on.lowest_saddle
    if abs(hip.real - saddle.real) <= on.saddle_length / 2:
        hip = complex(hip.real, max(hip.imag, saddle.imag + on.hip_height))
    return joints_at(on.lengths, hip, _on_level_feet(on, DESCENDING_STRETCH))


POSTURES: Final[Mapping[str, Callable[[BodyOnBike], Joints | None]]] = {
    "seated": seated,
    "forward": forward,
    "standing": standing,
    "descending": descending,
    "lowest_saddle": lowest_saddle,
}
"""By the name that they have on `Rider`."""
