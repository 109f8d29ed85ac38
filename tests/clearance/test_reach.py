"""What is left out unmeasured by balls is never nearer than the balls say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies import Body
from frame3d.bodies.pose import matrices_over
from frame3d.clearance.reach import candidates, reach
from tests.clearance.samples import SHAPES, TUBES, a_pair, mounts


@pytest.mark.parametrize("seed", range(60))
def test_no_position_brings_balls_nearer_than_the_bound(seed: int) -> None:
    """Balls' middles at 4000 random positions of every chain of motions, by the poses themselves."""
    random = np.random.default_rng([7, seed])
    (of_tube, of_shape), ranges = mounts(random)
    pairs = [
        a_pair(str(random.choice(TUBES)), str(random.choice(SHAPES)), random, spread=1200)
        for _ in range(4)
    ]
    tubes = [replace(tube, mount=of_tube) for tube, _ in pairs]
    shapes = [replace(shape, mount=of_shape) for _, shape in pairs]
    count = 4000
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
        middles = motion[:, :3, :3] @ tube.ball[:3] + motion[:, :3, 3]
        for j, shape in enumerate(shapes):
            apart = np.linalg.norm(middles - shape.ball[:3], axis=1).min()
            gap = apart - tube.ball[3] - shape.ball[3]
            assert bounds[i, j] <= gap
            assert bounds[i, j] > gap - 400.0  # and it says something


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
