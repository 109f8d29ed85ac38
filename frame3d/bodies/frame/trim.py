"""Leave out what of hardware's outline lies inside the tube or dropout that it is welded to."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TypeVar

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.forms import Form
from frame3d.bodies.shapes import Box, Disc, PlacedShape, Tubular, bar
from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.vector import point, vector
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.hardware import Housing, LinkPlate, Lug
from frame3d.tubes.tube import Dropout, Tube

BESIDE = 20.0
"""How far on either side of a dropout's boss nothing is left of a web to it [mm]: less than is kept free
there for hub and axle."""
STEP = 1.0
"""Between places along a shape where it is looked whether it lies inside of what cuts it [mm]."""
FINER, FINENESS = 16, 3
"""Parts of a step where it goes in, of one of those, and so on."""
AROUND = 24
LEAST = 0.05
"""Less than this is not left of a shape [mm]."""

SLACK = 1e-6
"""What is no deeper than this beside a solid is looked at closely [mm]."""
_FACES = np.array(
    [
        [np.insert(corner, axis, side) for corner in product((-1.0, 1.0), repeat=2)]
        for axis in range(3)
        for side in (-1.0, 1.0)
    ]
)
"""Corners of a box's faces, as shares of its half sizes: (6, 4, 3)."""

Depth = Callable[[Array], Array]
"""(n, 3) points -> (n,) how far inside they lie, negative outside [mm]."""


@dataclass(frozen=True)
class Solid:
    """What hardware is cut off at: whatever lies inside is that, and none of the hardware."""

    depth: Depth
    hollow: Callable[[float], float]
    """How deep the ends of a line so long lie at least, that all of it lies inside [mm]: 0 where the
    solid is convex."""


def solids_of(bike: Bike, item: Lug | Housing | LinkPlate) -> tuple[Solid, ...]:
    """The tubes of an item's rigid body, and the dropouts that its webs go to."""
    if isinstance(item, LinkPlate) or (isinstance(item, Housing) and item.inset):
        return ()
    ends = {web.to for web in item.webs}
    tubes = [_tube(tube) for tube in bike.tubes if tube.link == item.link]
    return (*tubes, *(_boss(d) for d in bike.dropouts if d.name in ends))


def _tube(tube: Tube) -> Solid:
    """A tube where all of its section is there. What else cuts that is of the same rigid body."""
    low, high = tube.start.short_point, tube.axis.length - tube.end.short_point
    whole = replace(Envelope.of(tube, tube.name), low=low, high=high)
    waist = max(
        _waist(tube.section.s, tube.section.height), _waist(tube.section.s, tube.section.width)
    )
    tightest = tube.axis.tightest
    if tightest is None:
        return Solid(whole.depth, lambda _: waist)
    inner = max(tightest - tube.section.furthest, 1.0)
    return Solid(whole.depth, lambda line: waist + line**2 / (8 * inner))


def _waist(s: Sequence[float], size: Sequence[float]) -> float:
    """How far a tube's side lies under a straight line from one station to another [mm]."""
    deepest = 0.0
    for i in range(len(s)):
        for j in range(i + 2, len(s)):
            line = np.interp(s[i : j + 1], (s[i], s[j]), (size[i], size[j]))
            deepest = max(deepest, float((line - size[i : j + 1]).max()) / 2)
    return deepest


def _boss(dropout: Dropout) -> Solid:
    """A dropout's boss and the room beside it."""
    x, y, z = dropout.axle
    far = y + dropout.thickness * (1 if dropout.side == "left" else -1)
    low, high = min(y, far) - BESIDE, max(y, far) + BESIDE
    radius = dropout.boss / 2

    def depth(points: Array) -> Array:
        beside = np.minimum(points[:, 1] - low, high - points[:, 1])
        return np.minimum(radius - np.hypot(points[:, 0] - x, points[:, 2] - z), beside)

    return Solid(depth, lambda _: 0.0)


def trimmed(form: Form, solids: Sequence[Solid]) -> Form:
    """An outline without what lies inside of solids.

    A box becomes the smaller box that holds all of it outside: of a convex solid, a section of a box
    lies inside where its corners do. A round bar goes where all of it lies inside; a fine one along an
    edge ends where it goes in. So nothing outside of the solids is lost. What would vanish stays whole.
    """
    made = [_shape(*near) for near in _near(form.shapes, solids, _ends_of_shape)]
    bars = [_bar(*near) for near in _near(form.tubes, solids, _ends_of_bar)]
    shapes = tuple(shape for shape in made if shape is not None)
    tubes = tuple(tube for tube in bars if tube is not None)
    return Form(shapes or form.shapes, tubes or form.tubes, form.hull)


S = TypeVar("S", bound=PlacedShape | Tubular)


def _near(
    parts: Sequence[S], solids: Sequence[Solid], ends_of: Callable[[S], _Ends]
) -> list[tuple[S, list[Solid]]]:
    """Return each part with the solids that may change it, by the balls that hold it and by its ends.

    The first of them may change it as it is; after that, every one that it may reach into.
    """
    if not parts or not solids:
        return [(part, []) for part in parts]
    bounding_spheres = [part.bounding_spheres for part in parts]
    every = np.concatenate(bounding_spheres)
    starts = np.cumsum([0, *(len(own) for own in bounding_spheres[:-1])])
    reaches = np.array(
        [
            np.maximum.reduceat(solid.depth(every[:, :3]) + every[:, 3], starts) > 0
            for solid in solids
        ]
    )
    changes = np.zeros_like(reaches)
    ends = {i: ends_of(parts[i]) for i in np.flatnonzero(reaches.any(axis=0)).tolist()}
    for row, (solid, reach) in enumerate(zip(solids, reaches, strict=True)):
        which = np.flatnonzero(reach).tolist()
        if not which:
            continue
        deep = solid.depth(np.concatenate([ends[i].points.reshape(-1, 3) for i in which]))
        at = 0
        for i in which:
            groups, size = ends[i].points.shape[:2]
            own = deep[at : at + groups * size].reshape(groups, size)
            changes[row, i] = own.min(axis=1).max() >= ends[i].least
            at += groups * size
    first = np.where(changes.any(axis=0), changes.argmax(axis=0), len(solids))
    return [
        (part, [solids[row] for row in np.flatnonzero(reaches[:, i]).tolist() if row >= first[i]])
        for i, part in enumerate(parts)
    ]


@dataclass(frozen=True)
class _Ends:
    """Where a solid must reach to change a part."""

    points: Array
    """(m, n, 3); it holds all of at least one of these m groups [mm]."""
    least: float
    """How deep at least they lie in it then [mm]."""


_ALWAYS = _Ends(np.zeros((1, 1, 3)), -np.inf)
_NEVER = _Ends(np.zeros((1, 1, 3)), np.inf)


def _ends_of_shape(placed: PlacedShape) -> _Ends:
    """Return the faces of a box; of what turns about an axis, where it disappears whole, a corner."""
    shape, origin, axes = placed.shape, vector(placed.origin), np.array(placed.axes)
    if isinstance(shape, Disc):
        return _Ends((origin + _rims(np.array(shape.profile[:1]))[:1] @ axes)[None], -SLACK)
    if not isinstance(shape, Box):
        return _NEVER
    half = np.array(shape.half)
    if 2 * half.min() < LEAST:
        return _ALWAYS
    return _Ends(origin + (_FACES * half) @ axes, -SLACK)


def _ends_of_bar(tube: Tubular) -> _Ends:
    """Return both ends of a bar; of one with flat ends, which disappears whole, a corner."""
    axis, section = tube.axis, tube.section
    if not axis.is_straight:
        return _NEVER
    if any(tube.flat):
        up, across = axis.frame(0.0)
        rims = _rims(np.array([[section.height[0] / 2, section.s[0]]]))[:1]
        frame = np.stack((across, axis.tangent(0.0), up))
        return _Ends((vector(axis.start) + rims @ frame)[None], -SLACK)
    if axis.length < LEAST:
        return _ALWAYS
    radius = max(*section.height, *section.width) / 2
    return _Ends(np.array((axis.start, axis.end))[:, None], -2 * radius - SLACK)


def _shape(placed: PlacedShape, solids: Iterable[Solid]) -> PlacedShape | None:
    shape, origin, axes = placed.shape, vector(placed.origin), np.array(placed.axes)
    if isinstance(shape, Disc):
        rims = origin + _rims(np.array(shape.profile)) @ axes
        return None if _hides(solids, rims) else placed
    if not isinstance(shape, Box):
        return placed
    half = np.array(shape.half)
    low, high = -half, half.copy()
    for solid in solids:
        for k in np.argsort(-half):
            i, j = (n for n in range(3) if n != k)
            corners = np.zeros((4, 3))
            corners[:, i] = low[i], low[i], high[i], high[i]
            corners[:, j] = low[j], high[j], low[j], high[j]
            least = solid.hollow(float(np.hypot(high[i] - low[i], high[j] - low[j])))
            starts, way = origin + corners @ axes, axes[k]
            low[k], high[k] = _rest(solid, starts, way, (float(low[k]), float(high[k])), least)
            if high[k] - low[k] < LEAST:
                return None
    if (low == -half).all() and (high == half).all():
        return placed
    rounding = min(shape.rounding, float((high - low).min()) / 2)
    left = Box(point((high - low) / 2 - rounding), rounding)
    return replace(placed, shape=left, origin=point(origin + (low + high) / 2 @ axes))


def _bar(tube: Tubular, solids: Iterable[Solid]) -> Tubular | None:
    """A straight bar; a fine one with rounded ends ends where it comes so near as twice its radius."""
    if not tube.axis.is_straight:
        return tube
    length = tube.axis.length
    start, along = vector(tube.axis.start), tube.axis.tangent(0.0)
    radius = max(*tube.section.height, *tube.section.width) / 2
    if any(tube.flat):
        up, across = tube.axis.frame(0.0)
        sizes = np.stack((np.array(tube.section.height) / 2, np.array(tube.section.s)), axis=1)
        rims = start + _rims(sizes) @ np.stack((across, along, up))
        return None if _hides(solids, rims) else tube
    low, high = 0.0, length
    for solid in solids:
        low, high = _rest(solid, start[None], along, (low, high), -2 * radius)
        if high - low < LEAST:
            return None
    if (low, high) == (0.0, length):
        return tube
    rest = bar(
        tube.name, point(start + low * along), point(start + high * along), radius, tube.mount
    )
    return replace(tube, axis=rest.axis, section=rest.section)


def _rest(
    solid: Solid, starts: Array, way: Array, span: tuple[float, float], least: float
) -> tuple[float, float]:
    """What is left of a stretch whose ends lie inside of a solid; nothing where all of it does.

    Args:
        solid: what it is cut off at.
        starts: (n, 3), points that go along together: it is inside where all are.
        way: (3,) unit.
        span: from where to where they go.
        least: how deep they lie at least where they are inside [mm].
    """

    def inside(t: Array) -> Mask:
        points = starts[None] + t[:, None, None] * way
        deep = solid.depth(points.reshape(-1, 3)).reshape(len(t), len(starts))
        return np.asarray(deep.min(axis=1) >= least)

    low, high = span
    t = np.linspace(low, high, max(2, int(np.ceil((high - low) / STEP)) + 1))
    hidden = inside(t)
    if hidden.all():
        return low, low
    for at_end in (False, True):
        steps, within = (t[::-1], hidden[::-1]) if at_end else (t, hidden)
        if within[0]:
            first = int(np.argmin(within))
            a, b = float(steps[first - 1]), float(steps[first])
            for _ in range(FINENESS):
                finer = np.linspace(a, b, FINER + 1)
                first = max(int(np.argmin(inside(finer))), 1)
                a, b = float(finer[first - 1]), float(finer[first])
            low, high = (low, a) if at_end else (a, high)
    return low, high


def _rims(profile: Array) -> Array:
    """Points around the corners (radius, y) of what turns about y: (n, 3) [mm]."""
    turn = 2 * np.pi * np.arange(AROUND) / AROUND
    wide = 1 / np.cos(np.pi / AROUND)  # of the polygon that holds the circle
    circle = np.stack((wide * np.cos(turn), np.ones(AROUND), wide * np.sin(turn)), axis=1)
    corners = np.stack((profile[:, 0], profile[:, 1], profile[:, 0]), axis=1)
    return np.asarray((corners[:, None] * circle).reshape(-1, 3))


def _hides(solids: Iterable[Solid], corners: Array) -> bool:
    """Whether one of the solids holds all that lies between some corners (n, 3)."""
    line = float(np.linalg.norm(np.ptp(corners, axis=0)))
    return any(solid.depth(corners).min() >= solid.hollow(line) for solid in solids)
