"""The file that gives a built frame and the parts exchanged on it, for tests."""

from __future__ import annotations

import copy
from typing import Any

import numpy as np

from frame3d.bike.bike import Bike

STATED = (
    "reach",
    "head_tube_angle",
    "head_tube_length",
    "actual_seat_tube_angle",
    "seat_tube_offset",
    "seat_tube_length",
    "chainstay_length",
    "bb_drop",
)
"""Figures that settle a frame, given the parts that it carries."""


def file_of(bike: Bike, data: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    """Return the data of a file that designs the very bike that an exchange came to.

    Its figures are those of the exchanged bike; what the file of the frame says in level axes is turned
    with the frame.

    Args:
        bike: after the exchange.
        data: of the file that the frame was built to.
        changes: dotted path -> exchanged value.
    """
    out = copy.deepcopy(data)
    for path, value in changes.items():
        *way, last = path.split(".")
        here = out
        for key in way:
            here = here[int(key)] if isinstance(here, list) else here.setdefault(key, {})
        here[last] = value
    out["geometry"] = {figure: bike.chart[figure] for figure in STATED}
    for tube in out.get("tubes", {}).values():
        for end in (tube.get("start"), tube.get("end")):
            if end is not None and ("forward" in end or "above" in end):
                end["forward"], end["above"] = turned(
                    bike, end.get("forward", 0.0), end.get("above", 0.0)
                )
    brake = out["build"].get("rear_brake") or {}
    if "angle" in brake:
        brake["angle"] += bike.frame.pitch
    suspension = out.get("suspension")
    if suspension:
        assert bike.linkage is not None
        for wish in ("travel", "solve_for"):
            suspension.pop(wish, None)
        for (name, coordinate), value in bike.linkage.moved.items():
            suspension["points"][name][coordinate] = value
        for name, at in suspension["points"].items():
            if isinstance(at, list):
                suspension["points"][name] = list(turned(bike, *at))
            elif "forward" in at or "above" in at:
                at["forward"], at["above"] = turned(
                    bike, at.get("forward", 0.0), at.get("above", 0.0)
                )
    return out


def turned(bike: Bike, x: float, z: float) -> tuple[float, float]:
    """A step in the frame's own axes, as it lies now."""
    angle = np.radians(bike.frame.pitch)
    c, s = float(np.cos(angle)), float(np.sin(angle))
    return c * x - s * z, s * x + c * z
