"""The leg with the pedal at its lowest: knee angle, how it changes, and the hip's height from it.

Flexion of the knee is 0 with the leg straight. By the law of cosines, with the distance D from hip to
ankle, thigh T and shank S::

    D² = T² + S² + 2·T·S·cos(flexion)         d flexion / d D = -D / (T·S·sin(flexion))
"""

from __future__ import annotations

import math

from frame3d.rider.segments import Lengths


def flexion(lengths: Lengths, distance: float) -> float | None:
    """Return the knee's flexion [degrees] at a distance from hip to ankle [mm]; None out of reach."""
    thigh, shank = lengths.thigh, lengths.shank
    if not abs(thigh - shank) <= distance <= thigh + shank:
        return None
    cosine = (distance**2 - thigh**2 - shank**2) / (2 * thigh * shank)
    return math.degrees(math.acos(min(max(cosine, -1.0), 1.0)))


def distance_at(lengths: Lengths, knee: float) -> float:
    """Return the distance from hip to ankle [mm] at a flexion of the knee [degrees]."""
    thigh, shank = lengths.thigh, lengths.shank
    square = thigh**2 + shank**2 + 2 * thigh * shank * math.cos(math.radians(knee))
    return math.sqrt(max(square, 0.0))


def flexion_rate(lengths: Lengths, distance: float) -> float | None:
    """Return the change of the knee's flexion per mm of distance from hip to ankle [degrees/mm].

    None where the leg is straight or cannot reach.
    """
    knee = flexion(lengths, distance)
    if knee is None or knee <= 1e-6:
        return None
    sine = math.sin(math.radians(knee))
    return math.degrees(-distance / (lengths.thigh * lengths.shank * sine))


def hip_over(saddle: complex, ankle: complex, distance: float) -> float | None:
    """Return how far straight above the saddle the hip is that stands `distance` from the ankle [mm].

    None where none above the ankle does.
    """
    aside = saddle.real - ankle.real
    if distance < abs(aside):
        return None
    return ankle.imag + math.sqrt(distance**2 - aside**2) - saddle.imag
