"""Tubes that something cuts: only metal counts, and all of it does.

What is metal is told by `tubes.mitre.level` at sampled points of the tube, which shares nothing with
the kernels.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.bodies.shapes import Cutter, PlacedShape, Tubular, box
from frame3d.clearance.certify.cutters import cut
from frame3d.clearance.certify.distance import Gap, nearest, prepare
from frame3d.clearance.certify.positions import axis
from frame3d.clearance.certify.records import FRAME, WORK
from frame3d.geometry.centreline import Arc, Centreline, Line
from frame3d.geometry.section import Section
from frame3d.geometry.vector import point
from frame3d.tubes.cuts.mitre import level, mitre_curve
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_pair, a_tube, direction, mounts
from tests.sampling import diagonal

Array = NDArray[np.float64]


def a_cut_pair(
    kind: str, shape: str, random: np.random.Generator, spread: float = 90, count: int = 1
) -> tuple[Tubular, PlacedShape]:
    """A tube whose start, end or middle lies in another, or in two, and a shape near the cut."""
    body, placed = a_pair(kind, shape, random, spread=spread)
    s = float(random.choice([0.0, 1.0, random.uniform()])) * body.axis.length
    cutters = []
    for _ in range(count):
        other = a_tube(str(random.choice(TUBES)), random)
        there = float(random.uniform(0.2, 0.8)) * other.axis.length
        shift = body.axis.at(s) + direction(random) * random.uniform(0, 4) - other.axis.at(there)
        runs_on = (bool(random.random() < 0.5), True)
        cutters.append(Cutter(_moved(other, shift), other.section, runs_on))
    near = body.axis.at(s) + direction(random) * random.uniform(20, spread)
    far = np.asarray(placed.origin) - near
    origin = near + far / max(1.0, float(np.linalg.norm(far)) / 60)
    placed = replace(placed, origin=(float(origin[0]), float(origin[1]), float(origin[2])))
    return replace(body, cutters=tuple(cutters)), placed


def _moved(tube: Tubular, shift: Array) -> Centreline:
    """A tube's axis elsewhere."""
    pieces: list[Line | Arc] = []
    for piece in tube.axis.pieces:
        start, end = (point(np.asarray(p) + shift) for p in (piece.start, piece.end))
        if isinstance(piece, Arc):
            centre = point(np.asarray(piece.centre) + shift)
            pieces.append(replace(piece, start=start, end=end, centre=centre))
        else:
            pieces.append(Line(start, end))
    return Centreline(tuple(pieces))


def metal(tube: Tubular, points: Array, slack: float = 0.0) -> NDArray[np.bool_]:
    """Which points of a tube lie in no cutter."""
    keep = np.ones(len(points), dtype=bool)
    for cutter in tube.cutters:
        outside, s = level(cutter, points)
        past = np.maximum(
            -np.inf if cutter.runs_on[0] else -s,
            -np.inf if cutter.runs_on[1] else s - cutter.axis.length,
        )
        keep &= np.maximum(outside, past) >= slack
    return keep


@pytest.mark.parametrize(("tube", "shape"), diagonal(3, TUBES, SHAPES))
def test_no_metal_is_nearer_and_what_is_nearest_is_metal(tube: str, shape: str) -> None:
    """The certificate over sampled metal; the place found lies outside every cutter, on the tube."""
    random = np.random.default_rng([41, TUBES.index(tube), SHAPES.index(shape)])
    for trial in range(6):
        body, placed = a_cut_pair(tube, shape, random, count=1 if trial < 4 else 2)
        ranges = []
        if trial % 2:
            (of_tube, of_shape), ranges = mounts(random)
            ranges = ranges[:1]
            body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
        gap = nearest(body, placed, ranges, tolerance=0.01)
        assert isinstance(gap, Gap)
        points = brute.skin(body, 1500, random)
        points = points[metal(body, points)]
        for _ in range(3):
            at = {r.name: float(random.uniform(r.low, r.high)) for r in ranges}
            least = brute.signed(placed.shape, brute.into(body, placed, Pose(**at), points)).min()
            assert least >= gap.gap - gap.error - 1e-9
        if gap.gap > 0:
            assert gap.error <= 0.0101
            # Both points at the pose, in the frame's axes: the tube's one back to where it is drawn.
            pose = Pose(**gap.at)
            there = np.asarray(gap.tube_point)[None]
            drawn = _back(body, pose, there)
            assert metal(body, drawn, slack=-1e-6).all()
            outside, s = level(body, drawn)
            assert outside[0] < 1e-6
            assert -1e-6 <= s[0] <= body.axis.length + 1e-6
            own = brute.signed(placed.shape, brute.into(body, placed, pose, drawn))
            assert own[0] == pytest.approx(gap.gap, abs=1e-6)


def _back(tube: Tubular, pose: Pose, points: Array) -> Array:
    motion = np.linalg.inv(matrix(tube.mount, pose))
    return np.asarray(points @ motion[:3, :3].T + motion[:3, 3])


@pytest.mark.parametrize("tube", TUBES)
def test_what_a_patch_loses_is_never_too_much(tube: str) -> None:
    """A patch is dropped only where all of it is inside; else the level stays below its own bound."""
    random = np.random.default_rng([42, TUBES.index(tube)])
    dropped = held = 0
    for _ in range(80):
        body, placed = a_cut_pair(tube, "box", random)
        pair = prepare(body, placed, ())
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
        levels, steps = [], []
        for _ in range(60):
            d = random.uniform(-1, 1, 3) * (h, size, size)
            if np.hypot(*(x + d[1:])) > 1:
                continue
            frame = np.zeros(1, FRAME)[0]
            axis(row, s + d[0], frame)
            u = (row["a"] + (s + d[0]) * row["a_slope"]) * (x[0] + d[1])
            v = (row["b"] + (s + d[0]) * row["b_slope"]) * (x[1] + d[2])
            there = frame["point"] + u * frame["major"]
            there += v * np.cross(frame["tangent"], frame["major"])
            drawn = (there @ np.array(placed.axes) + placed.origin)[None]
            cutter = body.cutters[0]
            outside, at = level(cutter, drawn)
            past = -at if not cutter.runs_on[0] else -np.inf
            levels.append(float(np.maximum(outside, past)[0]))
            steps.append(d)
        if not levels:
            continue
        if gone:
            dropped += 1
            assert max(levels) < 1e-9
        elif edge["holds"]:
            held += 1
            slopes = [edge[name] for name in ("along", "u", "v")]
            bound = edge["value"] + np.array(steps) @ slopes + edge["rest"]
            assert (np.array(levels) <= bound + 1e-9).all()
    assert dropped > 1
    assert held > 10


def test_the_corner_of_two_cuts_is_found_at_once() -> None:
    """Two bars cross a tube's end askew; nearest is where both their edges meet. By samples of both.

    A bound that knows of the nearest cutter only follows such a corner to boxes of the tolerance's size:
    1248 boxes for a down tube between shell and seat tube.
    """
    body = Tubular(
        "branch",
        Centreline((Line((0.0, 0.0, 0.0), (0.0, 0.0, 150.0)),)),
        Section.round(150.0, 38.0, 1.0),
        cutters=tuple(
            Cutter(
                Centreline((Line((-200.0, 0.0, low), (200.0, 0.0, high)),)),
                Section.round(float(np.hypot(400.0, high - low)), 44.0, 1.0),
            )
            for low, high in ((-50.0, 50.0), (50.0, -50.0))
        ),
    )
    ball = PlacedShape("ball", box(4.0, 4.0, 4.0, 1.9), (0.0, 60.0, -30.0))
    gap = nearest(body, ball, tolerance=1e-3)
    assert isinstance(gap, Gap)
    turn, s = np.meshgrid(np.linspace(0, np.pi, 4001), np.linspace(0.0, 40.0, 1601))
    points = brute.surface(body, s.ravel(), turn.ravel())
    points = points[metal(body, points)]
    least = brute.signed(ball.shape, points - np.asarray(ball.origin)).min()
    assert gap.gap - gap.error <= least + 1e-9
    assert gap.gap == pytest.approx(least, abs=0.03)
    assert gap.boxes < 600


@pytest.mark.parametrize("angle", [90.0, 60.0, 40.0])
@pytest.mark.parametrize("offset", [0.0, 4.0])
def test_a_mitred_tube_ends_at_its_mitre(angle: float, offset: float) -> None:
    """Seen from behind what it sits on, a tube is as far as its long point: closed form of the edge."""
    r, big = 9.0, 16.0
    z = mitre_curve(r, big, angle, offset, np.linspace(0.0, 360.0, 36001))
    lean = np.radians(angle)
    target = Cutter(
        Centreline(
            (
                Line(
                    (-200.0 * float(np.sin(lean)), offset, -200.0 * float(np.cos(lean))),
                    (200.0 * float(np.sin(lean)), offset, 200.0 * float(np.cos(lean))),
                ),
            )
        ),
        Section.round(400.0, 2 * big, 1.0),
    )
    body = Tubular(
        "branch",
        Centreline((Line((0.0, 0.0, -30.0), (0.0, 0.0, 120.0)),)),
        Section.round(150.0, 2 * r, 1.0),
        trimmed=(30.0 + float(z.min()), 0.0),
        cutters=(target,),
    )
    wall = PlacedShape("wall", box(400.0, 400.0, 10.0), (0.0, 0.0, -45.0))
    gap = nearest(body, wall, tolerance=1e-4)
    assert isinstance(gap, Gap)
    assert gap.gap == pytest.approx(z.min() + 40.0, abs=2e-4)
    # From the side: a place of the edge.
    side = PlacedShape("side", box(2.0, 2.0, 2.0), (-30.0, 0.0, float(z.min()) - 40.0))
    found = nearest(body, side, tolerance=1e-4)
    assert isinstance(found, Gap)
    turn = np.radians(np.linspace(0.0, 360.0, 36001))
    edge = np.stack((r * np.cos(turn), r * np.sin(turn), z), axis=1)
    assert found.gap == pytest.approx(
        brute.signed(side.shape, edge - np.asarray(side.origin)).min(), abs=1e-3
    )


def test_a_tube_may_be_shorter_or_longer_than_its_axis() -> None:
    """Without cutters, between its first and its last metal, by samples."""
    random = np.random.default_rng(44)
    for kind in TUBES:
        body, placed = a_pair(kind, "capsule", random, spread=220)
        by = (random.uniform(5, 40), random.uniform(-40, -5))
        gap = nearest(replace(body, trimmed=by), placed, tolerance=1e-3)
        assert isinstance(gap, Gap)
        s, turn = np.meshgrid(
            np.linspace(by[0], body.axis.length - by[1], 1000), np.linspace(0, 2 * np.pi, 121)
        )
        points = brute.surface(body, s.ravel(), turn.ravel())
        least = brute.signed(placed.shape, brute.into(body, placed, Pose(), points)).min()
        if least > 0.5:
            assert gap.gap - gap.error <= least + 1e-9
            assert gap.gap == pytest.approx(least, abs=0.6)
