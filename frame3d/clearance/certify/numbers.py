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
from frame3d.clearance.certify.records import Records
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


class Numbers:
    """Records of solids and mounts by the object itself, for one scene.

    Solids are told apart by identity: comparing two tubes takes longer than measuring most pairs.
    """

    def __init__(self) -> None:
        self._tubes: dict[int, TubeNumbers] = {}
        self._shapes: dict[int, ShapeRecords] = {}
        self._chains: dict[tuple[int, int, tuple[Name, ...]], tuple[Mount, Mount, Chain]] = {}
        self._skips: dict[tuple[int, int], int] = {}
        self._templates: dict[tuple[int, int, tuple[Name, ...]], Template] = {}
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
            known = ShapeRecords(shape, numbers_of(shape.shape), edges_of(shape.shape))
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
        a, b = tube.mount, shape.mount
        known = self._chains.get((id(a), id(b), names))
        if known is None:
            known = a, b, chain_of(a, b, names)
            self._chains[id(a), id(b), names] = known
        chain = known[2]
        skip = 0
        while skip < len(chain) and self._is_own_turn(tube, chain, skip):
            skip += 1
        key = id(chain), skip, names
        template = self._templates.get(key)
        if template is None:
            template = self._templates[key] = template_of(chain[skip:], names)
        return template

    def _is_own_turn(self, tube: Tubular, chain: Chain, at: int) -> bool:
        """Return whether a step turns a tube into itself."""
        step = chain[at][0]
        if step.kind != TURN:
            return False
        key = id(tube), id(step)
        known = self._skips.get(key)
        if known is None:
            known = self._skips[key] = int(turns_tube_into_itself(self.tube(tube).tube, step))
        return bool(known)
