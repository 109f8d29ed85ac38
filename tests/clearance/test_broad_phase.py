"""What is left out unmeasured by balls is never nearer than the balls say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies import Body
from frame3d.bodies.motion.pose import matrices_over
from frame3d.bodies.shapes import Box, PlacedShape, Tubular
from frame3d.clearance.certify.broad_phase import BroadPhase, can_meet
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_pair, a_tube, mounts
from tests.sampling import first


def body(name: str, tubes: tuple[Tubular, ...], shapes: tuple[PlacedShape, ...]) -> Body:
    return Body(name, "build.x", "x", shapes, tubes, "#000000")


@pytest.mark.parametrize("seed", first(20, range(60)))
def test_no_position_brings_balls_nearer_than_the_bound(seed: int) -> None:
    """Balls at 2000 random positions of every chain of motions, by the poses themselves."""
    random = np.random.default_rng([7, seed])
    (of_tube, of_shape), ranges = mounts(random)
    pairs = [
        a_pair(str(random.choice(TUBES)), str(random.choice(SHAPES)), random, spread=1200)
        for _ in range(4)
    ]
    tubes = [replace(tube, mount=of_tube) for tube, _ in pairs]
    shapes = [replace(shape, mount=of_shape) for _, shape in pairs]
    count = 2000
    values = {
        r.name: np.where(
            random.random(count) < 0.2,
            random.choice([r.low, r.high], count),
            random.uniform(r.low, r.high, count),
        )
        for r in ranges
    }
    there, here = (matrices_over(mount, values, count) for mount in (of_tube, of_shape))
    motion = np.linalg.inv(here) @ there
    bodies = body("a", tuple(tubes), ()), body("b", (), tuple(shapes))
    bounds = BroadPhase().candidates([bodies], [ranges]).low.reshape(len(tubes), len(shapes))
    for i, tube in enumerate(tubes):
        for j, shape in enumerate(shapes):
            gap = min(
                np.linalg.norm(
                    motion[:, :3, :3] @ ball[:3] + motion[:, :3, 3] - other[:3], axis=1
                ).min()
                - ball[3]
                - other[3]
                for ball in tube.bounding_spheres
                for other in shape.bounding_spheres
            )
            assert bounds[i, j] <= gap
            assert bounds[i, j] > gap - 400.0  # and it says something


@pytest.mark.parametrize("kind", SHAPES)
@pytest.mark.parametrize("seed", first(2, range(6)))
def test_balls_hold_shapes(kind: str, seed: int) -> None:
    """Of random points those that are inside by the signed distance written anew."""
    random = np.random.default_rng([8, seed])
    _, shape = a_pair("straight", kind, random)
    near = shape.bounding_spheres[random.integers(len(shape.bounding_spheres), size=60000)]
    points = near[:, :3] + random.normal(size=(60000, 3)) * near[:, 3:] * 0.8
    own = (points - np.array(shape.origin)) @ np.array(shape.axes).T
    inside = points[brute.signed(shape.shape, own) <= 0]
    assert len(inside) > 20
    apart = (
        np.linalg.norm(inside[:, None] - shape.bounding_spheres[:, :3], axis=2)
        - shape.bounding_spheres[:, 3]
    )
    assert apart.min(axis=1).max() <= 1e-9


@pytest.mark.parametrize("kind", TUBES)
@pytest.mark.parametrize("seed", first(2, range(6)))
def test_balls_hold_tubes(kind: str, seed: int) -> None:
    """Their surfaces: the axis, and the section's half sizes round it."""
    random = np.random.default_rng([9, seed])
    tube = a_tube(kind, random)
    s = np.linspace(0.0, tube.axis.length, 200)
    turn = np.linspace(0.0, 2 * np.pi, 24)[:, None, None]
    _, up, across = tube.axis.frames(s)
    high, wide = tube.section.height_at(s) / 2, tube.section.width_at(s) / 2
    points = tube.axis.points(s) + (
        np.cos(turn) * high[:, None] * up + np.sin(turn) * wide[:, None] * across
    )
    apart = (
        np.linalg.norm(points[..., None, :] - tube.bounding_spheres[:, :3], axis=-1)
        - tube.bounding_spheres[:, 3]
    )
    assert apart.min(axis=-1).max() <= 1e-9
    # A rounded end is a ball about the axis' own end.
    rounded = replace(tube, flat=(False, True))
    out = random.normal(size=(500, 3))
    end = tube.axis.at(0.0) + min(high[0], wide[0]) * out / np.linalg.norm(out, axis=1)[:, None]
    apart = (
        np.linalg.norm(end[:, None] - rounded.bounding_spheres[:, :3], axis=-1)
        - rounded.bounding_spheres[:, 3]
    )
    assert apart.min(axis=-1).max() <= 1e-9


def test_candidates_are_all_there() -> None:
    """Of every pair each tube with each shape, both ways, in the pairs' order."""
    random = np.random.default_rng(3)
    solids = [a_pair("straight", "box", random, spread=500) for _ in range(4)]

    (t0, s0), (t1, s1), (t2, s2), (t3, s3) = solids
    a, b, c = body("a", (t0, t1), (s0, s1)), body("b", (t2, t3), ()), body("c", (), (s2, s3))
    pairs = [(a, b), (a, c), (b, c), (c, c), (b, a)]
    assert [can_meet(*pair) for pair in pairs] == [True, True, True, False, True]
    found = BroadPhase().candidates(pairs, [()] * len(pairs))
    assert found.pair.tolist() == [i for i in (0, 1, 2, 4) for _ in range(4)]
    for pair, tube, shape, low in zip(found.pair, found.tube, found.shape, found.low, strict=True):
        t, s = found.tubes[tube], found.shapes[shape]
        assert {t in one.tubes for one in pairs[pair]} == {True, False}
        assert {s in one.shapes for one in pairs[pair]} == {True, False}
        apart = t.bounding_spheres[:, None] - s.bounding_spheres
        spheres = np.linalg.norm(apart[..., :3], axis=-1) - t.bounding_spheres[:, None, 3]
        assert low == pytest.approx((spheres - s.bounding_spheres[:, 3]).min(), abs=1e-5)


@pytest.mark.parametrize("seed", range(20))
def test_boxes_hold_bodies_at_random_positions(seed: int) -> None:
    random = np.random.default_rng([10, seed])
    (mount, _), ranges = mounts(random)
    tube, shape = a_pair("straight", "box", random, spread=500)
    one = body("a", (replace(tube, mount=mount),), (replace(shape, mount=mount),))
    ((low, high),) = BroadPhase().swept([one], ranges)
    values = {r.name: random.uniform(r.low, r.high, 500) for r in ranges}
    s, turn = (x.ravel() for x in np.meshgrid(np.linspace(*tube.span, 9), np.arange(0, 360, 30.0)))
    centre, up, across = tube.axis.frames(s)
    height, width = tube.section.place(turn, s)
    box = shape.shape
    assert isinstance(box, Box)
    directions = random.normal(size=(40, 3))
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    own = np.sign(directions) * box.core + box.rounding * directions
    points = np.concatenate(
        (
            centre + height[:, None] * up + width[:, None] * across,
            np.array(shape.origin) + own @ np.array(shape.axes),
        )
    )
    for motion in matrices_over(mount, values, 500):
        places = points @ motion[:3, :3].T + motion[:3, 3]
        assert (places >= low).all()
        assert (places <= high).all()
