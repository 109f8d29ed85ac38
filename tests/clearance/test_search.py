"""The kernels' parts one by one: signed distances, their planes, and the bound over any box."""

from __future__ import annotations

import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose
from frame3d.bodies.shapes import RING, TORUS, capsule, torus
from frame3d.clearance.certify import compiled
from frame3d.clearance.certify.bounds import BALLS, PATCH, SECTION, evaluate
from frame3d.clearance.certify.distance import Gap, Pair, nearest, prepare
from frame3d.clearance.certify.positions import axis, move
from frame3d.clearance.certify.records import FRAME, WORK
from frame3d.clearance.certify.search_input import edges_of, numbers_of
from frame3d.clearance.certify.signed_distance import signed
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_pair, a_shape, mounts

PACKAGE = Path(compiled.__file__).parents[2]


@pytest.mark.parametrize("kind", SHAPES)
def test_signed_distances_are_those_written_anew(kind: str) -> None:
    random = np.random.default_rng(SHAPES.index(kind))
    for _ in range(10):
        shape = a_shape(kind, random)
        points = random.normal(size=(300, 3)) * random.choice([5, 40, 200])
        points[:5, [0, 2]] = 0.0  # on the axis
        ours = [signed(numbers_of(shape)[0], edges_of(shape), *p)[0] for p in points]
        assert ours == pytest.approx(brute.signed(shape, points), abs=1e-9)


@pytest.mark.parametrize("kind", SHAPES)
def test_the_plane_at_any_point_lies_below_the_distance(kind: str) -> None:
    """For rings where the distance falls toward the rim, below it less what the bend of the ring costs."""
    random = np.random.default_rng([1, SHAPES.index(kind)])
    for _ in range(10):
        shape = a_shape(kind, random)
        numbers, edges = numbers_of(shape)[0], edges_of(shape)
        for x in random.normal(size=(30, 3)) * random.choice([5, 40, 200]):
            d, *gradient, far, fall, _ = signed(numbers, edges, *x)
            g = np.array(gradient)
            assert np.linalg.norm(g) == pytest.approx(1.0, abs=1e-9)
            others = x + random.normal(size=(50, 3)) * random.choice([0.1, 5, 80])
            plane = d + (others - x) @ g
            if fall > 0:
                assert shape.kind in (RING, TORUS)
                u = np.array([x[0], 0.0, x[2]]) / far
                along, aside = others @ u, others @ np.array([-u[2], 0.0, u[0]])
                others, plane = others[along > 0], plane[along > 0]
                plane -= fall * aside[along > 0] ** 2 / (2 * along[along > 0])
            assert (brute.signed(shape, others) >= plane - 1e-8).all()


def box_in(pair: Pair, random: np.random.Generator) -> tuple[int, np.ndarray, np.ndarray]:
    """A piece and the centre and half widths of a box within its ranges."""
    row = int(random.integers(len(pair.pieces)))
    low = np.concatenate(([0.0], pair.motion.low))
    high = np.concatenate(([pair.pieces[row]["length"]], pair.motion.high))
    size = random.choice([1.0, 0.2, 0.03, 0.003])
    half = (high - low) / 2 * size
    centre = low + half + random.uniform(0, 1, len(low)) * (high - low - 2 * half)
    across = random.choice([1.0, 0.25, 0.03], 2)
    place = random.uniform(-1, 1, 2) * 0.7
    return row, np.concatenate((centre, place)), np.concatenate((half, across))


@pytest.mark.parametrize("tube", TUBES)
@pytest.mark.parametrize("shape", SHAPES)
def test_no_point_of_a_box_is_below_its_bound(tube: str, shape: str) -> None:
    """Whole sections, patches of them, and balls, at random places, sizes and motions."""
    random = np.random.default_rng([2, TUBES.index(tube), SHAPES.index(shape)])
    tight = []
    for trial in range(18):
        (of_tube, of_shape), ranges = mounts(random)
        body, placed = a_pair(tube, shape, random, spread=250)
        if trial % 3 == 0:
            ranges = []
        else:
            body, placed = replace(body, mount=of_tube), replace(placed, mount=of_shape)
        pair = prepare(body, placed, ranges)
        row, m, h = box_in(pair, random)
        n = 1 + len(pair.motion.low)
        how = (SECTION, PATCH, BALLS)[int(random.integers(3))]
        work = np.zeros(1, WORK)[0]
        work["centre"][: len(m)], work["half"][: len(m)] = m, h
        value, bound = evaluate(
            pair.pieces[row],
            how,
            False,
            pair.numbers[0],
            pair.edges,
            pair.motion.steps,
            pair.motion.knots,
            pair.cutters,
            n,
            0.01,
            work,
        )
        least = np.inf
        for k in range(16):
            q = m + h * random.uniform(-1, 1, len(m))
            q[:n] = np.where(random.random(n) < 0.3, (m + np.sign(q - m) * h)[:n], q[:n])
            pose = Pose(**pair.motion.pose(q[1:n]))
            u, v = _places(how, m[n:], h[n:], random)
            points, taken = _points(pair, how, row, float(q[0]), u, v)
            if not len(points):
                continue
            least = min(
                least,
                (brute.signed(placed.shape, brute.into(body, placed, pose, points)) - taken).min(),
            )
            if k == 0 and how == SECTION:
                assert value >= bound
        assert least >= bound - 1e-9
        tight.append(least - bound)
    assert min(tight) < 2.0


def _places(
    how: int, centre: np.ndarray, half: np.ndarray, random: np.random.Generator
) -> tuple[np.ndarray, np.ndarray]:
    """Places in a section, or in a patch of it: along the larger and the smaller half width."""
    if how == PATCH:
        u, v = (c + e * random.uniform(-1, 1, 40) for c, e in zip(centre, half, strict=True))
        over = np.maximum(np.hypot(u, v), 1.0)
        near = (np.abs(u / over - centre[0]) <= half[0]) & (np.abs(v / over - centre[1]) <= half[1])
        return np.where(near, u / over, np.nan), v / over
    angle, share = random.uniform(0, 2 * np.pi, 40), np.sqrt(random.uniform(0, 1, 40))
    share[:30] = 1.0
    return share * np.cos(angle), share * np.sin(angle)


def _points(
    pair: Pair, how: int, row: int, s: float, u: np.ndarray, v: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Points of the drawn tube, s into a piece, and what is taken off their distance: a ball's radius."""
    tube = pair.tube
    at = np.full(len(u), pair.pieces["length"][:row].sum() + s)
    if how == PATCH:
        # Which directions (u, v) belong to is the kernels' own affair where a section is round.
        frame = np.zeros(1, FRAME)[0]
        axis(pair.pieces[row], s, frame)
        h, w = (float(x[0]) for x in tube.section.radii_at(at[:1]))
        own = frame["point"] + np.outer(max(h, w) * u, frame["major"])
        own += np.outer(min(h, w) * v, np.cross(frame["tangent"], frame["major"]))
        own = own[~np.isnan(u)]
        return own @ np.array(pair.shape.axes) + pair.shape.origin, np.zeros(len(own))
    if how == BALLS:
        h, w = tube.section.radii_at(at)
        return tube.axis.points(at), np.minimum.reduce([h, w, at, tube.axis.length - at])
    angle, share = np.arctan2(v, u), np.hypot(u, v)
    return brute.surface(tube, at, angle, share), np.zeros(len(u))


def test_the_chain_s_bounds_hold() -> None:
    """|C - C0| <= B, and what a quadratic of the columns leaves is at most Q/2."""
    random = np.random.default_rng(3)
    for _ in range(300):
        (of_tube, of_shape), ranges = mounts(random)
        body, placed = a_pair(TUBES[random.integers(6)], "box", random)
        pair = prepare(replace(body, mount=of_tube), replace(placed, mount=of_shape), ranges)
        row, m, h = box_in(pair, random)
        n = 1 + len(pair.motion.low)
        piece = pair.pieces[row]

        def at(
            m: np.ndarray,
            h: np.ndarray = h,
            n: int = n,
            piece: np.void = piece,
            pair: Pair = pair,
        ) -> tuple[np.ndarray, np.ndarray, float, float]:
            frame = np.zeros(1, FRAME)[0]
            axis(piece, m[0], frame)
            motion = pair.motion
            b, q, _ = move(
                motion.steps, motion.knots, m, h, frame, n, piece["curvature"] * h[0] ** 2
            )
            return frame["point"], frame["rate"], b, q

        p, rate, b, q = at(m)
        for _ in range(20):
            d = h[:n] * random.uniform(-1, 1, n)
            other = at(np.concatenate((m[:n] + d, m[n:])))[0]
            assert np.linalg.norm(other - p) <= b + 1e-9
            assert np.linalg.norm(other - p - d @ rate[:n]) <= q / 2 + 1e-9


def test_a_shape_inside_a_tube_overlaps_it() -> None:
    """Nothing of the tube's outside is near: a ball in a tube of 60 mm."""
    random = np.random.default_rng(4)
    body, placed = a_pair("straight", "torus", random)
    thick = replace(body, section=replace(body.section, height=(60.0, 60.0), width=(60.0, 60.0)))
    middle = body.axis.at(body.axis.length / 2)
    for off in (0.0, 12.0):
        _, height, _ = body.axis.frames(np.array([body.axis.length / 2]))
        place = middle + off * height[0]
        ball = replace(
            placed, shape=capsule(0, 5), origin=(float(place[0]), float(place[1]), float(place[2]))
        )
        gap = nearest(thick, ball)
        assert isinstance(gap, Gap)
        assert gap.gap == pytest.approx(-(30 - off) - 5, abs=0.011)


def test_a_tube_through_a_ring_s_hole() -> None:
    """Off centre: the ring's tube is nearest where the bar leans to."""
    random = np.random.default_rng(5)
    body, placed = a_pair("straight", "torus", random)
    start, way = body.axis.at(0.0), body.axis.tangent(0.0)
    middle = body.axis.at(body.axis.length / 2)
    across = np.cross(way, [1.0, 0.2, 0.3])
    across /= np.linalg.norm(across)
    z = np.cross(across, way)
    radius = body.section.height[0] / 2
    for off in (0.0, 1e-9, 7.0):
        centre = middle + off * across
        hoop = replace(
            placed,
            shape=torus(60.0, 4.0),
            origin=(float(centre[0]), float(centre[1]), float(centre[2])),
            axes=tuple(tuple(float(x) for x in a) for a in (across, way, z)),
        )
        gap = nearest(body, hoop)
        assert isinstance(gap, Gap)
        assert gap.error <= 0.01
        assert gap.gap == pytest.approx(60 - 4 - radius - off, abs=0.011)
    assert start.shape == (3,)


def test_compiled_code_works_where_nothing_can_be_written(tmp_path: Path) -> None:
    """A package that is read only, and a user without a cache folder: numba cannot keep anything."""
    copy = tmp_path / "frame3d"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("__pycache__"))
    # A file in the place of each folder that numba would make.
    (copy / "clearance" / "certify" / "__pycache__").write_text("")
    (tmp_path / "home").write_text("")
    script = (
        "from frame3d.clearance.certify import signed_distance as k\n"
        f"assert k.__file__.startswith({str(tmp_path)!r})\n"
        "from frame3d.bodies.shapes import torus\n"
        "from frame3d.clearance.certify.search_input import edges_of, numbers_of\n"
        "shape = torus(10.0, 2.0)\n"
        "print(k.signed(numbers_of(shape)[0], edges_of(shape), 15.0, 0.0, 0.0)[0])\n"
    )
    run = subprocess.run(
        [sys.executable, "-B", "-c", script],
        cwd=tmp_path,
        env={"HOME": str(tmp_path / "home"), "PATH": "", "XDG_CACHE_HOME": str(tmp_path / "home")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert float(run.stdout) == 3.0
