"""What is left out unmeasured by balls is never nearer than the balls say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies import Body
from frame3d.bodies.motion.pose import matrices_over
from frame3d.clearance.certify.broad_phase import candidates, reach
from tests.clearance import brute
from tests.clearance.samples import SHAPES, TUBES, a_pair, a_tube, mounts


@pytest.mark.parametrize("seed", range(60))
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
    bounds = reach(tubes, shapes, ranges)
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
@pytest.mark.parametrize("seed", range(6))
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
@pytest.mark.parametrize("seed", range(6))
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
    solids = [a_pair("straight", "box", random, spread=500) for _ in range(6)]

    def body(name: str, k: int, *, tubes: bool, shapes: bool) -> Body:
        two = solids[k : k + 2]
        return Body(
            name,
            "build.x",
            "x",
            tuple(s for _, s in two) if shapes else (),
            tuple(t for t, _ in two) if tubes else (),
            "#000000",
        )

    a = body("a", 0, tubes=True, shapes=True)
    b = body("b", 2, tubes=True, shapes=False)
    c = body("c", 4, tubes=False, shapes=True)
    pairs = [(a, b), (a, c), (b, c), (c, c), (b, a)]
    found = list(candidates(pairs, ()))
    assert [way.bodies for way in found] == [p for p in pairs if p != (c, c) for _ in range(4)]
    for way in found:
        assert {way.tube in body.tubes for body in way.bodies} == {True, False}
        assert {way.shape in body.shapes for body in way.bodies} == {True, False}
        assert way.low == pytest.approx(reach([way.tube], [way.shape], ())[0, 0], abs=1e-6)
