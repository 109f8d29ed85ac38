"""Plates for tests, on the trail hardtail; all invented."""

from __future__ import annotations

from typing import Any

from frame3d.bike.bike import Bike
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.plate import Plate
from tests.bikes import hardtail_data, placed_layout

GUSSET: dict[str, Any] = {
    "kind": "gusset",
    "on": ["top_tube", "seat_tube"],
    "lengths": [50, 40],
    "thickness": 4,
}
TAB: dict[str, Any] = {
    "kind": "tab",
    "on": "down_tube",
    "from_start": 260,
    "angle": 180,
    "base": 40,
    "height": 22,
    "radius": 10,
    "hole": 8,
    "thickness": 5,
}
OWN: dict[str, Any] = {
    "kind": "path",
    "at": [200, 150],
    "thickness": 5,
    "path": [[0, 0], [50, 0, 0.3], [50, 50], [0, 50]],
    "holes": [{"at": [15, 15], "diameter": 6}],
    "slots": [{"at": [30, 40], "length": 14, "width": 5}],
    "pockets": [{"at": [15, 35], "diameter": 10, "depth": 2}],
}


def bike(**plates: dict[str, Any]) -> Bike:
    """The trail hardtail with plates, by name."""
    return placed_layout(FrameSpec.model_validate(hardtail_data() | {"plates": plates}))


def plate(spec: dict[str, Any], **changes: Any) -> Plate:
    """A plate on the trail hardtail, the left one of a pair; changes are other values of its keys."""
    return bike(brace=spec | changes).plates[0]
