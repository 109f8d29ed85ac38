"""Tubes, cutters and shapes as records for the compiled search (see `records`)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from typing import Final

import numpy as np

from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Cutter,
    Disc,
    Prism,
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
from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc, Centreline, Line, arc_axes
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point, unit, vector
from frame3d.tubes.cuts.mitre import level

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
        (range_, _cutter(cutter))
        for range_, (cutter, _) in zip(ranges, found, strict=True)
        if range_[0] < range_[1]
    ]
    cuts = _merged([range_ for range_, _ in cutters])
    marks = [x for cut in cuts for x in cut]
    made: list[Records] = []
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
    return _kept(end_to_end(made)), _kept(end_to_end(taken))


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
    out["major"] = [tube.axis.frame(0.0)[1] for tube in tubes]
    out["widest"], out["steepest"] = np.maximum(first, last), np.abs(slope)
    flat = np.array([tube.flat for tube in tubes])
    out["before"], out["after"] = np.where(flat, 0.0, FAR).T
    return _kept(out)


def _cutter(cutter: Cutter) -> Records:
    """Return a cutter as `records.CutterPiece`s."""
    axis, section, length = cutter.axis, cutter.section, cutter.axis.length
    low, high = (-FAR if cutter.runs_on[0] else 0.0), (FAR if cutter.runs_on[1] else length)
    # Where an end is a bend, a line of 1 mm continues it.
    more = [1.0 if isinstance(axis.pieces[at], Arc) else 0.0 for at in (0, -1)]
    stretches = list(_stretches(axis, section, -more[0], length + more[1], []))
    out = np.zeros(len(stretches), CUTTER)
    out["piece"] = end_to_end([piece for piece, _, _ in stretches])
    out["from_start"] = [a - low for _, a, _ in stretches]
    out["to_end"] = [high - b for _, _, b in stretches]
    out["high"] = out["piece"]["length"]
    out["low"][0], out["high"][-1] = -FAR, FAR
    out["steepest"], out["jump"], out["bend"] = _steepness(out["piece"])
    out["count"] = np.arange(len(out), 0, -1)
    return out


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


def _stretches(
    axis: Centreline, section: Section, low: float, high: float, marks: list[float]
) -> Iterator[tuple[Records, float, float]]:
    """Yield a tube's pieces between two places, divided at stations and marks.

    Each as an array of one `records.Piece`, with the place of its start and end along the axis [mm].
    """
    stations = np.union1d(np.union1d(section.s, _crossings(section)), marks)
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
        cuts = [start, *(float(s) for s in stations if start + 1e-9 < s < end - 1e-9), end]
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
            out["inradius"] = min(_inradius(np.array(profile)), half)
        case Ring(profile) | Disc(profile):
            out["kind"] = RING_KIND if isinstance(shape, Ring) else DISC_KIND
            out["inradius"] = _inradius(np.array(profile))
    return _kept(out)


def _inradius(corners: Array) -> float:
    """Return the radius of the largest circle in a convex polygon, from above to 1e-9 of it.

    It touches three edges n·x = c: of all circles that touch three the largest that is in no edge's
    way. With r = min (c - n·x), which is concave, any three edges give an upper bound of r, where a
    positive sum of their normals is 0; the least of these bounds is r.

    Args:
        corners: (n, 2) float, counter-clockwise.
    """
    along = np.roll(corners, -1, axis=0) - corners
    length = np.linalg.norm(along, axis=1)
    keep = length > 1e-12
    normals = np.column_stack((along[keep, 1], -along[keep, 0])) / length[keep, None]
    offsets = (normals * corners[keep]).sum(axis=1)
    least = math.inf
    for i, j in combinations(range(len(normals)), 2):
        cross = float(normals[i, 0] * normals[j, 1] - normals[i, 1] * normals[j, 0])
        if normals[i] @ normals[j] < -1 + 1e-12:  # parallel: half their distance
            least = min(least, float(offsets[i] + offsets[j]) / 2)
        for k in range(j + 1, len(normals)):
            weights = np.array(
                [
                    normals[j, 0] * normals[k, 1] - normals[j, 1] * normals[k, 0],
                    normals[k, 0] * normals[i, 1] - normals[k, 1] * normals[i, 0],
                    cross,
                ]
            )
            if (weights > 1e-12).all() or (weights < -1e-12).all():
                bound = weights @ offsets[[i, j, k]] / weights.sum()
                least = min(least, float(bound))
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
) -> Records:
    """Return a piece's part from a to b along the axis as an array of one `records.Piece`.

    The piece of the axis starts at `low` [mm].
    """
    out = np.zeros(1, PIECE)
    row = out[0]
    row["length"] = length = b - a
    height, width = section.radii_at(np.array([a, b]))
    oval = bool(np.abs(height - width).max() > 1e-9)
    wide = bool(width.sum() >= height.sum())
    large, small = (width, height) if wide else (height, width)
    if not oval:
        small = large
    row["a"], row["a_slope"] = large[0], (large[1] - large[0]) / length
    row["b"], row["b_slope"] = small[0], (small[1] - small[0]) / length
    row["is_oval"] = oval
    turn = bend = 0.0
    if isinstance(piece, Line):
        direction = unit(vector(piece.end) - vector(piece.start))
        _, up, across = axis.frames(np.array([(a + b) / 2]))
        row["origin"] = vector(piece.start) + (a - low) * direction
        row["tangent"] = direction
        row["major"] = across[0] if wide else up[0]
    else:
        centre, outward, onward = arc_axes(piece)
        phi = (a - low) / piece.radius
        row["curvature"], row["radius"] = 1 / piece.radius, piece.radius
        row["origin"] = centre
        row["out"] = first = np.cos(phi) * outward + np.sin(phi) * onward
        row["tangent"] = tangent = -np.sin(phi) * outward + np.cos(phi) * onward
        turn = 1 / piece.radius
        if oval:
            held, row["held"] = axis.held
            row["is_across"] = (held == "width") != wide
            steepest = _steepest(
                float(first @ row["held"]), float(tangent @ row["held"]), length / piece.radius
            )
            turn, bend = _turning(1 / piece.radius, steepest)
        else:
            row["held"] = np.cross(outward, onward)  # normal of the bend: the frame does not twist
    row["widest"] = max(large)
    if section.rounds:
        if row["curvature"] or row["a_slope"] or row["b_slope"]:
            raise ValueError("a rounded section is straight and the same all along")
        row["is_rounded"], row["is_oval"] = True, True
        row["widest"] = section.furthest
        r0, r1, r2, r3 = section.rounds[0]
        # The second direction is T × M: of a wide section up, of an upright one against the width.
        row["rounds"] = (r0, r3, r2, r1) if wide else (r3, r2, r1, r0)
    row["steepest"] = max(abs(row["a_slope"]), abs(row["b_slope"]))
    row["turn"], row["turn_rate"] = turn, bend
    return out


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
