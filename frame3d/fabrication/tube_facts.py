"""A placed tube's figures for the builder: lengths, butts, angles, twist, lines around it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import Final

import numpy as np

from frame3d.geometry.centreline import Arc
from frame3d.geometry.vector import Vector, cross, vector
from frame3d.tubes.cuts.edge import Cutting, Solid
from frame3d.tubes.tube import End, Tube

STOCK_EXTRA: Final = 10.0
"""Extra length on each end of a tube cut from stock, beyond its long point [mm]; common practice, no
source."""
_NAMES: Final = (("front", "rear"), ("left", "right"), ("top", "bottom"))
_STEEP: Final = 58.0
"""Lines on steeper tubes are called front and rear, on others top and bottom [degrees]: down tubes have
a bottom, seat and head tubes a front."""


@dataclass(frozen=True, slots=True)
class Butt:
    """The thick wall at one end."""

    wall: float
    """Wall thickness [mm]."""
    length: float
    """Length from the cut end's long point to where the wall begins to thin [mm]."""
    left: float
    """Length left beyond all cuts at that end [mm]; negative where a cut goes beyond the thick wall."""


@dataclass(frozen=True, slots=True)
class TubeFacts:
    """Figures of a tube; lengths are along the axis, with bends developed."""

    tube: Tube
    centre_to_centre: float
    """Length between the ends of the axis, on the axes of the tubes that it meets [mm]."""
    long_to_long: float
    """Cut length: between the long points, with all cuts [mm]."""
    short_to_short: float | None
    """Length between the deepest cuts of either end [mm]; None where no full turn is left."""
    low: float
    """s of the start's long point [mm]."""
    stock: float
    """Length to order or saw [mm]: that of the tube as sold where the file gives it, else the cut length
    plus `STOCK_EXTRA` on each end, in whole 5 mm."""
    butts: tuple[Butt | None, Butt | None]
    """Butts of start and end; None where the wall does not thin from there."""
    twist: float | None
    """Angle from the start's mitre to the end's about the tube's axis, −90 to 90 [degrees], positive
    with phi. None without two mitres on bodies that have an axis."""
    middle: float
    """phi of the middle line of the templates [degrees]: the top, else the front; the opposite line
    where an opening would lie on the seam."""
    carried: float
    """phi, at the end of a bent tube, of the line that starts at phi = 0 [degrees]."""


def facts_of(tube: Tube, bodies: Mapping[str, Solid], cutting: Cutting) -> TubeFacts:
    """Return a tube's figures."""
    length = tube.axis.length
    low, first = cutting.reach("start")
    high, last = cutting.reach("end")
    cut = high - low
    carried = carried_to(tube, length)
    turns = [mitre_turn(tube, which, bodies) for which in ("start", "end")]
    twist = None
    if turns[0] is not None and turns[1] is not None:
        twist = 90.0 - (90.0 - (turns[1] - carried - turns[0])) % 180.0
    return TubeFacts(
        tube=tube,
        centre_to_centre=length,
        long_to_long=cut,
        short_to_short=last - first if last > first else None,
        low=low,
        stock=_stock(tube, cut),
        butts=(
            _butt(tube, low, cutting.cut_to("start"), forward=True),
            _butt(tube, high, cutting.cut_to("end"), forward=False),
        ),
        twist=None if twist is None else twist + 0.0,
        middle=_middle(tube, cutting),
        carried=carried,
    )


def end_of(tube: Tube, which: str) -> End:
    """Return one of a tube's ends."""
    return tube.start if which == "start" else tube.end


def acute(angle: float) -> float:
    """Return the smaller angle between two axes [degrees]."""
    return min(angle, 180.0 - angle)


def mitre_turn(tube: Tube, which: str, bodies: Mapping[str, Solid]) -> float | None:
    """Return the phi at an end toward which its target's axis leans [degrees]; None without one."""
    end = end_of(tube, which)
    if end.cut != "mitre" or end.target is None:
        return None
    s = 0.0 if which == "start" else tube.axis.length
    body = bodies[end.target].axis
    along = body.tangent(float(body.nearest(vector(end.point)[None])[0]))
    up, across = tube.axis.frame(s)
    u, v = float(along @ up), float(along @ across)
    if math.hypot(u, v) < 1e-6:
        return None
    return math.degrees(math.atan2(v, u))


def carried_to(tube: Tube, s: float) -> float:
    """Return phi at `s` on a bent tube of a line scribed along phi = 0 before bending [degrees].

    Bending does not rotate sections about the tube's axis (parallel transport). But the axes from which
    phi is measured follow the bike, and may rotate about it.
    """
    line: Vector = tube.axis.frame(0.0)[0]
    for at, piece in zip(tube.axis.starts, tube.axis.pieces, strict=False):
        if at >= s - 1e-9:
            break
        if isinstance(piece, Arc):
            share = min(1.0, (s - float(at)) / piece.length)
            before = tube.axis.tangent(float(at) + 1e-9)
            axis = cross(vector(piece.start) - vector(piece.centre), before)
            line = _turned(line, axis / np.linalg.norm(axis), math.radians(piece.angle) * share)
    up, across = tube.axis.frame(s)
    return math.degrees(math.atan2(float(line @ across), float(line @ up))) + 0.0


def line_name(tube: Tube, s: float, phi: float) -> str:
    """Return the name of a line along a tube by its direction on the bike: ``top``, ``left``, ``front``.

    The four lines a quarter turn apart have different names: two are ``left`` and ``right`` (on a tube
    across the bike ``front`` and ``rear``), the other two are named by `_STEEP`.
    """
    up, across = tube.axis.frame(s)
    turn = math.radians(phi)
    facing = math.cos(turn) * up + math.sin(turn) * across
    along = tube.axis.tangent(s)
    is_across = abs(along[1]) > math.sqrt(0.5)
    first = 0 if is_across else 1
    side = np.eye(3)[first] - along[first] * along
    side /= np.linalg.norm(side)
    other = cross(along, side)
    is_flat = is_across or abs(other[2]) * math.tan(math.radians(_STEEP)) > abs(other[0])
    second = 2 if is_flat else 0
    a, b = float(facing @ side), float(facing @ other) * float(other[second])
    if abs(a) > math.sqrt(0.5) + 1e-9:
        return _NAMES[first][0 if a > 0 else 1]
    return _NAMES[second][0 if b > 0 else 1]


def _middle(tube: Tube, cutting: Cutting) -> float:
    """See `TubeFacts.middle`."""
    half = tube.axis.length / 2
    names = {line_name(tube, half, phi): phi for phi in (270.0, 180.0, 90.0, 0.0)}
    middle = names.get("top", names.get("front", 0.0))
    for place in cutting.places:
        for outline in cutting.outlines(place):
            away = (float(outline.phi.mean()) - middle + 180.0) % 360.0 - 180.0
            if outline.is_hole and abs(away) > 90.0:
                return (middle + 180.0) % 360.0
    return middle


def plain(name: str) -> str:
    """Return a body's name in words."""
    return name.replace("_", " ")


def section_text(tube: Tube) -> str:
    """Return the outer dimensions of a tube as text: ``38.1``, ``26 × 12.5 to 16``, ``50 / 46 / 50``.

    Of a rectangle or a D its corners too: ``40 × 30 rect. R4``, ``34 × 30 R5 to 24 × 20 R4 D``.
    """
    shape = tube.section
    corners = [f" R{_short(min(one))}" for one in shape.rounds]
    kind = "" if not corners else " D" if shape.is_d else " rect."
    alike = len(set(corners)) == 1

    def size(i: int) -> str:
        h, w = shape.height[i], shape.width[i]
        if shape.rounds:
            return f"{_short(h)} × {_short(w)}{'' if alike else corners[i]}"
        return _short(h) if abs(h - w) < 1e-6 else f"{_short(h)} × {_short(w)}"

    sizes = [size for size, _ in groupby(size(i) for i in shape.corners)]
    outside = " to ".join(sizes) if len(sizes) < 3 else " / ".join(sizes)
    return outside + kind + (corners[0] if alike else "")


def _short(size: float) -> str:
    """Return a size with no more decimals than it needs, two at most."""
    return f"{round(size, 2):g}"


def wall_text(tube: Tube) -> str:
    """Return the wall of a tube as text: ``0.9 / 0.6 / 0.9``, ``solid``."""
    if tube.section.is_solid:
        return "solid"
    shape = tube.section
    walls = [_short(shape.wall[i]) for i in shape.wall_corners]
    return " / ".join(wall for wall, _ in groupby(walls))


def _stock(tube: Tube, cut: float) -> float:
    """See `TubeFacts.stock`; `cut` is the cut length [mm]."""
    if tube.sold is not None and tube.sold.is_given:
        return tube.sold.length
    return 5.0 * math.ceil((cut + 2 * STOCK_EXTRA) / 5.0 - 1e-9)


def _butt(tube: Tube, tip: float, cut_to: float, *, forward: bool) -> Butt | None:
    """Return the thick wall from a tip; None where the wall does not thin."""
    shape, sign = tube.section, 1.0 if forward else -1.0
    rows = [(shape.s[i], shape.wall[i]) for i in shape.wall_corners]
    if not forward:
        rows.reverse()
    first = rows[0][1]
    for (s0, w0), (_, w1) in pairwise(rows):
        if w1 < w0 and w0 == first:
            reach = sign * (s0 - tip)
            if reach <= 0 and tube.sold is not None:
                return None  # cut off of the tube as sold, which placing it warns of
            return Butt(first, reach, reach - abs(cut_to - tip))
        if w1 > w0:
            return None
    return None


def _turned(v: Vector, axis: Vector, angle: float) -> Vector:
    """Rotate v about a unit axis by an angle [rad] (Rodrigues' formula)."""
    cos, sin = math.cos(angle), math.sin(angle)
    return np.asarray(v * cos + cross(axis, v) * sin + axis * float(axis @ v) * (1 - cos))
