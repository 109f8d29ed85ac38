"""Straight round bars, side by side, that contain a tube (its hull), for gaps to other tubes.

Section of an oval tube, with half sizes A (major) and B (minor)::

            _.-~~~~~~-._
          .(  )(    )(  ).      bars: circles that touch the ellipse inside on both sides,
          `(  )(    )(  )'      made thicker until they cover all of it
            `-.______.-'

Along a bend the bars are chords, thickened by the rise of the arc over its chord.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from frame3d.bodies.forms import rod
from frame3d.bodies.motion.mounts import Mount
from frame3d.bodies.shapes import PlacedShape
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc
from frame3d.geometry.vector import point
from frame3d.tubes.tube import Tube

RISE = 0.04
"""How far a bar may stand out of the tube that it contains, along a bend and around an oval [mm]."""
ROUND = 1e-6
"""Ovals whose half sizes differ by less count as round [mm]."""
MOST = 15
"""Most bars side by side in an oval."""


def hull_of(tube: Tube, mount: Mount) -> tuple[PlacedShape, ...]:
    """Return round bars that contain a tube from its first metal to its last.

    A bend becomes chords, each thickened by the rise of the arc over it, and lengthened until it
    meets the next one all round. An oval becomes bars about the circles that touch it inside on both
    sides, thickened by what lies between them.
    """
    return tuple(_bars(tube, mount))


def _bars(tube: Tube, mount: Mount) -> Iterator[PlacedShape]:
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
                rise = piece.radius * (1 - float(np.cos(half)))
                longer = float(np.tan(half))
            yield from _side_by_side(tube, low, high, rise, longer, mount)


def _side_by_side(
    tube: Tube, low: float, high: float, rise: float, longer: float, mount: Mount
) -> Iterator[PlacedShape]:
    """Yield bars that contain a stretch of a tube.

    Args:
        tube: the tube.
        low: where the stretch begins along the axis [mm].
        high: where it ends [mm].
        rise: how much thicker a bar is for a bend [mm].
        longer: how much longer at either end, as a fraction of the bar's radius.
        mount: what the tube moves with.
    """
    axis, section = tube.axis, tube.section
    heights, widths = section.radii_at(np.array([low, high]))
    ends = [axis.at(s) for s in (low, high)]
    along = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    upright = heights.sum() >= widths.sum()
    major, minor = (heights, widths) if upright else (widths, heights)
    if (minor > major).any():
        # Neither half size is the larger one all along: one round bar as wide as the larger.
        minor = major = np.maximum(major, minor)
    directions = [axis.frame(s)[0 if upright else 1] for s in (low, high)]
    places, more = _circles(major, minor)
    for place in places:
        middles = place * _furthest(major, minor)
        radii = _radii(major, minor, middles) + more + rise
        a, b = (
            end + middle * way for end, middle, way in zip(ends, middles, directions, strict=True)
        )
        # The ends of a bar that leans are square to it: longer, they hold the tube's ends too.
        bar = b - a
        length = float(np.linalg.norm(bar))
        lean = float(np.linalg.norm(bar - (bar @ along) * along)) / float(bar @ along)
        out = (longer + lean) * radii
        growth = float(radii[1] - radii[0]) / length
        yield from rod(
            tube.name,
            point(a - out[0] / length * bar),
            point(b + out[1] / length * bar),
            float(radii[0] - growth * out[0]),
            mount,
            float(radii[1] + growth * out[1]),
        ).shapes


def _circles(major: Array, minor: Array) -> tuple[Array, float]:
    """Return the bars' places along an oval's long half, from -1 to 1, and how much thicker they are."""
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
