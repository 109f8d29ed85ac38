"""Plates of a scale model read by the 3MF Consortium's own library in strict mode."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from frame3d.mockup.options import EDGE
from tests.mockup.samples import laid, written

try:
    import lib3mf
except ImportError:  # no wheel for this machine
    if os.environ.get("CI"):
        raise
    pytest.skip("lib3mf is not installed", allow_module_level=True)

PLATES = [plate.number for plate in laid().plates]
BED = 220.0


@pytest.fixture(scope="module", params=PLATES, ids=lambda number: f"plate_{number}")
def plate(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Any:
    number = request.param
    path = tmp_path_factory.mktemp("3mf") / f"plate_{number}.3mf"
    Path(path).write_bytes(written()[0][f"plate_{number}.3mf"])
    model = lib3mf.Wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert reader.GetWarningCount() == 0
    return number, model


def built(model: Any) -> list[tuple[Any, np.ndarray[Any, Any]]]:
    """Objects in the order of building, with their corners where the library puts them."""
    items, found = model.GetBuildItems(), []
    while items.MoveNext():
        item = items.GetCurrent()
        mesh = model.GetMeshObjectByID(item.GetObjectResourceID())
        corners = np.array([v.Coordinates[:] for v in mesh.GetVertices()])
        # lib3mf: four rows of three, for points as rows.
        turn = np.array([list(row) for row in item.GetObjectTransform().Fields])
        found.append((mesh, corners @ turn[:3] + turn[3]))
    return found


def test_manifold_named_objects_in_mm(plate: Any) -> None:
    number, model = plate
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    names = [mesh.GetName() for mesh, _ in built(model)]
    assert sorted(names) == sorted(p.part.name for p in laid().parts if p.plate == number)
    assert all(mesh.IsManifoldAndOriented() for mesh, _ in built(model))


def test_parts_lie_on_the_bed_apart(plate: Any) -> None:
    _, model = plate
    places = [corners for _, corners in built(model)]
    for corners in places:
        assert corners[:, 2].min() == pytest.approx(0.0, abs=1e-4)
        assert (corners[:, :2] >= EDGE - 0.01).all()
        assert (corners[:, :2] <= BED - EDGE + 0.01).all()
    for i, a in enumerate(places):
        for b in places[:i]:
            gap = np.linalg.norm(a[:, None, :2] - b[None, ::7, :2], axis=2).min()
            assert gap > 1.0


def test_items_are_the_models_parts_turned_and_moved(plate: Any) -> None:
    """The way from the model to the plate is a rigid one: distances between corners stay."""
    number, model = plate
    parts = {p.part.name: p for p in laid().parts if p.plate == number}
    for mesh, corners in built(model):
        own = parts[mesh.GetName()].mesh
        assert np.ptp(corners, axis=0)[2] == pytest.approx(
            parts[mesh.GetName()].pose.height, abs=1e-3
        )
        sizes = [np.linalg.norm(v - v.mean(axis=0), axis=1) for v in (own.vertices, corners)]
        assert np.sort(sizes[0])[-5:] == pytest.approx(np.sort(sizes[1])[-5:], abs=0.05)


def test_colours_are_the_parts_own(plate: Any) -> None:
    _, model = plate
    groups, table = model.GetBaseMaterialGroups(), {}
    while groups.MoveNext():
        group = groups.GetCurrentBaseMaterialGroup()
        for i in group.GetAllPropertyIDs():
            colour = group.GetDisplayColor(i)
            table[i] = f"#{colour.Red:02x}{colour.Green:02x}{colour.Blue:02x}"
            assert group.GetName(i) == "PLA"
    for mesh, _ in built(model):
        part = next(p.part for p in laid().parts if p.part.name == mesh.GetName())
        assert table[mesh.GetObjectLevelProperty()[1]] == part.colour


def test_title_says_scale_and_plate(plate: Any) -> None:
    number, model = plate
    data = model.GetMetaDataGroup()
    title = data.GetMetaDataByKey("", "Title").GetValue()
    assert title == f"Trail hardtail 29, 1:6, plate {number} of {len(PLATES)}"
