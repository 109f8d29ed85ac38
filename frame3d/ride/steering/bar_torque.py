"""Torques at the bar and bar angles: trail as a lever, bars that fall in, the bars of a turn."""

from __future__ import annotations

import math
from dataclasses import dataclass

from frame3d.ride.steering.front_end import FrontEnd, SideView
from frame3d.ride.steering.whipple import GRAVITY


@dataclass(frozen=True, slots=True)
class Carried:
    """A mass of the bike at rest, with straight bars."""

    mass_kg: float
    at: SideView
    """Centre of mass, from the rear axle [mm]."""


@dataclass(frozen=True, slots=True)
class Weights:
    """What the wheels carry, by whether it turns with the bars."""

    rear: Carried
    """Rear frame and rider, without the rear wheel, which neither sinks nor rises."""
    front: Carried
    """Fork, stem, bar and front wheel."""
    ahead: float
    """Centre of mass of `front` ahead of the steering axis, square to it [mm]."""

    def falling_in_nm(self, front_end: FrontEnd, bar_angle: float) -> float:
        """Return the torque with which turned bars want to turn on, held upright, at rest [N m].

        By virtual work: the weights' loss of height for each further turn of the bars; negative where
        they want to turn back.

        Args:
            front_end: of the same bike.
            bar_angle: [degrees]
        """
        turned = front_end.turned(bar_angle)
        angle, turn = math.radians(bar_angle), math.radians(turned.pitch)
        head = math.radians(front_end.head_angle)
        back = self.ahead * (1 - math.cos(angle))
        x, z = self.front.at
        front = (x - back * math.sin(head), z - back * math.cos(head))
        by_pitch = sum(
            mass * (-z * math.sin(turn) - x * math.cos(turn))
            for mass, (x, z) in (
                (self.rear.mass_kg, self.rear.at),
                (self.front.mass_kg, front),
            )
        )
        by_bar = -self.front.mass_kg * self.ahead * math.sin(angle) * math.cos(head + turn)
        return -GRAVITY * (by_pitch * turned.pitch_per_bar + by_bar) / 1000

    def falling_in_nm_per_degree(self, front_end: FrontEnd) -> float:
        """Return how much that torque grows with each degree, near straight bars [N m per degree]."""
        load = self.front_load_n(front_end)
        head = math.radians(front_end.head_angle)
        lever = load * front_end.trail_on_round_tyre + GRAVITY * self.front.mass_kg * self.ahead
        return math.radians(lever * math.cos(head)) / 1000

    def front_load_n(self, front_end: FrontEnd) -> float:
        """Return the load on the front wheel at rest [N]."""
        moment = sum(part.mass_kg * part.at[0] for part in (self.rear, self.front))
        return GRAVITY * moment / front_end.wheelbase


def push_torque_nm(front_end: FrontEnd, push_n: float) -> float:
    """Return the torque about the steering axis of a sideways push at the front contact [N m].

    The push times mechanical trail, its lever.
    """
    return push_n * front_end.mechanical_trail / 1000


def bar_angle_for(front_end: FrontEnd, radius: float) -> float:
    """Return the bar angle for a turn, rolling slowly without lean [degrees].

    tan(bar angle) = (wheelbase / radius) / sin(head angle): the front wheel points along its own track.

    Args:
        front_end: of the bike.
        radius: of the rear wheel's track [mm].
    """
    head = math.sin(math.radians(front_end.head_angle))
    return math.degrees(math.atan2(front_end.wheelbase, radius * head))
