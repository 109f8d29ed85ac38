"""Contact points of the rider: saddle, grips and pedals from the bottom bracket and from each other.

All of them are points of the frame but the pedals, which hang on cranks about the bottom bracket. So
where the bike pitches, saddle and grips turn with it about the bottom bracket, as one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from frame3d.ride.fit.cockpit import XZ


@dataclass(frozen=True, slots=True)
class Points:
    """Where the rider touches the bike as it is drawn, from the bottom bracket [mm]."""

    saddle: XZ | None
    """On the seatpost's axis at the saddle's top; None where neither file nor rider says how high."""
    grips: XZ | None
    """None without a stem."""
    crank: float | None
    """Length; None where the file does not give it."""
    seat_up: XZ
    """Unit vector up the seatpost."""

    def dropped(self, by: float) -> Points:
        """Return the same with the saddle lower along the seatpost [mm]."""
        if self.saddle is None:
            return self
        x, z = self.saddle
        return replace(self, saddle=(x - by * self.seat_up[0], z - by * self.seat_up[1]))

    def pitched(self, pitch: float) -> Points:
        """Return the same turned about the bottom bracket, nose up positive [degrees]."""
        return Points(
            None if self.saddle is None else turned(self.saddle, pitch),
            None if self.grips is None else turned(self.grips, pitch),
            self.crank,
            turned(self.seat_up, pitch),
        )


@dataclass(frozen=True, slots=True)
class Contact:
    """Distances between the points that the rider touches, in one position of the bike [mm].

    None where the file does not give a point.
    """

    stance: str
    """``drawn``, ``sag``, ``full_travel``, ``dive``: the fork alone at its full travel; ``saddle_down``
    and ``saddle_down_sag``: the saddle at full drop."""
    pitch_degrees: float
    """Of the bike against the drawn position, nose up positive."""
    grip_reach: float | None
    """Bottom bracket to grips, level forward."""
    grip_stack: float | None
    """Bottom bracket to grips, upright."""
    saddle_setback: float | None
    """Bottom bracket to saddle, level backward."""
    saddle_stack: float | None
    """Bottom bracket to saddle, upright."""
    saddle_height: float | None
    """Bottom bracket to saddle, straight."""
    saddle_angle: float | None
    """Of that line against level [degrees]."""
    saddle_to_grips: float | None
    """Level."""
    saddle_to_grips_straight: float | None
    grips_above_saddle: float | None
    """Upright; negative where the grips are below the saddle."""
    saddle_to_pedal: float | None
    """Straight to the pedal's axle with the crank in line with it, the furthest."""
    saddle_above_pedal: float | None
    """Upright, over the lowest pedal."""
    saddle_above_ground: float | None
    grips_above_ground: float | None
    pedal_above_ground: float | None
    """Axle of the lowest pedal."""


def contact(stance: str, points: Points, bb_height: float, pitch: float = 0.0) -> Contact:
    """Return the distances of points in a position.

    Args:
        stance: its name.
        points: as drawn.
        bb_height: bottom bracket over the ground in that position [mm].
        pitch: of the bike there, nose up positive [degrees].
    """
    there = points.pitched(pitch)
    saddle, grips, crank = there.saddle, there.grips, there.crank
    both = None if saddle is None or grips is None else (grips[0] - saddle[0], grips[1] - saddle[1])
    height = None if saddle is None else math.hypot(*saddle)
    return Contact(
        stance=stance,
        pitch_degrees=pitch,
        grip_reach=None if grips is None else grips[0],
        grip_stack=None if grips is None else grips[1],
        saddle_setback=None if saddle is None else -saddle[0],
        saddle_stack=None if saddle is None else saddle[1],
        saddle_height=height,
        saddle_angle=(None if saddle is None else math.degrees(math.atan2(saddle[1], -saddle[0]))),
        saddle_to_grips=None if both is None else both[0],
        saddle_to_grips_straight=None if both is None else math.hypot(*both),
        grips_above_saddle=None if both is None else both[1],
        saddle_to_pedal=None if height is None or crank is None else height + crank,
        saddle_above_pedal=None if saddle is None or crank is None else saddle[1] + crank,
        saddle_above_ground=None if saddle is None else saddle[1] + bb_height,
        grips_above_ground=None if grips is None else grips[1] + bb_height,
        pedal_above_ground=None if crank is None else bb_height - crank,
    )


def turned(point: XZ, pitch: float) -> XZ:
    """Return a point turned about the bottom bracket, nose up positive [degrees]."""
    c, s = math.cos(math.radians(pitch)), math.sin(math.radians(pitch))
    return (c * point[0] - s * point[1], s * point[0] + c * point[1])
