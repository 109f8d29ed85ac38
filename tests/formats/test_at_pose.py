"""Every file at a pose: what is on a link is where the link has taken it, and the rest is as drawn."""

from __future__ import annotations

import io
import json
import re
import zipfile
from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import trimesh

import frame3d
from frame3d.bodies.motion.pose import Pose
from frame3d.formats.geometry_json import geometry_document
from frame3d.formats.standing import link_motions
from frame3d.formats.step import step
from frame3d.formats.stl import stl
from frame3d.formats.threemf import CORE, MODEL
from frame3d.solids import make
from tests.formats.suspended import POSE, glb, layout, model
from tests.frames import bar, context


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """All files as a script writes them."""
    out = tmp_path_factory.mktemp("posed")
    at = f"rear={POSE.rear:g},fork={POSE.fork:g},steer={POSE.steer:g},crank={POSE.crank:g}"
    frame3d.export(model(), out, at=at)
    return out


@cache
def step_texts() -> tuple[str, str]:
    """The frame as drawn and at the pose."""
    motions = link_motions(layout(), POSE)
    return step(model()).decode(), step(model(), motions).decode()


def flat(text: str) -> str:
    """STEP statements on one line each."""
    return re.sub(r"\n\s*", "", text)


def test_export_takes_a_pose_as_the_command_line_does(folder: Path, tmp_path: Path) -> None:
    assert (folder / "frame.glb").read_bytes() == glb().data
    assert (folder / "frame.step").read_text() == step_texts()[1]
    with pytest.raises(frame3d.FrameError, match="did you mean rear"):
        frame3d.export(model(), tmp_path / "none", at="raer=3")
    assert not (tmp_path / "none").exists()


def test_step_has_a_sub_assembly_a_link() -> None:
    """Occurrences are listed parent by parent: the link's parts follow the link's own."""
    for text in step_texts():
        products = re.findall(r"= PRODUCT\('([^']*)'", text)
        occurrences = re.findall(
            r"= NEXT_ASSEMBLY_USAGE_OCCURRENCE\('\d+','([^']*)',''?[^,]*,#(\d+),#(\d+)", flat(text)
        )
        parents: dict[str, set[str]] = {}
        for name, parent, _ in occurrences:
            parents.setdefault(parent, set()).add(name)
        by_link = {part.link: set[str]() for part in model().parts}
        for part in model().parts:
            by_link[part.link].add(part.name)
        by_link[None] |= {link for link in by_link if link is not None}
        assert sorted(map(sorted, parents.values())) == sorted(map(sorted, by_link.values()))
        assert {"frame", "chainstay_link", "seatstay_link"} <= set(products)
        assert text.count("= MANIFOLD_SOLID_BREP('',") == 0  # all named, so all coloured
        assert text.count("= STYLED_ITEM(") == text.count("= MANIFOLD_SOLID_BREP(")


def test_step_places_links_and_leaves_products_alone() -> None:
    """Between two poses only points and directions of placements differ."""
    drawn, posed = (text.splitlines() for text in step_texts())
    assert len(drawn) == len(posed)
    differ = [b for a, b in zip(drawn, posed, strict=True) if a != b]
    links = {part.link for part in model().parts} - {None}
    assert 0 < len(differ) <= 3 * len(links)
    assert all("CARTESIAN_POINT" in line or "DIRECTION" in line for line in differ)


def test_a_link_named_as_a_part() -> None:
    """Its sub-assembly gets another name."""
    bare = make(context({"mast": bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)}))
    linked = replace(bare, parts=(replace(bare.parts[0], link="mast"),))
    products = re.findall(r"= PRODUCT\('([^']*)'", step(linked).decode())
    assert sorted(products) == ["frame", "mast", "mast_link"]


def test_stl_moves_each_link_whole(folder: Path) -> None:
    """Volume as drawn; centre of volume as that of the parts, each moved."""
    drawn = trimesh.load(io.BytesIO(stl(model())), file_type="stl")
    posed = trimesh.load(folder / "frame.stl")
    assert posed.is_watertight
    assert len(posed.faces) == len(drawn.faces)
    assert posed.volume == pytest.approx(drawn.volume, rel=1e-6)
    motions = link_motions(layout(), POSE)
    total = np.zeros(3)
    for part in model().parts:
        motion = np.eye(4) if part.link is None else motions[part.link]
        total += part.volume * (motion @ (*part.centre, 1.0))[:3]
    assert posed.center_mass == pytest.approx(total / model().volume, abs=0.3)
    assert np.abs(posed.center_mass - drawn.center_mass).max() > 5


def test_3mf_has_parts_where_links_have_them(folder: Path) -> None:
    with zipfile.ZipFile(folder / "frame.3mf") as package:
        root = ElementTree.fromstring(package.read(MODEL))
    name = f"{{{CORE}}}"
    motions = link_motions(layout(), POSE)
    seen = 0
    for item in root.iter(f"{name}object"):
        part = model().part(item.attrib["name"])
        found = [[float(v.attrib[k]) for k in "xyz"] for v in item.iter(f"{name}vertex")]
        drawn = model().meshes[part.name].vertices
        motion = np.eye(4) if part.link is None else motions[part.link]
        goal = np.column_stack([drawn, np.ones(len(drawn))]) @ motion.T
        assert np.array(found) == pytest.approx(goal[:, :3], abs=2e-5)
        seen += 1
    assert seen == len(model().parts)


def test_assembly_has_wheels_with_their_link(folder: Path) -> None:
    """The rear wheel, its brake and its cogs are among the products of the link that carries them."""
    text = flat((folder / "assembly.step").read_text())
    occurrences = re.findall(
        r"= NEXT_ASSEMBLY_USAGE_OCCURRENCE\('\d+','([^']*)',''?[^,]*,#(\d+),#\d+", text
    )
    parent = dict(occurrences)
    assert parent["rear_tyre"] == parent["rear_caliper"] == parent["cassette_1"]
    assert parent["rear_tyre"] == parent["seatstay_left"] != parent["chainstay_left"]
    assert parent["front_tyre"] == parent["down_tube"] == parent["shock_body_1"]


def test_geometry_says_the_pose_and_every_link(folder: Path) -> None:
    document = json.loads((folder / "geometry.json").read_text())
    moved = {"rear": 70, "fork": 40, "steer": 20, "crank": 30}
    assert document["pose"] == dict.fromkeys(document["units"]["pose"], 0) | moved
    assert document["units"]["pose"]["rear"] == "mm"
    assert document["units"]["pose"]["steer"] == "degrees"
    links = {t["name"]: t["link"] for t in [*document["tubes"], *document["dropouts"]]}
    assert links["down_tube"] is None
    assert links["chainstay_right"] == "chainstay_link"
    assert links["rear_dropout_left"] == "seatstay_link"
    motions = link_motions(layout(), POSE)
    for link in document["links"]:
        assert link["motion"] == pytest.approx(motions[link["name"]], abs=1e-8)
        assert link["parts"] == [p.name for p in model().parts if p.link == link["name"]]
    # Figures and tubes are as drawn, whatever the pose.
    drawn = geometry_document(layout())
    assert document["nodes"]["rear_axle"] == pytest.approx(drawn["nodes"]["rear_axle"])
    assert drawn["links"][0]["parts"][:2] == ["chainstay_left", "chainstay_right"]
    assert drawn["pose"]["rear"] == 0
    assert np.array([link["motion"] for link in drawn["links"]]) == pytest.approx(
        np.broadcast_to(np.eye(4), (len(drawn["links"]), 4, 4))
    )


def test_geometry_weighs_pivots_too(folder: Path) -> None:
    """Every part of the frame is in one of the lists, with its mass."""
    document = json.loads((folder / "geometry.json").read_text())
    rows = [*document["tubes"], *document["dropouts"], *document["pivots"]]
    masses = {row["name"]: row["mass_g"] for row in rows}
    masses["bottom_bracket"] = document["shell"]["mass_g"]
    assert masses == pytest.approx(document["mass"]["parts_g"])
    kinds = {row["kind"]: row for row in document["pivots"]}
    assert set(kinds) == {"housing", "lug", "link plate"}
    assert kinds["link plate"]["link"] == "rocker"
    assert {b["pivot"] for b in kinds["link plate"]["bosses"]} <= set(layout().linkage.drawn)


def test_as_drawn_is_as_no_pose_at_all() -> None:
    assert step(model(), link_motions(layout(), Pose(fork=30))).decode() == step_texts()[0]
