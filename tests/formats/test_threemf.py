"""3MF: named and coloured objects in their places. lib3mf reads it in tests/reference."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest

from frame3d.caution import CAUTION
from frame3d.formats.threemf import CORE, MODEL, threemf
from frame3d.solids.model import FrameModel, mesh_part
from tests.bikes import hardtail_layout
from tests.viewer.viewer_scene import parts


@cache
def model() -> FrameModel:
    made = tuple(
        mesh_part(name, colour, mesh, 'a "metal" & co')
        for name, (_, _, colour, mesh) in parts().items()
    )
    return FrameModel(hardtail_layout(), (), made, {name: p[3] for name, p in parts().items()})


def tag(name: str) -> str:
    return f"{{{CORE}}}{name}"


def read(data: bytes) -> ElementTree.Element:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        assert archive.namelist() == ["[Content_Types].xml", "_rels/.rels", MODEL]
        for name in archive.namelist():
            ElementTree.fromstring(archive.read(name))
        return ElementTree.fromstring(archive.read(MODEL))


def test_every_part_is_an_object_with_its_mesh_in_millimetres() -> None:
    root = read(threemf(model()))
    assert root.get("unit") == "millimeter"
    objects = root.findall(f".//{tag('object')}")
    assert [o.get("name") for o in objects] == list(parts())
    ids = [o.get("id") for o in objects]
    assert len(set(ids)) == len(ids)
    assert [item.get("objectid") for item in root.findall(f".//{tag('item')}")] == ids
    for found, (_, _, _, mesh) in zip(objects, parts().values(), strict=True):
        vertices = [[float(v.get(k, "nan")) for k in "xyz"] for v in found.iter(tag("vertex"))]
        triangles = [
            [int(t.get(k, "-1")) for k in ("v1", "v2", "v3")] for t in found.iter(tag("triangle"))
        ]
        assert np.array(vertices) == pytest.approx(mesh.vertices, abs=6e-6)
        assert triangles == mesh.triangles.tolist()


def test_materials_are_named_once_and_each_object_points_to_its_own() -> None:
    root = read(threemf(model()))
    bases = [(b.get("name"), b.get("displaycolor")) for b in root.iter(tag("base"))]
    assert len(set(bases)) == len(bases)
    assert {name for name, _ in bases} == {'a "metal" & co'}
    for found, (_, _, colour, _) in zip(root.iter(tag("object")), parts().values(), strict=True):
        assert bases[int(found.get("pindex", "-1"))][1] == colour.upper()


def test_a_place_is_a_transform_for_points_as_rows() -> None:
    """3MF core specification, section 3.3 (from memory): m00 m01 m02 m10 … m32, the last three the shift."""
    turn = np.radians(30)
    c, s = np.cos(turn), np.sin(turn)
    place = np.array([[c, -s, 0.0, 5.0], [s, c, 0.0, 6.0], [0.0, 0.0, 1.0, 7.0]])
    root = read(threemf(model(), places={"block_a": place}))
    items = root.findall(f".//{tag('item')}")
    given = {name: item.get("transform") for name, item in zip(parts(), items, strict=True)}
    assert [name for name, said in given.items() if said] == ["block_a"]
    m = np.array([float(n) for n in str(given["block_a"]).split()]).reshape(4, 3)
    point = np.array([1.0, 2.0, 3.0])
    assert np.array([*point, 1.0]) @ m == pytest.approx(
        place[:, :3] @ point + place[:, 3], abs=1e-6
    )


def test_titles_are_escaped_and_the_caution_is_there() -> None:
    bike = hardtail_layout()
    spec = bike.spec.model_copy(update={"name": "<b> & 'co'"})
    root = read(threemf(replace(model(), bike=replace(bike, spec=spec))))
    said = {m.get("name"): m.text for m in root.iter(tag("metadata"))}
    assert said["Title"] == "<b> & 'co'"
    assert said["Description"] == CAUTION
    other = read(threemf(model(), title="Another"))
    assert {m.get("name"): m.text for m in other.iter(tag("metadata"))}["Title"] == "Another"


def test_the_same_bytes_and_a_date_from_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    assert threemf(model()) == threemf(model())
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    with zipfile.ZipFile(io.BytesIO(threemf(model()))) as archive:
        assert {info.date_time for info in archive.infolist()} == {(2023, 11, 14, 22, 13, 20)}
