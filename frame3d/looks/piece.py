"""A piece of a part's look: a maker with its sizes, colour, finish, and the shape that it stands on."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np

from frame3d.bodies.shapes import Disc, PlacedShape
from frame3d.looks.surfaces import Surface

BEYOND: Final = 1.0
"""How far looks reach outside the outlines that gaps are measured on, at most [mm]."""
DECIMALS: Final = 3
"""Sizes count to a thousandth of a millimetre."""

RUBBER, LEATHER = "#222325", "#26282b"
BLACK, GREY, SILVER, STEEL = "#2b2d31", "#4b4f55", "#a9aeb4", "#8b9097"

Named = tuple[str, "Piece"]
"""A piece with the name of the part that it belongs to."""


@dataclass(frozen=True)
class Piece:
    """Something drawn in place of a part's outline."""

    make: Callable[..., Surface]
    """Returns the surface in the shape's own axes; a cached function of sizes alone."""
    sizes: tuple[Any, ...]
    on: PlacedShape
    """The shape of the part in whose axes it stands, and with which it moves."""
    colour: str
    finish: str
    """As the viewer knows them: ``paint``, ``rubber``, ``alloy``, ``steel``, ``soft``."""
    joins: bool = False
    """Whether it lies between outlines, from one part to another."""
    fine: bool = False
    """Whether pictures that have to be quick do without it."""
    drops: bool = False
    """Whether it goes down with the saddle."""

    @cached_property
    def key(self) -> str:
        """Name of its surface: the same for the same sizes of the same thing."""
        text = f"{self.make.__module__}.{self.make.__name__}{self.sizes!r}"
        return "look-" + hashlib.sha256(text.encode()).hexdigest()[:16]

    @property
    def surface(self) -> Surface:
        """Its surface in the shape's own axes."""
        return self.make(*self.sizes)


def rod_sizes(on: PlacedShape) -> tuple[float, float]:
    """Return the largest radius of a rod, and the y of its far end [mm]."""
    assert isinstance(on.shape, Disc)
    radius, far = np.array(on.shape.profile).max(axis=0).tolist()
    return radius, far


def piece(
    make: Callable[..., Surface],
    *sizes: Any,
    on: PlacedShape,
    colour: str,
    finish: str,
    joins: bool = False,
    fine: bool = False,
    drops: bool = False,
) -> Piece:
    """Return a piece; what floating point adds to its sizes does not count."""
    return Piece(make, _rounded(sizes), on, colour, finish, joins, fine, drops)


def _rounded(value: Any) -> Any:
    if isinstance(value, tuple | list):
        return tuple(_rounded(each) for each in value)
    return round(float(value), DECIMALS) + 0.0 if isinstance(value, float) else value
