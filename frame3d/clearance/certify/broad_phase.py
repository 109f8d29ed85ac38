"""How near tubes and shapes can come at all, by balls that hold them."""

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

Array = NDArray[np.float64]
S = TypeVar("S", bound=Solid)
SPANS: Final = 8
"""Into how many a travel is divided by the places that are looked at."""
TURN: Final = 15.0
"""By how much an angle grows at most from one place to the next [degrees]."""
STRAYS: Final = 0.7
"""How far a ball's middle gets from where it is at the nearest place, as a share of its longest ways
from a place to the next, of all motions together. It would be half, were these ways the same everywhere;
half a turn's step changes the ways of other motions by 0.13 of what these stray, so that three motions
make 0.5/(1 - 0.26)."""
ROUNDING: Final = 1e-6
"""Of a distance [mm], more than generously."""


_Way = tuple[int, tuple[Tubular, ...], tuple[PlacedShape, ...]]
"""Index of a pair, with tubes and shapes to measure it by."""


class Candidate(NamedTuple):
    """A tube of a body and a shape of another that can be measured."""

    low: float
    """A lower bound of their gap [mm]."""
    tube: Tubular
    shape: PlacedShape
    bodies: tuple[Body, Body]
    """Theirs, as asked for: the tube may be of either."""


def ways(a: Body, b: Body) -> list[tuple[tuple[Tubular, ...], tuple[PlacedShape, ...]]]:
    """How two bodies are measured: the tubes of one against the shapes of the other.

    Where both bodies have both forms, either form may hold less than the other (see `Body`): both ways
    are there, and the smaller gap is right. Two that are tubes alone are measured by the hull of one:
    rather one that nothing cuts, as a hull runs on into what cuts its tube, and by fewer shapes.
    """
    found = [(x.tubes, y.shapes) for x, y in ((a, b), (b, a)) if x.tubes and y.shapes]
    if found:
        # What a body has as tubes alone still has to meet what the other has as tubes alone.
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
    """Everything that there is to measure of pairs of bodies, in their order.

    Args:
        pairs: of bodies, each of them any number of times.
        ranges: limits of the motions.
    """
    alike: dict[tuple[Mount, Mount], list[_Way]] = defaultdict(list)
    for i, pair in enumerate(pairs):
        for tubes, shapes in ways(*pair):
            alike[tubes[0].mount, shapes[0].mount].append((i, tubes, shapes))
    out: list[list[Candidate]] = [[] for _ in pairs]
    for group in alike.values():
        # Every body's solids once, whatever number of pairs it is in.
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
    """A lower bound of each tube's gap to each shape over all positions.

    Args:
        tubes: all on one mount.
        shapes: all on one mount.
        ranges: limits of the motions.

    Returns:
        (tubes, shapes) float [mm].
    """
    places = _places(tubes[0].mount, shapes[0].mount, tuple(ranges))
    (bounding_spheres, rows), (others, columns) = _balls(tubes), _balls(shapes)
    middles, strays = _moved(bounding_spheres, places)
    flat = middles.reshape(-1, 3)
    squares = np.zeros((len(flat), len(others)))
    for axis in range(3):  # a product of matrices would start threads, and wait for them
        squares += np.subtract.outer(flat[:, axis], others[:, axis]) ** 2
    least = squares.reshape(-1, len(bounding_spheres), len(others)).min(axis=0)
    inside = bounding_spheres[:, 3] + STRAYS * strays + ROUNDING
    apart = np.sqrt(least) - inside[:, None] - others[:, 3]
    bound: Array = np.minimum.reduceat(np.minimum.reduceat(apart, rows), columns, axis=1)
    return bound


def _moved(bounding_spheres: Array, places: Array) -> tuple[Array, Array]:
    """Middles of balls at places all over the motions, and their longest ways from one to the next.

    Returns:
        (places of the first motion, ..., balls, 3), (balls,) [mm].
    """
    middles = (
        bounding_spheres[:, :3] @ places[..., :3, :3].swapaxes(-1, -2) + places[..., None, :3, 3]
    )
    strays = np.zeros(len(bounding_spheres))
    for i in range(middles.ndim - 2):
        way = np.linalg.norm(np.diff(middles, axis=i), axis=-1).reshape(-1, len(bounding_spheres))
        strays += way.max(axis=0)
    return middles, strays


def _balls(solids: Sequence[Solid]) -> tuple[Array, NDArray[np.intp]]:
    """All balls of solids, (n, 4) float, and where each solid's begin."""
    bounding_spheres = [solid.bounding_spheres for solid in solids]
    starts = np.cumsum([0, *(len(own) for own in bounding_spheres[:-1])])
    return np.concatenate(bounding_spheres), starts


@lru_cache(maxsize=512)
def _places(a: Mount, b: Mount, ranges: tuple[Range, ...]) -> Array:
    """The motion of what one mount carries, seen from another, at places all over the ranges.

    Returns:
        (places of the first motion, of the second, ..., 4, 4), of the motions that either takes part in.
    """
    names = set() if a.steps == b.steps else {s.name for s in (*a.steps, *b.steps)}
    moving = [r for r in ranges if r.name in names]
    axes = [np.linspace(r.low, r.high, 1 + _spans(r)) for r in moving]
    grid = np.meshgrid(*axes, indexing="ij")
    count = math.prod(len(axis) for axis in axes)
    values: Mapping[Name, Array] = {r.name: x.ravel() for r, x in zip(moving, grid, strict=True)}
    there, here = (matrices_over(mount, values, count) for mount in (a, b))
    motion: Array = (np.linalg.inv(here) @ there).reshape(*(len(x) for x in axes), 4, 4)
    return motion


def _spans(over: Range) -> int:
    return math.ceil((over.high - over.low) / TURN) if over.is_angle else SPANS


def _joined(solids: Iterable[tuple[S, ...]]) -> tuple[list[S], dict[int, int]]:
    """All solids of bodies in a row, each body's once, and where they begin, by `id`."""
    out: list[S] = []
    starts: dict[int, int] = {}
    for own in solids:
        if id(own) not in starts:
            starts[id(own)] = len(out)
            out += own
    return out, starts


def swept(bodies: Sequence[Body], ranges: Sequence[Range]) -> Array:
    """Boxes in the frame's axes that hold bodies over all that they take part in.

    Returns:
        (bodies, 2, 3) float: lowest and highest x, y, z [mm].
    """
    boxes = np.empty((len(bodies), 2, 3))
    alike: dict[Mount, list[int]] = defaultdict(list)
    for i, body in enumerate(bodies):
        alike[(body.shapes or body.tubes)[0].mount].append(i)
    for mount, group in alike.items():
        places = _places(mount, FRAME, tuple(ranges))
        # Tubes and shapes are one outside, but either may hold less.
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
