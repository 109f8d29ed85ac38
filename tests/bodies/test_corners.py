"""Corners of solids: as far as the solid in every direction, and hardly further."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.corners import corners_of
from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Disc,
    PlacedShape,
    Prism,
    Ring,
    Solid,
    Torus,
    Tubular,
)
from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import vector
from tests.bodies.bike import bodies
from tests.clearance.samples import SHAPES, TUBES, a_pair

WAYS: Array = np.concatenate((np.eye(3), -np.eye(3), np.random.default_rng(1).normal(size=(60, 3))))
WAYS /= np.linalg.norm(WAYS, axis=1)[:, None]
TURN = np.radians(np.arange(0.0, 360.0, 3.0))


def reach_of_shape(placed: PlacedShape) -> Array:
    """How far a shape reaches in each of `WAYS`, in closed form: (n,) [mm]."""
    x, y, z = (WAYS @ np.array(placed.axes).T).T
    about = np.hypot(x, z)
    match placed.shape:
        case Box(core, rounding):
            own = np.abs([x, y, z]).T @ np.array(core) + rounding
        case Capsule(length, radius, end):
            own = np.maximum(radius, length * z + end)
        case Torus(radius, thick):
            own = radius * about + thick
        case Prism(profile, half):
            own = (np.array(profile) @ [x, y]).max(axis=0) + half * np.abs(z)
        case Ring(profile) | Disc(profile):
            own = np.max([abs(r) * about + h * y for r, h in profile], axis=0)
    return np.asarray(WAYS @ vector(placed.origin) + own)


def reach_of_tube(tube: Tubular) -> Array:
    """The same of a tube, from points of its outside, and of its round ends' radius."""
    low, high = tube.span
    s, turn = (x.ravel() for x in np.meshgrid(np.linspace(low, high, 60), TURN))
    centre, up, across = tube.axis.frames(s)
    height, width = tube.section.place(np.degrees(turn), s)
    points = centre + height[:, None] * up + width[:, None] * across
    return np.asarray((points @ WAYS.T).max(axis=0))


def test_hulls_hold_every_kind_and_hardly_more() -> None:
    random = np.random.default_rng(3)
    pairs = [a_pair(TUBES[i % len(TUBES)], SHAPES[i % len(SHAPES)], random) for i in range(36)]
    solids: list[Solid] = [solid for pair in pairs for solid in pair]
    for body in bodies().bodies:
        solids += [*body.tubes, *body.shapes, *body.hull]
    spheres, begins = corners_of(solids)
    assert begins[-1] == len(spheres)
    for solid, begin, end in zip(solids, begins, begins[1:], strict=False):
        own = spheres[begin:end]
        reach = (WAYS @ own[:, :3].T + own[:, 3]).max(axis=1)
        if isinstance(solid, PlacedShape):
            wanted = reach_of_shape(solid)
            wide = float((wanted - WAYS @ vector(solid.origin)).max())
        else:
            wanted, wide = reach_of_tube(solid), 20.0 + solid.section.furthest
        assert (reach > wanted - 1e-9).all(), solid
        if isinstance(solid, PlacedShape) and not isinstance(solid.shape, Capsule):
            assert reach == pytest.approx(wanted, abs=0.021 * wide + 1e-9)
        else:
            assert (reach < wanted + wide).all(), solid


def test_none() -> None:
    spheres, begins = corners_of([])
    assert spheres.shape == (0, 4)
    assert begins.tolist() == [0]
