"""The light model: closed surfaces of the right size where the exact model has its parts."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pygltflib
import pytest
import trimesh

from frame3d.live.model_store import light_picture
from frame3d.live.preview import Named, light_glb, packed, surfaces_of
from frame3d.live.solved_text import SolvedText, good
from frame3d.looks.surfaces import shape_surface, tube_surface
from frame3d.report.meshes import meshes_of
from frame3d.report.texts import texts
from frame3d.solids.bodies import bodies
from tests.looks.test_surfaces import outward, volume

CONFIGS = Path(__file__).parents[2] / "configs"


@pytest.fixture(scope="module", params=["trail_hardtail_29", "trail_full_140"])
def demo(request: pytest.FixtureRequest) -> SolvedText:
    file = CONFIGS / f"{request.param}.yaml"
    return good(file.read_text(encoding="utf-8"), file.name)


def surfaces(bike: SolvedText) -> list[Named]:
    return surfaces_of(bike.scene, bodies(bike.bike))


def test_surfaces_are_closed(demo: SolvedText) -> None:
    """As an independent library sees them: no cracks where facets meet."""
    shapes = [shape_surface(p.shape) for body in demo.scene.bodies for p in body.shapes]
    tubes = [
        tube_surface(t.axis, t.section.s, t.section.height, t.section.width)
        for t in demo.bike.tubes
    ]
    for surface in (*shapes, *tubes):
        mesh = trimesh.Trimesh(surface.points.round(4), surface.corners, process=True)
        mesh.update_faces(mesh.nondegenerate_faces())
        assert mesh.is_watertight


def test_every_part_is_where_the_exact_model_has_it(demo: SolvedText) -> None:
    """Names alike; the light box holds the exact one, but for facets, and is larger by what cuts take."""
    exact = meshes_of(demo.bike, demo.scene.parts).glb
    boxes = boxes_of(exact)
    light = dict(surfaces(demo))
    assert set(light) == {name for name in boxes if not name.startswith("look-")}
    for name, surface in light.items():
        assert outward(surface), name
        assert volume(surface) > 0, name
        low, high = boxes[name]
        out = np.maximum(low - surface.points.min(axis=0), surface.points.max(axis=0) - high)
        within = np.minimum(low - surface.points.min(axis=0), surface.points.max(axis=0) - high)
        assert within.min() > -3, name
        assert out.max() < max(40.0, 0.3 * max(high - low)), name


def boxes_of(glb: bytes) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Least and greatest coordinates of each node in the frame's axes [mm]."""
    read = pygltflib.GLTF2().load_from_bytes(glb)
    out = {}
    for node in read.nodes:
        accessor = read.accessors[read.meshes[node.mesh].primitives[0].attributes.POSITION]
        # glTF: x left, y up, z forward (3.4); ours: x forward, y left, z up.
        low, high = (1000 * np.array(v)[[2, 0, 1]] for v in (accessor.min, accessor.max))
        out[node.name] = (low, high)
    return out


def test_the_file_is_sound_for_an_independent_reader(demo: SolvedText) -> None:
    glb = light_glb(demo.scene, bodies(demo.bike), {})
    boxes = boxes_of(glb)
    for name, surface in surfaces(demo):
        low, high = boxes[name]
        assert low == pytest.approx(surface.points.min(axis=0), abs=1e-3)
        assert high == pytest.approx(surface.points.max(axis=0), abs=1e-3)
    read = pygltflib.GLTF2().load_from_bytes(glb)
    (buffer,) = read.buffers
    ends = [(v.byteOffset or 0) + v.byteLength for v in read.bufferViews]
    assert max(ends) == buffer.byteLength
    chunk = int.from_bytes(glb[12:16], "little") + 20  # where that of the buffer starts
    assert int.from_bytes(glb[chunk : chunk + 4], "little") == (buffer.byteLength + 3) // 4 * 4
    assert len(glb) % 4 == 0
    assert len(glb) < 1_000_000
    empty = pygltflib.GLTF2().load_from_bytes(packed([]))
    assert empty.nodes == []


def test_the_light_scene_lists_what_the_light_model_has(demo: SolvedText) -> None:
    picture = light_picture(demo, texts())
    names = [part["name"] for part in picture.scene["parts"]]
    assert sorted(names) == sorted(boxes_of(picture.glb))
    facts = [name for part in picture.scene["parts"] for name, _ in part["facts"]]
    assert texts()("facts.mass") not in facts
    assert texts()("facts.section") in facts
