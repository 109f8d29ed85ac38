"""Bodies that are mirror images of others about the bike's middle plane, and pairs of such bodies.

Of two pairs that are mirror images, as left and right stay to the rear tyre, the gap is the same, at the
mirrored place: one of them is measured. A mirrored motion is the same motion, but for steering, which
turns to the other side, and what a pedal carries, which is there half a turn of the cranks later.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, Literal, TypeAlias

import numpy as np

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import CIRCLE, MOTIONS, SHIFT, SWING, Mount, Name, Step
from frame3d.bodies.shapes import Box, Capsule, Disc, PlacedShape, Prism, Ring, Torus, Tubular
from frame3d.clearance.certify.motion import Range
from frame3d.geometry.arrays import Array, Ints, Mask
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point

EQUAL: Final = 1e-9
"""Numbers of a body and of its mirror image that differ by less are equal [mm; of directions, 1]."""
PLACES: Final = 6
"""Decimals by which solids are put in order, so that each lies beside its mirror image."""
TURN: Final = 360.0
"""All positions of the cranks [degrees]."""

Relation: TypeAlias = Literal["same", "other side", "half a turn later"]
"""Where a motion is in the mirror image of a position."""
_CODES: Final[dict[Relation, int]] = {"same": 1, "other side": 2, "half a turn later": 3}
Key: TypeAlias = tuple[object, ...]
"""What two solids must have in common for their numbers to be compared."""
_Row: TypeAlias = tuple[float, ...]
ENDS: Final = "ends"
"""Second item of the key of a bar, whose numbers are those of one end and those of the other."""

_POINT: Final = (1.0, -1.0, 1.0)
_OUTER: Final = (1.0, -1.0, 1.0, 1.0, -1.0, 1.0)
"""What the mirror makes of a point's numbers, and of those of `_outer`."""


def image_name(name: str) -> str:
    """Return the name that the mirror image of a body has: with left and right exchanged."""
    for side, other in (("left", "right"), ("right", "left")):
        if name.endswith(f"_{side}"):
            return name.removesuffix(side) + other
    return name


def images(bodies: Sequence[Body]) -> dict[str, Body]:
    """Return the mirror image of each body that has one among some bodies, by the body's name.

    Left and right may have their solids in another order, and bars may start at their other end.
    """
    named = {body.name: body for body in bodies}
    both = [
        (body, named[other])
        for body in bodies
        if (other := image_name(body.name)) in named and body.name <= other
    ]
    kept = _are_images(both)
    return {
        one.name: other
        for a, b in (two for two, is_image in zip(both, kept, strict=True) if is_image)
        for one, other in ((a, b), (b, a))
    }


def _are_images(both: Sequence[tuple[Body, Body]]) -> list[bool]:
    """Return of each two bodies whether the solids of one are the mirror images of the other's.

    A body is in one pair at most as the first, and in one as the second.
    """
    bodies = list({id(body): body for two in both for body in two}.values())
    numbers = {id(body): i for i, body in enumerate(bodies)}
    rows = _Rows(bodies)
    kept = np.ones(len(both), dtype=bool)
    pairs: Ints = np.full((2, len(bodies)), -1, dtype=np.int64)
    for i, two in enumerate(both):
        first, second = (numbers[id(body)] for body in two)
        pairs[0, first] = pairs[1, second] = i
        a, b = rows.uneven[first], rows.uneven[second]
        kept[i] = len(a) == len(b) and all(map(_is_image, a, b))
    for key, (own, of_key) in rows.found.items():
        owner, (values, signs) = np.array(own), _finished(key, of_key)
        of, other_of = pairs[:, owner]
        # Bodies of one pair, as the first and as the second; the last count is that of no pair.
        counts, other_counts = (
            np.bincount(x, minlength=len(both) + 1) for x in (of + 1, other_of + 1)
        )
        alike = counts == other_counts
        kept &= alike[1:]
        ours, theirs = (np.flatnonzero((x >= 0) & alike[x + 1]) for x in (of, other_of))
        if not len(ours):
            continue
        is_bar = key[1] == ENDS
        of, values_ = _in_order(of[ours], values[ours], is_bar)
        _, others = _in_order(other_of[theirs], values[theirs] * signs, is_bar)
        kept[of[np.abs(values_ - others).max(axis=1) > EQUAL]] = False
    return kept.tolist()


class _Rows:
    """The solids of some bodies as numbers, those together that can be compared."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self.found: dict[Key, tuple[list[int], list[_Row]]] = {}
        """Whose they are, by the bodies' numbers, and of each its numbers, see `_finished`."""
        self.uneven: list[list[Tubular]] = []
        """Of each body the tubes that are no plain bars."""
        for i, body in enumerate(bodies):
            told = [_of_tube(tube) for tube in body.tubes]
            self.uneven.append(
                [tube for tube, one in zip(body.tubes, told, strict=True) if one is None]
            )
            told += [_of_shape(shape, 1) for shape in body.shapes]
            told += [_of_shape(shape, 2) for shape in body.hull]
            for one in told:
                if one is not None:
                    of, rows = self.found.setdefault(one[0], ([], []))
                    of.append(i)
                    rows.append(one[1])


def _finished(key: Key, rows: Sequence[_Row]) -> tuple[Array, Array]:
    """Return the numbers that solids are compared by, (n, k), and what the mirror makes of each, (k,).

    Args:
        key: what they have in common.
        rows: their numbers, as `_of_tube` and `_of_shape` tell them.
    """
    values: Array = np.array(rows)
    kind = key[1] if key[1] != ENDS else key[2]
    signs: Sequence[float] = [*_POINT, *[1.0] * (values.shape[1] // 2 - 3)] * 2  # of bars
    if kind is Disc:
        at, y, (r, high, end) = values[:, :3], values[:, 3:6], values[:, 6:].T
        values = np.column_stack((at, r, at + high[:, None] * y, end))
        signs = [*_POINT, 1.0] * 2
    elif kind is Box:
        x, y = values[:, 7:10], values[:, 10:]
        values = np.column_stack((values[:, :7], _outer(x), _outer(y)))
        signs = [*_POINT, 1.0, 1.0, 1.0, 1.0, *_OUTER, *_OUTER]
    elif kind is Torus:
        values = np.column_stack((values[:, :5], _outer(values[:, 5:])))
        signs = [*_POINT, 1.0, 1.0, *_OUTER]
    elif kind is Prism:
        signs = [*_POINT, 1.0, *_POINT, *_POINT, *[1.0] * (values.shape[1] - 10)]
    elif kind is Ring and key[2]:
        # A profile that is its own mirror image may as well be turned round.
        values = np.column_stack((values[:, :3], _outer(values[:, 3:6]), values[:, 6:]))
        signs = [*_POINT, *_OUTER, *[1.0] * (values.shape[1] - 9)]
    elif kind is Ring:
        signs = [*_POINT, *_POINT, *[1.0] * (values.shape[1] - 6)]
    return values, np.array(signs)


def _in_order(of: Ints, values: Array, is_bar: bool) -> tuple[Ints, Array]:
    """Return rows of numbers, those of a body together, in an order that the numbers alone tell.

    Args:
        of: (n,), whose they are.
        values: (n, k) float.
        is_bar: whether they are of bars, whose ends are put in order too.
    """
    if is_bar:
        half = values.shape[1] // 2
        ends = np.round(values[:, :half] - values[:, half:], PLACES)
        ahead = ends[np.arange(len(ends)), (ends != 0).argmax(axis=1)] < 0
        values = np.where(ahead[:, None], np.roll(values, half, axis=1), values)
    order = np.lexsort((*np.round(values, PLACES).T, of))
    return of[order], values[order]


def _of_shape(placed: PlacedShape, which: int) -> tuple[Key, _Row]:
    """Return what a shape can be compared by, with which of a body's it is first, and its numbers."""
    shape, at = placed.shape, placed.origin
    x, y, z = placed.axes
    if isinstance(shape, Box):
        return (which, Box), (*at, *shape.core, shape.rounding, *x, *y)
    if isinstance(
        shape, Disc
    ):  # most are rods: by comparisons, which take less time than a pattern
        profile = shape.profile
        if len(profile) == 6 and profile[0][1] == profile[2][0] == 0.0 and profile[5] == (0.0, 0.0):
            (r, _), (end_r, high) = profile[:2]
            return (which, ENDS, Disc), (*at, *y, r, high, end_r)
    match shape:
        case Capsule(length, radius, end):
            there = (at[0] + length * z[0], at[1] + length * z[1], at[2] + length * z[2])
            return (which, ENDS, Capsule), (*at, radius, *there, end)
        case Torus(radius, thick):
            return (which, Torus), (*at, radius, thick, *y)
        case Prism(profile, half):
            return (which, Prism, len(profile)), (*at, half, *x, *y, *sum(profile, ()))
        case Ring(profile) | Disc(profile):
            heights = [height for _, height in profile]
            middle = (min(heights) + max(heights)) / 2
            centre = [a + middle * b for a, b in zip(at, y, strict=True)]
            corners = sorted(
                ((r, h - middle) for r, h in profile), key=lambda c: (round(c[0], PLACES), c[1])
            )
            rounded = {(round(r, PLACES), round(h, PLACES)) for r, h in corners}
            is_even = all((r, -h) in rounded for r, h in rounded)
            return (which, Ring, is_even, len(profile)), (*centre, *y, *sum(corners, ()))
    raise TypeError(type(shape).__name__)


def _of_tube(tube: Tubular) -> tuple[Key, _Row] | None:
    """Return the same of a tube; None if it is no plain bar."""
    axis, section = tube.axis, tube.section
    is_bar = (
        axis.is_straight
        and len(section.s) == 2
        and section.is_round
        and not tube.cutters
        and tube.flat[0] == tube.flat[1]
    )
    if not is_bar:
        return None
    (first, last), (start, end) = section.height, tube.trimmed
    return (0, ENDS, tube.flat), (*axis.start, first, start, *axis.end, last, end)


def _is_image(tube: Tubular, other: Tubular) -> bool:
    """Return whether a tube that is no plain bar is the mirror image of another."""
    if len(tube.cutters) != len(other.cutters):
        return False
    wanted = _numbers_of(other, other.flat, mirrored=False, reverse=False)
    for reverse in (False, True):
        flat = tube.flat[::-1] if reverse else tube.flat
        found = _numbers_of(tube, flat, mirrored=True, reverse=reverse)
        if found[0] == wanted[0] and bool(
            (np.abs(np.subtract(found[1], wanted[1])) <= EQUAL).all()
        ):
            return True
    return False


def _numbers_of(
    tube: Tubular, flat: tuple[bool, bool], *, mirrored: bool, reverse: bool
) -> tuple[Key, list[float]]:
    """Return what a tube is compared by, and its numbers, perhaps in the mirror or from its end on."""
    length = tube.axis.length
    key, numbers = _outside(tube.axis, tube.section, mirrored=mirrored, reverse=reverse)
    numbers += tube.trimmed[::-1] if reverse else tube.trimmed
    cutters: list[tuple[list[float], Key, list[float]]] = []
    for cutter in tube.cutters:
        ways = [_outside(cutter.axis, cutter.section, mirrored=mirrored, reverse=False)]
        if cutter.runs_on[0] == cutter.runs_on[1]:
            ways.append(_outside(cutter.axis, cutter.section, mirrored=mirrored, reverse=True))
        between = cutter.between
        if between is not None and reverse:
            between = length - between[1], length - between[0]
        # Of both ways along it the one that comes first by its numbers.
        order, its_key, its = min(([round(x, PLACES) for x in n], k, n) for k, n in ways)
        cutters.append(
            (order, (its_key, cutter.runs_on, between is None), its + list(between or ()))
        )
    for _, its_key, its in sorted(cutters, key=lambda one: one[0]):
        key = (*key, its_key)
        numbers += its
    return (*key, flat), numbers


def _outside(
    axis: Centreline, section: Section, *, mirrored: bool, reverse: bool
) -> tuple[Key, list[float]]:
    """Return the same of an axis with its section."""
    # Of corners that are all alike one radius; others change places in the mirror, and equal nothing.
    corners = [tuple(one[0] if len(set(one)) == 1 else math.nan for one in section.rounds)]
    rows = [section.height, section.width, *(corners if section.rounds else ())]
    stations = section.s
    pieces = axis.pieces
    if reverse:
        stations = tuple(section.s[-1] - s for s in section.s[::-1])
        rows, pieces = [row[::-1] for row in rows], pieces[::-1]
    numbers = [*stations, *(x for row in rows for x in row), axis.pitch]
    y = -1.0 if mirrored else 1.0
    for piece in pieces:
        points = [piece.end, piece.start] if reverse else [piece.start, piece.end]
        if isinstance(piece, Arc):
            points.append(piece.centre)
            numbers.append(piece.radius)
        for x, across, z in points:
            numbers += (x, y * across, z)
    return (tuple(type(piece) for piece in pieces), len(stations), len(rows)), numbers


def _outer(v: Array) -> Array:
    """Return directions' products with themselves, which are those of the opposite directions too.

    Args:
        v: (n, 3).

    Returns:
        (n, 6).
    """
    return v[:, [0, 0, 0, 1, 1, 2]] * v[:, [0, 1, 2, 1, 2, 2]]


def mirrored(a: Mount, b: Mount) -> dict[Name, Relation] | None:
    """Return where each motion of a mount is in the mirror image, if that has another mount.

    Args:
        a: what a body is fixed to.
        b: what its mirror image is fixed to.

    Returns:
        None where the mirror image of the one's motion is none of the other's.
    """
    if len(a.steps) != len(b.steps):
        return None
    found: dict[Name, Relation] = {}
    for one, other in zip(a.steps, b.steps, strict=True):
        relation = _relation(one, other)
        if relation is None or found.setdefault(one.name, relation) != relation:
            return None
    return found


def _relation(one: Step, other: Step) -> Relation | None:
    """Return where a step's motion is in the mirror image, if that has another step."""
    if one.kind != other.kind or one.name != other.name or one.swing is not other.swing:
        return None
    if one.kind == SWING:
        return "same"
    if one.kind == CIRCLE:
        both = one.point[0], other.point[0]
        return (
            "same" if both[0] == both[1] else "half a turn later" if both[0] == -both[1] else None
        )
    x, y, z = one.axis
    if one.kind == SHIFT:
        return "same" if _equal(other.axis, (x, -y, z)) else None
    at = one.point
    if not _equal(other.point, (at[0], -at[1], at[2])):
        return None
    # The mirror turns a turn about an axis into one the other way round about the axis' image.
    if _equal(other.axis, (-x, y, -z)):
        return "same"
    return "other side" if _equal(other.axis, (x, -y, z)) else None


def _equal(a: Point, b: Point) -> bool:
    return all(abs(p - q) <= EQUAL for p, q in zip(a, b, strict=True))


class Twins:
    """Pairs of bodies that are mirror images of others that are measured."""

    def __init__(self, bodies: Sequence[Body], ranges: Sequence[Range]) -> None:
        """Find the mirror images among some bodies.

        Args:
            bodies: of a bike.
            ranges: limits of all motions.
        """
        self._bodies = bodies
        self._numbers = {body.name: i for i, body in enumerate(bodies)}
        limits = {r.name: (r.low, r.high) for r in ranges}
        even: set[tuple[Name, Relation]] = set()
        for name, (low, high) in limits.items():
            even.add((name, "same"))
            if low == -high:
                even.add((name, "other side"))
            if name == "crank" and high - low == TURN:
                even.add((name, "half a turn later"))
        self._images: Ints = np.full(len(bodies), -1, dtype=np.int64)
        """(bodies,) the number of each one's image; -1 where there is none over all of its motions."""
        self._where: Ints = np.zeros((len(bodies), len(MOTIONS)), dtype=np.int64)
        """(bodies, motions) where each motion is in the mirror image, 1 for the same; 0 if not there."""
        known: dict[tuple[int, int], dict[Name, Relation] | None] = {}
        for one, image in images(bodies).items():
            i = self._numbers[one]
            both = bodies[i].mount, image.mount
            key = id(both[0]), id(both[1])
            if key not in known:
                relations = mirrored(*both)
                known[key] = relations if even.issuperset((relations or {}).items()) else None
            found = known[key]
            if found is not None:
                self._images[i] = self._numbers[image.name]
                for motion, relation in found.items():
                    self._where[i, MOTIONS.index(motion)] = _CODES[relation]

    def of(self, a: Body, b: Body) -> frozenset[str] | None:
        """Return the names of the pair that is the mirror image of a pair; None if there is none."""
        ((i, j),) = self.of_pairs(self._pair(a, b)).tolist()
        return None if i < 0 else frozenset((self._bodies[i].name, self._bodies[j].name))

    def is_same(self, a: Body, b: Body) -> bool:
        """Return whether all motions of a pair are where they are in its mirror image."""
        return bool(self.are_same(self._pair(a, b))[0])

    def of_pairs(self, both: Ints) -> Ints:
        """Return the pairs that are the mirror images of pairs, by the bodies' numbers.

        Args:
            both: (n, 2).

        Returns:
            (n, 2), -1 where there is none.
        """
        found = self._images[both]
        first, second = self._where[both[:, 0]], self._where[both[:, 1]]
        agree = ((first == second) | (first == 0) | (second == 0)).all(axis=1)
        found[~agree | (found < 0).any(axis=1)] = -1
        return found

    def are_same(self, both: Ints) -> Mask:
        """Return of pairs (n, 2) whether all their motions are where they are in the image: (n,)."""
        return np.asarray((self._where[both] <= _CODES["same"]).all(axis=(1, 2)))

    def _pair(self, a: Body, b: Body) -> Ints:
        return np.array([[self._numbers[a.name], self._numbers[b.name]]])
