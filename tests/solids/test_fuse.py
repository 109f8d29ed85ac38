"""Parts fused: one solid, one boundary, the volume of its parts; what is wrong is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.errors import SolidError
from frame3d.solids import FrameModel, occ
from frame3d.solids.fuse import fused
from frame3d.solids.mesh import Mesh
from frame3d.solids.model import mesh_part
from frame3d.solids.sweep import straight
from tests.bikes import hardtail_layout
from tests.frames import hardtail


@pytest.fixture(scope="module")
def model() -> FrameModel:
    return hardtail()


def test_fused_is_one_solid_with_one_boundary(model: FrameModel) -> None:
    """Disjoint parts only can fuse to the sum of their volumes; one boundary: no closed cavity."""
    whole = model.fused
    assert len(occ.solids(whole)) == 1
    assert len(occ.shells(whole)) == 1
    assert occ.is_valid(whole)
    assert occ.bulk(whole).volume == pytest.approx(model.volume, rel=1e-5)
    assert model.fused is whole


def blocks(*corners: tuple[float, float, float]) -> FrameModel:
    """Cubes of 10 mm as parts of one frame, each at a corner."""
    made = []
    for i, (x, y, z) in enumerate(corners):
        shape = occ.solid(straight((x, y, z), (x, y, z + 10), (10, 10), (10, 10), box=True))
        part = mesh_part(f"cube_{i}", "#000000", Mesh(np.zeros((3, 3)), np.array([[0, 1, 2]])))
        made.append(replace(part, shape=shape, volume=1000.0))
    return FrameModel(hardtail_layout(), (), tuple(made), {})


def test_cubes_that_touch_are_one_solid() -> None:
    whole = fused(blocks((0, 0, 0), (0, 0, 10), (10, 0, 10)))
    assert occ.bulk(whole).volume == pytest.approx(3000.0)


def test_what_does_not_touch_is_said_to_fall_apart() -> None:
    with pytest.raises(SolidError, match="falls into 2 solids") as caught:
        fused(blocks((0, 0, 0), (0, 0, 30)))
    (fault,) = caught.value.faults
    assert (fault.code, fault.path) == ("solid", "tubes")
    assert "the frame could not be fused" in fault.message
    assert "move tubes that barely touch" in fault.hint


def test_parts_that_overlap_have_less_metal_than_they_say() -> None:
    with pytest.raises(SolidError, match="1500 mm³ of metal where its parts have 2000 mm³"):
        fused(blocks((0, 0, 0), (0, 0, 5)))
