"""STEP read back by gmsh: parts, names, volume, bounding box, colours."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from frame3d.solids import occ
from tests.frames import hardtail, hardtail_files

try:
    import gmsh
except (ImportError, OSError) as problem:  # OSError: a system library that its wheel loads
    if os.environ.get("CI"):
        raise
    pytest.skip(f"gmsh cannot be loaded here: {problem}", allow_module_level=True)


@pytest.fixture(scope="module")
def reader(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Any, Path]]:
    folder = tmp_path_factory.mktemp("step")
    (folder / "frame.step").write_bytes(hardtail_files()["step"])
    gmsh.initialize(interruptible=False)
    gmsh.option.setNumber("General.Terminal", 0)
    gmsh.option.setNumber("Geometry.OCCImportLabels", 1)
    gmsh.option.setNumber(
        "Geometry.OCCBoundsUseStl", 1
    )  # else by control points, which lie outside
    gmsh.model.occ.importShapes(str(folder / "frame.step"))
    gmsh.model.occ.synchronize()
    yield gmsh.model, folder
    gmsh.finalize()


def test_one_solid_a_part_under_its_name(reader: tuple[Any, Path]) -> None:
    model, _ = reader
    solids = model.getEntities(3)
    names = [model.getEntityName(*solid).split("/")[2] for solid in solids]
    assert names == [part.name for part in hardtail().parts]


def test_total_volume(reader: tuple[Any, Path]) -> None:
    """Read by gmsh, handed on as BREP, and integrated at 1e-6: its own integral is good to 1e-3 only."""
    model, folder = reader
    total = sum(model.occ.getMass(*solid) for solid in model.getEntities(3))
    assert total == pytest.approx(hardtail().volume, rel=1e-3)
    gmsh.write(str(folder / "frame.brep"))
    shape = _brep(folder / "frame.brep")
    assert occ.bulk(shape).volume == pytest.approx(hardtail().volume, rel=1e-4)
    assert len(occ.solids(shape)) == len(hardtail().parts)


def test_bounding_box(reader: tuple[Any, Path]) -> None:
    """Against the meshes, which the CAD kernel has no hand in."""
    model, _ = reader
    boxes = np.array([model.occ.getBoundingBox(*solid) for solid in model.getEntities(3)])
    vertices = np.vstack([mesh.vertices for mesh in hardtail().meshes.values()])
    assert boxes[:, :3].min(axis=0) == pytest.approx(vertices.min(axis=0), abs=0.1)
    assert boxes[:, 3:].max(axis=0) == pytest.approx(vertices.max(axis=0), abs=0.1)
    assert boxes[:, 4].max() > 74 + 7  # half of 148, and the plate


def test_colours(reader: tuple[Any, Path]) -> None:
    model, _ = reader
    for solid, part in zip(model.getEntities(3), hardtail().parts, strict=True):
        expected = tuple(round(255 * value) for value in part.colour)
        assert model.getColor(*solid)[:3] == expected


def _brep(path: Path) -> Any:
    from OCP.BRep import BRep_Builder
    from OCP.BRepTools import BRepTools
    from OCP.TopoDS import TopoDS_Shape

    shape = TopoDS_Shape()
    assert BRepTools.Read_s(shape, str(path), BRep_Builder())
    return shape
