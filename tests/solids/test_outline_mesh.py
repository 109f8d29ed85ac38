"""Outlines as meshes: closed, inside the true surface, as large as closed forms say."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.body import Body
from frame3d.bodies.shapes import PlacedShape, Tubular
from frame3d.geometry.centreline import Centreline, Line
from frame3d.geometry.section import Section
from frame3d.solids.outline_mesh import TOLERANCE, body_mesh
from tests.bodies.bike import body
from tests.bodies.distance import union
from tests.solids.test_mating import CASES, MATING, POSE, closed, lone


@pytest.mark.parametrize("name", MATING)
def test_meshes_lie_on_the_outlines_at_a_pose(name: str) -> None:
    """No vertex further from the outside than the tolerance, and the mesh is closed."""
    found = body(name)
    mesh = body_mesh(found, POSE)
    assert union(found.shapes, mesh.vertices, POSE) == pytest.approx(0, abs=TOLERANCE)
    assert closed(mesh)


@pytest.mark.parametrize("tolerance", [0.4, 0.05])
@pytest.mark.parametrize("name", CASES)
def test_a_mesh_is_a_little_smaller_than_its_shape_and_closed(name: str, tolerance: float) -> None:
    """Vertices lie on the true surface; the volume tends to the closed form as the tolerance shrinks."""
    shape, volume = CASES[name]
    mesh = body_mesh(lone(PlacedShape(name, shape, (0.0, 0.0, 0.0))), tolerance=tolerance)
    assert closed(mesh)
    assert volume * (1 - 0.35 * tolerance) < mesh.volume <= volume * (1 + 1e-9)


def tubular(flat: tuple[bool, bool]) -> Body:
    section = Section((0.0, 200.0), (40.0, 30.0), (40.0, 30.0), (0.0, 0.0))
    tube = Tubular("t", Centreline((Line((0, 0, 0), (0, 0, 200)),)), section, flat=flat)
    return Body(name="t", part="p", family="f", shapes=(), tubes=(tube,), colour="#000000")


@pytest.mark.parametrize("flat", [(True, True), (True, False), (False, False)])
def test_a_tubes_end_is_flat_or_a_ball(flat: tuple[bool, bool]) -> None:
    """Frustum π/3 · L (R² + R r + r²), and over each end that is not flat half a ball or more."""
    frustum = np.pi / 3 * 200 * (20**2 + 20 * 15 + 15**2)
    mesh = body_mesh(tubular(flat), tolerance=0.02)
    low, high = mesh.vertices[:, 2].min(), mesh.vertices[:, 2].max()
    assert low == pytest.approx(0.0 if flat[0] else -20.0, abs=1e-6)
    assert high == pytest.approx(200.0 if flat[1] else 215.0, abs=1e-6)
    halves = sum(2 / 3 * np.pi * r**3 for r, cut in zip((20, 15), flat, strict=True) if not cut)
    assert mesh.volume == pytest.approx(frustum + halves, rel=4e-3)
