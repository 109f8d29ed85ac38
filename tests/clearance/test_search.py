"""The search as a whole: shapes inside tubes, and tubes through rings."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies.shapes import capsule, torus
from frame3d.clearance.certify.distance import Gap, nearest
from tests.clearance.samples import a_pair


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
