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
    Swings,
    Table,
    Template,
    against,
    chain_of,
    place_of,
    swings_of,
    tables_of,
    template_of,
    turns_tube_into_itself,
)
from frame3d.clearance.certify.records import PLACE, Records
from frame3d.clearance.certify.search_input import (
    UNCUT,
    bars,
    edges_of,
    is_bar,
    numbers_of,
    pieces_of,
)
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
        self._abouts: dict[int, tuple[float, float]] = {}
        self._shapes: dict[int, ShapeRecords] = {}
        self._chains: dict[tuple[tuple[int, int], tuple[Name, ...]], _Chain] = {}
        self._skips: dict[tuple[int, int], int] = {}
        self._tables: dict[Swings, Table] = {}
        self._limits: dict[tuple[Range, ...], Array] = {}

    def tube(self, tube: Tubular) -> TubeNumbers:
        """Return the records of a tube.

        Raises:
            ValueError: the tube has no length.
        """
        (found,) = self.tubes([tube])
        return found

    def tubes(self, tubes: Sequence[Tubular]) -> list[TubeNumbers]:
        """Return the records of some tubes.

        Raises:
            ValueError: a tube has no length.
        """
        new = [tube for tube in tubes if id(tube) not in self._tubes]
        plain = [tube for tube in new if is_bar(tube)]
        made: dict[int, tuple[Records, Records]] = {}
        if plain:
            pieces = bars(plain)
            made = {id(tube): (pieces[i : i + 1], UNCUT) for i, tube in enumerate(plain)}
        for tube in new:
            records = made.get(id(tube)) or pieces_of(tube)
            self._tubes[id(tube)] = TubeNumbers(tube, *records)
        return [self._tubes[id(tube)] for tube in tubes]

    def about(self, tube: Tubular) -> tuple[float, float]:
        """Return a point (x, z) near a tube, about which its swings are taken to turn [mm]."""
        known = self._abouts.get(id(tube))
        if known is None:
            place = place_of(self.tube(tube).tube)
            known = self._abouts[id(tube)] = place.real, place.imag
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
        names: Sequence[tuple[Name, ...]],
        of_names: Ints,
    ) -> tuple[list[Template], Ints]:
        """Return the steps from mounts of tubes to those of shapes, each once, and which each pair has.

        A turn of a straight round tube about its own axis is left out.

        Args:
            tubes: each once.
            shapes: each once.
            of_tube: (n,): which tube each pair has.
            of_shape: (n,): which shape it has.
            names: of the motions that matter, in the order that steps name them by; several such sets.
            of_names: (n,): which set each pair has.
        """
        ours, of_ours = distinct([tube.mount for tube in tubes])
        theirs, of_theirs = distinct([shape.mount for shape in shapes])
        codes = (of_ours[of_tube] * len(theirs) + of_theirs[of_shape]) * len(names) + of_names
        both, group = np.unique(codes, return_inverse=True)
        chains = []
        for code in both.tolist():
            two, some = divmod(code, len(names))
            chains.append(
                self._chain(ours[two // len(theirs)], theirs[two % len(theirs)], names[some])
            )
        wanted: list[tuple[_Chain, int]] = []
        which: Ints = np.empty(len(of_tube), dtype=np.int64)
        order = np.argsort(group, kind="stable")
        ends = np.searchsorted(group[order], np.arange(len(chains) + 1))
        for k, known in enumerate(chains):
            own = order[ends[k] : ends[k + 1]]
            by_skips: dict[int, list[int]] = {0: []}
            if known.turns:
                by_skips = {}
                for i in np.unique(of_tube[own]).tolist():
                    by_skips.setdefault(self._own_turns(tubes[i], known.chain), []).append(i)
            for skip, some in by_skips.items():
                is_some = len(by_skips) > 1
                which[own[np.isin(of_tube[own], some)] if is_some else own] = len(wanted)
                wanted.append((known, skip))
        self._add_tables([known.chain[skip:] for known, skip in wanted])
        return [self._template(known, skip) for known, skip in wanted], which

    def _add_tables(self, chains: Sequence[Chain]) -> None:
        """Work out the tables of links that some chains need, all at once."""
        new = [
            both
            for both in dict.fromkeys(both for chain in chains for both in swings_of(chain))
            if both not in self._tables
        ]
        self._tables.update(zip(new, tables_of(against(new)), strict=True))

    def _template(self, known: _Chain, skip: int) -> Template:
        found = known.templates.get(skip)
        if found is None:
            chain = known.chain[skip:]
            tables = [self._tables[both] for both in swings_of(chain)]
            found = known.templates[skip] = template_of(chain, known.names, tables)
        return found

    def _chain(self, tube: Mount, shape: Mount, names: tuple[Name, ...]) -> _Chain:
        mounts = id(tube), id(shape)
        known = self._chains.get((mounts, names))
        if known is None:
            chain = chain_of(tube, shape, names)
            turns = bool(chain) and chain[0][0].kind == TURN
            # The mounts are kept, so that no other takes the identity of one of them.
            known = self._chains[mounts, names] = _Chain(tube, shape, names, chain, turns, {})
        return known

    def _own_turns(self, tube: Tubular, chain: Chain) -> int:
        """Return how many of the first steps turn a tube into itself."""
        key = id(tube), id(chain)
        known = self._skips.get(key)
        if known is None:
            known = 0
            if id(tube) not in self._tubes:
                self.tube(tube)  # and so kept
            while known < len(chain) and turns_tube_into_itself(tube, chain[known][0]):
                known += 1
            self._skips[key] = known
        return known


class _Chain(NamedTuple):
    """The steps from one mount to another, and their records by how many of the first are left out."""

    tube: Mount
    shape: Mount
    names: tuple[Name, ...]
    chain: Chain
    turns: bool
    """Whether the first step is a turn, so that it may turn a tube into itself."""
    templates: dict[int, Template]
