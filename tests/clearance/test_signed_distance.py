"""Signed distances of shapes against others written anew, and the planes below them."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.shapes import Ring, Torus
from frame3d.clearance.certify.search_input import edges_of, numbers_of
from frame3d.clearance.certify.signed_distance import signed
from tests.clearance import brute
from tests.clearance.samples import SHAPES, a_shape


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
                assert isinstance(shape, Ring | Torus)
                u = np.array([x[0], 0.0, x[2]]) / far
                along, aside = others @ u, others @ np.array([-u[2], 0.0, u[0]])
                others, plane = others[along > 0], plane[along > 0]
                plane -= fall * aside[along > 0] ** 2 / (2 * along[along > 0])
            assert (brute.signed(shape, others) >= plane - 1e-8).all()
