"""Leave out what of hardware's outline lies inside the tube or dropout that it is welded to."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bodies.bounding import spheres_of
from frame3d.bodies.forms import Form
from frame3d.bodies.shapes import Box, Disc, PlacedShape, Tubular, bar
from frame3d.geometry.arrays import Array, Ints, Mask
from frame3d.geometry.vector import Point, point, vector
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
_CORNERS: Array = np.array(list(product((-1.0, 1.0), repeat=3)))
"""Corners of a box, as shares of its half sizes: (8, 3)."""
_FACES: Ints = np.array(
    [np.flatnonzero(_CORNERS[:, axis] == side) for axis in range(3) for side in (-1.0, 1.0)]
)
"""Those of each face: (6, 4)."""
_BOTH: Ints = np.array([[0], [1]])
_TURN = 2 * np.pi * np.arange(AROUND) / AROUND
_WIDE = 1 / np.cos(np.pi / AROUND)
_CIRCLE: Array = np.stack((_WIDE * np.cos(_TURN), np.ones(AROUND), _WIDE * np.sin(_TURN)), axis=1)
"""Corners of the polygon that holds a circle of radius 1 about y, at y = 1: (AROUND, 3)."""

Part = PlacedShape | Tubular
Depth = Callable[[Array], Array]
"""(n, 3) points -> (n,) how far inside they lie, negative outside [mm]."""


@dataclass(frozen=True)
class Solid:
    """What hardware is cut off at: whatever lies inside is that, and none of the hardware."""

    depth: Depth
    hollow: Callable[[float], float]
    """How deep the ends of a line so long lie at least, that all of it lies inside [mm]: 0 where the
    solid is convex."""


class Solids:
    """What the hardware of a bike may be cut off at, each made once."""

    def __init__(self, bike: Bike) -> None:
        self._tubes = [(tube.link, _tube(tube)) for tube in bike.tubes]
        self._bosses = {dropout.name: _boss(dropout) for dropout in bike.dropouts}

    def of(self, item: Lug | Housing | LinkPlate) -> tuple[Solid, ...]:
        """Return the tubes of an item's rigid body, and the dropouts that its webs go to."""
        if isinstance(item, LinkPlate) or (isinstance(item, Housing) and item.inset):
            return ()
        ends = {web.to for web in item.webs}
        tubes = (solid for link, solid in self._tubes if link == item.link)
        return (*tubes, *(boss for name, boss in self._bosses.items() if name in ends))


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


def trimmed(forms: Sequence[Form], solids: Sequence[Sequence[Solid]]) -> list[Form]:
    """Outlines without what lies inside of solids, all worked out together.

    A box becomes the smaller box that holds all of it outside: of a convex solid, a section of a box
    lies inside where its corners do. A round bar goes where all of it lies inside; a fine one along an
    edge ends where it goes in. So nothing outside of the solids is lost. What would vanish stays whole.

    Args:
        forms: the outlines.
        solids: of each, its solids, in one order for all.
    """
    every = list({id(solid): solid for own in solids for solid in own}.values())
    near = [[any(one is solid for one in own) for solid in every] for own in solids]
    parts: list[Part] = []
    rows: list[list[bool]] = []
    for form, row in zip(forms, near, strict=True):
        parts += [*form.shapes, *form.tubes]
        rows += [row] * (len(form.shapes) + len(form.tubes))
    left = _cut(parts, every, np.array(rows, dtype=bool).reshape(len(parts), len(every)).T)
    out, at = [], 0
    for form in forms:
        middle, end = at + len(form.shapes), at + len(form.shapes) + len(form.tubes)
        shapes = tuple(part for part in left[at:middle] if isinstance(part, PlacedShape))
        tubes = tuple(part for part in left[middle:end] if isinstance(part, Tubular))
        out.append(Form(shapes or form.shapes, tubes or form.tubes, form.hull))
        at = end
    return out


def _cut(parts: Sequence[Part], solids: Sequence[Solid], beside: Mask) -> list[Part | None]:
    """Return what is left of each part, None where nothing is.

    Args:
        parts: as drawn.
        solids: what they are cut off at, in order.
        beside: (solids, parts) whether a solid is one of the part's.
    """
    left: list[Part | None] = list(parts)
    if not parts or not solids:
        return left
    reaches = _reaches(parts, solids, beside)
    boxes: dict[int, tuple[Array, Array]] = {}
    bars: dict[int, tuple[float, float]] = {}
    for solid, row in zip(solids, reaches, strict=True):
        which = [i for i in np.flatnonzero(row).tolist() if left[i] is not None]
        whole = [(i, corners) for i in which if (corners := _corners_of(parts[i])) is not None]
        for i, is_hidden in zip(
            [i for i, _ in whole], _hidden(solid, [c for _, c in whole]), strict=True
        ):
            if is_hidden:
                left[i] = None
        some = [(i, part) for i in which if (part := left[i]) is not None]
        for i in _cut_off(solid, some, boxes, bars):
            left[i] = None
    for i, part in enumerate(left):
        if i in boxes and isinstance(part, PlacedShape):
            left[i] = _rest_of_box(part, *boxes[i])
        elif i in bars and isinstance(part, Tubular):
            left[i] = _rest_of_bar(part, *bars[i])
    return left


def _reaches(parts: Sequence[Part], solids: Sequence[Solid], beside: Mask) -> Mask:
    """Return which solids may change which parts, by the balls that hold them and by their ends.

    The first of them may change a part as it is; after that, every one that it may reach into:
    (solids, parts).
    """
    every, begins = spheres_of(parts)
    owner = np.repeat(np.arange(len(parts)), np.diff(begins))
    reaches, changes = np.zeros_like(beside), np.zeros_like(beside)
    for row, solid in enumerate(solids):
        near = beside[row, owner]
        spheres = every[near]
        reaches[row, owner[near][solid.depth(spheres[:, :3]) + spheres[:, 3] > 0]] = True
    ends = _ends_of(parts, np.flatnonzero(reaches.any(axis=0)).tolist())
    for row, solid in enumerate(solids):
        which = np.flatnonzero(reaches[row]).tolist()
        if not which:
            continue
        deep = solid.depth(np.concatenate([ends[i].points for i in which]))
        at = 0
        for i in which:
            own = deep[at : at + len(ends[i].points)]
            changes[row, i] = own[ends[i].groups].min(axis=1).max() >= ends[i].least
            at += len(own)
    first = np.where(changes.any(axis=0), changes.argmax(axis=0), len(solids))
    return np.asarray(reaches & (np.arange(len(solids))[:, None] >= first))


@dataclass(frozen=True)
class _Ends:
    """Where a solid must reach to change a part."""

    points: Array
    """(n, 3) [mm]"""
    groups: Ints
    """(m, k) indices of points: it holds all of at least one of these m groups."""
    least: float
    """How deep at least they lie in it then [mm]."""


_ONE: Ints = np.zeros((1, 1), dtype=np.int64)
_ALWAYS = _Ends(np.zeros((1, 3)), _ONE, -np.inf)
_NEVER = _Ends(np.zeros((1, 3)), _ONE, np.inf)


def _ends_of(parts: Sequence[Part], which: Sequence[int]) -> dict[int, _Ends]:
    """Return the ends of some of the parts by number: the faces of boxes, as `_ends` of others."""
    found: dict[int, _Ends] = {}
    boxes: list[int] = []
    halves: list[Point] = []
    for i in which:
        part = parts[i]
        if not (isinstance(part, PlacedShape) and isinstance(part.shape, Box)):
            found[i] = _ends(part)
        elif 2 * min(part.shape.half) < LEAST:
            found[i] = _ALWAYS
        else:
            boxes.append(i)
            halves.append(part.shape.half)
    placed = [part for i in boxes if isinstance(part := parts[i], PlacedShape)]
    if placed:
        corners = _CORNERS * np.array(halves)[:, None]
        corners = corners @ np.array([part.axes for part in placed])
        corners += np.array([part.origin for part in placed])[:, None]
        found |= {i: _Ends(own, _FACES, -SLACK) for i, own in zip(boxes, corners, strict=True)}
    return found


def _ends(part: Part) -> _Ends:
    """Return both ends of a fine bar; of what turns about an axis, and of a bar with flat ends, which
    disappear whole, a corner.
    """
    if isinstance(part, PlacedShape):
        shape, origin, axes = part.shape, vector(part.origin), np.array(part.axes)
        if isinstance(shape, Disc):
            return _Ends(origin + _rims(np.array(shape.profile[:1]))[:1] @ axes, _ONE, -SLACK)
        return _NEVER
    axis, section = part.axis, part.section
    if not axis.is_straight:
        return _NEVER
    if any(part.flat):
        up, across = axis.frame(0.0)
        rims = _rims(np.array([[section.height[0] / 2, section.s[0]]]))[:1]
        frame = np.stack((across, axis.tangent(0.0), up))
        return _Ends(vector(axis.start) + rims @ frame, _ONE, -SLACK)
    if axis.length < LEAST:
        return _ALWAYS
    return _Ends(np.array((axis.start, axis.end)), _BOTH, -2 * _radius(part) - SLACK)


def _radius(tube: Tubular) -> float:
    return max(*tube.section.height, *tube.section.width) / 2


def _corners_of(part: Part) -> Array | None:
    """Return corners between which all of a part lies that disappears whole or not at all: (n, 3)."""
    if isinstance(part, PlacedShape):
        if not isinstance(part.shape, Disc):
            return None
        rims = _rims(np.array(part.shape.profile))
        return np.asarray(vector(part.origin) + rims @ np.array(part.axes))
    if not part.axis.is_straight or not any(part.flat):
        return None
    section, (up, across) = part.section, part.axis.frame(0.0)
    sizes = np.stack((np.array(section.height) / 2, np.array(section.s)), axis=1)
    frame = np.stack((across, part.axis.tangent(0.0), up))
    return np.asarray(vector(part.axis.start) + _rims(sizes) @ frame)


def _hidden(solid: Solid, corners: Sequence[Array]) -> list[bool]:
    """Return of each set of corners (n, 3) whether the solid holds all that lies between them."""
    if not corners:
        return []
    starts = np.cumsum([0, *(len(own) for own in corners[:-1])])
    deep = np.minimum.reduceat(solid.depth(np.concatenate(corners)), starts).tolist()
    lines = (float(np.linalg.norm(np.ptp(own, axis=0))) for own in corners)
    return [least >= solid.hollow(line) for least, line in zip(deep, lines, strict=True)]


def _cut_off(
    solid: Solid,
    parts: Sequence[tuple[int, Part]],
    boxes: dict[int, tuple[Array, Array]],
    bars: dict[int, tuple[float, float]],
) -> list[int]:
    """Cut boxes off at a solid; end fine bars where they come so near to it as twice their radius.

    Shapes that are no boxes, bent tubes and those with flat ends are left as they are.

    Args:
        solid: what they are cut off at.
        parts: with their numbers.
        boxes: least and greatest place along each box's own axes, two (3,) [mm]; changed.
        bars: where each bar begins and ends [mm]; changed.

    Returns:
        Those of which nothing is left.
    """
    gone: list[int] = []
    placed = [(i, part, np.array(part.shape.half)) for i, part in parts
              if isinstance(part, PlacedShape) and isinstance(part.shape, Box)]  # fmt: skip
    fine = [(i, part) for i, part in parts
            if isinstance(part, Tubular) and part.axis.is_straight and not any(part.flat)]  # fmt: skip
    for rank in range(3):  # from the longest side to the shortest
        placed = [box for box in placed if box[0] not in gone]
        if rank > 0:  # bars go with the first side, as what is inside is asked of all at once
            fine = []
        if not placed and not fine:
            break
        sides, starts, ways, rows = [], [], [], []
        for i, box, half in placed:
            low, high = boxes.setdefault(i, (-half, half.copy()))
            side = int(np.argsort(-half)[rank])
            a, b = (n for n in range(3) if n != side)
            corners = np.zeros((4, 3))
            corners[:, a] = low[a], low[a], high[a], high[a]
            corners[:, b] = low[b], high[b], low[b], high[b]
            axes = np.array(box.axes)
            starts.append(vector(box.origin) + corners @ axes)
            ways.append(axes[side])
            deep = solid.hollow(float(np.hypot(high[a] - low[a], high[b] - low[b])))
            rows.append((low[side], high[side], deep))
            sides.append(side)
        for i, bar_ in fine:
            starts.append(np.array([bar_.axis.start] * (4 if placed else 1)))
            ways.append(bar_.axis.tangent(0.0))
            rows.append((*bars.get(i, (0.0, bar_.axis.length)), -2 * _radius(bar_)))
        lows, highs, least = np.array(rows).T
        lows, highs = _rests(solid, np.array(starts), np.array(ways), (lows, highs), least)
        ends = list(zip(lows.tolist(), highs.tolist(), strict=True))
        for (i, *_), side, (start, end) in zip(placed, sides, ends, strict=False):
            boxes[i][0][side], boxes[i][1][side] = start, end
        bars.update((i, own) for (i, _), own in zip(fine, ends[len(placed) :], strict=True))
        numbers = [*(i for i, _, _ in placed), *(i for i, _ in fine)]
        gone += [i for i, (start, end) in zip(numbers, ends, strict=True) if end - start < LEAST]
    return gone


def _rest_of_box(placed: PlacedShape, low: Array, high: Array) -> PlacedShape:
    """Return a box between two corners in its own axes [mm]; itself where that is all of it."""
    assert isinstance(placed.shape, Box)
    half = np.array(placed.shape.half)
    if (low == -half).all() and (high == half).all():
        return placed
    rounding = min(placed.shape.rounding, float((high - low).min()) / 2)
    rest = Box(point((high - low) / 2 - rounding), rounding)
    origin = vector(placed.origin) + (low + high) / 2 @ np.array(placed.axes)
    return replace(placed, shape=rest, origin=point(origin))


def _rest_of_bar(tube: Tubular, low: float, high: float) -> Tubular:
    """Return a straight bar from `low` to `high` along its axis [mm]; itself where that is all of it."""
    if (low, high) == (0.0, tube.axis.length):
        return tube
    start, along = vector(tube.axis.start), tube.axis.tangent(0.0)
    ends = (point(start + low * along), point(start + high * along))
    rest = bar(tube.name, *ends, _radius(tube), tube.mount)
    return replace(tube, axis=rest.axis, section=rest.section)


def _rests(
    solid: Solid, starts: Array, ways: Array, spans: tuple[Array, Array], least: Array
) -> tuple[Array, Array]:
    """Return what is left of stretches whose ends lie inside of a solid; nothing where all of it does.

    Args:
        solid: what they are cut off at.
        starts: (m, n, 3), of each stretch n points that go along together: it is inside where all are.
        ways: (m, 3) unit, of each.
        spans: (m,) each, from where to where they go.
        least: (m,) how deep they lie at least where they are inside [mm].
    """

    def inside(of: Ints, t: Array) -> Mask:
        points = starts[of] + t[:, None, None] * ways[of][:, None]
        deep = solid.depth(points.reshape(-1, 3)).reshape(points.shape[:2])
        return np.asarray(deep.min(axis=1) >= least[of])

    lows, highs = (row.copy() for row in spans)
    every = np.arange(len(lows))
    ends = inside(np.tile(every, 2), np.concatenate(spans)).reshape(2, -1)
    near = np.flatnonzero(ends.any(axis=0))
    if not len(near):
        return lows, highs
    counts = np.maximum(2, np.ceil((highs - lows)[near] / STEP).astype(np.int64) + 1)
    behind = np.cumsum(counts)
    of = np.repeat(near, counts)
    place = np.arange(behind[-1]) - np.repeat(behind - counts, counts)
    t = place * ((highs - lows)[near] / (counts - 1)).repeat(counts) + lows[of]
    t[behind - 1] = highs[near]
    hidden = inside(of, t)
    goes_in: list[tuple[int, bool, float, float]] = []  # which, at its end, inside, outside
    for i, end, count in zip(near.tolist(), behind.tolist(), counts.tolist(), strict=True):
        steps, within = t[end - count : end], hidden[end - count : end]
        if within.all():
            highs[i] = lows[i]
            continue
        for at_end in (False, True):
            if within[-1 if at_end else 0]:
                way = slice(None, None, -1 if at_end else 1)
                first = int(np.argmin(within[way]))
                goes_in.append((i, at_end, *steps[way][first - 1 : first + 1].tolist()))
    if not goes_in:
        return lows, highs
    of = np.array([one[0] for one in goes_in]).repeat(FINER + 1)
    a, b = (np.array([one[n] for one in goes_in]) for n in (2, 3))
    rows = np.arange(len(a))
    for _ in range(FINENESS):
        finer = np.arange(FINER + 1) * ((b - a) / FINER)[:, None] + a[:, None]
        finer[:, -1] = b
        within = inside(of, finer.ravel()).reshape(finer.shape)
        first_out = np.maximum(within.argmin(axis=1), 1)
        a, b = finer[rows, first_out - 1], finer[rows, first_out]
    for (i, at_end, *_), place_ in zip(goes_in, a.tolist(), strict=True):
        (highs if at_end else lows)[i] = place_
    return lows, highs


def _rims(profile: Array) -> Array:
    """Points around the corners (radius, y) of what turns about y: (n, 3) [mm]."""
    corners = np.stack((profile[:, 0], profile[:, 1], profile[:, 0]), axis=1)
    return np.asarray((corners[:, None] * _CIRCLE).reshape(-1, 3))
