r"""Plates or arms (webs) that hold a lug or housing without tube ends to the nearest tube.

Side view of a flat web::

      ____________________________
          (foot)      (foot)          tube, the feet on its axis
      ______\____________/________
             \          /
              \  .--.  /              web: hull of the boss and both feet
               `( o  )'
                 `--'   boss of a lug or housing
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.vector import Vector, point, vector
from frame3d.parameters.models.junctions import Side
from frame3d.pivots.sockets import ARM_END, ARM_HEIGHT, arm_to, middle_of
from frame3d.tubes.cuts.mitre import level
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.hardware import Arm, Housing, Lug, Web
from frame3d.tubes.tube import Dropout, Tube

MAX_WEB_LENGTH = 180.0
"""Longest web, from the axle to the tube's surface [mm]; common practice, no source."""
JOIN = 2.0
"""How deep a lug must lie in a tube or dropout to need no arm to it [mm]."""
SPREAD = 0.7
"""How far a web's foot reaches along the tube either way, as a fraction of the boss's diameter."""
FOOT = 4.0
"""Least distance of a web's foot from a tube's end [mm]."""
BESIDE = 0.92
"""Largest distance of a flat web from its tube's axis, as a fraction of half the tube's width."""
ABREAST = 0.5
"""Where the two arms of a pair end in one tube: this fraction of half its width from its middle. Each
is 0.3 of the tube's width wide there and 0.55 of its height high, so that its corners stay inside the
tube and the two do not touch."""


@dataclass(frozen=True, slots=True)
class Near:
    """The tube or dropout of a body that is nearest to a place."""

    to: Tube | Dropout
    distance: float
    """From the place to its surface [mm]; negative inside."""
    at: Vector
    """(3,) point of the tube's axis there, or the middle of the dropout [mm]."""


def nearest(place: Vector, tubes: Iterable[Tube], dropouts: Iterable[Dropout]) -> Near | None:
    """Return the nearest of some tubes and dropouts to a place (3,) [mm]; None without any."""
    found: list[Near] = []
    for tube in tubes:
        (outside,), (s,) = (each.tolist() for each in level(tube, place[None]))
        low, high = tube.start.long_point, tube.axis.length - tube.end.long_point
        distance = max(outside, low - s, s - high)
        found.append(Near(tube, distance, tube.axis.at(_clear(tube, s))))
    for dropout in dropouts:
        middle = middle_of(dropout)
        flat = float(np.hypot(*(place - middle)[[0, 2]])) - dropout.boss / 2
        side = abs(float(place[1] - middle[1])) - dropout.thickness / 2
        found.append(Near(dropout, max(flat, side), middle))
    return min(found, key=lambda near: near.distance, default=None)


def lug_web(lug: Lug, near: Near) -> tuple[Web, ...]:
    """Return the web from a lug to the nearest tube or dropout; none if its boss lies in the tube."""
    low, high = lug.span
    round_ = (lug.axle[0], lug.axle[2], lug.boss / 2)
    middle = middle_of(lug)
    to = near.to
    if isinstance(to, Dropout):
        inner, outer = sorted(
            (to.axle[1], to.axle[1] + (2 * (to.side == "left") - 1) * to.thickness)
        )
        if min(high, outer) - max(low, inner) >= JOIN:
            foot = (to.axle[0], to.axle[2], to.boss / 2 - 1.0)
            return (Web(to.name, Flat((round_, foot), low, high)),)
        return (Web(to.name, *arm_to(lug, near.at, (ARM_HEIGHT * to.boss, to.thickness))),)
    if _stands_in(to, middle, lug.boss / 2, lug.thickness):
        return ()
    flat = _flat(to, middle, round_, low, high)
    if flat is not None:
        return (Web(to.name, flat),)
    return (Web(to.name, *arm_to(lug, *_foot(to, middle))),)


def housing_webs(housing: Housing, near: Near, other: Near | None) -> tuple[Web, ...]:
    """Return the webs of a free housing: one in the centre plane, or an arm to each side.

    Args:
        housing: across the centre plane.
        near: the nearest tube, in the centre plane or on the left.
        other: the nearest one on the right; None where `near` is single and within the housing's
            width.
    """
    assert isinstance(near.to, Tube)
    middle = vector(housing.at)
    if other is None:
        s = _along(near.to, middle)
        half = min(0.3 * float(near.to.section.width_at(s)), 0.5 * housing.width)
        round_ = (housing.at[0], housing.at[2], 0.45 * housing.od)
        y = float(near.at[1])
        flat = _flat(near.to, middle, round_, y - half, y + half)
        assert flat is not None
        return (Web(near.to.name, flat),)
    webs = []
    for to, sign in ((near, 1.0), (other, -1.0)):
        assert isinstance(to.to, Tube)
        out = sign * max(housing.width / 2 - 0.4 * housing.od, 0.0)
        start = middle + np.array([0.0, out, 0.0])
        end, (height, width) = _foot(to.to, start)
        thick = ARM_HEIGHT * housing.od, 0.6 * housing.od
        webs.append(
            Web(to.to.name, Arm(point(start), point(end), (thick[0], height), (thick[1], width)))
        )
    return tuple(webs)


def sided(tubes: Iterable[Tube], side: Side) -> list[Tube]:
    """Return the tubes of one side and those of no side."""
    return [tube for tube in tubes if tube.side in (None, side)]


def _along(tube: Tube, place: Vector) -> float:
    """Return where along a tube's axis a web to it ends, clear of the tube's ends [mm]."""
    return _clear(tube, float(tube.axis.nearest(place[None])[0]))


def _clear(tube: Tube, s: float) -> float:
    """Return the place along a tube's axis that is nearest to `s` and clear of the tube's ends [mm]."""
    low, high = tube.start.short_point + FOOT, tube.axis.length - tube.end.short_point - FOOT
    return min(max(s, low), high) if low < high else tube.axis.length / 2


def _stands_in(tube: Tube, middle: Vector, radius: float, thickness: float) -> bool:
    """Return whether a disc about y lies deep enough in a tube."""
    turn: Array = np.radians(np.arange(0.0, 360.0, 7.5))
    flat = np.stack([np.cos(turn), np.zeros_like(turn), np.sin(turn)], axis=1)
    across = np.linspace(-thickness / 2, thickness / 2, 5)
    points = np.concatenate(
        [middle + share * radius * flat + [0.0, y, 0.0] for y in across for share in (0.5, 1.0)]
    )
    return float(Envelope.of(tube, tube.name).depth(points).max()) >= JOIN


def _flat(
    tube: Tube, middle: Vector, round_: tuple[float, float, float], low: float, high: float
) -> Flat | None:
    """Return a flat web from a boss to a foot along a tube's axis; None if it would miss the tube."""
    s = _along(tube, middle)
    room = FOOT + max(tube.start.short_point, tube.end.short_point)
    reach = 2 * SPREAD * round_[2]
    feet = []
    for place in (s - reach, s + reach):
        foot = min(max(place, room), tube.axis.length - room)
        at = tube.axis.at(foot)
        height, width = tube.section.radii_at(foot)
        beside = abs((low + high) / 2 - float(at[1])) / float(width)
        if beside > BESIDE:
            return None
        radius = 0.6 * float(height) * float(np.sqrt(1 - beside**2))
        feet.append((float(at[0]), float(at[2]), radius))
    return Flat((round_, *dict.fromkeys(feet)), low, high)


def _foot(tube: Tube, start: Vector) -> tuple[Vector, tuple[float, float]]:
    """Return where an arm to a tube ends, and its height and width there [mm].

    It ends in the tube's middle; in a tube that serves both sides, beside the middle.
    """
    s = _along(tube, start)
    end = tube.axis.at(s)
    height, width = (2 * float(r) for r in tube.section.radii_at(s))
    if abs(float(end[1])) < 0.1 * width:
        end[1] += np.sign(start[1]) * ABREAST * width / 2
        return end, (0.55 * height, 0.3 * width)
    return end, (ARM_END * height, ARM_END * width)
