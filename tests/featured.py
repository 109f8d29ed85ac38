"""Bikes with features on their tubes, for tests; all invented."""

from __future__ import annotations

from typing import Any

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.models.frame import FrameSpec
from frame3d.tubes.features.feature import Feature
from tests.bikes import hardtail_data, placed_layout
from tests.frames import bar, context

ALL: dict[str, dict[str, Any]] = {
    "down_tube": {
        "cage": {"kind": "boss", "from_start": 340},
        "under": {"kind": "boss", "from_start": 300, "angle": 180, "count": 3, "thread": "M6"},
        "hose_in": {
            "kind": "port", "from_end": 230, "angle": 60, "width": 7, "length": 14, "lean": 30,
            "turn": 10, "hose": 5.5,
        },
    },
    "seat_tube": {"slot": {"kind": "clamp_slot"}},
    "top_tube": {
        "guides": {"kind": "guide", "from_start": 280, "count": 3, "spacing": 120, "angle": 180}
    },
    "chainstay": {
        "hose_out": {
            "kind": "port", "from_start": 220, "angle": 100, "width": 6, "length": 9, "side": "left"
        },
        "drain": {"kind": "vent", "from_start": 240, "angle": -90},
    },
    "seatstay": {
        "rack": {"kind": "eye", "from_end": 150, "angle": 90},
        "stop": {"kind": "stop", "from_start": 210, "angle": 90, "side": "right"},
    },
}  # fmt: skip
"""Some of every kind on the trail hardtail."""


def featured(features: dict[str, dict[str, Any]] | None = None, **build: Any) -> Bike:
    """The trail hardtail with features on its tubes."""
    data = hardtail_data()
    for key, own in (ALL if features is None else features).items():
        data["tubes"][key]["features"] = own
    data["build"] |= build
    return placed_layout(FrameSpec.model_validate(data))


def solved(features: dict[str, dict[str, Any]] | None = None) -> Bike:
    """The same, solved from its chart."""
    data = hardtail_data()
    for key, own in (ALL if features is None else features).items():
        data["tubes"][key]["features"] = own
    return solve(FrameSpec.model_validate(data))


def one_tube(feature: dict[str, Any], od: Any = 40.0, wall: Any = 1.0, **tube: Any) -> Bike:
    """A tube of 400 mm straight ahead, 100 mm up, with one feature."""
    ends = ((-200.0, 0.0, 100.0), (200.0, 0.0, 100.0))
    return context({"beam": bar(od, *ends, wall, features={"it": feature}, **tube)})


def of(bike: Bike, name: str, side: str | None = None) -> Feature:
    """The feature of that name."""
    return next(f for f in bike.frame.features if f.name == name and f.side == side)
