"""The built frame says how each of its bodies has moved since it was designed."""

from __future__ import annotations

from dataclasses import replace

from frame3d.geometry.side_motion import SideMotion
from tests.bikes import hardtail_layout


def test_links_pitch_with_the_frame_unless_they_moved_on_their_own() -> None:
    swing = SideMotion(4.0, 12.0, -7.0)
    frame = replace(hardtail_layout().frame, pitch=1.5, links={"swingarm": swing})
    assert frame.motion(None) == SideMotion(1.5)
    assert frame.motion("rocker") == SideMotion(1.5)
    assert frame.motion("swingarm") == swing
