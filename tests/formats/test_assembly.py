"""Assembly: names, colours and places of frame and mating parts in STEP and GLB."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from frame3d.bodies.motion.pose import Pose, placed_matrix
from frame3d.formats.assembly import assembly_glb, assembly_step, mating_bodies
from frame3d.solids import FrameModel, make
from tests.bodies.bike import bodies, body, layout
from tests.formats.gltf import Gltf

POSE = Pose(fork=60, steer=25, crank=40, heel=5)


@cache
def model() -> FrameModel:
    return make(layout())


@cache
def step_text() -> str:
    return assembly_step(model(), bodies(), POSE).decode("ascii")


@cache
def glb_bytes() -> bytes:
    return assembly_glb(model(), bodies(), POSE)


@cache
def gltf() -> Gltf:
    return Gltf(glb_bytes())


def box_of(name: str) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Bounding box of a node in the frame's axes [mm]."""
    places = gltf().placed(name)
    return places.min(axis=0), places.max(axis=0)


def test_glb_has_a_node_for_each_part_by_its_name() -> None:
    expected = [p.name for p in model().parts] + [b.name for b in mating_bodies(bodies())]
    assert [n["name"] for n in gltf().document["nodes"]] == expected
    assert len(set(expected)) == len(expected)
    assert "crank_swept_left" not in expected
    assert "saddle_dropped" not in expected


def test_glb_parts_stand_at_the_pose() -> None:
    """Tyre's box about its axle where steering and travel have taken it."""
    centre = placed_matrix(body("front_tyre").shapes[0], POSE)[:3, 3]
    low, high = box_of("front_tyre")
    assert (low + high) / 2 == pytest.approx(centre, abs=0.2)
    pedal = placed_matrix(body("pedal_left").shapes[0], POSE)[:3, 3]
    low, high = box_of("pedal_left")
    assert (low + high) / 2 == pytest.approx(pedal, abs=0.01)
    assert high - low == pytest.approx((100, 100, 18), abs=0.01)


def test_glb_materials_are_the_bodies_colours() -> None:
    document = gltf().document
    for b in mating_bodies(bodies()):
        node = next(n for n in document["nodes"] if n["name"] == b.name)
        primitive = document["meshes"][node["mesh"]]["primitives"][0]
        assert document["materials"][primitive["material"]]["name"] == b.colour


def test_step_has_a_product_for_each_part() -> None:
    """Frame parts as in frame.step; mating parts by name; each cog a product of its own."""
    text = step_text()
    for b in mating_bodies(bodies()):
        names = [b.name] if b.name != "cassette" else [f"cassette_{i}" for i in range(1, 13)]
        for name in names:
            assert f"MANIFOLD_SOLID_BREP('{name}'" in text, name
    assert "MANIFOLD_SOLID_BREP('down_tube'" in text
    assert "crank_swept" not in text


def test_step_is_coloured_part_by_part() -> None:
    """As many styled solids as solids."""
    text = step_text()
    assert text.count("STYLED_ITEM('color'") == text.count("MANIFOLD_SOLID_BREP('")


def test_the_same_bytes_every_time() -> None:
    assert assembly_glb(model(), bodies(), POSE) == glb_bytes()
    assert assembly_step(model(), bodies(), POSE).decode("ascii") == step_text()


def test_the_frames_own_files_are_left_alone() -> None:
    assert [p.name for p in model().parts] == list(model().meshes)
    assert not {p.name for p in model().parts} & {b.name for b in mating_bodies(bodies())}
