"""The demo hardtail and its checks, made once."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.clearance.check import run_checks
from frame3d.clearance.result import Report
from frame3d.clearance.scene import Scene, scene_of
from frame3d.parameters.reading.reader import load

DEMO = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"


@pytest.fixture(scope="session")
def scene() -> Scene:
    """The demo's."""
    return scene_of(solve(load(DEMO)))


@pytest.fixture(scope="session")
def report(scene: Scene) -> Report:
    """Of all of its checks."""
    return run_checks(scene)
