"""Chart figures for tests: invented bikes, and a short way to a spec without a file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from frame3d.parameters.models.frame import FrameSpec

TRAIL: dict[str, float] = {
    "reach": 455.0,
    "head_tube_angle": 65.5,
    "head_tube_length": 115.0,
    "effective_seat_tube_angle": 75.5,
    "seat_tube_length": 430.0,
    "chainstay_length": 432.0,
    "bb_drop": 62.0,
    "fork_axle_to_crown": 529.0,
    "fork_offset": 44.0,
    "lower_headset_stack": 4.0,
    "front_wheel_radius": 372.0,
    "rear_wheel_radius": 372.0,
}
"""A trail hardtail; a well-posed set, the usual one."""

MULLET: dict[str, float] = {
    **TRAIL,
    "seat_tube_offset": 38.0,
    "head_tube_angle": 64.0,
    "front_wheel_radius": 373.0,
    "rear_wheel_radius": 352.0,
    "bb_drop": 14.0,
}
"""Unequal wheels and a seat tube ahead of the bottom bracket."""

ROAD: dict[str, float] = {
    "reach": 385.0,
    "head_tube_angle": 72.0,
    "head_tube_length": 145.0,
    "effective_seat_tube_angle": 73.5,
    "seat_tube_length": 500.0,
    "chainstay_length": 418.0,
    "bb_drop": 72.0,
    "fork_axle_to_crown": 372.0,
    "fork_offset": 47.0,
    "lower_headset_stack": 1.0,
    "front_wheel_radius": 345.0,
    "rear_wheel_radius": 340.0,
}
"""A rigid drop-bar frame."""


def spec(
    geometry: Mapping[str, float],
    build: Mapping[str, Any] | None = None,
    tubes: Mapping[str, Any] | None = None,
) -> FrameSpec:
    """A spec of these figures, parts and tubes."""
    return FrameSpec.model_validate(
        {
            "format": 1,
            "name": "Test bike",
            "geometry": dict(geometry),
            "build": dict(build or {}),
            "tubes": dict(tubes or {}),
        }
    )


def without(figures: Mapping[str, float], *names: str, **more: float) -> dict[str, float]:
    """The figures without some, and with others."""
    for name in names:
        if name not in figures:
            raise KeyError(name)
    return {k: v for k, v in figures.items() if k not in names} | more
