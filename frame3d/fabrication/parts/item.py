"""One line of the parts list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Group = Literal[
    "frame", "rear suspension", "front end", "wheels and brakes", "drivetrain", "seat and cockpit"
]
"""Where on the bike a part belongs."""
GROUPS: Final[tuple[Group, ...]] = (
    "frame",
    "rear suspension",
    "front end",
    "wheels and brakes",
    "drivetrain",
    "seat and cockpit",
)
"""In the order of the list."""
MassFrom = Literal["", "computed", "given", "shared", "estimated"]
"""Where a mass is from: the metal as modelled; the file; the file's mass of the front assembly, shared
out as usual parts weigh; usual parts (common practice, no source). Empty where it is not known."""


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list."""

    what: str
    count: int
    size: str
    standard: str = ""
    note: str = ""
    kind: str = ""
    """What tells it from other parts of its size, such as its travel; the note says it too."""
    is_tube: bool = False
    """Whether the cut list has it too."""
    group: Group = "frame"
    material: str = ""
    """Of what is made for this frame."""
    weighs: tuple[str, ...] = ()
    """Names of `bike.mass_model.PlacedMass` that all of them together are."""
    share: float = 1.0
    """Share of these masses that all of them together are."""
    grams: float | None = None
    """Mass of each [g]; None where it is not known."""
    mass_from: MassFrom = ""
