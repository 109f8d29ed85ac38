"""Closed forms of an eccentric insert's turn: chainstay length and height over its range.

The bottom bracket goes around the shell's middle c on a circle of the offset e. With the axle a in the
frame, its distance is |a - c - e u| for the direction u of the angle: least where u points from c to a,
greatest where it points away, else at an end of the range. It is highest and lowest likewise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from frame3d.parameters.models.bottom_bracket import EccentricSpec

QUARTERS = (0.0, 90.0, 180.0, 270.0)


@dataclass(frozen=True, slots=True)
class Turn:
    """An insert on a bike as it stands."""

    spec: EccentricSpec
    axle: tuple[float, float]
    """From the shell's middle to the rear axle: x, z [mm]."""
    pitch: float
    """Of the frame since it was designed, nose up [degrees]."""

    def chainstay_length(self, angle: float) -> float:
        """Return the chainstay length with the insert at an angle [mm]."""
        turn = math.radians(angle + self.pitch)
        x, z = self.axle
        offset = self.spec.offset
        return math.hypot(x - offset * math.cos(turn), z - offset * math.sin(turn))

    def rise(self, angle: float) -> float:
        """Return how far the bottom bracket then is above where it stands now [mm]."""
        now, then = (math.radians(a + self.pitch) for a in (self.spec.angle, angle))
        return self.spec.offset * (math.sin(then) - math.sin(now))

    @property
    def lengths(self) -> tuple[float, float]:
        """Angles with the shortest and with the longest chainstay [degrees]."""
        toward = math.degrees(math.atan2(self.axle[1], self.axle[0])) - self.pitch
        found = self._angles(toward, toward + 180.0)
        return min(found, key=self.chainstay_length), max(found, key=self.chainstay_length)

    @property
    def heights(self) -> tuple[float, float]:
        """Angles with the bottom bracket lowest and highest [degrees]."""
        found = self._angles(90.0 - self.pitch, -90.0 - self.pitch)
        return min(found, key=self.rise), max(found, key=self.rise)

    @property
    def others(self) -> tuple[float, ...]:
        """Ends of the range, and where it is foremost, highest and so on, but for where it stands."""
        low, high = self.spec.range
        quarters = (a for q in QUARTERS for a in within(self.spec, q - self.pitch))
        found = sorted({low, high, *quarters})
        if high - low >= 360.0 - 1e-9:
            found = [a for a in found if a < high]
        return tuple(a for a in found if abs(a - self.spec.angle) > 1e-9)

    def _angles(self, *extreme: float) -> tuple[float, ...]:
        """Return where the insert stands, the ends of its range, and some angles if within it."""
        inside = (a for angle in extreme for a in within(self.spec, angle))
        return (self.spec.angle, *self.spec.range, *inside)


def within(spec: EccentricSpec, angle: float) -> tuple[float, ...]:
    """Return an angle as the insert's range counts it; nothing where it lies outside of the range."""
    low, high = spec.range
    turned = low + (angle - low) % 360.0
    return (turned,) if turned <= high else ()
