"""Thicken less where thickened parts would overlap, so that the printing clearance stays between them.

The least thickness of every part and tube that takes part in an overlap is reduced from the one asked
for (share 1) toward the thinnest that prints (`options.THIN_WALL`, `THIN_ROD`; share 0). One share holds
for all of them: the largest at which all keep their clearance, found by bisection; 0 where none does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from frame3d.bodies.motion.pose import matrix
from frame3d.mockup.drawing import Drawing
from frame3d.mockup.meeting import Meeting, clearance, gap, neighbourhood
from frame3d.mockup.part import ModelPart
from frame3d.mockup.parts.frame import PLATES
from frame3d.mockup.solid import bounds
from frame3d.mockup.thicken import Ledger, Thickened

STEPS: Final = 5
"""Steps of the bisection: the share is found to 1/32."""

Make = Callable[[Drawing], Sequence[ModelPart]]


def eased(drawing: Drawing, met: Sequence[Meeting], make: Make) -> tuple[Drawing, list[str]]:
    """Return the drawing with less thickening where parts overlapped, and sentences that say so.

    Args:
        drawing: the bike to print.
        met: the overlaps at full thickening.
        make: makes all parts.
    """
    names = sorted({name for meeting in met for name in _takers(drawing, meeting)})
    low, high = 0.0, 1.0
    if _apart(drawing, met, make, names, low):
        for _ in range(STEPS):
            share = (low + high) / 2
            if _apart(drawing, met, make, names, share):
                low = share
            else:
                high = share
    found = _at(drawing, names, low)
    make(found)
    told = list(_told(drawing.ledger, found.ledger, met))
    if not told:
        return drawing, []
    return replace(found, ledger=drawing.ledger), told


def _at(drawing: Drawing, names: Sequence[str], share: float) -> Drawing:
    return replace(drawing, eased=dict.fromkeys(names, share), ledger=Ledger())


def _apart(
    drawing: Drawing, met: Sequence[Meeting], make: Make, names: Sequence[str], share: float
) -> bool:
    """Return whether parts that overlapped keep their clearance at a share, but for 5 % of it."""
    solids = {part.name: part.solid for part in make(_at(drawing, names, share))}
    for meeting in met:
        room = clearance(drawing.options, meeting.first, meeting.second)
        around = neighbourhood(bounds(meeting.shared))
        if gap(solids[meeting.first], solids[meeting.second], around, room) < 0.95 * room:
            return False
    return True


def _takers(drawing: Drawing, meeting: Meeting) -> Iterator[str]:
    """Yield the names, as in `Drawing.eased`, of the parts and tubes that overlap."""
    for name in (meeting.first, meeting.second):
        if name == "frame":
            yield from _of_frame(drawing, meeting)
        else:
            yield name.removesuffix("_left").removesuffix("_right")


def _of_frame(drawing: Drawing, meeting: Meeting) -> Iterator[str]:
    """Yield the frame's tubes near an overlap, and `PLATES` if it has a rear suspension."""
    corners = np.asarray(meeting.shared.to_mesh64().vert_properties)[:, :3] / drawing.scale
    tubes = set()
    for tube in drawing.bike.tubes:
        motion = matrix(drawing.place.link(tube.link), drawing.pose)
        drawn = (corners - motion[:3, 3]) @ motion[:3, :3]
        radius = max(tube.section.furthest, 1 / drawing.scale)
        if float(tube.axis.approach(drawn)[1].min()) < 1.5 * radius:
            tubes.add(tube.key)
    yield from sorted(tubes)
    if drawing.bike.linkage is not None:
        yield PLATES


def _told(before: Ledger, after: Ledger, met: Sequence[Meeting]) -> Iterator[str]:
    """Yield a sentence for each dimension that was thickened less."""
    new = {(entry.part, entry.size): entry for entry in after.entries}
    pairs = "; ".join(dict.fromkeys(f"{_plain(m.first)} and {_plain(m.second)}" for m in met))
    for entry in before.entries:
        printed = new.get((entry.part, entry.size), _unchanged(entry)).printed
        if printed < entry.printed - 1e-6:
            yield (
                f"{_plain(entry.part)}: {entry.size} {printed:.2f} mm and not the "
                f"{entry.printed:.2f} mm asked for, as these would meet: {pairs}"
            )


def _unchanged(entry: Thickened) -> Thickened:
    return replace(entry, printed=entry.scaled)


def _plain(name: str) -> str:
    return name.replace("_", " ")
