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
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import chain
from typing import Final, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import FRAME, Mount, Name
from frame3d.bodies.motion.pose import matrices_over
from frame3d.bodies.shapes import PlacedShape, Solid, Tubular
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.moving_spheres import closest, longest
from frame3d.geometry.arrays import Array

S = TypeVar("S", bound=Solid)
SPANS: Final = 8
"""Number of steps that the range of a travel is divided into."""
TURN: Final = 15.0
"""Largest step of an angle [degrees]."""
STRAYS: Final = 0.7
"""Largest distance of a sphere's centre from its nearest grid point, as a fraction of its longest
step, summed over the motions. It would be 0.5 if a motion's steps were equal everywhere; half a step
of an angle (7.5 degrees, 0.13 rad) changes the steps of each other motion by 0.13 of that distance,
so for three motions it is 0.5/(1 - 0.26) = 0.68."""
ROUNDING: Final = 1e-6
"""Rounding error of a distance [mm], generously."""


_Way = tuple[int, tuple[Tubular, ...], tuple[PlacedShape, ...]]
"""Index of a pair; tubes and shapes to measure it by."""


class Candidate(NamedTuple):
    """A tube of one body and a shape of another that can be measured."""

    low: float
    """A lower bound of their gap over all positions [mm]."""
    tube: Tubular
    shape: PlacedShape
    bodies: tuple[Body, Body]
    """Their bodies, in the order of the pair; the tube may be of either."""


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


def candidates(pairs: Sequence[tuple[Body, Body]], ranges: Sequence[Range]) -> Iterator[Candidate]:
    """Return everything that can be measured of pairs of bodies, in the order of the pairs.

    Args:
        pairs: pairs of bodies; a body may be in any number of them.
        ranges: limits of the motions.
    """
    alike: dict[tuple[Mount, Mount], list[_Way]] = defaultdict(list)
    for i, pair in enumerate(pairs):
        for tubes, shapes in ways(*pair):
            alike[tubes[0].mount, shapes[0].mount].append((i, tubes, shapes))
    out: list[list[Candidate]] = [[] for _ in pairs]
    for group in alike.values():
        # Each body's solids once, however many pairs it is in.
        all_tubes, rows = _joined(own for _, own, _ in group)
        all_shapes, columns = _joined(own for _, _, own in group)
        lows = reach(all_tubes, all_shapes, ranges)
        for i, tubes, shapes in group:
            own = lows[rows[id(tubes)] :, columns[id(shapes)] :]
            out[i] += [
                Candidate(float(own[j, k]), tube, shape, pairs[i])
                for j, tube in enumerate(tubes)
                for k, shape in enumerate(shapes)
            ]
    return chain.from_iterable(out)


def reach(
    tubes: Sequence[Tubular], shapes: Sequence[PlacedShape], ranges: Sequence[Range]
) -> Array:
    """Return a lower bound of each tube's gap to each shape over all positions.

    Args:
        tubes: all on one mount.
        shapes: all on one mount.
        ranges: limits of the motions.

    Returns:
        (tubes, shapes) float [mm].
    """
    places = _motion(tubes[0].mount, shapes[0].mount, ranges)
    (bounding_spheres, rows), (others, columns) = _balls(tubes), _balls(shapes)
    middles, strays = _moved(bounding_spheres, places)
    least = np.empty((len(bounding_spheres), len(others)))
    closest(middles.reshape(-1, len(bounding_spheres), 3), others, least)
    inside = bounding_spheres[:, 3] + STRAYS * strays + ROUNDING
    apart = least - inside[:, None] - others[:, 3]
    bound: Array = np.minimum.reduceat(np.minimum.reduceat(apart, rows), columns, axis=1)
    return bound


def _moved(bounding_spheres: Array, places: Array) -> tuple[Array, Array]:
    """Return centres of spheres on the grid, and each one's longest steps, summed over motions.

    Args:
        bounding_spheres: (n, 4) float.
        places: rigid motions on the grid, from `_places`.

    Returns:
        (grid of the first motion, ..., n, 3), (n,) [mm].
    """
    middles = (
        bounding_spheres[:, :3] @ places[..., :3, :3].swapaxes(-1, -2) + places[..., None, :3, 3]
    )
    strays = np.zeros(len(bounding_spheres))
    for i in range(middles.ndim - 2):
        before, count = math.prod(middles.shape[:i]), middles.shape[i]
        longest(middles.reshape(before, count, -1, len(bounding_spheres), 3), strays)
    return middles, strays


def _balls(solids: Sequence[Solid]) -> tuple[Array, NDArray[np.intp]]:
    """Return all bounding spheres of solids, (n, 4) float, and where each solid's begin."""
    bounding_spheres = [solid.bounding_spheres for solid in solids]
    starts = np.cumsum([0, *(len(own) for own in bounding_spheres[:-1])])
    return np.concatenate(bounding_spheres), starts


def _motion(a: Mount, b: Mount, ranges: Sequence[Range]) -> Array:
    """Return the motion of mount `a` seen from mount `b`, over the ranges that either takes part in.

    Returns:
        (grid of the first motion, of the second, ..., 4, 4).
    """
    names = set() if a.steps == b.steps else {s.name for s in (*a.steps, *b.steps)}
    return _places(a, b, tuple(r for r in ranges if r.name in names))


@lru_cache(maxsize=512)
def _places(a: Mount, b: Mount, moving: tuple[Range, ...]) -> Array:
    """Return the motion of mount `a` seen from mount `b`, on a grid over some ranges."""
    there, back = _matrices(a, moving), np.linalg.inv(_matrices(b, moving))
    motion: Array = (back @ there).reshape(*(1 + _spans(r) for r in moving), 4, 4)
    return motion


@lru_cache(maxsize=512)
def _matrices(mount: Mount, moving: tuple[Range, ...]) -> Array:
    """Return where a mount takes what it carries, on a grid over some ranges: (n, 4, 4)."""
    axes = [np.linspace(r.low, r.high, 1 + _spans(r)) for r in moving]
    grid = np.meshgrid(*axes, indexing="ij")
    values: Mapping[Name, Array] = {r.name: x.ravel() for r, x in zip(moving, grid, strict=True)}
    return matrices_over(mount, values, math.prod(len(axis) for axis in axes))


def _spans(over: Range) -> int:
    return math.ceil((over.high - over.low) / TURN) if over.is_angle else SPANS


def _joined(solids: Iterable[tuple[S, ...]]) -> tuple[list[S], dict[int, int]]:
    """Return the solids of all bodies in one list, each body's once, and where each begins, by `id`."""
    out: list[S] = []
    starts: dict[int, int] = {}
    for own in solids:
        if id(own) not in starts:
            starts[id(own)] = len(out)
            out += own
    return out, starts


def swept(bodies: Sequence[Body], ranges: Sequence[Range]) -> Array:
    """Return boxes in the frame's axes that hold each body over all its motions.

    Returns:
        (bodies, 2, 3) float: lowest and highest x, y, z [mm].
    """
    boxes = np.empty((len(bodies), 2, 3))
    alike: dict[Mount, list[int]] = defaultdict(list)
    for i, body in enumerate(bodies):
        alike[body.mount].append(i)
    for mount, group in alike.items():
        places = _motion(mount, FRAME, ranges)
        # Tubes and shapes describe the same outside, but either may hold less.
        solids: list[Sequence[Solid]] = [(*bodies[i].shapes, *bodies[i].tubes) for i in group]
        bounding_spheres, starts = _balls([solid for own in solids for solid in own])
        middles, strays = _moved(bounding_spheres, places)
        middles = middles.reshape(-1, len(bounding_spheres), 3)
        inside = (bounding_spheres[:, 3] + STRAYS * strays + ROUNDING)[:, None]
        low, high = middles.min(axis=0) - inside, middles.max(axis=0) + inside
        first = starts[np.cumsum([0, *(len(own) for own in solids[:-1])])]
        boxes[group, 0] = np.minimum.reduceat(low, first, axis=0)
        boxes[group, 1] = np.maximum.reduceat(high, first, axis=0)
    return boxes
