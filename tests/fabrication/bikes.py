"""Frames for the workshop pack's tests; all invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import frame3d
from frame3d.bike.bike import Bike

CONFIGS = Path(frame3d.__file__).parent.parent / "configs"


@cache
def demo(name: str = "trail_hardtail_29") -> Bike:
    return frame3d.solve(frame3d.load(CONFIGS / f"{name}.yaml"))
