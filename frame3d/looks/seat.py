"""Looks of saddle and seatpost: a padded shell, rails, a clamp, a dropper's shaft."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Box, Disc, box
from frame3d.looks.forms import bent, block, lofted, mirrored, ovals, pressed, revolved, rod
from frame3d.looks.piece import BLACK, LEATHER, SILVER, Named, piece, rod_sizes
from frame3d.looks.surfaces import Surface, joined

RAIL: Final = 3.5
"""Radius of a saddle's rails [mm]."""
APART: Final = 22.0
"""Half the distance between the rails at the clamp [mm]."""


def seat(bodies: Mapping[str, Body], place: Placement) -> Iterator[Named]:
    """Yield the pieces of saddle and seatpost, as far as there are outlines of them."""
    saddle, post = bodies.get("saddle"), bodies.get("seatpost")
    if saddle is not None and isinstance(saddle.shapes[0].shape, Box):
        on = saddle.shapes[0]
        x, y, z = (2 * half for half in saddle.shapes[0].shape.half)
        edge = saddle.shapes[0].shape.rounding
        yield (
            "saddle",
            piece(shell, x, y, z, edge, on=on, colour=LEATHER, finish="soft", drops=True),
        )
        yield "saddle", piece(rails, x, y, z, on=on, colour=SILVER, finish="steel", drops=True)
        if post is not None:
            # Where the post's axis comes up to the rails.
            up = place.seat_up
            foot = place.node("saddle") - (z - 2 * RAIL) / up[2] * up - np.array(on.origin)
            yield (
                "seatpost",
                piece(clamp, float(foot[0]), z, on=on, colour=BLACK, finish="alloy", drops=True),
            )
    if post is not None and isinstance(post.shapes[0].shape, Disc):
        radius, length = rod_sizes(post.shapes[0])
        spec = place.build.seatpost
        travel = 0.0 if spec is None else spec.travel
        on = post.shapes[0]
        if not 0 < travel < length - 60:
            yield "seatpost", piece(rigid, radius, length, on=on, colour=BLACK, finish="alloy")
        else:
            sizes = (radius, length, travel)
            yield "seatpost", piece(dropper, *sizes, on=on, colour=BLACK, finish="alloy")
            yield "seatpost", piece(shaft, *sizes, on=on, colour=BLACK, finish="alloy", drops=True)


@lru_cache(maxsize=16)
def shell(length: float, width: float, height: float, edge: float) -> Surface:
    """Return a saddle's padded shell: wings behind, a nose ahead, thinner toward its edges."""
    # Share of the length from the tail on; half width; top and underside as shares of the height.
    rows = np.array([
        (0.006, 0.20, 0.40, 0.16), (0.018, 0.31, 0.445, 0.10), (0.05, 0.41, 0.475, 0.06),
        (0.12, 0.475, 0.485, 0.03), (0.22, 0.49, 0.475, 0.01), (0.33, 0.455, 0.455, -0.01),
        (0.44, 0.37, 0.44, -0.03), (0.54, 0.27, 0.435, -0.05), (0.64, 0.2, 0.44, -0.06),
        (0.76, 0.158, 0.445, -0.05), (0.88, 0.142, 0.44, -0.03), (0.95, 0.128, 0.42, 0.0),
        (0.98, 0.10, 0.385, 0.05), (0.994, 0.055, 0.33, 0.13),
    ])  # fmt: skip
    place, wide, top, low = rows.T
    centres = np.stack([length * (place - 0.5), 0 * place, height * (top + low) / 2], axis=1)
    rings = ovals(centres, width * wide, height * (top - low) / 2, 24, square=2.7)
    # The skirt comes down at the sides, the middle of the back is a little lower.
    side = (rings[:, :, 1] / np.maximum(width * wide, 1e-9)[:, None]) ** 2
    rings[:, :, 2] -= 0.16 * height * side * np.minimum(1.0, 4 * (1 - place))[:, None]
    return lofted(pressed(rings, [((0.0, 0.0, 0.0), box(length, width, height, edge))]))


@lru_cache(maxsize=16)
def rails(length: float, width: float, height: float) -> Surface:
    """Return a saddle's two rails, from under its nose to under its wings."""
    low = RAIL - height / 2
    points = np.array([
        (0.40 * length, 0.055 * width, -0.02 * height),
        (0.33 * length, 0.08 * width, low + 0.28 * height),
        (0.20 * length, APART - 4, low + 0.03 * height), (0.12 * length, APART, low),
        (-0.17 * length, APART, low), (-0.25 * length, APART + 2, low + 0.05 * height),
        (-0.36 * length, min(APART + 13, 0.36 * width), low + 0.42 * height),
        (-0.40 * length, min(APART + 15, 0.38 * width), 0.04 * height),
    ])  # fmt: skip
    rail = bent(points, RAIL, 8)
    return joined([rail, mirrored(rail)])


@lru_cache(maxsize=16)
def clamp(forward: float, height: float) -> Surface:
    """Return what holds the rails on the post's head.

    Args:
        forward: x of the post's axis there, from the saddle's middle [mm].
        height: of the saddle with its rails [mm].
    """
    low = RAIL - height / 2
    ends = [(forward, side * (APART + 5.0), low + 5.0) for side in (-1, 1)]
    return joined([
        rod(ends[0], ends[1], 8.5, facets=16, lines=True),
        block((34.0, 2 * APART - 10, 10.0), (forward, 0.0, low - 1.0 + 5.0), 3.0),
    ])  # fmt: skip


@lru_cache(maxsize=16)
def rigid(radius: float, length: float) -> Surface:
    """Return a post of one piece."""
    return revolved([(0.0, 0.0), (radius, 0.0), (radius, length), (0.0, length)], 20)


@lru_cache(maxsize=16)
def dropper(radius: float, length: float, travel: float) -> Surface:
    """Return what stays of a dropper post: body and collar."""
    collar = length - travel - 40.0
    return revolved(
        [
            (0.0, 0.0), (radius, 0.0), (radius, collar), (radius - 1.2, collar + 1.0),
            (radius - 1.2, collar + 3.0), (radius, collar + 4.0), (radius, collar + 16.0),
            (radius - 2.2, collar + 18.0), (0.0, collar + 18.0),
        ],
        20,
    )  # fmt: skip


@lru_cache(maxsize=16)
def shaft(radius: float, length: float, travel: float) -> Surface:
    """Return what goes down of a dropper post, at full height: a shaft as long as its travel, and its
    head.
    """
    collar = length - travel - 40.0
    return revolved(
        [
            (0.0, collar + 12.0), (radius - 2.8, collar + 12.0), (radius - 2.8, length - 18.0),
            (radius - 0.4, length - 12.0), (radius - 0.4, length), (0.0, length),
        ],
        20,
    )  # fmt: skip
