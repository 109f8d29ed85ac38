"""Tubes, cutters and shapes as records for the compiled search (see `records`)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from typing import Any, Final, TypeAlias

import numpy as np

from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Cutter,
    Disc,
    Prism,
    Profile,
    Ring,
    Shape,
    Torus,
    Tubular,
)
from frame3d.clearance.certify.records import (
    BOX_KIND,
    CAPSULE_KIND,
    CUTTER,
    DISC_KIND,
    EDGE,
    PIECE,
    PRISM_KIND,
    RING_KIND,
    SHAPE,
    TORUS_KIND,
    Records,
    end_to_end,
)
from frame3d.geometry.centreline import Arc, Centreline, Line, arc_axes, widths_of_lines
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Vector, cross, point, unit, vector
from frame3d.tubes.cuts.mitre import level

_Row: TypeAlias = dict[str, Any]
"""Fields of a `records.Piece` by name."""

FAR = 1e300
AROUND = 48
"""Samples around a tube, where its cuts are searched for."""
STEP = 1.0
"""Step of these samples along the tube [mm]."""


@lru_cache(maxsize=1024)
def pieces_of(tube: Tubular) -> tuple[Records, Records]:
    """Return a tube as `records.Piece`s, and what cuts them as `records.CutterPiece`s.

    A piece has only those cutters that reach into it. Cached and read-only: a tube is measured
    against many shapes.

    Raises:
        ValueError: the tube has no length.
    """
    low, high = tube.span
    if high - low < 1e-9:
        raise ValueError(f"{tube.name} has no length")
    if is_bar(tube):
        return bars([tube]), UNCUT
    found = [(cutter, between) for cutter in tube.cutters if (between := _between(tube, cutter))]
    ranges = [(max(a, low), min(b, high)) for _, (a, b) in found]
    cutters = [
        (range_, _cutter(cutter.axis, cutter.section, cutter.runs_on))
        for range_, (cutter, _) in zip(ranges, found, strict=True)
        if range_[0] < range_[1]
    ]
    cuts = _merged([range_ for range_, _ in cutters])
    marks = [x for cut in cuts for x in cut]
    made: list[_Row] = []
    taken = [np.zeros(0, CUTTER)]
    count = 0
    for piece, a, b in _stretches(tube.axis, tube.section, low, high, marks):
        own = [rows for (start, end), rows in cutters if start < b - 1e-9 and end > a + 1e-9]
        piece["cutters"] = count, count + sum(map(len, own))
        count += sum(map(len, own))
        taken += own
        middle = (a + b) / 2
        before = [end for _, end in cuts if end < middle]
        after = [start for start, _ in cuts if start > middle]
        piece["before"] = min(
            [a - x for x in (*before, *([low] if tube.flat[0] else []))], default=FAR
        )
        piece["after"] = min(
            [x - b for x in (*after, *([high] if tube.flat[1] else []))], default=FAR
        )
        made.append(piece)
    return _kept(_pieces(made)), _kept(end_to_end(taken))


def _pieces(rows: Sequence[_Row]) -> Records:
    """Return `records.Piece`s from their fields by name; 0 where a row does not give one.

    Written a field at a time: to write a record's fields one after another takes ten times as long.
    """
    out = np.zeros(len(rows), PIECE)
    blank: _Row = {name: out[name][0] for name in {name for row in rows for name in row}}
    for name, nothing in blank.items():
        out[name] = [row.get(name, nothing) for row in rows]
    return out


def is_bar(tube: Tubular) -> bool:
    """Return whether a tube is a straight round bar from end to end of its axis, which nothing cuts."""
    section = tube.section
    return (
        not tube.cutters
        and tube.trimmed == (0.0, 0.0)
        and tube.axis.is_straight
        and section == Section(section.s, section.width, section.width, section.wall)
        and len(section.s) == 2
        and section.s == (0.0, tube.axis.length)
    )


def bars(tubes: Sequence[Tubular]) -> Records:
    """Return straight round bars as one `records.Piece` each, as `_piece` and `pieces_of` do.

    Args:
        tubes: bars, see `is_bar`.

    Raises:
        ValueError: one has no length.
    """
    starts, ends = (
        np.array([getattr(tube.axis, end) for tube in tubes]) for end in ("start", "end")
    )
    first, last = (np.array([tube.section.width[k] for tube in tubes]) / 2 for k in (0, 1))
    along = ends - starts
    length = np.linalg.norm(along, axis=1)
    if length.min() < 1e-9:
        raise ValueError(f"{tubes[int(length.argmin())].name} has no length")
    slope = (last - first) / length
    out = np.zeros(len(tubes), PIECE)
    out["length"] = length
    out["a"] = out["b"] = first
    out["a_slope"] = out["b_slope"] = slope
    out["origin"], out["tangent"] = starts, along / length[:, None]
    out["major"] = widths_of_lines(along / length[:, None], [tube.axis.pitch for tube in tubes])
    out["widest"], out["steepest"] = np.maximum(first, last), np.abs(slope)
    flat = np.array([tube.flat for tube in tubes])
    out["before"], out["after"] = np.where(flat, 0.0, FAR).T
    return _kept(out)


@lru_cache(maxsize=256)
def _cutter(axis: Centreline, section: Section, runs_on: tuple[bool, bool]) -> Records:
    """Return a `Cutter` as `records.CutterPiece`s; cached and read-only, as a body cuts many tubes."""
    length = axis.length
    low, high = (-FAR if runs_on[0] else 0.0), (FAR if runs_on[1] else length)
    # Where an end is a bend, a line of 1 mm continues it.
    more = [1.0 if isinstance(axis.pieces[at], Arc) else 0.0 for at in (0, -1)]
    stretches = list(_stretches(axis, section, -more[0], length + more[1], []))
    out = np.zeros(len(stretches), CUTTER)
    out["piece"] = _pieces([piece for piece, _, _ in stretches])
    out["from_start"] = [a - low for _, a, _ in stretches]
    out["to_end"] = [high - b for _, _, b in stretches]
    out["high"] = out["piece"]["length"]
    out["low"][0], out["high"][-1] = -FAR, FAR
    rounded = bool(out["piece"]["is_rounded"].any())
    out["steepest"], out["jump"], out["bend"], out["skew"], out["far"] = (
        _rounded_steepness(out["piece"]) if rounded else (*_steepness(out["piece"]), 0.0, FAR)
    )
    out["count"] = np.arange(len(out), 0, -1)
    return _kept(out)


def _kept(records: Records) -> Records:
    """Return the same, read-only."""
    records.setflags(write=False)
    return records


UNCUT: Final = _kept(np.zeros(0, CUTTER))


def _steepness(pieces: Records) -> tuple[float, float, float]:
    """Return how steep a cutter's level is, on the safe side (see `cutters`).

    Returns:
        How much it changes per mm at most; how much of that is along the axis; what turn and taper
        add to its second derivatives.
    """
    oval = pieces["is_oval"]
    kappa, widest, slope, turn, twist = (
        float(values.max())
        for values in (
            pieces["curvature"],
            pieces["widest"],
            pieces["steepest"],
            np.where(oval, pieces["turn"], 0.0),
            np.where(oval, pieces["turn_rate"], 0.0),
        )
    )
    thinnest = float((pieces["b"] + np.minimum(0.0, pieces["length"] * pieces["b_slope"])).min())
    room = max(1.0 - 1.2 * kappa * widest, 0.05)
    flat = widest / thinnest
    along = (2 * slope * flat + turn * widest) / room
    mixed = (kappa + turn * (1 + 2 * flat**2) + 5 * slope * flat / thinnest) / room
    second = (4 * mixed * (along + kappa * widest) + twist * widest * flat) / room
    return math.hypot(1.0, along), along, 2 * mixed + second


def _rounded_steepness(pieces: Records) -> tuple[float, float, float, float, float]:
    """Return the same of a cutter whose sections are rounded outlines; names as in `cutters`.

    Returns:
        `CutterPiece.steepest`, `jump`, `bend`, `skew` and `far`.
    """
    kappa, widest, slope, turn, twist = (
        float(pieces[name].max())
        for name in ("curvature", "widest", "steepest", "turn", "turn_rate")
    )
    sigma = slope + math.sqrt(2.0) * float(np.abs(pieces["round_slopes"]).max())
    if sigma == kappa == 0.0:
        return 1.0, 0.0, 0.0, 0.0, FAR
    far = 1.5 * widest if kappa == 0.0 else min(1.5 * widest, 0.5 / kappa)
    wide = max(far, widest)
    room = max(1.0 - kappa * wide, 0.05)
    rate = sigma + turn * wide
    skew = rate / room
    most = math.hypot(1.0, skew)
    mixed = (turn * (1.0 + most) + rate * kappa / room) / room
    straight = (twist + turn * turn) * wide / room**2 + turn * most / room
    return most, 2.0 * skew, 2.0 * mixed + straight, skew, far


def _stretches(
    axis: Centreline, section: Section, low: float, high: float, marks: list[float]
) -> Iterator[tuple[_Row, float, float]]:
    """Yield a tube's pieces between two places, divided at stations and marks.

    Each as the fields of a `records.Piece`, with the place of its start and end along the axis [mm].
    """
    stations = sorted({*section.s, *_crossings(section), *marks})
    ends = [
        (float(at), float(at) + piece.length, piece)
        for at, piece in zip(axis.starts, axis.pieces, strict=False)
    ]
    # A line continues the axis beyond an end.
    for past, s, first in (
        (low < -1e-9, 0.0, True),
        (high > axis.length + 1e-9, axis.length, False),
    ):
        at, there, piece = ends[0 if first else -1]
        if past and isinstance(piece, Line):
            ends[0 if first else -1] = (low, there, piece) if first else (at, high, piece)
        elif past:
            line = Line(
                point(axis.at(s if not first else low)), point(axis.at(s if first else high))
            )
            ends = [(low, s, line), *ends] if first else [*ends, (s, high, line)]
    for at, there, piece in ends:
        start, end = max(at, low), min(there, high)
        # Where the piece itself starts: a line that is continued backwards still starts at 0.
        origin = max(at, 0.0) if isinstance(piece, Line) and piece in axis.pieces else at
        cuts = [start, *(s for s in stations if start + 1e-9 < s < end - 1e-9), end]
        for a, b in pairwise(cuts):
            if b - a > 1e-9:
                yield _piece(axis, piece, origin, section, a, b), a, b


def _merged(ranges: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return ranges in order, overlapping ones joined."""
    joined: list[tuple[float, float]] = []
    for low, high in sorted(ranges):
        if joined and low <= joined[-1][1] + 1e-6:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return joined


def _between(tube: Tubular, cutter: Cutter) -> tuple[float, float] | None:
    """Return the range along a tube that a cutter cuts into [mm], or None.

    From samples, widened by two steps at each end.
    """
    if cutter.between is not None:
        return cutter.between
    low, high = tube.span
    along = np.linspace(low, high, 2 + int((high - low) / STEP))
    # Where the axes are further apart than both are wide, nothing is cut.
    half = sum(one.section.furthest for one in (tube, cutter))
    along = along[cutter.axis.approach(tube.axis.points(along))[1] <= half]
    s, turn = np.meshgrid(along, np.linspace(0.0, 2 * np.pi, AROUND, endpoint=False))
    centre, up, across = tube.axis.frames(s.ravel())
    y, x = tube.section.place(np.degrees(turn.ravel()), s.ravel())
    points = centre + y[:, None] * up
    points += x[:, None] * across
    inside = level(cutter, points)[0] < 0
    if not inside.any():
        return None
    places = s.ravel()[inside]
    return float(places.min()) - 2 * STEP, float(places.max()) + 2 * STEP


@lru_cache(maxsize=1024)
def numbers_of(shape: Shape) -> Records:
    """Return a shape as an array of one `records.ShapeNumbers`; cached and read-only."""
    out = np.zeros(1, SHAPE)
    match shape:
        case Torus(centre, radius):
            out["kind"], out["ring"], out["radius"] = TORUS_KIND, centre, radius
            out["inradius"] = radius
        case Box(core, rounding):
            out["kind"], out["half"], out["radius"] = BOX_KIND, core, rounding
            out["inradius"] = min(core) + rounding
        case Capsule(length, radius, end):
            out["kind"], out["length"], out["radius"] = CAPSULE_KIND, length, radius
            out["end_radius"], out["inradius"] = end, max(radius, end)
        case Prism(profile, half):
            out["kind"], out["length"] = PRISM_KIND, half
            out["inradius"] = min(_inradius(profile), half)
        case Ring(profile) | Disc(profile):
            out["kind"] = RING_KIND if isinstance(shape, Ring) else DISC_KIND
            out["inradius"] = _inradius(profile)
    return _kept(out)


def _inradius(profile: Profile) -> float:
    """Return the radius of the largest circle in a convex polygon, from above to 1e-9 of it.

    It touches three edges n·x = c: of all circles that touch three the largest that is in no edge's
    way. With r = min (c - n·x), which is concave, any three edges give an upper bound of r, where a
    positive sum of their normals is 0; the least of these bounds is r.

    Args:
        profile: the polygon's corners, counter-clockwise.
    """
    # In plain numbers: a profile has few corners, too few for numpy to be quick.
    lines: list[tuple[float, float, float]] = []
    for (x, y), (next_x, next_y) in zip(profile, (*profile[1:], profile[0]), strict=True):
        length = math.hypot(next_x - x, next_y - y)
        if length > 1e-12:
            nx, ny = (next_y - y) / length, (x - next_x) / length
            lines.append((nx, ny, nx * x + ny * y))
    least = math.inf
    for (ax, ay, a), (bx, by, b) in combinations(lines, 2):
        if ax * bx + ay * by < -1 + 1e-12:  # parallel: half their distance
            least = min(least, (a + b) / 2)
    for (ax, ay, a), (bx, by, b), (cx, cy, c) in combinations(lines, 3):
        weights = bx * cy - by * cx, cx * ay - cy * ax, ax * by - ay * bx
        if min(weights) > 1e-12 or max(weights) < -1e-12:
            bound = weights[0] * a + weights[1] * b + weights[2] * c
            least = min(least, bound / sum(weights))
    return least * (1 + 1e-9)


@lru_cache(maxsize=1024)
def edges_of(shape: Shape) -> Records:
    """Return the `records.Edge`s of a profile; of a ring's or disc's without those at negative radius.

    Cached and read-only; no edges for other shapes.
    """
    if not isinstance(shape, Ring | Disc | Prism):
        return _kept(np.zeros(0, EDGE))
    corners = np.array(shape.profile)
    along = np.roll(corners, -1, axis=0) - corners
    length = np.linalg.norm(along, axis=1)
    edges = np.zeros(len(corners), EDGE)
    edges["radius"], edges["y"] = corners.T
    edges["normal_radius"], edges["normal_y"] = along[:, 1] / length, -along[:, 0] / length
    edges["length"] = length
    if isinstance(shape, Prism):
        return _kept(edges)
    return _kept(edges[(corners[:, 0] > 1e-12) | ((corners + along)[:, 0] > 1e-12)])


def _crossings(section: Section) -> list[float]:
    """Return the places where height and width are equal and the larger one changes [mm]."""
    more = np.subtract(section.width, section.height)
    return [
        float(section.s[i] + (section.s[i + 1] - section.s[i]) * more[i] / (more[i] - more[i + 1]))
        for i in range(len(more) - 1)
        if more[i] * more[i + 1] < 0
    ]


def _piece(
    axis: Centreline, piece: Line | Arc, low: float, section: Section, a: float, b: float
) -> _Row:
    """Return a piece's part from a to b along the axis as the fields of a `records.Piece`.

    The piece of the axis starts at `low` [mm].
    """
    length = b - a
    height, width = (half.tolist() for half in section.radii_at(np.array([a, b])))
    oval = bool(section.rounds) or any(
        abs(h - w) > 1e-9 for h, w in zip(height, width, strict=True)
    )
    wide = sum(width) >= sum(height)
    large, small = (width, height) if wide else (height, width)
    if not oval:
        small = large
    slopes = [(half[1] - half[0]) / length for half in (large, small)]
    row: _Row = {"length": length, "is_oval": oval, "widest": max(large)}
    row |= {"a": large[0], "a_slope": slopes[0], "b": small[0], "b_slope": slopes[1]}
    row["steepest"] = max(map(abs, slopes))
    if isinstance(piece, Line):
        direction = unit(vector(piece.end) - vector(piece.start))
        up, across = axis.frame(0.0) if axis.is_straight else _square_to(direction, *axis.held)
        row["origin"] = vector(piece.start) + (a - low) * direction
        row["tangent"] = direction
        row["major"] = across if wide else up
    else:
        centre, outward, onward = arc_axes(piece)
        phi = (a - low) / piece.radius
        first = math.cos(phi) * outward + math.sin(phi) * onward
        tangent = -math.sin(phi) * outward + math.cos(phi) * onward
        row |= {"curvature": 1 / piece.radius, "radius": piece.radius, "origin": centre}
        row |= {"out": first, "tangent": tangent, "turn": 1 / piece.radius}
        row["held"] = cross(outward, onward)  # normal of the bend: the frame does not twist
        if oval:
            held, row["held"] = axis.held
            row["is_across"] = (held == "width") != wide
            steepest = _steepest(
                float(first @ row["held"]), float(tangent @ row["held"]), length / piece.radius
            )
            row["turn"], row["turn_rate"] = _turning(1 / piece.radius, steepest)
    if section.rounds:
        _with_corners(row, axis, section, (a, b))
    return row


def _square_to(tangent: Vector, held: str, way: Vector) -> tuple[Vector, Vector]:
    """Return the directions of a section's height and width, as `Centreline.frames` does.

    Args:
        tangent: of the axis, (3,) unit.
        held: as `Centreline.held`.
        way: as `Centreline.held`, (3,) unit.
    """
    square = unit(way - float(tangent @ way) * tangent)
    return (
        (square, cross(square, tangent)) if held == "height" else (cross(tangent, square), square)
    )


def _with_corners(row: _Row, axis: Centreline, section: Section, ends: tuple[float, float]) -> None:
    """Write what a piece of rounded sections has more: its corners, and larger bounds.

    Args:
        row: the piece, with all else written.
        axis: the tube's.
        section: the tube's.
        ends: where along the axis the piece begins and ends [mm].
    """
    row["is_rounded"] = True
    first, last = section.rounds_at(np.array(ends))
    # Radii go around as (+up +across, -up +across, -up -across, +up -across); the piece's M is one of
    # these directions, either way, and N = T × M the other.
    lengthwise, (up, across) = axis.tangent(sum(ends) / 2), axis.frame(sum(ends) / 2)
    if "curvature" in row:
        flat = row["held"] - float(row["held"] @ lengthwise) * lengthwise
        major = np.cross(lengthwise, flat) if row["is_across"] else flat
    else:
        major = row["major"]
    minor = np.cross(lengthwise, major)
    order = [
        _CORNERS[
            float((m * major + n * minor) @ up) > 0, float((m * major + n * minor) @ across) > 0
        ]
        for m, n in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    ]
    row["rounds"] = first[order]
    row["round_slopes"] = (last[order] - first[order]) / row["length"]
    tapers = bool(row["a_slope"] or row["b_slope"] or row["round_slopes"].any())
    a, b = (max(row[key], row[key] + row["length"] * row[f"{key}_slope"]) for key in ("a", "b"))
    row["widest"] = math.hypot(a, b) if tapers else section.furthest
    row["steepest"] = math.hypot(row["a_slope"], row["b_slope"])


_CORNERS: Final = {(True, True): 0, (False, True): 1, (False, False): 2, (True, False): 3}
"""Index of a corner's radius by whether it lies above, and where the width counts positive."""


def _steepest(out: float, on: float, turn: float) -> float:
    """Return the largest |cos| between a held direction and an arc's tangent.

    Args:
        out: its component along the radius at the arc's start.
        on: its component along the tangent there; at angle t the cosine is on cos t - out sin t.
        turn: angle of the arc [radians].
    """
    size = math.hypot(out, on)
    peak = math.atan2(-out, on)  # there and every half turn later
    if size == 0.0 or math.floor((turn - peak) / math.pi) >= math.ceil(-peak / math.pi):
        return size
    return max(abs(on), abs(on * math.cos(turn) - out * math.sin(turn)))


def _turning(kappa: float, steepest: float) -> tuple[float, float]:
    """Return bounds of |w| and |w'| over an arc with an oval section.

    The section's frame (T, F, G), F the held direction e made square to the tangent T, turns at the
    angular velocity w = kappa·binormal - kappa (t/√(1-t²)) (K·G)·T, where t = e·T and K is the unit
    vector to the centre of the bend. From T' = kappa K, K' = -kappa T, t' = kappa √(1-t²) K·F, and
    |K·F K·G| <= 1/2:

        |w| <= kappa / √(1-t²),  |w'| <= kappa² √(((1+t²) / (2 (1-t²)))² + t²/(1-t²)).

    Args:
        kappa: curvature [1/mm].
        steepest: largest |t|.
    """
    t2 = min(steepest**2, 1 - 1e-12)
    turn = kappa / math.sqrt(1 - t2)
    return turn, kappa**2 * math.hypot((1 + t2) / (2 * (1 - t2)), math.sqrt(t2 / (1 - t2)))
