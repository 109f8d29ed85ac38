"""Looks of shoes: an upper with an opening for the foot, on a sole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.bodies.body import Body
from frame3d.bodies.shapes import Box, PlacedShape, box
from frame3d.geometry.arrays import Array
from frame3d.looks.forms import lofted, ovals, pressed
from frame3d.looks.piece import Named, piece
from frame3d.looks.surfaces import Surface

SOLE: Final = "#2e2c2a"
INSIDE: Final = "#191716"
Block = tuple[float, float, float, float]
"""Half sizes and rounding of a shoe's fore foot or heel as it is measured [mm]."""

UPPER: Final = (
    (0.004, 0.2, 0.5, 1.2), (0.012, 0.42, 0.4, 1.5), (0.03, 0.62, 0.3, 1.76), (0.07, 0.82, 0.22, 1.93),
    (0.15, 0.93, 0.2, 1.95), (0.26, 0.9, 0.2, 1.9), (0.36, 0.84, 0.2, 1.82), (0.45, 0.86, 0.2, 1.7),
    (0.53, 1.0, 0.2, 1.56), (0.62, 1.16, 0.2, 1.34), (0.72, 1.26, 0.2, 1.1), (0.82, 1.2, 0.2, 0.95),
    (0.9, 0.98, 0.22, 0.86), (0.95, 0.74, 0.26, 0.78), (0.98, 0.48, 0.34, 0.68),
    (0.995, 0.2, 0.44, 0.56),
)  # fmt: skip
"""Place from the heel on as a share of the length; half width, underside and top as shares of the heel's
half width and half height."""
SOLES: Final = (
    (0.015, 0.4), (0.04, 0.66), (0.1, 0.84), (0.22, 0.86), (0.36, 0.76), (0.48, 0.8), (0.6, 1.0),
    (0.72, 1.12), (0.82, 1.06), (0.9, 0.86), (0.955, 0.56), (0.985, 0.26),
)  # fmt: skip


def shoe(bodies: Mapping[str, Body]) -> Iterator[Named]:
    """Yield the pieces of both shoes: `body.shapes` are fore foot and heel."""
    for side in ("left", "right"):
        name = f"shoe_{side}"
        if name in bodies:
            on, heel = bodies[name].shapes
            sizes = (_block(on), _block(heel), on.origin[0] - heel.origin[0],
                     heel.origin[2] - on.origin[2])  # fmt: skip
            yield name, piece(upper, *sizes, on=on, colour=bodies[name].colour, finish="soft")
            yield name, piece(opening, *sizes, on=on, colour=INSIDE, finish="soft")
            yield name, piece(sole, *sizes, on=on, colour=SOLE, finish="rubber")


def _block(placed: PlacedShape) -> Block:
    assert isinstance(placed.shape, Box)
    return (*placed.shape.half, placed.shape.rounding)


@lru_cache(maxsize=16)
def upper(fore: Block, heel: Block, behind: float, above: float) -> Surface:
    """Return a shoe above its sole, in the axes of the fore foot's block.

    Args:
        fore: the fore foot's block.
        heel: the heel's.
        behind: from the middle of the one to that of the other, backward [mm].
        above: likewise upward [mm].
    """
    place, wide, low, top = np.array(UPPER).T
    rings = _sections(fore, heel, behind, (place, wide, low, top))
    return lofted(_held(rings, fore, heel, behind, above))


@lru_cache(maxsize=16)
def opening(fore: Block, heel: Block, behind: float, above: float) -> Surface:
    """Return the dark inside that shows where the foot goes in; sizes as in `upper`."""
    place = np.array([0.05, 0.07, 0.12, 0.2, 0.28, 0.34, 0.36])
    wide = np.array([0.2, 0.42, 0.62, 0.66, 0.56, 0.34, 0.12])
    top = np.array([1.88, 1.94, 1.985, 1.98, 1.93, 1.88, 1.84])
    rings = _sections(fore, heel, behind, (place, wide, top - 0.3, top))
    return lofted(_held(rings, fore, heel, behind, above))


@lru_cache(maxsize=16)
def sole(fore: Block, heel: Block, behind: float, above: float) -> Surface:
    """Return a shoe's sole; sizes as in `upper`."""
    place, wide = np.array(SOLES).T
    # It rises toward the toe.
    low = 0.05 + 0.14 * np.maximum(0.0, (place - 0.75) / 0.25) ** 2
    rings = _sections(fore, heel, behind, (place, wide, low, 0.4 + 0.5 * (low - 0.05)), 3.2)
    return lofted(_held(rings, fore, heel, behind, above))


def _sections(
    fore: Block, heel: Block, behind: float, rows: tuple[Array, ...], square: float = 2.2
) -> Array:
    """Return rings across a shoe from rows as in `UPPER`."""
    place, wide, low, top = rows
    start = -behind - heel[0]
    x = start + (fore[0] - start) * place
    # The foot is as much wider at its ball as the blocks are.
    toe = np.clip((place - 0.4) / 0.3, 0.0, 1.0)
    wide = wide * (heel[1] + toe * (fore[1] / 1.3 - heel[1]))
    middle = heel[2] * (low + top) / 2 - fore[2]
    return ovals(
        np.stack([x, 0 * x, middle], axis=1), wide, heel[2] * (top - low) / 2, 22, square, flat=0.12
    )


def _held(rings: Array, fore: Block, heel: Block, behind: float, above: float) -> Array:
    """Return rings within the blocks that gaps are measured on."""
    blocks = [
        (centre, box(2 * x, 2 * y, 2 * z, rounding))
        for centre, (x, y, z, rounding) in (
            ((0.0, 0.0, 0.0), fore), ((-behind, 0.0, above), heel)
        )
    ]  # fmt: skip
    return pressed(rings, blocks)
