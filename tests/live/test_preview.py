"""The light model: closed surfaces of the right size where the exact model has its parts."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pygltflib
import pytest
import trimesh

from frame3d.bodies.body import Bodies
from frame3d.bodies.shapes import Shape, box, capsule, cylinder, disc, ring, torus
from frame3d.geometry.centreline import Centreline, Line
from frame3d.live.model_store import HELD, ModelStore, light_picture
from frame3d.live.preview import Named, light_glb, packed, surfaces_of
from frame3d.live.preview_surfaces import ROUND, Surface, shape_surface, sharp, tube_surface
from frame3d.live.solved_text import SolvedText, good
from frame3d.report.meshes import meshes_of
from frame3d.report.texts import texts
from frame3d.solids.bodies import bodies

CONFIGS = Path(__file__).parents[2] / "configs"
PI = np.pi


@pytest.fixture(scope="module", params=["trail_hardtail_29", "trail_full_140"])
def demo(request: pytest.FixtureRequest) -> SolvedText:
    file = CONFIGS / f"{request.param}.yaml"
    return good(file.read_text(encoding="utf-8"), file.name)


def surfaces(bike: SolvedText) -> list[Named]:
    return surfaces_of(bike.scene, bodies(bike.bike))


def volume(surface: Surface) -> float:
    """Enclosed, by the divergence theorem [mm³]."""
    a, b, c = (surface.points[surface.corners[:, i]] for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def outward(surface: Surface) -> bool:
    """Whether triangles run anticlockwise as seen from where their normals point, and these are unit."""
    a, b, c = (surface.points[surface.corners[:, i]] for i in range(3))
    faces = np.cross(b - a, c - a)
    real = np.linalg.norm(faces, axis=1) > 1e-6
    along = np.einsum("ij,ij->i", faces, surface.normals[surface.corners].mean(axis=1))
    return bool((along[real] > 0).all()) and np.allclose(np.linalg.norm(surface.normals, axis=1), 1)


@pytest.mark.parametrize(
    ("shape", "exact"),
    [
        (torus(300, 30), 2 * PI**2 * 300 * 30**2),
        (ring([(280, -10), (300, -10), (300, 10), (280, 10)]), PI * (300**2 - 280**2) * 20),
        (cylinder(25, -5, 40), PI * 25**2 * 45),
        (disc([(0, -4), (70, -4), (90, 2), (0, 2)]), PI * (4**2 * 0 + 6 / 3 * (70**2 + 70 * 90 + 90**2))),
        (box(30, 40, 50), 30 * 40 * 50),
        (box(30, 40, 50, 8), 14 * 24 * 34 + 2 * 8 * (14 * 24 + 24 * 34 + 14 * 34) + PI * 64 * (14 + 24 + 34) + 4 / 3 * PI * 512),
        (capsule(100, 20), PI * 400 * 100 + 4 / 3 * PI * 8000),
        (capsule(0, 20), 4 / 3 * PI * 8000),
        (capsule(60, 20, 10), None),
    ],
    ids=["torus", "ring", "cylinder", "disc", "box", "rounded", "capsule", "sphere", "cone"],
)  # fmt: skip
def test_shapes_enclose_their_volumes(shape: Shape, exact: float | None) -> None:
    """Closed forms of solid geometry; for two spheres' hull its frustum and two caps.

    Inscribed facets are smaller than what they stand for: by 9 % for a sphere of 16 by 6 facets.
    """
    if exact is None:
        # Tangent circles of the cone: radius r cos φ at r sin φ, sin φ = (20 - 10) / 60.
        sin = 10 / 60
        cos = np.sqrt(1 - sin**2)
        low, high, long = 20 * cos, 10 * cos, 60 + (10 - 20) * sin
        exact = PI * long / 3 * (low**2 + low * high + high**2)
        for r, h in ((20, 20 + 20 * sin), (10, 10 - 10 * sin)):
            exact += PI * h**2 * (3 * r - h) / 3
    surface = shape_surface(shape)
    assert 0.9 * exact < volume(surface) < 1.0001 * exact
    assert outward(surface)


def test_a_box_s_corners_are_exact() -> None:
    surface = shape_surface(box(30, 40, 50))
    assert volume(surface) == pytest.approx(30 * 40 * 50)
    assert np.abs(surface.points).max(axis=0) == pytest.approx([15, 20, 25])


def test_an_oval_tapered_tube_and_a_bar() -> None:
    axis = Centreline((Line((0.0, 0.0, 0.0), (300.0, 0.0, 400.0)),))
    tube = tube_surface(axis, (0.0, 500.0), (40.0, 20.0), (30.0, 20.0))
    # Area π/4 h w, h and w linear: Simpson's rule is exact.
    exact = PI / 4 * 500 / 6 * (40 * 30 + 4 * 30 * 25 + 20 * 20)
    # Of an inscribed polygon with n corners: n / 2π sin(2π / n) of its circle's area.
    assert volume(tube) == pytest.approx(
        exact * ROUND / (2 * PI) * np.sin(2 * PI / ROUND), rel=1e-9
    )
    assert outward(tube)
    bar = tube_surface(axis, (0.0, 500.0), (10.0, 10.0), (4.0, 4.0), box=True)
    assert volume(bar) == pytest.approx(10 * 4 * 500)
    assert outward(bar)


def test_sharp_edges_of_plain_shapes() -> None:
    """Twelve of a box; two rims of a cylinder; none of a ball or a tyre, which are smooth."""
    assert len(shape_surface(box(30, 40, 50)).edges) == 12
    rims = shape_surface(cylinder(25, -5, 40))
    ends = rims.points[rims.edges].reshape(-1, 3)
    assert np.hypot(ends[:, 0], ends[:, 2]) == pytest.approx(25)
    assert sorted(set(ends[:, 1].round(6))) == [-5, 40]
    assert (np.unique(rims.edges, return_counts=True)[1] == 2).all()
    for smooth in (capsule(0, 20), torus(300, 30), box(30, 40, 50, 8)):
        assert len(shape_surface(smooth).edges) == 0


@pytest.mark.parametrize("box", [False, True])
def test_a_tube_s_edges_are_those_that_its_faces_have(box: bool) -> None:
    axis = Centreline((Line((0.0, 0.0, 0.0), (300.0, 0.0, 400.0)),))
    tube = tube_surface(axis, (0.0, 200.0, 500.0), (40.0, 30.0, 20.0), (30.0, 30.0, 20.0), box=box)

    def lines(edges: np.ndarray) -> set[frozenset[tuple[float, ...]]]:
        ends = tube.points[edges].round(6).tolist()
        return {frozenset(map(tuple, pair)) for pair in ends}

    assert lines(tube.edges) == lines(sharp(tube.points, tube.normals, tube.corners))
    assert len(lines(tube.edges)) == (16 if box else 2 * ROUND)


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
    exact = meshes_of(demo.bike, Bodies(demo.scene.bodies, demo.scene.absent)).glb
    boxes = boxes_of(exact)
    light = dict(surfaces(demo))
    assert set(light) == set(boxes)
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
    glb = light_glb(demo.scene, bodies(demo.bike))
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


def test_a_shelf_holds_the_newest_and_what_is_fixed() -> None:
    shelf = ModelStore()
    first = shelf.put(b"first")
    shelf.fix(first)
    numbers = [shelf.put(bytes([i])) for i in range(HELD + 3)]
    assert shelf.get(first) == b"first"
    assert shelf.get(numbers[0]) is None
    assert shelf.get(numbers[-1]) == bytes([HELD + 2])
    shelf.fix()
    shelf.put(b"last")
    assert shelf.get(first) is None
