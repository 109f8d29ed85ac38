"""What the search needs of tubes, shapes and mounts: each made once, however many pairs it is in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

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
from frame3d.geometry.arrays import Array


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

    def motion(self, tube: Tubular, shape: PlacedShape, names: tuple[Name, ...]) -> Template:
        """Return the steps from a tube's mount to a shape's.

        Args:
            tube: the tube; a turn of a straight round one about its own axis is left out.
            shape: the shape.
            names: of the motions that matter, in the order that steps name them by.
        """
        mounts = id(tube.mount), id(shape.mount)
        known = self._chains.get((mounts, names))
        if known is None:
            chain = chain_of(tube.mount, shape.mount, names)
            turns = bool(chain) and chain[0][0].kind == TURN
            # The mounts are kept, so that no other takes the identity of one of them.
            known = _Chain(tube.mount, shape.mount, chain, turns, {})
            self._chains[mounts, names] = known
        skip = self._own_turns(tube, known.chain) if known.turns else 0
        template = known.templates.get(skip)
        if template is None:
            template = known.templates[skip] = template_of(known.chain[skip:], names)
        return template

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
