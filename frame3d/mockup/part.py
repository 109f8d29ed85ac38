"""One printed piece where it stands in the model, and what joins it to others."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from manifold3d import Manifold

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Limb:
    """A stretch of a part that may be cut across: a polyline with its least half width."""

    points: Array
    """(n, 3) float [mm], printed, where it stands."""
    radius: Array
    """(n,) float: half of the smaller size across [mm]."""


@dataclass(frozen=True, eq=False)
class ModelPart:
    """One piece to print. Coordinates are the bike's axes at the print's scale [mm]."""

    name: str
    """ASCII, ``front_tyre``; no two alike."""
    colour: str
    """#rrggbb"""
    solid: Manifold
    limbs: tuple[Limb, ...] = ()
    """Where it may be cut to fit the bed."""
    planes: tuple[tuple[Array, Array], ...] = ()
    """Planes that it may be cut at besides, each a point and a normal, both (3,) float."""
    role: Literal["bike", "stand"] = "bike"
    down: Array | None = None
    """Direction that faces the plate where the part is made to lie so: (3,) float."""
    upright: bool = False
    """Whether it may lie any other way where no cut makes it fit the bed lying so."""
    face: Array | None = None
    """Outward direction (3,) of a face that stays free of supports, as it carries letters."""
    turns: Manifold | None = None
    """What it passes through as it turns, with its clearance: what stands in there gives way."""


@dataclass(frozen=True, eq=False)
class Joint:
    """A peg or pin in its hole."""

    kind: Literal["fixed", "turning"]
    peg: str
    """The part that is or carries the peg."""
    hole: str
    """The part with the hole."""
    at: Array
    """Middle of the overlap: (3,) float [mm]."""
    along: Array
    """Unit direction of the peg: (3,) float."""
    diameter: float
    """Of the peg [mm]."""
    depth: float
    """Overlap of peg and hole [mm]."""
    clearance: float
    """Per side [mm]."""
    mark: str = ""
    """The letter engraved beside both ends."""


def moved(part: ModelPart, motion: Array) -> ModelPart:
    """A part moved by (3, 4)."""
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
    """A joint moved by (3, 4)."""
    turn, shift = motion[:, :3], motion[:, 3]
    return replace(joint, at=turn @ joint.at + shift, along=turn @ joint.along)


@dataclass(frozen=True, eq=False)
class Made:
    """What a maker gives: parts, their joints, notes for people."""

    parts: tuple[ModelPart, ...]
    joints: tuple[Joint, ...] = ()
    notes: tuple[str, ...] = ()
