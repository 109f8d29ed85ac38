"""A feature on its tube: what the file says, and where along and around the tube."""

from __future__ import annotations

from dataclasses import dataclass

from frame3d.parameters.models.junctions import Side
from frame3d.parameters.models.tube_features.feature import FeatureSpec


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
