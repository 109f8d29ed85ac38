"""Cut one part back where another one would be in its way, if enough of it is left."""

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
"""Parts that give way, the first of two that meet."""
LIFTED: Final = 40
"""How far a stand is cut upward, so that what it gives way to can be lifted out [mm]."""


def given_way(options: Options, parts: Sequence[ModelPart]) -> tuple[list[ModelPart], list[str]]:
    """Return parts, cut back where they met others, and sentences that tell it.

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
    """Return a solid less another one and the room around it; None where too little is left."""
    left, core = (
        _largest(minus(solid, [w.translate((0.0, 0.0, float(up))) for w in ways for up in lifts]))
        for ways in (list(_grown(other, room)), list(_grown(other, room + THIN_ROD)))
    )
    if left is None or core is None or core.genus() < left.genus():
        return None
    return left


def _grown(solid: Manifold, by: float) -> Iterator[Manifold]:
    """Yield a solid moved by a distance along 26 directions: `by` at faces, 0.7 of it at sharp edges."""
    yield solid
    for way in product((-1.0, 0.0, 1.0), repeat=3):
        if any(way):
            yield solid.translate(tuple(by * np.array(way) / np.linalg.norm(way)))


def _largest(solid: Manifold) -> Manifold | None:
    """Return a solid without crumbs; None where more than crumbs come off."""
    pieces = [piece for piece in solid.decompose() if piece.volume() > LOOSE]
    return pieces[0] if len(pieces) == 1 else None
