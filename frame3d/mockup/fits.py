"""Pegs with a flat, which lets them in one way only and lets them print lying, and their holes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.mockup.solid import Array, area, axes, circle, grown, pressed

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

FLAT: Final = 0.7
"""Flat's distance from the axis over the radius: the tangent there leans 45 degrees, which prints
without support (trade pages)."""
TIP: Final = 0.4
"""Bevel of a peg's ends [mm]."""
SPARE: Final = 0.3
"""A blind hole is deeper than its peg by this [mm]."""


@dataclass(frozen=True, eq=False)
class Peg:
    """A peg's axis and section: z along `along` from `origin`, its flat on the side of `flat`."""

    origin: Array
    along: Array
    flat: Array
    radius: float
    keyed: bool = True
    """Whether its hole has the flat too; else the hole is round and the peg may turn."""

    @property
    def at(self) -> Array:
        """The motion from own axes (flat toward -y) to the model's: (3, 4)."""
        return axes(self.origin, self.along, np.cross(self.along, self.flat))

    @property
    def section(self) -> CrossSection:
        """A circle less what lies beyond the flat."""
        return keyed(self.radius)

    def solid(self, low: float, high: float, bevels: tuple[bool, bool] = (True, True)) -> Manifold:
        """The peg from `low` to `high` along its axis, its tips bevelled where asked for."""
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
        """The hole for it, wider by `clearance` on each side."""
        if self.keyed:
            section = grown(self.section, clearance)
        else:
            section = grown(area(circle(self.radius)), clearance)
        return pressed(section, low, high, self.at)


def keyed(radius: float) -> CrossSection:
    """A circle with a flat toward -y."""
    from manifold3d import CrossSection

    window = CrossSection.square((4 * radius, 4 * radius)).translate((-2 * radius, -FLAT * radius))
    return area(circle(radius)) ^ window
