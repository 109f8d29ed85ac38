r"""The front end with turned bars, held upright: how far it goes down, exactly.

Both wheels stand on the ground; so the frame pitches about the rear axle until the front wheel's tyre, a
torus with a round section, touches the ground at its lowest point. Undented, at rest.

              \ steering axis
               o head tube's bottom     x forward, y to the left, z up, from the rear axle [mm]
      rear      \
        o        \_o front axle         offset: from the axis to the axle, square to the axis
     ___|__________|____ ground

A torus' lowest point is (R - r)·√(1 - a²) + r below its middle, where R is the wheel's outside radius,
r that of the tyre's round section and a the vertical part of its axle's unit direction: a circle of
radius R - r about the axle, swept by a ball of radius r.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

SideView = tuple[float, float]
"""(x, z) from the rear axle [mm]."""


@dataclass(frozen=True, slots=True)
class Turned:
    """The bike with its bars turned."""

    bar_angle: float
    """To either side [degrees]."""
    pitch: float
    """Of the frame, nose down positive [degrees]."""
    pitch_per_bar: float
    """Change of pitch with the bar angle [degrees per degree, or rad/rad]."""

    def height(self, at: SideView) -> float:
        """Return how high a point of the frame is above the rear axle [mm].

        Args:
            at: the point with the bars straight.
        """
        turn = math.radians(self.pitch)
        return at[1] * math.cos(turn) - at[0] * math.sin(turn)

    def drop(self, at: SideView) -> float:
        """Return how far a point of the frame goes down from where it is with straight bars [mm]."""
        return at[1] - self.height(at)


@dataclass(frozen=True, slots=True)
class FrontEnd:
    """A bike on level ground with straight bars, as far as its steering is concerned."""

    head_angle: float
    """Steering axis from the ground [degrees]."""
    offset: float
    """From the steering axis to the front axle, positive forward [mm]."""
    wheelbase: float
    """Horizontal [mm]."""
    rear_radius: float
    """Rear axle above the ground [mm]."""
    front_radius: float
    """Front axle above the ground [mm]."""
    tyre_radius: float = 0.0
    """Of the front tyre's round section; 0 for a thin disc [mm]."""

    @property
    def mechanical_trail(self) -> float:
        """From the front contact to the steering axis, square to it [mm]."""
        return self.front_radius * math.cos(math.radians(self.head_angle)) - self.offset

    @property
    def trail_on_round_tyre(self) -> float:
        """The same for small turns, with the contact wandering sideways on the round tyre [mm].

        A wheel that leans rolls over onto its tyre's shoulder; so the middle of the tyre's section
        counts instead of its tread.
        """
        return self.mechanical_trail - self.tyre_radius * math.cos(math.radians(self.head_angle))

    def turned(self, bar_angle: float) -> Turned:
        """Return the bike with its bars turned by an angle [degrees], both wheels on the ground."""
        angle = math.radians(bar_angle)
        turn = 0.0
        for _ in range(50):
            gap, by_turn, by_bar = self._gap(turn, angle)
            step = gap / by_turn
            turn -= step
            if abs(step) < 1e-15:
                break
        _, by_turn, by_bar = self._gap(turn, angle)
        return Turned(bar_angle, math.degrees(turn), -by_bar / by_turn)

    def _gap(self, turn: float, bar: float) -> tuple[float, float, float]:
        """Return the gap under the front wheel, and its derivatives by pitch and bar angle.

        Args:
            turn: of the frame, nose down [rad].
            bar: [rad]
        """
        head = math.radians(self.head_angle)
        ahead = (math.sin(head), math.cos(head))  # square to the steering axis
        back = self.offset * (1 - math.cos(bar))
        x = self.wheelbase - back * ahead[0]
        z = self.front_radius - self.rear_radius - back * ahead[1]
        cos, sin = math.cos(turn), math.sin(turn)
        lean, rise = math.cos(head + turn), math.sin(head + turn)
        tilt = math.sin(bar) * lean  # vertical part of the axle's direction
        level = math.sqrt(1 - tilt**2)
        circle = self.front_radius - self.tyre_radius
        gap = self.rear_radius + z * cos - x * sin - circle * level - self.tyre_radius
        by_turn = -z * sin - x * cos - circle * tilt * math.sin(bar) * rise / level
        by_bar = -self.offset * math.sin(bar) * lean + circle * tilt * math.cos(bar) * lean / level
        return gap, by_turn, by_bar

    def lowest_at(self, most: float) -> float | None:
        """Return the bar angle between straight and `most` at which the front end is lowest [degrees].

        None where it goes down as far as the bars turn, or not at all.
        """
        low, high = 1e-4, most
        if self.turned(low).pitch_per_bar <= 0 or self.turned(high).pitch_per_bar >= 0:
            return None
        for _ in range(60):
            middle = (low + high) / 2
            if self.turned(middle).pitch_per_bar > 0:
                low = middle
            else:
                high = middle
        return (low + high) / 2
