"""Tables of stiffness."""

from __future__ import annotations

from pathlib import Path

from frame3d.cli.screen_stiffness import told
from frame3d.family.stiffnesses import stiffnesses_of
from frame3d.family.wanted import wanted_of

CONFIGS = Path(__file__).parents[2] / "configs"


def test_suspended_frames_are_upper_bounds_and_bridges_are_named() -> None:
    bikes = [str(CONFIGS / f"{name}.yaml") for name in ("trail_full_140", "enduro_170_mixed")]
    text = told(stiffnesses_of(wanted_of(bikes)), 100)
    assert "upper bounds" in text
    assert "chainstay_bridge, seatstay_bridge count for too much" in text
    assert "not told apart" in text
    assert "chainstay bridge (bridge)" not in text
    assert (
        max(len(line) for line in text.splitlines() if "  " in line and "-" not in line[:2]) < 160
    )
