"""A slot with round ends, drilled in any direction; a solid to be taken out of others."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.vector import Point, cross, mirrored, vector


@dataclass(frozen=True)
class Slot:
    """A prism whose section is the hull of two circles.

    ::

            <------ length ----->
           .---------------------.   ^
          (   o      + at     o   )  | width       seen along `way`; + is `at`, on the prism's
           `---------------------'   v             lower face; `along` points to the right
    """

    at: Point
    """Middle of its lower face [mm]."""
    way: Point
    """Unit direction from the lower face to the upper one."""
    along: Point
    """Unit direction of its length, square to `way`."""
    width: float
    length: float
    height: float
    """Distance of its faces [mm]."""

    @property
    def size(self) -> float:
        """Diameter of its round ends [mm]."""
        return self.width

    @cached_property
    def flat(self) -> Flat:
        """Itself as a plate: x along its length, y along `way`."""
        half = (self.length - self.width) / 2
        return Flat(((half, 0.0, self.width / 2), (-half, 0.0, self.width / 2)), 0.0, self.height)

    @property
    def axes(self) -> Array:
        """Directions of the plate's x, y and z: rows of a (3, 3) rotation."""
        along, way = vector(self.along), vector(self.way)
        return np.array([along, way, cross(along, way)])

    @property
    def volume(self) -> float:
        """Volume [mm³]."""
        return self.flat.volume

    def mirrored(self) -> Slot:
        """Return the mirror image in the centre plane."""
        return replace(
            self, at=mirrored(self.at), way=mirrored(self.way), along=mirrored(self.along)
        )

    def resized(self, by: float) -> Slot:
        """Return the slot larger across by `by` [mm]."""
        return replace(self, width=self.width + by, length=self.length + by)

    def is_same(self, other: object) -> bool:
        """Return whether both enclose the same space, within 1e-7 mm."""
        if not isinstance(other, Slot):
            return False
        sign = 1.0 if vector(self.along) @ vector(other.along) >= 0 else -1.0
        ours, theirs = (
            [*s.at, *s.way, *(turn * vector(s.along)), s.width, s.length, s.height]
            for s, turn in ((self, 1.0), (other, sign))
        )
        return bool(np.allclose(ours, theirs, rtol=0, atol=1e-7))
