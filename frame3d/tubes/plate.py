"""A flat part of the frame that is cut from plate, in place."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.outline import Outline
from frame3d.geometry.vector import Point
from frame3d.parameters.models.junctions import Side


@dataclass(frozen=True)
class Plate:
    """A flat part of the frame: what every one of them is, whatever made its outline."""

    name: str
    """``head_gusset``, ``shock_tab_left``"""
    key: str
    """Key under ``plates`` in the parameter file."""
    kind: str
    """``gusset``, ``tab``, ``path``, ``pivot_tab``, ``link_plate``, ``dropout`` or ``hanger``"""
    side: Side | None
    outline: Outline
    """As it is cut from the sheet: it ends where its faces touch the tubes that it stands on."""
    rough: Path
    """Its edge before the tubes cut it: it reaches into those that it stands on."""
    plane: Plane
    low: float
    high: float
    """Heights of its faces above the plane, the lower one first [mm]."""
    volume: float
    """Of its metal, fitted to the tubes, without holes and pockets [mm³]."""
    on: tuple[str, ...]
    """Names of the tubes that it stands on; ``bottom_bracket`` for the shell."""
    material: str
    density: float
    """[g/cm³]"""
    colour: str
    """#rrggbb"""
    link: str | None = None
    """As `Tube.link`."""

    @property
    def thickness(self) -> float:
        """Thickness [mm]."""
        return self.high - self.low

    @property
    def metal(self) -> Extrusion:
        """Its body before tubes, holes and pockets cut it."""
        return Extrusion(self.rough, self.plane, self.low, self.high)

    @property
    def grams(self) -> float:
        """Mass [g]."""
        return self.volume * self.density * 1e-3

    @property
    def centre(self) -> Point:
        """Centre of its face, at the middle of its thickness [mm]."""
        return self.plane.at(self.outline.centroid, (self.low + self.high) / 2)

    def cut_outs(self, beyond: float) -> tuple[Extrusion, ...]:
        """Return holes, slots and pockets as solids that go beyond the faces by so much [mm]."""
        low, high = self.low - beyond, self.high + beyond
        through = [Extrusion(path, self.plane, low, high) for path in self.outline.inner]
        deep = []
        for pocket in self.outline.pockets:
            front = pocket.face == "front"
            a = self.high - pocket.depth if front else low
            b = high if front else self.low + pocket.depth
            deep.append(Extrusion(pocket.path, self.plane, a, b))
        return (*through, *deep)
