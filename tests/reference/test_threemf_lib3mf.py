"""3MF read by the 3MF Consortium's own library in strict mode."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from frame3d.caution import CAUTION
from frame3d.formats.threemf import threemf
from frame3d.solids import make
from tests.frames import bar, context, hardtail, hardtail_files

try:
    import lib3mf
except ImportError:  # no wheel for this machine
    if os.environ.get("CI"):
        raise
    pytest.skip("lib3mf is not installed", allow_module_level=True)


def read(data: bytes, path: Path) -> Any:
    path.write_bytes(data)
    model = lib3mf.Wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert reader.GetWarningCount() == 0
    return model


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Any:
    return read(hardtail_files()["3mf"], tmp_path_factory.mktemp("3mf") / "frame.3mf")


def objects(model: Any) -> list[Any]:
    found, iterator = [], model.GetMeshObjects()
    while iterator.MoveNext():
        found.append(iterator.GetCurrentMeshObject())
    return found


def test_one_manifold_object_a_part(model: Any) -> None:
    found = objects(model)
    assert [o.GetName() for o in found] == [part.name for part in hardtail().parts]
    assert all(o.IsManifoldAndOriented() for o in found)
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter


def test_every_object_is_built(model: Any) -> None:
    items, built = model.GetBuildItems(), []
    while items.MoveNext():
        built.append(items.GetCurrent().GetObjectResource().GetName())
    assert built == [part.name for part in hardtail().parts]


def test_geometry_is_in_place(model: Any) -> None:
    for found in objects(model):
        vertices = np.array([v.Coordinates[:] for v in found.GetVertices()])
        mesh = hardtail().meshes[found.GetName()]
        assert vertices == pytest.approx(mesh.vertices, abs=1e-4)


def test_title_and_caution(model: Any) -> None:
    data = model.GetMetaDataGroup()
    entries = {
        data.GetMetaData(i).GetName(): data.GetMetaData(i).GetValue()
        for i in range(data.GetMetaDataCount())
    }
    assert entries["Title"] == "Trail hardtail 29"
    assert entries["Description"] == CAUTION


def test_colours_and_materials(tmp_path: Path) -> None:
    tubes = {
        "red": bar(30.0, (0, 0, 0), (0, 0, 100), 1.0, colour="#ff0080", material="6061-T6"),
        "blue": bar(30.0, (90, 0, 0), (90, 0, 100), 1.0, colour="#0000ff"),
        "blue_too": bar(30.0, (180, 0, 0), (180, 0, 100), 1.0, colour="#0000ff"),
    }
    model = read(threemf(make(context(tubes))), tmp_path / "three.3mf")
    groups = model.GetBaseMaterialGroups()
    assert groups.MoveNext()
    group = groups.GetCurrentBaseMaterialGroup()
    ids = group.GetAllPropertyIDs()
    table = {i: (group.GetName(i), *_rgb(group.GetDisplayColor(i))) for i in ids}
    assert sorted(table.values()) == [("4130", 0, 0, 255), ("6061-T6", 255, 0, 128)]
    of = {o.GetName(): table[o.GetObjectLevelProperty()[1]] for o in objects(model)}
    assert of["red"] == ("6061-T6", 255, 0, 128)
    assert of["blue"] == of["blue_too"] == ("4130", 0, 0, 255)


def _rgb(colour: Any) -> tuple[int, int, int]:
    return colour.Red, colour.Green, colour.Blue
