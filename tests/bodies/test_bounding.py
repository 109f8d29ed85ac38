"""Bounding spheres of many solids: each's own, as the solid by itself gives them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.bounding import spheres_of
from frame3d.bodies.shapes import PlacedShape, Solid, Tubular, bar, box, cylinder
from tests.bodies.bike import bodies
from tests.clearance.samples import SHAPES, TUBES, a_pair

TURNED = ((0.0, 0.6, 0.8), (1.0, 0.0, 0.0), (0.0, 0.8, -0.6))


def test_of_many_as_of_each() -> None:
    """Of every kind of tube and shape, short and long bars, and all of a bike."""
    random = np.random.default_rng(5)
    pairs = [a_pair(TUBES[i % len(TUBES)], SHAPES[i % len(SHAPES)], random) for i in range(24)]
    solids: list[Solid] = [solid for pair in pairs for solid in pair]
    for length in (1.0, 59.0, 60.0, 61.0, 400.0):
        solids.append(bar("bar", (10.0, 20.0, 30.0), (10.0, 20.0, 30.0 + length), 9.0))
        solids.append(bar("cone", (0.0, 0.0, 0.0), (length, 0.0, 0.0), 4.0, end_radius=40.0))
        solids.append(PlacedShape("disc", cylinder(20.0, 5.0, 5.0 + length), (1.0, 2.0, 3.0)))
        straight = solids[-3]
        assert isinstance(straight, Tubular)
        solids += [
            replace(straight, flat=(True, False)),
            replace(straight, trimmed=(0.1 * length, -0.3 * length)),
            PlacedShape("box", box(7.0, length, 20.0, 0.5), (1.0, 2.0, 3.0), axes=TURNED),
            PlacedShape("cube", box(length, length, length), (1.0, 2.0, 3.0), axes=TURNED),
        ]
    for body in bodies().bodies:
        solids += [*body.tubes, *body.shapes, *body.hull]
    spheres, begins = spheres_of(solids)
    assert begins[-1] == len(spheres)
    for solid, begin, end in zip(solids, begins, begins[1:], strict=False):
        assert spheres[begin:end] == pytest.approx(solid.bounding_spheres, abs=1e-9)
        if isinstance(solid, Tubular):
            own = solid.bounding_spheres
            assert solid.middle.tolist() == own[len(own) // 2, :3].tolist()
    assert {type(solid) for solid in solids} == {PlacedShape, Tubular}


def test_of_none() -> None:
    spheres, begins = spheres_of([])
    assert spheres.shape == (0, 4)
    assert begins.tolist() == [0]
