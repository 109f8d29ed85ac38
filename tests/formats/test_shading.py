"""Normals for drawing: smooth round a tube, sharp at its ends."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.formats.shading import shaded
from frame3d.solids.mesh import sweep_mesh
from frame3d.solids.sweep import straight


def test_cylinder() -> None:
    vertices, normals, triangles = shaded(
        sweep_mesh(straight((0, 0, 0), (0, 0, 50), (20, 20)), 32, 0.05)
    )
    side = np.abs(normals[:, 2]) < 0.5
    radius = vertices[side] * [1, 1, 0]
    radius /= np.linalg.norm(radius, axis=1, keepdims=True)
    assert np.einsum("ij,ij->i", radius, normals[side]).min() > np.cos(np.radians(2))
    assert np.abs(normals[~side]) == pytest.approx(np.tile([0, 0, 1], ((~side).sum(), 1)))
    assert side.sum() == 64  # two rings
    assert (~side).sum() == 66  # the same again for the ends, with their centres
    assert triangles.max() == len(vertices) - 1


def test_block_is_flat_all_over() -> None:
    """Eight corners, three faces each."""
    block = straight((0, 0, 0), (0, 0, 50), (20, 20), (30, 30), box=True)
    vertices, normals, _ = shaded(sweep_mesh(block, 4, 0.05))
    assert len(vertices) == 8 * 3 + 2  # and the centres of the two ends
    assert np.sort(np.abs(normals), axis=1) == pytest.approx(np.tile([0, 0, 1], (26, 1)))
