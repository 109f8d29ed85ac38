"""geometry.json: complete, consistent, plain data."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from frame3d.bike.solve import solve
from frame3d.caution import CAUTION
from frame3d.formats import document_of
from frame3d.formats.documents import dumps
from frame3d.formats.geometry_json import geometry_document
from tests.bikes import hardtail_layout
from tests.frames import hardtail
from tests.with_mount import BEHIND, POST, RACK, with_mount


@pytest.fixture(scope="module")
def document() -> Any:
    return json.loads(dumps(document_of(hardtail())))


def test_top_level(document: Any) -> None:
    assert list(document)[:3] == ["name", "format", "units"]
    assert document["name"] == "Trail hardtail 29"
    assert document["format"] == 1
    assert document["caution"] == CAUTION
    assert document["nodes"]["bottom_bracket"] == [0, 0, 0]
    for key in ("tubes", "nodes", "angle", "volume", "mass_g", "chart", "centre_of_mass"):
        assert key in document["units"]


def test_masses_add_up(document: Any) -> None:
    mass = document["mass"]
    assert sum(mass["parts_g"].values()) == pytest.approx(mass["total_g"])
    assert mass["total_g"] == pytest.approx(hardtail().mass, abs=1e-6)
    rows = [*document["tubes"], *document["dropouts"]]
    assert {row["name"]: row["mass_g"] for row in rows} | {
        "bottom_bracket": document["shell"]["mass_g"]
    } == pytest.approx(mass["parts_g"])
    for tube in document["tubes"]:
        assert tube["mass_g"] == pytest.approx(
            tube["volume"] * tube["density_g_cm3"] / 1000, rel=1e-9
        )


def test_tubes(document: Any) -> None:
    layout = hardtail_layout()
    assert [t["name"] for t in document["tubes"]] == [t.name for t in layout.tubes]
    down = next(t for t in document["tubes"] if t["name"] == "down_tube")
    assert (down["from"], down["to"]) == ("bottom_bracket", "head_tube")
    assert down["start"]["cut"] == "mitre"
    assert down["cut_length"] == pytest.approx(
        down["axis"]["length"] - down["start"]["long_point"] - down["end"]["long_point"]
    )
    assert down["section"]["wall"][0] == 0.9


def test_without_solids() -> None:
    plain = geometry_document(hardtail_layout())
    assert plain["mass"] is None
    assert "mass_g" not in plain["tubes"][0]
    json.loads(dumps(plain))


def test_a_brake_mount_on_a_dropout() -> None:
    bike = solve(with_mount(POST | RACK, "plain"))
    left, right = json.loads(dumps(geometry_document(bike, None)))["dropouts"]
    assert [eye["name"] for eye in (*left["eyes"], *right["eyes"])] == ["rack", "rack"]
    assert "mount" not in right
    mount = left["mount"]
    assert (mount["kind"], mount["apart"], mount["caliper"]) == ("post_mount", 74.2, BEHIND)
    faces = [block["face"] for block in mount["blocks"]]
    assert math.dist(*faces) == pytest.approx(74.2, abs=1e-3)
