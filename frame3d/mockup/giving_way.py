"""Cut a part back where it overlaps another one, if enough of it is left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.mockup.meeting import clearance, meetings, neighbourhood
from frame3d.mockup.options import THIN_ROD, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.check import LOOSE
from frame3d.mockup.solid import bounds, minus

if TYPE_CHECKING:
    from manifold3d import Manifold

GIVES: Final = ("stand", "frame", "fork", "cockpit", "saddle")
"""Parts that may be cut back; of two that overlap, the one that is named first here."""
LIFTED: Final = 40
"""Height over which a stand is cut back above an overlap, so that the bike can be lifted out [mm]."""


def given_way(options: Options, parts: Sequence[ModelPart]) -> tuple[list[ModelPart], list[str]]:
    """Return the parts, cut back where they overlapped others, and sentences that say so.

    Parts that would fall apart, lose a loop or become thinner than `THIN_ROD` are left as they are.
    """
    found = {part.name: part for part in parts}
    notes = []
    for meeting in list(meetings(parts)):
        pair = (meeting.first, meeting.second)
        gives = next((name for name in GIVES if name in pair), None)
        if gives is None:
            continue
        other = pair[1] if gives == pair[0] else pair[0]
        box = bounds(meeting.shared)
        room = clearance(options, *pair)
        lifts = range(LIFTED) if gives == "stand" else (0,)
        solid = _cut_back(found[gives].solid, found[other].solid ^ neighbourhood(box), room, lifts)
        if solid is not None:
            found[gives] = replace(found[gives], solid=solid)
            names = [name.replace("_", " ") for name in (gives, other)]
            notes.append(f"the {names[0]} gives way to the {names[1]}, by {meeting.volume:.1f} mm³")
    return list(found.values()), notes


def _cut_back(
    solid: Manifold, other: Manifold, room: float, lifts: Iterable[int]
) -> Manifold | None:
    """Return a solid less another one with clearance; None where too little is left.

    Args:
        solid: the solid to cut.
        other: the one that it overlaps.
        room: clearance around `other` [mm].
        lifts: heights by which `other` is raised and subtracted again [mm].
    """
    left, core = (
        _largest(minus(solid, [w.translate((0.0, 0.0, float(up))) for w in ways for up in lifts]))
        for ways in (list(_grown(other, room)), list(_grown(other, room + THIN_ROD)))
    )
    if left is None or core is None or core.genus() < left.genus():
        return None
    return left


def _grown(solid: Manifold, by: float) -> Iterator[Manifold]:
    """Yield a solid and its copies moved by `by` [mm] along 26 directions.

    Their union approximates the solid offset by `by`, from within: 0.88 to 1 of it at flat faces
    (derived: no direction is more than 28 degrees from the nearest of these), at least 0.7 at the
    sharp edges of its test.
    """
    yield solid
    for way in product((-1.0, 0.0, 1.0), repeat=3):
        if any(way):
            yield solid.translate(tuple(by * np.array(way) / np.linalg.norm(way)))


def _largest(solid: Manifold) -> Manifold | None:
    """Return a solid without pieces of up to `LOOSE`; None unless one larger piece is left."""
    pieces = [piece for piece in solid.decompose() if piece.volume() > LOOSE]
    return pieces[0] if len(pieces) == 1 else None
