"""The trail hardtail with a brake mount and eyes on its dropouts, for tests; all invented."""

from __future__ import annotations

from typing import Any

from frame3d.parameters.models.frame import FrameSpec
from tests.bikes import hardtail_data

POST: dict[str, Any] = {"brake": {"kind": "post_mount"}}
RACK: dict[str, Any] = {"rack": {"kind": "eye", "at": [-24, 6]}}
BEHIND = 104.0
"""Where about the axle a caliper stands behind the seatstay [degrees]."""


def with_mount(
    features: dict[str, Any],
    kind: str = "hooded",
    angle: float | None = BEHIND,
    rotor: float = 180.0,
    mount_rotor: float | None = None,
    **dropout: Any,
) -> FrameSpec:
    """Return its file."""
    data = hardtail_data()
    data["build"]["rear_wheel"]["rotor"] = rotor
    data["build"]["rear_brake"] = {} if angle is None else {"angle": angle}
    if mount_rotor is not None:
        data["build"]["rear_brake"]["mount_rotor"] = mount_rotor
    data["build"]["dropout"] = {"kind": kind, "features": features} | dropout
    return FrameSpec.model_validate(data)
