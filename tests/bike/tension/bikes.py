"""A single-speed hardtail with an eccentric insert, for tests."""

from __future__ import annotations

from pathlib import Path

import frame3d
from frame3d.bike.bike import Bike

RIGID = Path(__file__).parents[3] / "configs" / "adventure_rigid.yaml"
OFFSET = 6.0
SETS = (
    "build.bottom_bracket={shell: eccentric-68, eccentric: {offset: 6, angle: -90}}",
    "build.cassette={cogs: [18], inset: 16}",
)


def eccentric(*sets: str) -> Bike:
    """Return the rigid demo with an eccentric shell and one gear."""
    return frame3d.solve(frame3d.load(RIGID, sets=[*SETS, *sets]))
