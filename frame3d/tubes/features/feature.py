"""A feature on its tube: what the file says, and where along and around the tube."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.geometry.vector import Point
from frame3d.parameters.models.junctions import Side
from frame3d.parameters.models.tube_features.feature import FeatureSpec


@dataclass(frozen=True, slots=True)
class Post:
    """A bolt of a brake mount, relative to its tube: along it, toward angle 0, toward angle 90."""

    s: float
    """Where along the tube's axis the plane through the bolt square to the mount crosses it [mm]."""
    angle: float
    """Around the tube, from its axis to the middle of the face [degrees]."""
    face: Point
    """Middle of the face that the caliper is bolted onto, from the axis at `s` [mm]."""
    way: Point
    """Unit direction of the bolt out of it."""


@dataclass(frozen=True, slots=True)
class Mount:
    """Where a brake mount has its caliper, as the frame was designed."""

    caliper: float
    """From straight ahead of the axle up to the caliper's middle [degrees]."""
    bolts: float
    """From straight ahead up to the direction of the bolts, away from the tube [degrees]."""
    posts: tuple[Post, ...]


@dataclass(frozen=True, slots=True)
class Feature:
    """A feature, or a row of them, on one tube."""

    name: str
    """Its key in the file; ``bottle_1`` for the bosses of a bottle."""
    path: str
    """Dotted path in the file."""
    tube: str
    """`Tube.name` of what it is on."""
    key: str
    """Key of that tube."""
    side: Side | None
    """Side of that tube."""
    spec: FeatureSpec
    s: tuple[float, ...]
    """Middle of each of the row along the tube's axis, from its start [mm]."""
    angle: float
    """Around the tube, as `FeatureSpec.angle` [degrees]."""
    implied: bool = False
    """Whether it only stands for the bosses of a bottle: listed and marked, but no metal."""
    mount: Mount | None = None
    """Of a brake mount whose place follows from its rotor."""

    @property
    def angles(self) -> tuple[float, ...]:
        """Around the tube, of each of the row [degrees]."""
        if self.spec.kind == "post_mount" and self.mount is not None:
            return tuple(post.angle for post in self.mount.posts)
        return (self.angle,) * len(self.s)

    @property
    def labels(self) -> tuple[str, ...]:
        """Name of each of the row, without side: ``down_tube-bottle-1``; no tube has a hyphen."""
        stem = f"{self.key}-{self.name}"
        if len(self.s) == 1:
            return (stem,)
        return tuple(f"{stem}-{i + 1}" for i in range(len(self.s)))

    def named(self, label: str) -> str:
        """Return one of `labels` with the tube's side: ``seatstay-eye_left``."""
        return label if self.side is None else f"{label}_{self.side}"
