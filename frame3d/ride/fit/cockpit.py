r"""Stem, spacers and bar in the side view: where the grips are, and what keeps them there.

::

                    grips o
                         /  rise above the clamp, forward ahead of it (level and upright)
                  clamp o
                     ,-'   stem: length L at the angle α against the square to the steerer
     up u    neck o-'
       \         |  half the stem's clamp height c
        \        |  spacers s
         \       |  headset's upper stack h
          o------+ head tube's top         ahead a, square to u

    grips − top = (h + s + c/2) u + L (cos α · a + sin α · u) + (forward, rise)

u points up the steering axis, u = (−cos θ, sin θ) with the head tube angle θ, and a = (sin θ, cos θ) is
square to it. Each answer below is that one vector equation solved for two of its five lengths: along a
for the first, then along u for the spacers. Plane trigonometry; nothing is iterated.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

XZ = tuple[float, float]
"""A point or vector of the side view: forward, up [mm]."""


@dataclass(frozen=True, slots=True)
class Front:
    """What stem and bar are put on; the bike stands as drawn."""

    top: XZ
    """The head tube's top [mm]."""
    angle: float
    """Of the steering axis [degrees]."""
    upper_stack: float
    clamp_height: float
    """Of the stem on the steerer [mm]."""

    @property
    def up(self) -> XZ:
        """Unit vector up the steering axis."""
        turn = math.radians(self.angle)
        return (-math.cos(turn), math.sin(turn))

    @property
    def ahead(self) -> XZ:
        """Unit vector square to the steering axis, forward."""
        turn = math.radians(self.angle)
        return (math.sin(turn), math.cos(turn))


@dataclass(frozen=True, slots=True)
class Cockpit:
    """A stem with spacers and a bar [mm]."""

    stem: float
    """Length, steerer to bar."""
    spacers: float
    rise: float
    forward: float
    """Grips ahead of the clamp; negative for backsweep."""
    stem_angle: float = 0.0
    """Against the square to the steerer, positive rising [degrees]."""


def grips(front: Front, cockpit: Cockpit) -> XZ:
    """Return where the grips are [mm]."""
    turn = math.radians(cockpit.stem_angle)
    up, ahead = front.up, front.ahead
    rise = (
        front.upper_stack + cockpit.spacers + front.clamp_height / 2 + cockpit.stem * math.sin(turn)
    )
    out = cockpit.stem * math.cos(turn)
    return (
        front.top[0] + rise * up[0] + out * ahead[0] + cockpit.forward,
        front.top[1] + rise * up[1] + out * ahead[1] + cockpit.rise,
    )


def stem_and_spacers(
    front: Front, at: XZ, rise: float, forward: float, stem_angle: float = 0.0
) -> Cockpit:
    """Return the stem's length and the spacers that bring the grips of a bar to `at`.

    Either may come out negative: then no stem does that.
    """
    way = _from_top(front, at, rise, forward)
    length = _along(way, front.ahead) / math.cos(math.radians(stem_angle))
    return Cockpit(length, _spacers(front, way, length, stem_angle), rise, forward, stem_angle)


def sweep_and_spacers(
    front: Front, at: XZ, stem: float, rise: float, stem_angle: float = 0.0
) -> Cockpit:
    """Return how far ahead of the clamp a bar's grips must be, and the spacers, for a stem's length.

    For a steering axis that is not level.
    """
    ahead = front.ahead
    out = stem * math.cos(math.radians(stem_angle))
    # Along a: (dx − forward)·a_x + (dz − rise)·a_z = L cos α
    dx, dz = at[0] - front.top[0], at[1] - front.top[1] - rise
    forward = dx - (out - dz * ahead[1]) / ahead[0]
    spacers = _spacers(front, _from_top(front, at, rise, forward), stem, stem_angle)
    return Cockpit(stem, spacers, rise, forward, stem_angle)


@dataclass(frozen=True, slots=True)
class Sold:
    """A set of sizes that are sold, and by how much its grips miss."""

    cockpit: Cockpit
    reach_miss: float
    """Its grips minus those wanted, level: positive is further forward [mm]."""
    stack_miss: float
    """Likewise upright: positive is higher [mm]."""
    miss: float
    """Straight distance [mm]."""


def sold(front: Front, at: XZ, cockpit: Cockpit) -> Sold:
    """Return a set of sizes with what its grips miss `at` by."""
    x, z = grips(front, cockpit)
    reach, stack = x - at[0], z - at[1]
    return Sold(cockpit, reach, stack, math.hypot(reach, stack))


def nearest_sold(
    front: Front,
    at: XZ,
    bar: Cockpit,
    stems: Sequence[float],
    step: float,
    most_spacers: float,
) -> Sold:
    """Return the stem and spacers of sold sizes that bring the grips of a bar nearest to `at`.

    Args:
        front: what they are put on.
        at: where the grips are wanted [mm].
        bar: its rise and backsweep, and the stem's angle; length and spacers do not count.
        stems: lengths that are sold, at least one [mm].
        step: spacers are sold in multiples of it [mm].
        most_spacers: limit of the spacers [mm]; infinite where nothing limits them.
    """
    # Spacers move the grips along the steering axis alone. So for each stem the nearest point is the
    # foot of the perpendicular from `at` to that line, and the nearest step to it is the best.
    way = _from_top(front, at, bar.rise, bar.forward)
    found = []
    for stem in stems:
        wanted = _spacers(front, way, stem, bar.stem_angle)
        spacers = in_steps(wanted, step, most_spacers)
        found.append(sold(front, at, replace(bar, stem=stem, spacers=spacers)))
    return min(found, key=lambda one: (round(one.miss, 6), one.cockpit.stem))


def in_steps(wanted: float, step: float, most: float) -> float:
    """Return the multiple of `step` from 0 to `most` that is nearest to `wanted`."""
    highest = math.inf if math.isinf(most) else math.floor(most / step + 1e-9)
    count = math.floor(wanted / step + 0.5)
    return step * max(min(count, highest), 0)


def _from_top(front: Front, at: XZ, rise: float, forward: float) -> XZ:
    return (at[0] - forward - front.top[0], at[1] - rise - front.top[1])


def _along(way: XZ, direction: XZ) -> float:
    return way[0] * direction[0] + way[1] * direction[1]


def _spacers(front: Front, way: XZ, stem: float, stem_angle: float) -> float:
    return (
        _along(way, front.up)
        - front.upper_stack
        - front.clamp_height / 2
        - stem * math.sin(math.radians(stem_angle))
    )
