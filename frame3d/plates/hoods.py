"""Volume of a flat dropout with the hoods on its stays' ends, without the CAD kernel."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.outline import Outline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import vector
from frame3d.pivots.sockets import Socket, socket
from frame3d.plates.overlap import taken_by
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.tube import Dropout, Tube

GRID = 0.5
"""Spacing at which hoods that meet are measured [mm]."""
BEFORE = 1.0
"""How far ahead of the plate's edge the hole of a stop begins [mm]."""


@dataclass(frozen=True)
class Bar:
    """A hood before the stay and the plate cut it."""

    axis: Centreline
    section: Section

    @classmethod
    def of(cls, end: Socket) -> Bar:
        """Return the hood of a stay."""
        axis = Centreline((Line(end.back, end.front),))
        s = (0.0, axis.length)
        sizes = (end.height,) * 2, (end.width,) * 2
        return cls(axis, Section(s, *sizes, (0.0, 0.0), end.rounds * 2))

    @property
    def envelope(self) -> Envelope:
        """Its outside."""
        ends = np.stack((vector(self.axis.start), vector(self.axis.end)))
        size = max(*self.section.height, *self.section.width) / 2
        box = (ends.min(axis=0) - size, ends.max(axis=0) + size)
        return Envelope("hood", self, 0.0, self.axis.length, box)


def hoods_of(dropout: Dropout, tubes: Mapping[str, Tube]) -> Iterator[tuple[Bar, Tube]]:
    """Yield the hood on each stay's end, with the stay."""
    for name, which in dropout.stays:
        yield Bar.of(socket(dropout, tubes[name], which)), tubes[name]


def volume(dropout: Dropout, tubes: Mapping[str, Tube]) -> float:
    """Return the volume of a flat dropout's metal: plate and hoods, what the stays fill left out [mm³].

    A stay is taken to be straight and of one size within its hood.
    """
    plate = dropout.plate
    assert plate is not None
    assert dropout.hood is not None
    found = list(hoods_of(dropout, tubes))
    span = (plate.low, plate.high)
    inside = [envelope for bar, stay in found for envelope in (bar.envelope, _of(stay))]
    total = plate.outline.volume(plate.thickness)
    if found:
        total -= taken_by(plate.outline, plate.plane, span, inside)
        for pocket in plate.outline.pockets:
            deep = span[1] - pocket.depth if pocket.face == "front" else span[0]
            floor = (deep, deep + pocket.depth)
            total += taken_by(Outline(pocket.path), plate.plane, floor, inside)
    if _apart([bar.envelope for bar, _ in found]):
        for (bar, stay), (_, which) in zip(found, dropout.stays, strict=True):
            s = 0.0 if which == "start" else stay.axis.length
            outside = bar.section.full_area_at(0.0) * bar.axis.length
            total += outside - stay.section.full_area_at(s) * dropout.hood.depth
    else:
        total += _together([bar.envelope for bar, _ in found], [_of(stay) for _, stay in found])
    return float(total) - _stop(dropout)


def _apart(hoods: Sequence[Envelope]) -> bool:
    """Return whether the boxes of hoods do not meet."""
    return not any(
        bool((a.box[0] < b.box[1]).all() and (b.box[0] < a.box[1]).all())
        for a, b in combinations(hoods, 2)
    )


def _together(hoods: Sequence[Envelope], stays: Sequence[Envelope]) -> float:
    """Return the volume of hoods that meet, without what the stays fill, on a grid [mm³].

    At a surface, a place of the grid counts by how deep it lies.
    """
    low = np.min([hood.box[0] for hood in hoods], axis=0)
    high = np.max([hood.box[1] for hood in hoods], axis=0)
    axes = [np.arange(a + GRID / 2, b, GRID) for a, b in zip(low, high, strict=True)]
    total = 0.0
    flat = np.stack(np.meshgrid(*axes[1:], indexing="ij"), axis=-1).reshape(-1, 2)
    for x in axes[0]:
        places = np.column_stack([np.full(len(flat), x), flat])
        metal = np.max([hood.depth(places) for hood in hoods], axis=0)
        empty = np.max([stay.depth(places) for stay in stays], axis=0)
        total += float(np.clip(np.minimum(metal, -empty) / GRID + 0.5, 0.0, 1.0).sum())
    return total * GRID**3


def _stop(dropout: Dropout) -> float:
    """Return what the hole of a slot's stop takes, from the plate's edge to the slot [mm³]."""
    slide = dropout.slide
    if slide is None or slide.stop is None:
        return 0.0
    edge, axle = (vector(end) for end in slide.stop)
    length = float(np.linalg.norm(edge - axle)) - BEFORE - dropout.bore / 2
    return float(np.pi / 4 * slide.stop_drill**2 * max(length, 0.0))


def _of(stay: Tube) -> Envelope:
    return Envelope.of(stay, stay.name)
