"""A printed part in its place in the model, and its joints with other parts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from frame3d.geometry.arrays import Array

if TYPE_CHECKING:
    from manifold3d import Manifold


@dataclass(frozen=True, eq=False)
class Limb:
    """A bar-like stretch of a part that may be cut across: its axis as a polyline, and its radius."""

    points: Array
    """Points of the axis, (n, 3) float [mm], at the print's scale and in the model."""
    radius: Array
    """Half of the smaller dimension of the section at each point, (n,) float [mm]."""


@dataclass(frozen=True, eq=False)
class ModelPart:
    """One piece to print. Coordinates are the bike's axes at the print's scale [mm]."""

    name: str
    """Unique name in ASCII, such as ``front_tyre``."""
    colour: str
    """#rrggbb"""
    solid: Manifold
    limbs: tuple[Limb, ...] = ()
    """Stretches at which it may be cut to fit the bed."""
    planes: tuple[tuple[Array, Array], ...] = ()
    """Planes at which it may be cut, each a point and a normal, both (3,) float. Where there are any, it
    is cut at no others."""
    role: Literal["bike", "stand"] = "bike"
    down: Array | None = None
    """Direction that faces the plate, (3,) float; None where any pose will do."""
    upright: bool = False
    """Whether `down` may be given up where no cut makes the part fit the bed in that pose."""
    anywhere: bool = False
    """Whether it may be cut through anything where no cut at a limb makes it fit the bed."""
    face: Array | None = None
    """Outward normal (3,) of a face with letters, which should need no supports."""
    turns: Manifold | None = None
    """Volume swept as the part rotates, with clearance; the frame is cut back there."""


@dataclass(frozen=True, eq=False)
class Joint:
    """A peg or pin in its hole."""

    kind: Literal["fixed", "turning"]
    peg: str
    """The part that is or carries the peg."""
    hole: str
    """The part with the hole."""
    at: Array
    """Middle of the overlap of peg and hole: (3,) float [mm]."""
    along: Array
    """Unit direction of the peg: (3,) float."""
    diameter: float
    """Diameter of the peg [mm]."""
    depth: float
    """Overlap of peg and hole [mm]."""
    clearance: float
    """Clearance per side [mm]."""
    mark: str = ""
    """The letter engraved beside both ends."""
    anywhere: bool = False
    """Whether it joins pieces of a part that was cut through something else than a limb."""


def moved(part: ModelPart, motion: Array) -> ModelPart:
    """Return a part after a rigid motion (3, 4)."""
    turn, shift = motion[:, :3], motion[:, 3]
    return replace(
        part,
        solid=part.solid.transform(motion),
        limbs=tuple(Limb(limb.points @ turn.T + shift, limb.radius) for limb in part.limbs),
        planes=tuple((turn @ point + shift, turn @ normal) for point, normal in part.planes),
        down=None if part.down is None else turn @ part.down,
        face=None if part.face is None else turn @ part.face,
        turns=None if part.turns is None else part.turns.transform(motion),
    )


def joint_moved(joint: Joint, motion: Array) -> Joint:
    """Return a joint after a rigid motion (3, 4)."""
    turn, shift = motion[:, :3], motion[:, 3]
    return replace(joint, at=turn @ joint.at + shift, along=turn @ joint.along)


@dataclass(frozen=True, eq=False)
class Made:
    """The result of a maker: parts, their joints, and notes."""

    parts: tuple[ModelPart, ...]
    joints: tuple[Joint, ...] = ()
    notes: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    """What was made otherwise than drawn or asked for, and where."""
