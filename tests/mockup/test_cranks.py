"""Cranks: what goes into what, at any size."""

from __future__ import annotations

from frame3d.mockup.parts.cranks import cranks
from tests.mockup.samples import drawing


def test_pedals_go_into_their_arms_at_any_size() -> None:
    for scale in (1.0, 0.5, 1 / 6):
        made = {part.name: part.solid for part in cranks(drawing(scale=scale)).parts}
        for side in ("left", "right"):
            assert (made[f"pedal_{side}"] ^ made[f"crank_arm_{side}"]).volume() < 0.01
