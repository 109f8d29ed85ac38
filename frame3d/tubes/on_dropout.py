"""What stands on a rear dropout or is drilled through it: eyes, and the blocks of a brake mount."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.geometry.side_motion import SideMotion
from frame3d.geometry.vector import Point, Vector, cross, point, vector


@dataclass(frozen=True, slots=True)
class Eye:
    """A threaded hole along the axle, for a rack or mudguard."""

    name: str
    """Its key in the file."""
    at: Point
    """Its centre at the plate's inner face [mm]."""
    thread: str
    drill: float
    """Diameter of the hole before it is tapped [mm]."""

    def moved(self, motion: SideMotion) -> Eye:
        """Return the eye after a motion of its dropout."""
        return replace(self, at=motion.point(self.at))


@dataclass(frozen=True, slots=True)
class Block:
    """A block that one bolt of a brake mount goes into, before the plate and stays cut it."""

    name: str
    """``rear_dropout-brake-1_left``"""
    label: str
    """The same without side."""
    face: Point
    """Middle of the bolt's hole in the face that the caliper is bolted onto [mm]."""
    way: Point
    """Unit direction of the bolt out of it."""
    width: float
    """Across the bolt, in the side view [mm]."""
    inner: float
    outer: float
    """y of its sides [mm]."""
    length: float
    """From the face to its lower end, with what it laps over the plate [mm]."""
    hole: float
    """Diameter of its hole: of the thread, or clear of the bolt [mm]."""
    depth: float
    """Of that hole; `length` where it goes through [mm]."""
    volume: float = 0.0
    """Of its metal outside of plate, hoods and stays, drilled [mm³]."""
    centre: Point = (0.0, 0.0, 0.0)
    """Of that metal [mm]."""

    @property
    def through(self) -> bool:
        """Whether the bolt goes through it from below."""
        return self.depth >= self.length

    @property
    def along(self) -> Vector:
        """Unit direction across the bolt in the side view, up where the bolt points back: (3,)."""
        return cross(np.array([0.0, 1.0, 0.0]), vector(self.way))

    @property
    def bottom(self) -> Point:
        """Middle of the hole's lower end [mm]."""
        return point(vector(self.face) - self.depth * vector(self.way))

    @property
    def metal(self) -> Extrusion:
        """The whole block."""
        y = self.face[1]
        path = Path.polygon(
            (
                (self.inner - y, -self.length),
                (self.outer - y, -self.length),
                (self.outer - y, 0.0),
                (self.inner - y, 0.0),
            )
        )
        plane = Plane(self.face, (0.0, 1.0, 0.0), self.way)
        return Extrusion(path, plane, -self.width / 2, self.width / 2)

    def moved(self, motion: SideMotion) -> Block:
        """Return the block after a motion of its dropout."""
        turn = replace(motion, x=0.0, z=0.0)
        return replace(
            self,
            face=motion.point(self.face),
            way=turn.point(self.way),
            centre=motion.point(self.centre),
        )


@dataclass(frozen=True, slots=True)
class DropoutMount:
    """A brake mount on the left dropout."""

    name: str
    """Its key in the file."""
    path: str
    """Dotted path in the file."""
    kind: Literal["post_mount", "flat_mount"]
    thread: str
    apart: float
    """Between its bolts [mm]."""
    bolt_head: tuple[float, float]
    """Diameter of a bolt's head, and how far it stands out below; (0, 0) of bolts from above [mm]."""
    caliper: float
    """From straight ahead of the axle up to the caliper's middle, as the frame was designed
    [degrees]."""
    bolts: float
    """From straight ahead up to the direction of the bolts out of the faces, likewise [degrees]."""
    blocks: tuple[Block, ...]

    def moved(self, motion: SideMotion) -> DropoutMount:
        """Return the mount after a motion of its dropout; its angles stay those of the design."""
        return replace(self, blocks=tuple(one.moved(motion) for one in self.blocks))
