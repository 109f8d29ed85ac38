"""Gussets, tabs and other plates as bodies of the frame."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bike.bike import Bike
from frame3d.solids.body import SolidBody

BEYOND = 20.0
"""How far holes and pockets go beyond a plate's faces [mm]; they are taken out of it alone."""


def plates(bike: Bike) -> Iterator[SolidBody]:
    """Yield every plate of the frame with its holes, slots and pockets, not yet cut."""
    for plate in bike.plates:
        yield SolidBody(
            name=plate.name,
            key=plate.key,
            path=f"plates.{plate.key}",
            side=plate.side,
            colour=plate.colour,
            material=plate.material,
            density=plate.density,
            metal=(plate.metal,),
            bore=None,
            voids=(),
            holes=plate.cut_outs(BEYOND),
            drills=(),
            cuts=(),
            link=plate.link,
        )
