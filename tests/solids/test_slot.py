"""A slot in any direction: its mesh against its section, its mirror image."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.geometry.vector import point, unit
from frame3d.solids.mesh import solid_mesh
from frame3d.solids.slot import Slot
from frame3d.solids.sweep import rod

WAY = unit(np.array([0.3, -0.5, 0.8]))
ALONG = unit(np.cross(WAY, [0.2, 1.0, 0.1]))
SLOT = Slot((10.0, 20.0, 30.0), point(WAY), point(ALONG), 6.0, 16.0, 12.0)


def test_its_mesh_is_a_prism_along_its_way() -> None:
    mesh = solid_mesh(SLOT)
    assert mesh.volume == pytest.approx((np.pi * 9 + 10 * 6) * 12, rel=1e-6)
    assert SLOT.volume == pytest.approx(mesh.volume, rel=1e-6)
    assert mesh.centre == pytest.approx(np.array(SLOT.at) + 6 * WAY)
    away = (mesh.vertices - SLOT.at) @ np.stack([WAY, ALONG, np.cross(WAY, ALONG)], axis=1)
    assert np.abs(away[:, 0] - 6).max() == pytest.approx(6)
    assert np.abs(away[:, 1]).max() == pytest.approx(8, abs=0.05)
    assert np.abs(away[:, 2]).max() == pytest.approx(3, abs=0.05)


def test_it_is_itself_turned_half_and_its_image_is_another() -> None:
    turned = Slot(SLOT.at, SLOT.way, point(-ALONG), 6.0, 16.0, 12.0)
    assert SLOT.is_same(turned)
    assert not SLOT.is_same(SLOT.mirrored())
    assert SLOT.is_same(SLOT.mirrored().mirrored())
    assert not SLOT.is_same(SLOT.resized(0.1))
    assert not SLOT.is_same(rod(SLOT.at, SLOT.way, 0.0, 12.0, 6.0))
    assert SLOT.resized(2.0).size == 8.0
