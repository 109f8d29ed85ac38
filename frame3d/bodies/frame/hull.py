"""Straight round bars, side by side, that contain a tube (its hull), for gaps to other tubes.

Section of an oval tube, with half sizes A (major) and B (minor)::

            _.-~~~~~~-._
          .(  )(    )(  ).      bars: circles that touch the ellipse inside on both sides,
          `(  )(    )(  )'      made thicker until they cover all of it
            `-.______.-'

Along a bend the bars are chords, thickened by the rise of the arc over its chord.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

import numpy as np

from frame3d.bodies.forms import rods
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.shapes import PlacedShape, prism
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.convex_hull import convex_hull
from frame3d.geometry.rounded import Rounds, outer_polygon
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point, unit
from frame3d.tubes.tube import Tube

RISE = 0.04
"""How far a bar may stand out of the tube that it contains, along a bend and around an oval [mm]."""
OUT = 0.005
"""The same of a prism, at the corners of a rectangle or a D [mm]."""
ROUND = 1e-6
"""Ovals whose half sizes differ by less count as round [mm]."""
MOST = 15
"""Most bars side by side in an oval."""


def hull_of(tube: Tube, mount: Mount) -> tuple[PlacedShape, ...]:
    """Return round bars that contain a tube from its first metal to its last.

    A bend becomes chords, each thickened by the rise of the arc over it, and lengthened until it
    meets the next one all round. An oval becomes bars about the circles that touch it inside on both
    sides, thickened by what lies between them. A rectangle or a D becomes prisms about its outline.
    """
    if tube.section.rounds:
        return tuple(_prisms(tube, mount))
    stretches = list(_stretches(tube))
    return _side_by_side(tube, np.array(stretches), mount) if stretches else ()


def _prisms(tube: Tube, mount: Mount) -> Iterator[PlacedShape]:
    """Yield prisms that contain a rounded tube, one after another along it.

    Each goes from one place to the next along the chord between them. Its sides are the hull, as seen
    along that chord, of polygons about both end sections, and of the same polygons moved out by what
    the tube bulges between them: a corner of such a polygon is linear in height, width and radius, so it
    runs along the axis with a second derivative of kappa + (w² + w') e + 2 w e' at most, e its distance
    from the axis, e' its taper, w and w' the frame's turn and the change of that; between two places
    `length` apart it leaves the straight line by an eighth of that times length² at most.
    """
    axis, section = tube.axis, tube.section
    first, last = tube.start.long_point, axis.length - tube.end.long_point
    count = max(math.ceil(np.pi / 2 / (2 * math.acos(1 / (1 + OUT / _largest(section))))), 1)
    for low, high, bulge in _steps(tube, first, last):
        ends, rings = [], []
        for s in (low, high):
            (a,), (b,), (radii,) = (x.tolist() for x in _outline(section, s))
            up, across = axis.frame(s)
            ends.append(axis.at(s))
            corners = outer_polygon(a + bulge, b + bulge, _grown(radii, bulge), count)
            rings.append(corners[:, :1] * up + corners[:, 1:] * across)
        along = unit(ends[1] - ends[0])
        up = axis.frame((low + high) / 2)[0]
        up = unit(up - float(up @ along) * along)
        across = np.cross(up, along)
        middle = (ends[0] + ends[1]) / 2
        points = np.vstack([end - middle + ring for end, ring in zip(ends, rings, strict=True)])
        flat = np.column_stack([points @ across, points @ up])
        # Corners that are all but one make no edge; `_steps` has room for the rounding.
        profile = convex_hull(np.round(flat, 6)) if bulge else flat[: len(flat) // 2]
        reach = points @ along
        middle = middle + (reach.max() + reach.min()) / 2 * along
        yield PlacedShape(
            tube.name,
            prism([(float(x), float(y)) for x, y in profile], float(np.ptp(reach)) + 2 * bulge),
            point(middle),
            mount,
            (point(across), point(up), point(along)),
        )


def _outline(section: Section, s: float) -> tuple[Array, Array, Array]:
    """Return half height, half width and corners of a rounded section: (1,), (1,), (1, 4) [mm]."""
    at = np.array([s])
    return *section.radii_at(at), section.rounds_at(at)


def _grown(radii: Rounds, by: float) -> Rounds:
    a, b, c, d = radii
    return a + by, b + by, c + by, d + by


def _largest(section: Section) -> float:
    """Return the largest radius of a corner [mm]."""
    return max(max(one) for one in section.rounds)


def _steps(tube: Tube, first: float, last: float) -> Iterator[tuple[float, float, float]]:
    """Yield the stretches that a prism contains: where each begins and ends, and its bulge [mm].

    Even ones are not divided; others so that a prism stands out by about `RISE`, at one end of a taper
    by twice that.
    """
    axis, section = tube.axis, tube.section
    marks = {first, last, *(s for s in (*section.s, *axis.starts.tolist()) if first < s < last)}
    for a, b in pairwise(sorted(marks)):
        if b - a < 1e-6:
            continue
        kappa = float(np.linalg.norm(axis.curvatures(np.array([(a + b) / 2]))[0]))
        ends = [np.concatenate([x.ravel() for x in _outline(section, s)]) for s in (a, b)]
        change = float(np.abs(ends[1] - ends[0]).max())
        slope = 2 * change / (b - a)
        turn, rate = _turning(axis, a, b) if kappa else (0.0, 0.0)
        far = section.furthest
        second = kappa + (turn**2 + rate) * far + 2 * turn * slope
        many = max(change / (2 * RISE), (b - a) * math.sqrt(second / 8 / RISE), 1.0)
        places = np.linspace(a, b, math.ceil(many - 1e-9) + 1).tolist()
        for low, high in pairwise(places):
            is_even = change < 1e-12 and not kappa
            yield low, high, 0.0 if is_even else second * (high - low) ** 2 / 8 + 2e-6


def _turning(axis: Centreline, a: float, b: float) -> tuple[float, float]:
    """Return bounds of a bend's frame: how fast it turns [1/mm], and how fast that changes [1/mm²].

    From samples of its directions, a fifth more.
    """
    s = np.linspace(a, b, 65)
    _, up, across = axis.frames(s)
    step = float(s[1] - s[0])
    first = [np.diff(way, axis=0) / step for way in (up, across)]
    second = [np.diff(way, 2, axis=0) / step**2 for way in (up, across)]
    turn, rate = (max(float(np.linalg.norm(x, axis=1).max()) for x in rows)
                  for rows in (first, second))  # fmt: skip
    return 1.2 * turn, 1.2 * rate


def _stretches(tube: Tube) -> Iterator[tuple[float, float, float, float]]:
    """Yield stretches of a tube that bars contain.

    Of each where it begins and ends along the axis, how much thicker a bar is for a bend [mm], and how
    much longer at either end, as a fraction of the bar's radius.
    """
    axis, section = tube.axis, tube.section
    first, last = tube.start.long_point, axis.length - tube.end.long_point
    for i, (at, piece) in enumerate(zip(axis.starts, axis.pieces, strict=False)):
        # Metal may reach past the axis's ends, along their tangents.
        a = first if i == 0 else max(float(at), first)
        b = last if i == len(axis.pieces) - 1 else min(float(at) + piece.length, last)
        if b - a < 1e-6:
            continue
        cuts = {a, b, *(float(s) for s in section.s if a + 1e-6 < s < b - 1e-6)}
        if isinstance(piece, Arc):
            turn = 2 * np.arccos(1 - RISE / piece.radius)
            count = int(np.ceil((b - a) / piece.radius / turn))
            cuts |= {float(s) for s in np.linspace(a, b, count + 1)}
        for low, high in pairwise(sorted(cuts)):
            if high - low < 1e-6:
                continue
            rise = longer = 0.0
            if isinstance(piece, Arc):
                half = (high - low) / piece.radius / 2
                rise = piece.radius * (1 - math.cos(half))
                longer = math.tan(half)
            yield low, high, rise, longer


def _side_by_side(tube: Tube, stretches: Array, mount: Mount) -> tuple[PlacedShape, ...]:
    """Return bars that contain stretches of a tube: (n, 4), as `_stretches` yields them."""
    axis, section = tube.axis, tube.section
    heights, widths = (r.reshape(-1, 2) for r in section.radii_at(stretches[:, :2].ravel()))
    points, ups, acrosses = (
        x.reshape(-1, 2, 3) for x in axis.frames(np.ascontiguousarray(stretches[:, :2]).ravel())
    )
    along = points[:, 1] - points[:, 0]
    along /= np.linalg.norm(along, axis=1)[:, None]
    upright = heights.sum(axis=1) >= widths.sum(axis=1)
    major = np.where(upright[:, None], heights, widths)
    minor = np.where(upright[:, None], widths, heights)
    # Neither half size is the larger one all along: one round bar as wide as the larger.
    mixed = (minor > major).any(axis=1)
    major[mixed] = minor[mixed] = np.maximum(major[mixed], minor[mixed])
    directions = np.where(upright[:, None, None], ups, acrosses)

    each = [_circles(*sizes) for sizes in np.concatenate((major, minor), axis=1).tolist()]
    of = np.repeat(np.arange(len(each)), [len(places) for places, _ in each])
    place = np.concatenate([places for places, _ in each])[:, None]
    thicker = (np.array([more for _, more in each]) + stretches[:, 2])[of]

    major, minor = major[of], minor[of]
    middles = place * _furthest(major, minor)
    radii = _radii(major, minor, middles) + thicker[:, None]
    ends = points[of] + middles[:, :, None] * directions[of]
    # The ends of a bar that leans are square to it: longer, they hold the tube's ends too.
    bar = ends[:, 1] - ends[:, 0]
    length = np.linalg.norm(bar, axis=1)
    straight = np.einsum("ij,ij->i", bar, along[of])
    lean = np.linalg.norm(bar - straight[:, None] * along[of], axis=1) / straight
    out = (stretches[of, 3] + lean)[:, None] * radii
    growth = (radii[:, 1] - radii[:, 0]) / length
    more = out / length[:, None]
    return rods(
        tube.name,
        ends[:, 0] - more[:, :1] * bar,
        ends[:, 1] + more[:, 1:] * bar,
        np.stack((radii[:, 0] - growth * out[:, 0], radii[:, 1] + growth * out[:, 1]), axis=1),
        mount,
    )


@lru_cache(maxsize=1024)
def _circles(wide: float, wide_end: float, high: float, high_end: float) -> tuple[Array, float]:
    """Return the bars' places along an oval's long half, from -1 to 1, and how much thicker they are.

    Args:
        wide: larger half size where a stretch begins [mm].
        wide_end: the same where it ends.
        high: smaller half size where it begins [mm].
        high_end: the same where it ends.
    """
    major, minor = np.array((wide, wide_end)), np.array((high, high_end))
    if (major - minor < ROUND).all():
        return np.zeros(1), float((major - minor).max())
    share = np.array([0.0, 0.5, 1.0])
    sizes = [a[0] + share * (a[1] - a[0]) for a in (major, minor)]
    turn = np.linspace(0.0, np.pi / 2, 181)[:, None]
    edge = np.stack((sizes[0] * np.cos(turn), sizes[1] * np.sin(turn)))  # (2, 181, 3)
    for count in range(3, MOST + 1, 2):
        places = np.sin(np.linspace(-np.pi / 2, np.pi / 2, count))
        middles = places[:, None] * (_furthest(major, minor) @ np.stack((1 - share, share)))
        radii = _radii(major, minor, middles[:, [0, 2]])
        radii = radii @ np.stack((1 - share, share))
        off = np.hypot(edge[0] - middles[:, None, :], edge[1]) - radii[:, None, :]
        off = off.min(axis=0)
        between = np.abs(np.diff(off, axis=0)).max(axis=0)  # a peak between two samples
        more = float((off.max(axis=0) + between).max())
        if more <= RISE or count == MOST:
            break
    return places, max(more, 0.0)


def _furthest(major: Array, minor: Array) -> Array:
    """Return how far from an ellipse's middle a circle within can be that touches it on both sides."""
    return np.asarray((major**2 - minor**2) / major)


def _radii(major: Array, minor: Array, middles: Array) -> Array:
    """Return the radii of circles in an ellipse that touch it on both sides, by place [mm].

    The place is that of the circle's centre on the long axis, from the middle [mm].
    """
    square = np.maximum(major**2 - minor**2, ROUND**2)
    return np.asarray(minor * np.sqrt(np.maximum(1 - middles**2 / square, 0.0)))
