"""Models: every bike's surfaces as by itself, equal ones once, all nodes there."""

from __future__ import annotations

import json
import struct
from typing import Any

import pytest

from frame3d.report.comparing.models import models
from frame3d.report.meshes import meshes_of
from frame3d.report.texts import texts
from tests.report.comparing.samples import sizes


def nodes(glb: bytes) -> list[str]:
    """Names of the nodes of a GLB, from its JSON chunk (glTF 2.0, section 4.4)."""
    (length,) = struct.unpack_from("<I", glb, 12)
    document: dict[str, Any] = json.loads(glb[20 : 20 + length])
    return [node["name"] for node in document["nodes"]]


def named(scene: dict[str, Any]) -> list[str]:
    """Nodes that a scene asks for."""
    own = [part["node"] for part in scene["parts"]]
    return own + [look["node"] for part in scene["parts"] for look in part.get("looks", ())]


def test_all_nodes_are_there_once_and_shared() -> None:
    said: list[str] = []
    made = models(sizes(), texts(), lambda what, _: said.append(what))
    assert said == ["model of S drawn", "model of L", "model of S long"]
    there = nodes(made.glb)
    assert len(set(there)) == len(there)
    asked = [set(named(scene)) for scene in made.scenes]
    assert set().union(*asked) == set(there)
    # Another size has the same tyres and legs elsewhere: only tubes of its frame are its own.
    frame = {part["node"] for part in made.scenes[1]["parts"] if part["group"] == "frame"}
    assert asked[1] - asked[0] <= frame
    assert len(asked[0] & asked[1]) > 0.5 * len(asked[0])
    bike, scene = sizes().members[0].bike, sizes().measured[0].scene
    own = dict(meshes_of(bike, scene.parts, quick_outlines=True).surfaces)
    for part in made.scenes[0]["parts"]:
        assert part["shift"] == pytest.approx(own[part["name"]].points[0], abs=2.0)
    assert all(scene["checks"] == [] for scene in made.scenes)
    assert [pose["key"] for pose in made.poses[0]] == ["static", "sag", "bottom_out"]
