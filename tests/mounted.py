"""Bikes with a brake mount on a left stay, for tests; all invented."""

from __future__ import annotations

from typing import Any

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.models.frame import FrameSpec
from tests.bikes import hardtail_data


def mounted_spec(
    mount: dict[str, Any] | None = None,
    on: str = "chainstay",
    rotor: float = 180.0,
    **brake: Any,
) -> FrameSpec:
    """The file of the trail hardtail with a rear rotor, a caliper, and a mount for it."""
    data = hardtail_data()
    data["build"]["rear_wheel"]["rotor"] = rotor
    data["build"]["rear_brake"] = brake
    if mount is not None:
        data["tubes"][on]["features"] = {"brake": mount}
    return FrameSpec.model_validate(data)


def mounted(
    mount: dict[str, Any] | None = None, on: str = "chainstay", rotor: float = 180.0, **brake: Any
) -> Bike:
    """The same, solved."""
    return solve(mounted_spec(mount, on, rotor, **brake))
