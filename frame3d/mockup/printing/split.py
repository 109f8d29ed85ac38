"""Cut a part that is too large for the bed into pieces that are joined by pegs.

A limb is a straight or curved bar of the part that may be cut. One plane cuts one or more limbs at once:

              plane                         section through a limb at its crossing
                |                                       |
      ==========|==========  limb             ----------+----------
                |---> normal                   letter A | letter A      engraved marks
      ==========|==========  limb                  [===peg===]          DEPTH into each piece
                |                             ----------+----------

All pegs of a plane point along its normal, so that the pieces slide together. A plane is used only if it
meets the part nowhere but at its crossings with limbs, unless the part itself names it. A limb too thin
for a peg is glued end to end.

Where no such plane makes a part fit, planes that cut thin limbs only are tried, and then planes through
whatever is in their way (`printing/any_plane.py`), if the part allows that (`ModelPart.anywhere`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations, islice
from typing import TYPE_CHECKING, Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.mockup.fits import SPARE, Peg
from frame3d.mockup.options import PEG, Bed, Options
from frame3d.mockup.part import Joint, Limb, ModelPart
from frame3d.mockup.parts.letters import outline, written
from frame3d.mockup.printing.any_plane import any_plane, any_planes
from frame3d.mockup.printing.bed_fit import Misfit, fits_somehow, misfit, overhang, upright
from frame3d.mockup.printing.check import meshed, problems
from frame3d.mockup.printing.plane import DEPTH, Crossing, Plane, peg_room
from frame3d.mockup.solid import X, Y, Z, axes, bounds, minus, pressed

if TYPE_CHECKING:
    from manifold3d import Manifold

SLANT: Final = 40.0
"""Largest angle between a limb and the plane's normal [degrees]."""
STEP: Final = 3.0
"""Distance between the parallel planes that are compared [mm]."""
LEAST: Final = 25.0
"""Shortest piece along the plane's normal [mm]."""
BUTTED: Final = 30.0
"""Penalty in comparisons for each limb that is cut without a peg, as overhang over the bed [mm]."""
TRIES: Final = 6
"""Largest number of planes that are tried for one cut."""
BESIDE: Final = (0.0, 0.137, -0.211)
"""Offsets along its normal at which each plane is tried [mm]."""
CHIP: Final = 20.0
"""Smallest piece that a cut through anything may leave [mm³]."""
CUTS: Final = 40
"""Largest number of cuts of one part."""
POINTS: Final = 600
"""Largest number of the part's vertices that are used to compare planes."""
MARK, STROKE = 2.4, 0.6
"""Least height of an engraved letter, and the width of its stroke [mm] (trade pages: 0.6)."""
ENGRAVED: Final = 0.4
"""Depth of the letters [mm]."""


def fitted(
    part: ModelPart, bed: Bed, options: Options, marks: Iterator[str]
) -> tuple[list[ModelPart], list[Joint]] | Misfit:
    """Return the part uncut where it fits the bed, else its pieces and pegs, with their joints.

    A part that may also lie in other poses (`upright`) is tried in those if it cannot be cut to fit in
    its own; one that may be cut anywhere is, where neither helps.

    Args:
        part: the part.
        bed: width, depth and height [mm].
        options: clearances and walls.
        marks: letters for the cuts; those used are taken from it.

    Returns:
        parts and joints, or the misfit where no cut makes the part fit.
    """
    if fits_somehow(part, bed):
        return [part], []
    found = split(part, bed, options, marks)
    if isinstance(found, Misfit) and part.upright:
        turned = replace(part, down=None, upright=False)
        found = ([turned], []) if fits_somehow(turned, bed) else split(turned, bed, options, marks)
    if isinstance(found, Misfit) and part.anywhere:
        free = replace(part, down=None, upright=False) if part.upright else part
        found = split(free, bed, options, marks, anywhere=True)
    return found


def split(
    part: ModelPart, bed: Bed, options: Options, marks: Iterator[str], *, anywhere: bool = False
) -> tuple[list[ModelPart], list[Joint]] | Misfit:
    """Cut a part into pieces that fit the bed; return pieces, pegs and joints.

    Arguments and result as for `fitted`; `anywhere` says whether thin limbs, and whatever else is in a
    plane's way, may be cut for want of better.
    """
    leaves: list[ModelPart] = []
    cuts: list[tuple[Plane, list[str]]] = []
    waiting = [part]
    while waiting:
        piece = waiting.pop(0)
        if fits_somehow(piece, bed):
            leaves.append(piece)
            continue
        found = None
        for planes in _tiers(piece, bed, options, anywhere) if len(cuts) < CUTS else ():
            found = _printable(piece, islice(planes, TRIES), marks, options)
            if found is not None:
                break
        if found is None:
            return misfit(part.name, piece.solid, bed, piece.down)
        plane, letters, pieces = found
        cuts.append((plane, letters))
        waiting += pieces
    leaves.sort(key=lambda p: tuple(np.round(bounds(p.solid).mean(axis=0), 3)))
    named = [replace(leaf, name=f"{part.name}_{i + 1}") for i, leaf in enumerate(leaves)]
    pegs, joints = _pegs(part, named, cuts, options)
    return [*named, *pegs], joints


def _tiers(
    piece: ModelPart, bed: Bed, options: Options, anywhere: bool
) -> Iterator[Iterable[Plane]]:
    """Yield the planes at which a piece may be cut: first those that it should be cut at."""
    yield _planes(piece, bed, options)
    if anywhere:
        yield _planes(piece, bed, options, thin=True)
        yield any_planes(piece, bed, options)


def _printable(
    piece: ModelPart, planes: Iterable[Plane], marks: Iterator[str], options: Options
) -> tuple[Plane, list[str], list[ModelPart]] | None:
    """Return the first plane whose pieces are printable meshes, its letters, and the pieces.

    A plane may come so close to an edge of the part that the boolean leaves a bad mesh. So each plane is
    also tried with the offsets `BESIDE`.
    """
    letters: list[str] = []
    for plane in planes:
        letters += [next(marks) for _ in range(len(plane.crossings) - len(letters))]
        own = letters[: len(plane.crossings)]
        for beside in BESIDE:
            shifted = _shifted(piece, plane, beside, options)
            if len(shifted.crossings) != len(plane.crossings):
                continue
            pieces = _cut(piece, shifted, own, options)
            if plane.anywhere and min(half.solid.volume() for half in pieces) < CHIP:
                continue
            if not any(problems(meshed(half.solid)) for half in pieces):
                return shifted, own, pieces
    return None


def _shifted(piece: ModelPart, plane: Plane, by: float, options: Options) -> Plane:
    """Return the plane moved by `by` [mm]; unchanged if the number of crossings would change."""
    offset = plane.offset + by
    if plane.anywhere:
        return any_plane(piece.solid, plane.normal, offset, options)
    crossings = _crossings(piece.limbs, plane.normal, offset, options)
    if len(crossings) != len(plane.crossings):
        return plane
    return Plane(plane.normal, offset, crossings, plane.made)


def letters() -> Iterator[str]:
    """Yield marks: A to Z without I, then A1 to Z1, A2 and so on."""
    alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"
    yield from alphabet
    number = 1
    while True:
        yield from (f"{letter}{number}" for letter in alphabet)
        number += 1


def _planes(part: ModelPart, bed: Bed, options: Options, *, thin: bool = False) -> Iterator[Plane]:
    """Yield planes at which the part may be cut, best first; with `thin`, those without any peg too.

    Ordered by the number of sides that still do not fit the bed, then by the larger overhang of the two
    sides, plus `BUTTED` for each limb that gets no peg.
    """
    points = np.asarray(part.solid.to_mesh64().vert_properties)[:, :3]
    points = points[:: max(1, len(points) // POINTS)]
    ranked: list[tuple[tuple[int, float], int, Plane]] = []
    own = _own_planes(part, options) if part.planes else _limb_planes(part, options, thin)
    for plane in own:
        height = points @ plane.normal - plane.offset
        if height.max() < LEAST or height.min() > -LEAST:
            continue
        # A long bar has vertices at its ends only, so the crossings are added to both sides.
        ends = np.array([crossing.at for crossing in plane.crossings])
        sides = [np.vstack([points[height > 0], ends]), np.vstack([points[height < 0], ends])]
        over = [overhang(side, bed, part.down) for side in sides]
        butted = sum(not crossing.pegged for crossing in plane.crossings)
        rank = (sum(o > 0 for o in over), round(max(*over) + BUTTED * butted, 1))
        ranked.append((rank, len(ranked), plane))
    for _, _, plane in sorted(ranked, key=lambda entry: entry[:2]):
        if plane.made or _is_clear(part.solid, plane):
            yield plane


def _own_planes(part: ModelPart, options: Options) -> Iterator[Plane]:
    for point, normal in part.planes:
        offset = float(point @ normal)
        crossings = _crossings(part.limbs, normal, offset, options)
        if crossings:
            yield Plane(normal, offset, crossings, made=True)


def _limb_planes(part: ModelPart, options: Options, thin: bool) -> Iterator[Plane]:
    """Yield planes across limbs, every `STEP` along each of `_normals`, with a peg or `thin`."""
    for normal in _normals(part.limbs):
        every = np.concatenate([limb.points @ normal for limb in part.limbs])
        for offset in np.arange(every.min() + STEP, every.max(), STEP):
            crossings = _crossings(part.limbs, normal, float(offset), options)
            if crossings and (thin or any(crossing.pegged for crossing in crossings)):
                yield Plane(normal, float(offset), crossings)


def _normals(limbs: tuple[Limb, ...]) -> list[Array]:
    """Return unit directions of limbs and bisectors of pairs of them, no two within 7.5 degrees."""
    ways: list[Array] = []
    for limb in limbs:
        for i in range(0, len(limb.points) - 1, max(1, (len(limb.points) - 1) // 12)):
            ways.append(limb.points[i + 1] - limb.points[i])
    found: list[Array] = []
    units = [way / np.linalg.norm(way) for way in ways]
    midway = [a + b if a @ b > 0 else a - b for a, b in combinations(units, 2)]
    for way in (*units, *midway):
        size = float(np.linalg.norm(way))
        if all(abs(float(way @ other)) < size * np.cos(np.radians(7.5)) for other in found):
            found.append(way / size)
    return found


def _crossings(
    limbs: tuple[Limb, ...], normal: Array, offset: float, options: Options
) -> tuple[Crossing, ...]:
    """Return all crossings of the plane with limbs; none if the plane may not cut one of them.

    It may not where the limb is too slanted, or the crossing too near one of its ends.
    """
    found: list[Crossing] = []
    for limb in limbs:
        height = limb.points @ normal - offset
        below = height < 0
        for i in np.flatnonzero(below[:-1] != below[1:]):
            crossing = _crossing(limb, normal, int(i), height, options)
            if crossing is None:
                return ()
            found.append(crossing)
    return tuple(found)


def _crossing(
    limb: Limb, normal: Array, i: int, height: Array, options: Options
) -> Crossing | None:
    """Return the crossing between a limb's points i and i + 1; None where it may not be cut there.

    Args:
        limb: the limb.
        normal: of the plane.
        i: index of the point before the plane.
        height: signed distances of the limb's points from the plane, (n,) [mm].
        options: clearances and walls.
    """
    way = limb.points[i + 1] - limb.points[i]
    length = float(np.linalg.norm(way))
    lean = abs(float(way @ normal)) / length
    if lean < np.cos(np.radians(SLANT)):
        return None
    is_ring = bool(np.abs(limb.points[0] - limb.points[-1]).max() < 1e-6)
    if not is_ring and min(i, len(limb.points) - 1 - i) * length < DEPTH + 1.0:
        return None
    at = limb.points[i] + height[i] / (height[i] - height[i + 1]) * way
    radius = float(limb.radius[i])
    room = radius - DEPTH * float(np.sqrt(1 - min(lean, 1.0) ** 2))
    return Crossing(at, radius, room >= peg_room(options) - 1e-6)


def _is_clear(solid: Manifold, plane: Plane) -> bool:
    """Return whether the plane meets the solid only at its crossings.

    The section must have one outline for each crossing, with a crossing in each outline's box.
    """
    own = upright(plane.normal)
    flat = solid.transform(np.column_stack([own.T, np.zeros(3)]))
    outlines = flat.slice(plane.offset).decompose()
    if len(outlines) != len(plane.crossings):
        return False
    places = np.array([crossing.at for crossing in plane.crossings]) @ own
    boxes = [np.array(outline.bounds()) for outline in outlines]
    return all(
        any((box[:2] <= place[:2]).all() and (place[:2] <= box[2:]).all() for place in places)
        for box in boxes
    )


def _cut(piece: ModelPart, plane: Plane, marks: list[str], options: Options) -> list[ModelPart]:
    """Cut a piece at a plane, with holes for pegs and engraved marks; return the connected pieces."""
    taken = [
        _peg(plane, crossing).hole(-DEPTH - SPARE, DEPTH + SPARE, options.fit)
        for crossing in plane.crossings
        if crossing.pegged
    ]
    for crossing, letter in zip(plane.crossings, marks, strict=True):
        taken += [_mark(piece.solid, plane, crossing, letter, side) for side in (1.0, -1.0)]
    halves = minus(piece.solid, taken).split_by_plane(tuple(plane.normal), plane.offset)
    return [
        replace(piece, solid=solid, limbs=_left(piece.limbs, solid, plane))
        for half in halves
        for solid in sorted(half.decompose(), key=lambda s: tuple(np.round(bounds(s)[0], 3)))
    ]


def _left(limbs: tuple[Limb, ...], solid: Manifold, plane: Plane) -> tuple[Limb, ...]:
    """Return the stretches of limbs that lie in a piece and are clear of the cut's pegs."""
    box, found = bounds(solid), []
    for limb in limbs:
        inside = ((limb.points > box[0] - 0.01) & (limb.points < box[1] + 0.01)).all(axis=1)
        inside &= np.abs(limb.points @ plane.normal - plane.offset) > DEPTH + 1.0
        ends = np.flatnonzero(np.diff(inside.astype(int), prepend=0, append=0))
        for low, high in zip(ends[::2], ends[1::2], strict=True):
            if high - low > 3:
                found.append(Limb(limb.points[low:high], limb.radius[low:high]))
    return tuple(found)


def _peg(plane: Plane, crossing: Crossing) -> Peg:
    """Return a crossing's peg, its flat to the left, or upward where the peg itself points sideways."""
    way = Y if abs(plane.normal[1]) < 0.7 else Z
    flat = way - float(way @ plane.normal) * plane.normal
    return Peg(crossing.at, plane.normal, flat / np.linalg.norm(flat), PEG / 2)


def _mark(solid: Manifold, plane: Plane, crossing: Crossing, letter: str, side: float) -> Manifold:
    """Return the solid of a letter to engrave beside the cut.

    It stands on the left of the limb, or in front where the limb runs sideways.

    Args:
        solid: the piece before the cut.
        plane: the cut.
        crossing: the limb that is cut.
        letter: the mark.
        side: 1 for the side of the normal, -1 for the other.
    """
    out = Y if abs(plane.normal[1]) < 0.7 else X
    out = out - float(out @ plane.normal) * plane.normal
    out = out / np.linalg.norm(out)
    height = float(np.clip(1.1 * crossing.radius, MARK, 4.0))
    line = written(letter)
    wide = line.width * height / 6 + STROKE
    at = crossing.at + side * (wide / 2 + 1.2) * plane.normal
    own = axes(at, out, plane.normal)
    far = 3 * crossing.radius + 3.0
    if plane.anywhere:
        # On the part's outside, which may be further out than a limb's.
        far = max(far, float(np.linalg.norm(np.diff(bounds(solid), axis=0))))
    probe = pressed(_square(0.6), -0.2, far, own)
    near = (solid ^ probe).transform(_back(own))
    top = crossing.radius if near.is_empty() else float(bounds(near)[1, 2])
    rise = crossing.radius
    sag = rise - float(np.sqrt(max(rise**2 - (height / 2) ** 2, 0.0)))
    shape = outline(line, height, STROKE).translate((STROKE / 2 - wide / 2, -height / 2))
    return pressed(shape, top - ENGRAVED - min(sag, ENGRAVED), top + 2.0, own)


def _square(half: float) -> object:
    from manifold3d import CrossSection

    return CrossSection.square((2 * half, 2 * half), True)


def _back(motion: Array) -> Array:
    """Return the inverse of a rigid motion (3, 4)."""
    turn = motion[:, :3].T
    return np.column_stack([turn, -turn @ motion[:, 3]])


def _pegs(
    part: ModelPart, pieces: list[ModelPart], cuts: list[tuple[Plane, list[str]]], options: Options
) -> tuple[list[ModelPart], list[Joint]]:
    pegs, joints = [], []
    for plane, marks in cuts:
        for crossing, letter in zip(plane.crossings, marks, strict=True):
            holders = [_holder(pieces, plane, crossing, side) for side in (1.0, -1.0)]
            if not crossing.pegged:
                joints.append(
                    Joint(
                        kind="fixed",
                        peg=holders[0],
                        hole=holders[1],
                        at=crossing.at,
                        along=plane.normal,
                        diameter=0.0,
                        depth=0.0,
                        clearance=0.0,
                        mark=letter,
                        anywhere=plane.anywhere,
                    )
                )
                continue
            peg, name = _peg(plane, crossing), f"peg_{letter.lower()}"
            solid = peg.solid(-DEPTH, DEPTH)
            pegs.append(ModelPart(name, part.colour, solid, role=part.role, down=peg.flat))
            for side, holder in zip((1.0, -1.0), holders, strict=True):
                at = crossing.at + side * DEPTH / 2 * plane.normal
                joints.append(
                    Joint(
                        kind="fixed",
                        peg=name,
                        hole=holder,
                        at=at,
                        along=plane.normal,
                        diameter=PEG,
                        depth=DEPTH,
                        clearance=options.fit,
                        mark=letter,
                        anywhere=plane.anywhere,
                    )
                )
    return pegs, joints


def _holder(pieces: list[ModelPart], plane: Plane, crossing: Crossing, side: float) -> str:
    """Return the name of the piece on one side of a crossing: the one with most volume near it there."""
    from manifold3d import Manifold

    probe = Manifold.sphere(crossing.radius + 0.5, 12).translate(
        tuple(crossing.at + side * 1.5 * plane.normal)
    )
    probe = probe.trim_by_plane(tuple(side * plane.normal), side * plane.offset)
    return max(pieces, key=lambda piece: float((piece.solid ^ probe).volume())).name
