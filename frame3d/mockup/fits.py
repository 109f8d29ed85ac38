r"""Pegs with a flat, and their holes. The flat allows one orientation only and lets a peg print lying.

The section of a peg, with its axis o and the flat at FLAT · radius from it:

         .-----.
       /         \
      |     o     |
       \_________/
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.solid import area, axes, circle, grown, pressed

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

FLAT: Final = 0.7
"""Distance of the flat from the axis, as a share of the radius. The circle's tangent at the flat's edge
is at 45 degrees, which prints without support (trade pages)."""
TIP: Final = 0.4
"""Bevel of a peg's ends [mm]."""
SPARE: Final = 0.3
"""Extra depth of a blind hole beyond its peg [mm]."""


@dataclass(frozen=True, eq=False)
class Peg:
    """A peg: its axis starts at `origin` along `along`, its flat is on the side of `flat`."""

    origin: Array
    along: Array
    flat: Array
    radius: float
    keyed: bool = True
    """Whether the hole has the flat too; else the hole is round and the peg may rotate."""

    @property
    def at(self) -> Array:
        """Rigid motion from the peg's axes (z along it, flat toward -y) to the model's: (3, 4)."""
        return axes(self.origin, self.along, np.cross(self.along, self.flat))

    @property
    def section(self) -> CrossSection:
        """Section of the peg: a circle cut off at the flat."""
        return keyed(self.radius)

    def solid(self, low: float, high: float, bevels: tuple[bool, bool] = (True, True)) -> Manifold:
        """Return the peg from `low` to `high` along its axis [mm], with bevelled tips where asked."""
        from manifold3d import Manifold

        whole = self.section.to_polygons()[0]
        slim = grown(self.section, -TIP).to_polygons()[0]
        rings = []
        for z, inward, bevelled in ((low, 1.0, bevels[0]), (high, -1.0, bevels[1])):
            if bevelled:
                rings += [(slim, z), (whole, z + inward * TIP)]
            else:
                rings.append((whole, z))
        points = np.vstack([np.column_stack([xy, np.full(len(xy), z)]) for xy, z in rings])
        return Manifold.hull_points(np.ascontiguousarray(points)).transform(self.at)

    def hole(self, low: float, high: float, clearance: float) -> Manifold:
        """Return the hole for the peg, wider by `clearance` on each side [mm]."""
        if self.keyed:
            section = grown(self.section, clearance)
        else:
            section = grown(area(circle(self.radius)), clearance)
        return pressed(section, low, high, self.at)


def keyed(radius: float) -> CrossSection:
    """Return a circle with a flat toward -y."""
    from manifold3d import CrossSection

    window = CrossSection.square((4 * radius, 4 * radius)).translate((-2 * radius, -FLAT * radius))
    return area(circle(radius)) ^ window
