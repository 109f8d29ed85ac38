"""Rectangular and D tubes that taper and bend: bounds over boxes, cut edges, certificates.

By samples of `Section.place` and `tubes.mitre.level`, which share nothing with the kernels.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.shapes import Cutter, PlacedShape, Tubular
from frame3d.clearance.certify.bounds import PATCH, evaluate
from frame3d.clearance.certify.cutters import cut
from frame3d.clearance.certify.distance import Gap, nearest, prepare
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.positions import axis
from frame3d.clearance.certify.records import FRAME, WORK
from frame3d.clearance.certify.rounded_sections import misses
from frame3d.clearance.certify.signed_distance import FAR
from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.centreline import Arc, Centreline, Line
from frame3d.geometry.rounded import Rounds
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point
from frame3d.tubes.cuts.mitre import level
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_pair, a_shape, a_tube, direction, mounts

KINDS = ("tapered", "bent", "bent and tapered")


def a_section(kind: str, length: float, random: np.random.Generator) -> Section:
    """Four corners, or a D, from start to end; of other sizes there, and halfway, where it tapers."""
    count = 3 if "tapered" in kind else 2
    height, width = random.uniform(14, 36, (2, count))
    if random.random() < 0.3:
        width = height * random.uniform(0.6, 1.0)
    corner = random.uniform(0.1, 0.9, (count, 4)) * np.minimum(height, width)[:, None] / 2
    if random.random() < 0.4:  # a D, its flat at either side
        height = np.maximum(height, 0.75 * width)
        full, turn = width / 2, int(random.integers(2)) * 2
        corner = np.repeat(random.uniform(0.1, 0.4, (count, 1)) * width[:, None] / 2, 4, axis=1)
        corner[:, [turn, (turn + 3) % 4]] = full[:, None]
    if "tapered" not in kind:
        height[1], width[1], corner[1] = height[0], width[0], corner[0]
    s = np.linspace(0.0, length, count)
    rounds: list[Rounds] = [(a, b, c, d) for a, b, c, d in corner.tolist()]
    wall = (0.0,) * count
    return Section(tuple(s), tuple(height), tuple(width), wall, tuple(rounds))


def a_rounded(kind: str, random: np.random.Generator) -> Tubular:
    """A rounded tube somewhere about the origin."""
    plain = a_tube(kind, random)
    return replace(plain, section=a_section(kind, plain.axis.length, random))


def a_rounded_pair(
    kind: str, shape: str, random: np.random.Generator, spread: float
) -> tuple[Tubular, PlacedShape]:
    """The same, and a shape near it."""
    plain, placed = a_pair(kind, shape, random, spread)
    return replace(plain, section=a_section(kind, plain.axis.length, random)), placed


def skin(tube: Tubular, count: int, random: np.random.Generator) -> Array:
    """Random points of the outside and of the flat ends: (n, 3)."""
    s = random.uniform(0.0, tube.axis.length, count)
    s[: count // 10], s[count // 10 : count // 5] = 0.0, tube.axis.length
    share = np.ones(count)
    share[: count // 5] = np.sqrt(random.uniform(0.0, 1.0, count // 5))
    y, x = tube.section.place(random.uniform(0.0, 360.0, count), s)
    centre, up, across = tube.axis.frames(s)
    return np.asarray(centre + (share * y)[:, None] * up + (share * x)[:, None] * across)


def inside(tube: Tubular, s: float, points: Array) -> Mask:
    """Which points of the section's plane at s lie in the section."""
    centre, up, across = tube.axis.frames(np.array([s]))
    d = points - centre
    at = np.full(len(d), s)
    return np.asarray(tube.section.level(d @ up[0], d @ across[0], at) <= 0.0)


@pytest.mark.parametrize("kind", KINDS)
def test_no_point_of_a_patch_is_below_its_bound(kind: str) -> None:
    """At random places, sizes and motions; patches that are left out hold no point of the tube."""
    random = np.random.default_rng([61, KINDS.index(kind)])
    tight, missed = [], 0
    for trial in range(120):
        shape = SHAPES[trial % len(SHAPES)]
        body, placed = a_rounded_pair(kind, shape, random, spread=120)
        ranges: list[Range] = []
        if trial % 3:
            (of_tube, of_shape), ranges = mounts(random)
            body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
        pair = prepare(body, placed, ranges)
        row = int(random.integers(len(pair.pieces)))
        piece, n = pair.pieces[row], 1 + len(pair.motion.low)
        low = np.concatenate(([0.0], pair.motion.low))
        high = np.concatenate(([piece["length"]], pair.motion.high))
        half = (high - low) / 2 * random.choice([1.0, 0.2, 0.03, 0.003])
        middle = low + half + random.uniform(0, 1, n) * (high - low - 2 * half)
        across = random.choice([1.0, 0.25, 0.03], 2)
        place = random.uniform(-1, 1, 2)
        if trial % 2:  # at a corner
            place = np.sign(place) * (1 - random.uniform(0, 0.3, 2))
        m, h = np.concatenate((middle, place)), np.concatenate((half, across))
        work = np.zeros(1, WORK)[0]
        work["centre"][: n + 2], work["half"][: n + 2] = m, h
        left_out = misses(piece, m[0], h[0], *m[n:], *h[n:])
        _, bound = evaluate(
            piece, PATCH, False, pair.numbers[0], pair.edges, pair.motion.steps, pair.motion.knots,
            pair.cutters, n, 0.01, FAR, work,
        )  # fmt: skip
        missed += left_out
        least = np.inf
        for _ in range(8):
            q = m[:n] + h[:n] * random.uniform(-1, 1, n)
            q = np.where(random.random(n) < 0.3, m[:n] + np.sign(q - m[:n]) * h[:n], q)
            frame = np.zeros(1, FRAME)[0]
            axis(piece, float(q[0]), frame)
            a, b = (piece[x] + q[0] * piece[f"{x}_slope"] for x in ("a", "b"))
            u, v = (place + across * random.uniform(-1, 1, (60, 2))).T
            points = frame["point"] + np.outer(a * u, frame["major"])
            points += np.outer(b * v, np.cross(frame["tangent"], frame["major"]))
            drawn = points @ np.array(placed.axes) + placed.origin
            s = float(pair.pieces["length"][:row].sum() + q[0])
            drawn = drawn[inside(body, s, drawn)]
            if not len(drawn):
                continue
            assert not left_out
            pose = Pose(**pair.motion.pose(q[1:n]))
            values = brute.signed(placed.shape, brute.into(body, placed, pose, drawn))
            least = min(least, float(values.min()))
        if np.isfinite(least):
            assert least >= bound - 1e-9
            tight.append(least - bound)
    assert min(tight) < 0.1
    assert missed > 1


@pytest.mark.parametrize("kind", KINDS)
def test_what_a_cut_patch_loses_is_never_too_much(kind: str) -> None:
    """A patch is dropped only where all of it is in the cutter; else the level keeps to its bound."""
    random = np.random.default_rng([62, KINDS.index(kind)])
    dropped = held = 0
    for _ in range(150):
        body = a_rounded(str(random.choice(KINDS)), random)
        body = body if random.random() < 0.5 else a_tube(str(random.choice(TUBES)), random)
        body, cutter = with_cutter(body, a_rounded(kind, random), random)
        box_ = PlacedShape("box", a_shape("box", random), (0.0, 0.0, 0.0))
        pair = prepare(body, box_, ())
        flagged = np.flatnonzero(np.diff(pair.pieces["cutters"])[:, 0])
        if not len(flagged):
            continue
        row = pair.pieces[int(random.choice(flagged))]
        size = float(random.choice([0.3, 0.1, 0.03]))
        length = row["length"]
        h = min(length / 2, 20 * size)
        s = float(random.uniform(h, length - h)) if length > 2 * h else length / 2
        turn = random.uniform(0, 2 * np.pi)
        x = np.array([np.cos(turn), np.sin(turn)]) * random.choice([1.0, 0.7])
        work = np.zeros(1, WORK)[0]
        axis(row, s, work["frame"])
        edge = work["edges"][0]
        a, b = (row[name] + s * row[f"{name}_slope"] for name in ("a", "b"))
        gone = cut(
            row, pair.cutters, work["frame"], a, b, *x, size, size, h,
            work["cutter_frame"], work["level"], work["edges"],
        )  # fmt: skip
        d = random.uniform(-1, 1, (60, 3)) * (h, size, size)
        points = []
        for along, u, v in d + np.array([s, *x]):
            frame = np.zeros(1, FRAME)[0]
            axis(row, along, frame)
            wide, tall = (row[n] + along * row[f"{n}_slope"] for n in ("a", "b"))
            minor = np.cross(frame["tangent"], frame["major"])
            points.append(frame["point"] + wide * u * frame["major"] + tall * v * minor)
        outside, at = level(cutter, np.array(points))
        levels = outside if cutter.runs_on[0] else np.maximum(outside, -at)
        if gone:
            dropped += 1
            # Of a patch that reaches over the rim only what is in the section is left out.
            assert levels[np.hypot(*(d[:, 1:] + x).T) <= 1.0].max(initial=-1.0) < 1e-9
        elif edge["holds"]:
            held += 1
            bound = edge["value"] + d @ [edge[n] for n in ("along", "u", "v")] + edge["rest"]
            assert (levels <= bound + 1e-9).all()
    assert dropped > 1
    assert held > 10


def with_cutter(
    body: Tubular, other: Tubular, random: np.random.Generator
) -> tuple[Tubular, Cutter]:
    """A tube that another cuts at an end or between, and what cuts it."""
    s = float(random.choice([0.0, 1.0, random.uniform()])) * body.axis.length
    there = float(random.uniform(0.2, 0.8)) * other.axis.length
    shift = body.axis.at(s) + direction(random) * random.uniform(0, 4) - other.axis.at(there)
    cutter = Cutter(_moved(other.axis, shift), other.section, (bool(random.random() < 0.5), True))
    return replace(body, cutters=(cutter,)), cutter


def _moved(line: Centreline, shift: Array) -> Centreline:
    pieces: list[Line | Arc] = []
    for piece in line.pieces:
        start, end = (point(np.asarray(p) + shift) for p in (piece.start, piece.end))
        if isinstance(piece, Arc):
            centre = point(np.asarray(piece.centre) + shift)
            pieces.append(replace(piece, start=start, end=end, centre=centre))
        else:
            pieces.append(Line(start, end))
    return Centreline(tuple(pieces))


def metal(tube: Tubular, points: Array) -> Mask:
    """Which points of a tube lie in no cutter."""
    keep = np.ones(len(points), dtype=bool)
    for cutter in tube.cutters:
        outside, s = level(cutter, points)
        past = -np.inf if cutter.runs_on[0] else -s
        keep &= np.maximum(outside, past) >= 0.0
    return keep


@pytest.mark.parametrize("kind", KINDS)
def test_no_metal_is_nearer_than_the_certificate_says(kind: str) -> None:
    """With motions, and cut by another such tube; the place found is one of the metal."""
    random = np.random.default_rng([63, KINDS.index(kind)])
    apart = 0
    for trial in range(18):
        body, placed = a_rounded_pair(kind, SHAPES[trial % len(SHAPES)], random, spread=150)
        ranges: list[Range] = []
        if trial % 3 == 1:
            (of_tube, of_shape), ranges = mounts(random)
            ranges = ranges[:1]
            body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
        if trial % 3 == 2:
            body, _ = with_cutter(body, a_rounded(str(random.choice(KINDS)), random), random)
        gap = nearest(body, placed, ranges, tolerance=0.01)
        assert isinstance(gap, Gap)
        points = skin(body, 3000, random)
        points = points[metal(body, points)]
        for _ in range(3):
            pose = Pose(**{r.name: float(random.uniform(r.low, r.high)) for r in ranges})
            least = brute.signed(placed.shape, brute.into(body, placed, pose, points)).min()
            assert least >= gap.gap - gap.error - 1e-9
        if gap.gap > 0:
            apart += 1
            assert gap.error <= 0.0101
            assert gap.boxes < 40_000
    assert apart > 4
