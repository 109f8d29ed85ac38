"""STL read back by trimesh: one watertight shell, outward, of the solid's volume."""

from __future__ import annotations

import io

import numpy as np
import pytest
import trimesh

from frame3d.formats.stl import stl
from tests.frames import hardtail, hardtail_files
from tests.sampling import first


@pytest.fixture(scope="module")
def shell() -> trimesh.Trimesh:
    return trimesh.load(io.BytesIO(hardtail_files()["stl"]), file_type="stl")


def test_one_watertight_shell(shell: trimesh.Trimesh) -> None:
    assert shell.is_watertight
    assert shell.is_winding_consistent
    assert len(shell.split(only_watertight=False)) == 1


def test_volume_within_two_thousandths(shell: trimesh.Trimesh) -> None:
    assert shell.volume == pytest.approx(hardtail().volume, rel=2e-3)


def test_centre_of_mass(shell: trimesh.Trimesh) -> None:
    """All of one density, so the centre of the volume is the centre of mass."""
    assert shell.center_mass == pytest.approx(hardtail().centre, abs=0.1)


def test_no_degenerate_faces(shell: trimesh.Trimesh) -> None:
    raw = trimesh.load(io.BytesIO(hardtail_files()["stl"]), file_type="stl", process=False)
    assert len(raw.faces) == len(shell.faces)
    assert np.all(raw.area_faces > 0)
    assert np.all(shell.nondegenerate_faces())


def test_genus_is_that_of_a_bored_frame(shell: trimesh.Trimesh) -> None:
    """Euler: V - E + F = 2 - 2g. Loops of the frame: main and rear triangles, both sides, bridges,
    and as many again inside the tubes through the vents; more than a dozen in any case.
    """
    genus = 1 - shell.euler_number // 2
    assert genus > 12


@pytest.mark.parametrize("tolerance", first(1, [0.3, 0.02]))
def test_other_tolerances_stay_watertight(tolerance: float) -> None:
    other = trimesh.load(io.BytesIO(stl(hardtail(), tolerance)), file_type="stl")
    assert other.is_watertight
    assert other.volume == pytest.approx(hardtail().volume, rel=2e-3)
