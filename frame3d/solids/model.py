"""The frame's parts as solids, with their masses, and the whole frame as one solid."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from frame3d.bike.bike import Bike
from frame3d.errors import Note
from frame3d.geometry.vector import Point
from frame3d.parameters.models.tubes import Side
from frame3d.solids.body import SolidBody, pieces
from frame3d.solids.mesh import Mesh
from frame3d.tubes.hardware import STEERER

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

Colour = tuple[float, float, float]
"""Red, green, blue from 0 to 1, as on a screen (sRGB)."""


@dataclass(frozen=True, slots=True)
class FramePart:
    """One finished part of the frame."""

    name: str
    """``down_tube``, ``chainstay_left``, ``bottom_bracket``, ``rear_dropout_left``, and the names of
    `Bike.pivots`."""
    key: str
    """Key in the file: ``chainstay`` for both of a pair."""
    side: Side | None
    colour: Colour
    material: str
    density: float
    """[g/cm³]"""
    shape: TopoDS_Shape
    """One solid, in place; ``cadquery.Shape.cast(shape)`` takes it to cadquery."""
    volume: float
    """[mm³]"""
    centre: Point
    """Centre of mass [mm]."""
    link: str | None = None
    """Link of the rear suspension that it moves with; None on the front frame."""

    @property
    def mass(self) -> float:
        """[g]"""
        return self.volume * self.density / 1000


def mesh_part(name: str, colour: str, mesh: Mesh, material: str = "") -> FramePart:
    """A part that is drawn and not weighed; colour as #rrggbb."""
    return FramePart(
        name=name,
        key=name,
        side=None,
        colour=rgb(colour),
        material=material,
        density=0.0,
        shape=None,
        volume=mesh.volume,
        centre=(0.0, 0.0, 0.0),
    )


def rgb(colour: str) -> Colour:
    """A colour from #rrggbb."""
    r, g, b = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return (r, g, b)


@dataclass(frozen=True)
class FrameModel:
    """The frame in solids: parts in build order, which touch but do not overlap."""

    bike: Bike
    bodies: tuple[SolidBody, ...]
    """The bodies that the parts were made from, in the same order."""
    parts: tuple[FramePart, ...]
    meshes: Mapping[str, Mesh]
    """Each part as a closed mesh, at the default tolerance; made without the CAD kernel."""
    fork: FrameModel | None = None
    """The fork that the shop builds, likewise; None where it is bought."""

    @property
    def notes(self) -> tuple[Note, ...]:
        """Warnings about the solids beyond the bike's own notes: rigid bodies in loose pieces.

        The plates of a link without tubes are loose by design; axles join them.
        """
        notes = []
        for link in dict.fromkeys(body.link for body in self.bodies):
            own = [body for body in self.bodies if body.link == link]
            loose = pieces(own)
            if len(loose) == 1 or not any(body.path.startswith("tubes.") for body in own):
                continue
            listed = "; ".join(", ".join(names) for names in loose)
            what = self.whole if link is None else link
            message = f"{what} is in {len(loose)} pieces that do not touch: {listed}"
            notes.append(self.bike.spec.note("warning", message, "tubes"))
        return (*notes, *(() if self.fork is None else self.fork.notes))

    @property
    def whole(self) -> str:
        """What it is, in words: the frame, or the fork."""
        return "the fork" if any(part.name == STEERER for part in self.parts) else "the frame"

    @property
    def volume(self) -> float:
        """Volume of all metal [mm³]."""
        return sum(part.volume for part in self.parts)

    @property
    def mass(self) -> float:
        """Mass of the bare frame [g]."""
        return sum(part.mass for part in self.parts)

    @property
    def centre(self) -> Point:
        """Centre of mass [mm]."""
        total = self.mass
        x, y, z = (sum(part.mass * part.centre[i] for part in self.parts) / total for i in range(3))
        return (x, y, z)

    def part(self, name: str) -> FramePart:
        """Return the part of that name.

        Raises:
            KeyError: no such part.
        """
        for part in self.parts:
            if part.name == name:
                return part
        raise KeyError(name)

    @cached_property
    def fused(self) -> TopoDS_Shape:
        """The whole frame as one solid, or one for each rigid body; takes seconds when first used.

        Raises:
            SolidError: the CAD kernel cannot fuse the frame.
        """
        from frame3d.solids.fuse import fused

        return fused(self)
