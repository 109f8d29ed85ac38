"""Move crank arms and pedals out where they meet the frame though all are as thin as prints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from frame3d.mockup.drawing import Drawing
from frame3d.mockup.meeting import clearance, gap, meetings, neighbourhood
from frame3d.mockup.part import ModelPart
from frame3d.mockup.parts.cranks import cranks
from frame3d.mockup.solid import bounds
from frame3d.mockup.thicken import Ledger

OUT: Final = ("crank_arm", "pedal")
"""Beginnings of the names of parts that are moved out."""
WAYS: Final = tuple(0.1 * step for step in range(1, 21))
"""Ways out, tried in turn [mm]."""


def moved_out(drawing: Drawing, parts: Sequence[ModelPart]) -> tuple[Drawing, list[str]]:
    """Return the drawing with arms and pedals further out, both sides alike, and a sentence about it.

    They are moved out by the least of `WAYS` that leaves their clearance to the frame. The drawing is
    returned unchanged, without a sentence, where none of them meets the frame, or none of `WAYS` is
    enough.

    Args:
        drawing: the bike to print.
        parts: all parts of the model, the frame first.
    """
    frame = parts[0]
    arms = [part for part in parts if part.name.startswith(OUT)]
    met = {
        meeting.second: neighbourhood(bounds(meeting.shared))
        for arm in arms
        for meeting in meetings([frame, arm])
    }
    for out in WAYS if met else ():
        found = replace(drawing, arms_out=out)
        made = {p.name: p.solid for p in cranks(replace(found, ledger=Ledger())).parts}
        if all(
            gap(frame.solid, made[name], around, room) >= 0.95 * room
            for name, around in met.items()
            for room in [clearance(drawing.options, name)]
        ):
            names = " and ".join(name.replace("_", " ") for name in met)
            told = (
                f"crank arms and pedals are {out:.1f} mm further out on either side than the scale has "
                f"them, as the frame would meet {names}"
            )
            return found, [told]
    return drawing, []
