"""Meshes: every part a node where it is drawn, masses as other ways weigh them, no CAD kernel."""

from __future__ import annotations

import json
import struct

import numpy as np
import pytest
import trimesh

from frame3d.bodies.body import Bodies
from frame3d.formats.assembly import mating_bodies
from frame3d.report.meshes import meshes_of
from frame3d.tubes.mass import masses_of
from tests.frames import hardtail as solid_hardtail
from tests.report.samples import hardtail


def nodes(data: bytes) -> list[str]:
    (length,) = struct.unpack_from("<I", data, 12)
    return [node["name"] for node in json.loads(data[20 : 20 + length])["nodes"]]


def test_every_part_is_a_node() -> None:
    bike = hardtail()
    carried = mating_bodies(bike.side.bodies)
    names = [part.name for part in bike.meshes.frame] + [body.name for body in carried]
    looks = [piece.key for look in bike.meshes.looks.values() for piece in look]
    assert nodes(bike.meshes.glb) == names + list(dict.fromkeys(looks))
    assert len(set(names)) == len(names)


def test_a_reader_finds_them_where_they_are_drawn() -> None:
    """trimesh: metres, y up; the tyres by their designation, 61-622 about the axles."""
    bike = hardtail()
    scene = trimesh.load(trimesh.util.wrap_as_stream(bike.meshes.glb), file_type="glb")
    for end in ("front", "rear"):
        low, high = scene.geometry[f"{end}_tyre"].bounds * 1000
        middle = bike.bike.nodes[f"{end}_axle"]
        # glTF's z, x, y are our x, y, z.
        assert (low + high)[[2, 0, 1]] / 2 == pytest.approx(middle, abs=0.5)
        assert high - low == pytest.approx([61, 744, 744], abs=1.0)


def test_the_frame_weighs_what_integrals_say() -> None:
    """Against the integrals along the tubes, which know nothing of meshes (vents: about 0.2 %)."""
    bike = hardtail()
    other = masses_of(bike.bike.frame).parts
    for name, grams in other.items():
        assert bike.meshes.grams[name] == pytest.approx(grams, rel=6e-3), name
    assert bike.meshes.centre is not None


def test_the_frame_weighs_what_the_solids_weigh() -> None:
    """Against the CAD kernel's volumes, dropouts and vents included."""
    model = solid_hardtail()
    made = meshes_of(model.bike, Bodies((), ()))
    for part in model.parts:
        assert made.grams[part.name] == pytest.approx(part.mass, rel=1e-3), part.name
    assert made.centre is not None
    assert np.linalg.norm(np.subtract(made.centre, model.centre)) < 0.05
