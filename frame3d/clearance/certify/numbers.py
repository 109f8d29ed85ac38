"""What the search needs of tubes, shapes and mounts: each made once, however many pairs it is in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeVar

import numpy as np

from frame3d.bodies.motion.mounts import TURN, Mount, Name
from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.clearance.certify.motion import (
    Chain,
    Range,
    Template,
    chain_of,
    place_of,
    template_of,
    turns_tube_into_itself,
)
from frame3d.clearance.certify.records import PLACE, Records
from frame3d.clearance.certify.search_input import edges_of, numbers_of, pieces_of
from frame3d.geometry.arrays import Array, Ints

T = TypeVar("T")


def distinct(things: Sequence[T]) -> tuple[list[T], Ints]:
    """Return each of some objects once, and which of them each is, by identity."""
    numbers: dict[int, int] = {}
    which = [numbers.setdefault(id(one), len(numbers)) for one in things]
    found = dict(zip(which, things, strict=True))
    return list(found.values()), np.array(which, dtype=np.int64)


class TubeNumbers(NamedTuple):
    """A tube's records, in the frame's axes."""

    tube: Tubular
    pieces: Records
    cutters: Records
    about: tuple[float, float]
    """Point (x, z) near it, about which its swings are taken to turn [mm]."""


class ShapeRecords(NamedTuple):
    """A shape's records, in its own axes, and where these are."""

    shape: PlacedShape
    numbers: Records
    edges: Records
    place: Records
    """One `records.Place`, without `about`, which is the tube's."""


class Numbers:
    """Records of solids and mounts by the object itself, for one scene.

    Solids are told apart by identity: comparing two tubes takes longer than measuring most pairs.
    """

    def __init__(self) -> None:
        self._tubes: dict[int, TubeNumbers] = {}
        self._shapes: dict[int, ShapeRecords] = {}
        self._chains: dict[tuple[tuple[int, int], tuple[Name, ...]], _Chain] = {}
        self._skips: dict[tuple[int, int], int] = {}
        self._limits: dict[tuple[Range, ...], Array] = {}

    def tube(self, tube: Tubular) -> TubeNumbers:
        """Return the records of a tube.

        Raises:
            ValueError: the tube has no length.
        """
        known = self._tubes.get(id(tube))
        if known is None:
            about = place_of(tube)
            known = TubeNumbers(tube, *pieces_of(tube), (about.real, about.imag))
            self._tubes[id(tube)] = known
        return known

    def shape(self, shape: PlacedShape) -> ShapeRecords:
        """Return the records of a shape."""
        known = self._shapes.get(id(shape))
        if known is None:
            place = np.zeros(1, PLACE)
            place["origin"], place["axes"] = shape.origin, shape.axes
            known = ShapeRecords(shape, numbers_of(shape.shape), edges_of(shape.shape), place)
            self._shapes[id(shape)] = known
        return known

    def limits(self, ranges: Sequence[Range]) -> Array:
        """Return the limits of motions: (ranges, 2) float [mm or radians].

        Raises:
            ValueError: limits in the wrong order, or a motion named twice.
        """
        key = tuple(ranges)
        known = self._limits.get(key)
        if known is None:
            if len({r.name for r in key}) < len(key) or any(not r.low <= r.high for r in key):
                raise ValueError("each motion once, its low limit first")
            known = np.array([r.held() for r in key]).reshape(-1, 2)
            self._limits[key] = known
        return known

    def motions(
        self,
        tubes: Sequence[Tubular],
        shapes: Sequence[PlacedShape],
        of_tube: Ints,
        of_shape: Ints,
        names: tuple[Name, ...],
    ) -> tuple[list[Template], Ints]:
        """Return the steps from mounts of tubes to those of shapes, each once, and which each pair has.

        A turn of a straight round tube about its own axis is left out.

        Args:
            tubes: each once.
            shapes: each once.
            of_tube: (n,): which tube each pair has.
            of_shape: (n,): which shape it has.
            names: of the motions that matter, in the order that steps name them by.
        """
        ours, of_ours = distinct([tube.mount for tube in tubes])
        theirs, of_theirs = distinct([shape.mount for shape in shapes])
        both, group = np.unique(
            of_ours[of_tube] * len(theirs) + of_theirs[of_shape], return_inverse=True
        )
        found: list[Template] = []
        which: Ints = np.empty(len(of_tube), dtype=np.int64)
        for k, code in enumerate(both.tolist()):
            known = self._chain(ours[code // len(theirs)], theirs[code % len(theirs)], names)
            own = group == k
            by_skips: dict[int, list[int]] = {0: []}
            if known.turns:
                by_skips = {}
                for i in np.unique(of_tube[own]).tolist():
                    by_skips.setdefault(self._own_turns(tubes[i], known.chain), []).append(i)
            for skip, some in by_skips.items():
                template = known.templates.get(skip)
                if template is None:
                    template = known.templates[skip] = template_of(known.chain[skip:], names)
                which[own & np.isin(of_tube, some) if known.turns else own] = len(found)
                found.append(template)
        return found, which

    def _chain(self, tube: Mount, shape: Mount, names: tuple[Name, ...]) -> _Chain:
        mounts = id(tube), id(shape)
        known = self._chains.get((mounts, names))
        if known is None:
            chain = chain_of(tube, shape, names)
            turns = bool(chain) and chain[0][0].kind == TURN
            # The mounts are kept, so that no other takes the identity of one of them.
            known = self._chains[mounts, names] = _Chain(tube, shape, chain, turns, {})
        return known

    def _own_turns(self, tube: Tubular, chain: Chain) -> int:
        """Return how many of the first steps turn a tube into itself."""
        key = id(tube), id(chain)
        known = self._skips.get(key)
        if known is None:
            known = 0
            tube = self.tube(tube).tube
            while known < len(chain) and turns_tube_into_itself(tube, chain[known][0]):
                known += 1
            self._skips[key] = known
        return known


class _Chain(NamedTuple):
    """The steps from one mount to another, and their records by how many of the first are left out."""

    tube: Mount
    shape: Mount
    chain: Chain
    turns: bool
    """Whether the first step is a turn, so that it may turn a tube into itself."""
    templates: dict[int, Template]
