"""Lower bounds of gaps over all positions, from bounding spheres (broad phase).

Every solid is held by a few spheres, whose centres are computed on a grid of the motions. Between
grid points a centre is never further from the nearest one than STRAYS times the longest steps::

      grid point              grid point               sphere of
         .-.                     .-.                 the other solid
        ( * ) - - - step - - -> ( * )                    .---.
         `-'    ^                `-'      <-- gap -->   (  *  )
                | here the centre may lie anywhere       `---'
                | within STRAYS · step of a grid point

    gap >= least distance of centres on the grid - both radii - STRAYS · (sum of longest steps)
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from operator import itemgetter
from typing import Final, Generic, NamedTuple, TypeVar

import numpy as np

from frame3d.bodies import Body
from frame3d.bodies.bounding import spheres_of
from frame3d.bodies.corners import corners_of
from frame3d.bodies.motion.mounts import FRAME, Mount, Name
from frame3d.bodies.motion.pose import matrices_over, swung
from frame3d.bodies.motion.swing import Swing
from frame3d.bodies.shapes import PlacedShape, Solid, Tubular
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.moving_spheres import grow_all, lower_bounds
from frame3d.geometry.arrays import Array, Ints

S = TypeVar("S", bound=Solid)
SPANS: Final = 8
"""Number of steps that the range of a travel is divided into."""
TURN: Final = 15.0
"""Largest step of an angle [degrees]."""


class Candidates(NamedTuple):
    """Tubes and shapes of pairs of bodies that can be measured, in the order of the pairs."""

    tubes: Sequence[Tubular]
    shapes: Sequence[PlacedShape]
    pair: Ints
    """(n,): which pair of bodies each is of; the tube may be of either body."""
    tube: Ints
    """(n,): index of the tube."""
    shape: Ints
    """(n,): index of the shape."""
    low: Array
    """(n,): a lower bound of their gap over all positions [mm]."""


class _Known(Generic[S]):
    """Solids by number, with their bounding spheres and what they are mounted on."""

    def __init__(self) -> None:
        self.solids: list[S] = []
        self._numbers: dict[int, int] = {}
        self._groups: list[tuple[S, ...]] = []
        """Kept, so that no other object takes the identity of one that is known."""
        self._spheres: list[Array] = [np.empty((0, 4))]
        self._counts: list[Ints] = [np.zeros(1, dtype=np.int64)]

    def first(self, solids: tuple[S, ...]) -> int:
        """Return the number of the first of a body's solids; the others' follow it.

        A body always gives them as the same tuple.
        """
        known = self._numbers.get(id(solids))
        if known is None:
            known = self._numbers[id(solids)] = len(self.solids)
            self._groups.append(solids)
            self.solids += solids
        return known

    def spheres(self) -> tuple[Array, Ints]:
        """Return all bounding spheres, (n, 4) float, and where each solid's begin, and the end."""
        known = sum(map(len, self._counts)) - 1
        if known < len(self.solids):
            spheres, begins = spheres_of(self.solids[known:])
            self._spheres.append(spheres)
            self._counts.append(np.diff(begins))
        return np.concatenate(self._spheres), np.cumsum(np.concatenate(self._counts))


class _Groups(NamedTuple):
    """Mounts seen from other mounts over some motions, as `moving_spheres.lower_bounds` takes them."""

    grids: Array
    starts: Ints
    counts: Ints
    strides: Ints
    largest: int
    """Most points of a grid."""


class BroadPhase:
    """Lower bounds of the gaps of a bike's bodies; what they share is made once."""

    def __init__(self) -> None:
        self._tubes, self._shapes = _Known[Tubular](), _Known[PlacedShape]()
        self._mounts: dict[int, tuple[Mount, int]] = {}
        self._numbers: dict[Mount, int] = {}
        self._places: dict[tuple[int, tuple[Range, ...]], Array] = {}

    def candidates(
        self, pairs: Sequence[tuple[Body, Body]], ranges: Sequence[Sequence[Range]]
    ) -> Candidates:
        """Return everything that can be measured of pairs of bodies, in the order of the pairs.

        Args:
            pairs: pairs of bodies; a body may be in any number of them.
            ranges: of each pair, the limits of the motions.
        """
        blocks: list[tuple[int, int, int, int, int, int]] = []
        groups: dict[tuple[int, int, tuple[Range, ...]], int] = {}
        moved: list[tuple[Mount, Mount, tuple[Range, ...]]] = []
        for i, (pair, over) in enumerate(zip(pairs, ranges, strict=True)):
            own = []
            for tubes, shapes in ways(*pair):
                a, b = tubes[0].mount, shapes[0].mount
                key = self._number(a), self._number(b), tuple(over)
                group = groups.setdefault(key, len(groups))
                if group == len(moved):
                    moved.append((a, b, key[2]))
                first, other = self._tubes.first(tubes), self._shapes.first(shapes)
                own.append((i, group, first, len(tubes), other, len(shapes)))
            blocks += sorted(own, key=itemgetter(1)) if len(own) > 1 else own
        of_pair, of_group, tube, shape = _spread(blocks)
        low = np.empty(len(of_pair))
        order = np.lexsort((tube, of_group))
        if len(order):
            grouped = self._grouped(moved)
            (spheres, begins), (others, other_begins) = (
                self._tubes.spheres(),
                self._shapes.spheres(),
            )
            most = int(np.diff(begins).max())
            found = np.empty(len(order))
            lower_bounds(
                grouped.grids, grouped.starts, grouped.counts, grouped.strides,
                spheres, begins, others, other_begins,
                of_group[order], tube[order], shape[order],
                np.empty((grouped.largest, 3, 4)), np.empty((most, grouped.largest, 3)),
                np.empty(most), np.empty((most, 4)), found,
            )  # fmt: skip
            low[order] = found
        return Candidates(self._tubes.solids, self._shapes.solids, of_pair, tube, shape, low)

    def swept(self, bodies: Sequence[Body], ranges: Sequence[Range]) -> Array:
        """Return boxes in the frame's axes that hold each body over all its motions, from its corners.

        Returns:
            (bodies, 2, 3) float: lowest and highest x, y, z [mm].
        """
        boxes = np.empty((len(bodies), 2, 3))
        boxes[:, 0], boxes[:, 1] = np.inf, -np.inf
        if not bodies:
            return boxes
        numbers: dict[int, int] = {}
        moved: list[tuple[Mount, Mount, tuple[Range, ...]]] = []
        of = []
        for body in bodies:
            number = self._number(body.mount)
            of.append(numbers.setdefault(number, len(numbers)))
            if len(moved) < len(numbers):
                moved.append((body.mount, FRAME, tuple(ranges)))
        grouped = self._grouped(moved)
        # Tubes and shapes describe the same outside, but either may hold less.
        solids: list[list[Solid]] = [[*body.shapes, *body.tubes] for body in bodies]
        corners, begins = corners_of([solid for own in solids for solid in own])
        grow_all(
            grouped.grids, grouped.starts, grouped.counts, grouped.strides,
            corners, begins[np.cumsum([0, *map(len, solids)])], np.array(of),
            np.empty((grouped.largest, 3, 4)), np.empty((grouped.largest, 3)), boxes,
        )  # fmt: skip
        return boxes

    def _grouped(self, moved: Sequence[tuple[Mount, Mount, tuple[Range, ...]]]) -> _Groups:
        """Return mounts seen from other mounts, each over the ranges that either takes part in."""
        begins: dict[int, int] = {}
        grids: list[Array] = []
        total = 0
        most = max(len(ranges) for _, _, ranges in moved)
        starts: Ints = np.zeros((len(moved), 2), dtype=np.int64)
        counts: Ints = np.ones((len(moved), most), dtype=np.int64)
        strides: Ints = np.zeros((len(moved), 2, most), dtype=np.int64)
        wanted: list[tuple[Mount, tuple[Range, ...]]] = []
        for a, b, ranges in moved:
            for mount in (a, b):
                names = set() if a.steps == b.steps else {s.name for s in mount.steps}
                wanted.append((mount, tuple(r for r in ranges if r.name in names)))
        for i, (grid, (_, own)) in enumerate(zip(self._grids(wanted), wanted, strict=True)):
            k, side = divmod(i, 2)
            if id(grid) not in begins:
                begins[id(grid)] = total
                grids.append(grid)
                total += len(grid)
            starts[k, side] = begins[id(grid)]
            stride = len(grid)
            for r, one in enumerate(moved[k][2]):
                if one in own:
                    counts[k, r] = 1 + _spans(one)
                    stride //= 1 + _spans(one)
                    strides[k, side, r] = stride
        largest = int(counts.prod(axis=1).max())
        return _Groups(np.concatenate(grids), starts, counts, strides, largest)

    def _grids(self, wanted: Sequence[tuple[Mount, tuple[Range, ...]]]) -> list[Array]:
        """Return where mounts take what they carry, each on a grid over some motions: (n, 4, 4) each."""
        keys = [(self._number(mount), moving) for mount, moving in wanted]
        of_links: dict[tuple[Range, ...], list[tuple[int, Swing]]] = {}
        for key, (mount, moving) in zip(keys, wanted, strict=True):
            if key in self._places:
                continue
            swing = mount.steps[0].swing if len(mount.steps) == 1 else None
            if swing is None or len(moving) != 1:
                self._places[key] = _grid(mount, moving)
            else:
                of_links.setdefault(moving, []).append((key[0], swing))
        for moving, some in of_links.items():  # many, and so worked out together
            travels = np.linspace(moving[0].low, moving[0].high, 1 + _spans(moving[0]))
            swings = dict(some)
            grids = swung(list(swings.values()), travels)
            self._places.update(
                ((number, moving), x) for number, x in zip(swings, grids, strict=True)
            )
        return [self._places[key] for key in keys]

    def _number(self, mount: Mount) -> int:
        """Return a mount's number; equal ones share it."""
        known = self._mounts.get(id(mount))
        if known is None:
            number = self._numbers.setdefault(mount, len(self._numbers))
            known = self._mounts[id(mount)] = mount, number
        return known[1]


def _grid(mount: Mount, moving: tuple[Range, ...]) -> Array:
    """Return where a mount takes what it carries, on a grid over its motions: (n, 4, 4)."""
    axes = [np.linspace(r.low, r.high, 1 + _spans(r)) for r in moving]
    grid = np.meshgrid(*axes, indexing="ij")
    values: Mapping[Name, Array] = {r.name: x.ravel() for r, x in zip(moving, grid, strict=True)}
    return matrices_over(mount, values, math.prod(map(len, axes)))


def _spread(blocks: Sequence[tuple[int, int, int, int, int, int]]) -> tuple[Ints, ...]:
    """Return every tube with every shape of some blocks, in order.

    Args:
        blocks: a pair and its group, the number of the first tube and how many there are, the same of
            the shapes.

    Returns:
        Pair, group, tube and shape of each: (n,).
    """
    pair, group, tube, tubes, shape, shapes = np.array(blocks, dtype=np.int64).reshape(-1, 6).T
    counts = tubes * shapes
    of = np.repeat(np.arange(len(counts)), counts)
    k = np.arange(len(of)) - (np.cumsum(counts) - counts)[of]
    each = shapes[of]
    return pair[of], group[of], tube[of] + k // each, shape[of] + k % each


def ways(a: Body, b: Body) -> list[tuple[tuple[Tubular, ...], tuple[PlacedShape, ...]]]:
    """Return each way to measure two bodies: tubes of one against shapes of the other.

    Where both bodies have both forms, either form may hold less than the other (see `Body`), so both
    ways are returned, and the smaller gap is right. Two bodies with tubes only are measured by the
    hull of one: preferably of one that nothing cuts, as a hull includes what a cutter takes away, and
    of one with fewer shapes.
    """
    found = [(x.tubes, y.shapes) for x, y in ((a, b), (b, a)) if x.tubes and y.shapes]
    if found:
        # What one body has only as tubes must also meet what the other has only as tubes.
        if a.hull and b.hull:
            closer, other = sorted((a, b), key=lambda body: len(body.shapes))
            found.append((other.tubes, closer.hull))
        else:
            found += [(x.tubes, y.hull) for x, y in ((a, b), (b, a)) if y.hull and not x.shapes]
        return found
    held = [(x, y) for x, y in ((a, b), (b, a)) if x.tubes and y.hull]
    held.sort(key=lambda way: (bool(way[1].tubes[0].cutters), len(way[1].hull)))
    return [(x.tubes, y.hull) for x, y in held[:1]]


def can_meet(a: Body, b: Body) -> bool:
    """Return whether two bodies can be measured: one as tubes, the other as shapes or by its hull."""
    return any(x.tubes and (y.shapes or y.hull) for x, y in ((a, b), (b, a)))


def _spans(over: Range) -> int:
    return math.ceil((over.high - over.low) / TURN) if over.is_angle else SPANS
