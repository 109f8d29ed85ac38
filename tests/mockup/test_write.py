from __future__ import annotations

import base64
import io
import json
import os
import re
import subprocess
import sys
import zlib
from pathlib import Path

import numpy as np
import pdfplumber
import pygltflib
import pytest
import trimesh

from frame3d.caution import CAUTION
from frame3d.mockup.howto import DISC, howto, spread
from frame3d.mockup.options import DENSITIES
from frame3d.mockup.steps import steps
from frame3d.mockup.write import DOCUMENT, MANIFEST
from tests.mockup.samples import HARDTAIL, RIGID, laid, made
from tests.mockup.samples import written as made_files

ROOT = Path(__file__).parents[2]


def document() -> dict[str, object]:
    return made_files()[1]


def test_every_part_has_its_stl_and_every_plate_its_3mf() -> None:
    found, doc = made_files()
    parts, plates = doc["parts"], doc["plates"]
    assert [p["file"] for p in parts] == [n for n in found if n.endswith(".stl")]
    assert [p["file"] for p in plates] == [n for n in found if n.endswith(".3mf")]
    assert doc["files"] == [*found, MANIFEST]
    assert {"assembly.glb", "howto.pdf", DOCUMENT} <= set(found)
    assert [p["number"] for p in parts] == list(range(1, len(parts) + 1))


@pytest.mark.parametrize("item", laid().parts, ids=lambda item: item.part.name)
def test_stl_read_by_trimesh(item: object) -> None:
    """As it lies: on z = 0, closed, the same solid."""
    name = f"part_{item.number:02d}_{item.part.name}.stl"  # type: ignore[attr-defined]
    data = made_files()[0][name]
    mesh = trimesh.load(io.BytesIO(data), file_type="stl")
    assert mesh.is_watertight
    assert mesh.body_count == 1
    assert mesh.volume == pytest.approx(item.mesh.volume, rel=1e-4)  # type: ignore[attr-defined]
    assert mesh.bounds[0] == pytest.approx([0.0, 0.0, 0.0], abs=1e-6)
    assert b"scale model" in data[:80]


def test_assembly_as_it_will_look() -> None:
    """Named nodes in metres, y up, where the parts stand, in their colours."""
    data = made_files()[0]["assembly.glb"]
    gltf = pygltflib.GLTF2().load_from_bytes(data)
    assert [node.name for node in gltf.nodes] == [p.name for p in made().parts]
    boxes = {p.name: np.array(p.solid.bounding_box()).reshape(2, 3) for p in made().parts}
    for node in gltf.nodes:
        primitive = gltf.meshes[node.mesh].primitives[0]
        accessor = gltf.accessors[primitive.attributes.POSITION]
        low, high = np.array(accessor.min), np.array(accessor.max)
        own = boxes[node.name][:, [1, 2, 0]] / 1000
        assert low == pytest.approx(own[0], abs=2e-6)
        assert high == pytest.approx(own[1], abs=2e-6)
        part = next(p for p in made().parts if p.name == node.name)
        assert gltf.materials[primitive.material].name == part.colour


def test_document() -> None:
    _, doc = made_files()
    assert doc["scale"] == pytest.approx(1 / 6)
    assert doc["ratio"] == "1:6"
    assert doc["caution"] == CAUTION
    for part in doc["parts"]:
        assert part["mass"] == pytest.approx(part["volume"] * DENSITIES["PLA"] / 1000)
        assert np.linalg.det(np.array(part["pose"])) == pytest.approx(1.0)
    assert doc["mass"] == pytest.approx(sum(p["mass"] for p in doc["parts"]))
    assert sum(doc["mass_by_colour"].values()) == pytest.approx(doc["mass"])
    assert sum(p["mass"] for p in doc["plates"]) == pytest.approx(doc["mass"])
    assert {e["part"] for e in doc["thickened"]} >= {"front_wheel", "rear_axle", "chainring"}
    assert all(e["by"] == pytest.approx(e["printed"] - e["scaled"]) for e in doc["thickened"])
    assert doc["balance"]["tips_at"] > 10
    size = doc["envelope"]
    assert size["length"] == pytest.approx(size["to"][0] - size["from"][0])
    json.loads(made_files()[0][DOCUMENT])


def test_places_on_plates_take_files_where_they_are_built() -> None:
    _, doc = made_files()
    for part in doc["parts"]:
        place = np.array(part["place"])
        corners = np.array([[x, y] for x in (0, part["lies"][0]) for y in (0, part["lies"][1])])
        moved = corners @ place[:2, :2].T + place[:2, 3]
        assert place[:3, :3] @ place[:3, :3].T == pytest.approx(np.eye(3), abs=1e-9)
        assert (moved > -60).all()


def pages(data: bytes) -> int:
    return data.count(b"/Type /Page\n") + data.count(b"/Type /Page ")


def text_of(data: bytes) -> str:
    """What the page says: its content stream is deflated, then in base 85."""
    (body,) = re.findall(rb"ASCII85Decode /FlateDecode.*?stream\s(.*?)~>", data, re.DOTALL)
    text = zlib.decompress(base64.a85decode(body)).decode("cp1252")
    return text.replace("\\(", "(").replace("\\)", ")")


def cut_document() -> tuple[dict[str, bytes], dict[str, object]]:
    return made_files(RIGID, bed="110x110x110")


@pytest.mark.parametrize("made_by", [made_files, cut_document], ids=["whole", "cut"])
def test_howto_is_one_page_with_every_part(made_by: object) -> None:
    found, doc = made_by()  # type: ignore[operator]
    data = found["howto.pdf"]
    assert data.startswith(b"%PDF")
    assert pages(data) == 1
    text = text_of(data)
    for part in doc["parts"]:
        assert part["name"].replace("_", " ") in text
    for plate in doc["plates"]:
        assert plate["file"] in text
    assert doc["name"] in text
    assert f"{doc['mass']:.0f} g of PLA" in text
    assert "Geometry only" in text


def test_howto_is_lettered_beyond_latin() -> None:
    _, doc = made_files()
    data = howto(made(), laid(), {**doc, "name": "Ж № 5"})
    with pdfplumber.open(io.BytesIO(data)) as read:
        assert "Ж № 5" in read.pages[0].extract_text()


def test_numbers_do_not_hide_each_other() -> None:
    """Forty discs at places that crowd: all apart, and no further away than they must."""
    places = [np.array([x, 0.3 * y]) for x in (0.0, 1.0, 30.0, 60.0) for y in range(10)]
    spots = np.array(spread(places))
    apart = np.linalg.norm(spots[:, None] - spots[None], axis=2)[~np.eye(40, dtype=bool)]
    assert apart.min() > 2 * DISC
    assert spots[0] == pytest.approx(places[0])
    assert np.linalg.norm(spots - np.array(places), axis=1).max() < 10 * DISC
    assert spread(places[:1])[0] is places[0]


def test_steps_name_every_part_but_pegs() -> None:
    for model, plates in (
        (made(), laid()),
        (made(RIGID, bed="110x110x110"), laid(RIGID, bed="110x110x110")),
    ):
        text = " ".join(steps(model, plates))
        numbers = {
            int(n)
            for piece in text.split("(")[1:]
            for n in piece.split(")")[0].split(", ")
            if n.isdigit()
        }
        for item in plates.parts:
            if not item.part.name.startswith("peg_"):
                assert item.number in numbers, item.part.name
    assert "same letter" in " ".join(
        steps(made(RIGID, bed="110x110x110"), laid(RIGID, bed="110x110x110"))
    )
    assert "same letter" not in " ".join(steps(made(), laid()))


def test_the_same_bytes_in_another_process(tmp_path: Path) -> None:
    environment = {
        **os.environ,
        "PYTHONHASHSEED": "7",
        "PYTHONPATH": str(ROOT),
        "TBB_NUM_THREADS": "1",
    }
    run = subprocess.run(
        [sys.executable, "-m", "frame3d", "mockup", str(HARDTAIL), "-q", "-o", str(tmp_path)],
        env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (run.returncode, run.stdout, run.stderr) == (0, "", "")
    found, _ = made_files()
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([*found, MANIFEST])
    for name, data in found.items():
        assert (tmp_path / name).read_bytes() == data, name
