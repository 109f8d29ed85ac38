"""STL bytes: layout, closed surface, what cannot be exported."""

from __future__ import annotations

import io
import struct
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

from frame3d.errors import OutputError, SolidError
from frame3d.formats import write_all
from frame3d.formats.stl import RECORD, DisagreementError, encode, hold, is_closed, stl
from frame3d.solids import make
from frame3d.solids.body_meshes import MeshError
from frame3d.solids.mesh import Mesh
from tests.frames import bar, context

TETRAHEDRON = Mesh(
    np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]]),
    np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]]),
)


def test_tetrahedron_byte_by_byte() -> None:
    data = encode(TETRAHEDRON)
    assert len(data) == 84 + 4 * 50
    assert not data.startswith(b"solid")  # which readers take for the text format
    assert b"no claim about strength" in data[:80]
    assert struct.unpack("<I", data[80:84]) == (4,)
    records = np.frombuffer(data[84:], dtype=RECORD)
    a, b, c = (records["corners"][:, i].astype(float) for i in range(3))
    assert np.einsum("ij,ij->", a, np.cross(b, c)) / 6 == pytest.approx(1 / 6)
    slanted = records["normal"][np.abs(records["normal"]).min(axis=1) > 0.1]
    assert slanted == pytest.approx(np.full((1, 3), 3**-0.5))


def test_closed_and_open() -> None:
    assert is_closed(TETRAHEDRON.triangles)
    assert not is_closed(TETRAHEDRON.triangles[:3])
    turned = TETRAHEDRON.triangles.copy()
    turned[0] = turned[0][::-1]
    assert not is_closed(turned)


def test_vertices_that_32_bits_cannot_tell_apart_are_welded() -> None:
    """1000 mm out, 32-bit numbers are 6e-5 mm apart: a facet thinner than that goes."""
    far = TETRAHEDRON.vertices + 1000.0
    vertices = np.vstack([far, far[3] + [0, 0, 1e-6]])
    triangles = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 4], [0, 4, 2], [1, 2, 4], [1, 4, 3]])
    assert is_closed(triangles)
    assert len(encode(Mesh(vertices, triangles))) == 84 + 4 * 50


def test_surfaces_closer_than_32_bits_can_tell_stay_apart() -> None:
    """Two tetrahedra that turn the same upright edge to each other, 1e-6 mm apart: welded, that edge would
    carry four faces.
    """
    turned = TETRAHEDRON.vertices * [-1.0, -1.0, 1.0] + [1e-6, 0.0, 0.0]
    vertices = np.vstack([TETRAHEDRON.vertices, turned]) + 1000.0
    triangles = np.vstack([TETRAHEDRON.triangles, TETRAHEDRON.triangles + 4])
    assert is_closed(triangles)
    read = trimesh.load(io.BytesIO(encode(Mesh(vertices, triangles))), file_type="stl")
    assert len(read.vertices) == 8
    assert read.is_watertight
    assert read.volume == pytest.approx(2 / 6, rel=1e-3)


def test_a_surface_that_does_not_stay_closed() -> None:
    with pytest.raises(MeshError, match="closed"):
        encode(Mesh(TETRAHEDRON.vertices, TETRAHEDRON.triangles[:3]))


def test_loose_tubes_are_a_shell_each() -> None:
    tubes = {n: bar(30.0, (x, 0, 0), (x, 0, 100), 1.0) for n, x in (("one", 0), ("two", 90))}
    data = stl(make(context(tubes)))
    shells = trimesh.load(io.BytesIO(data), file_type="stl").split(only_watertight=False)
    assert len(shells) == 2
    assert all(shell.is_watertight for shell in shells)


def test_parts_that_lie_in_one_another_are_named() -> None:
    """Two in one place have metal twice; a whole that is one of them would say nothing of it."""
    model = make(context({"post": bar(30.0, (-20, 0, 0), (-20, 0, 300), 1.0)}))
    (mesh,) = model.meshes.values()
    with pytest.raises(SolidError, match="post and copy lie in one another: 27332 mm³"):
        hold(replace(model, bodies=(*model.bodies, replace(model.bodies[0], name="copy"))), mesh,
             {"post": mesh, "copy": mesh})  # fmt: skip


def test_metal_lost_is_a_fault_of_ours_and_nothing_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from frame3d.formats import stl as module

    tubes = {n: bar(30.0, (x, 0, 0), (x, 0, 100), 1.0) for n, x in (("one", 0), ("two", 90))}
    model = make(context(tubes))
    monkeypatch.setattr(module, "frame_mesh", lambda *_: model.meshes["one"])
    with pytest.raises(DisagreementError, match="9111 mm³ of metal where its parts have 18221 mm³"):
        write_all(model, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_surface_that_breaks_is_an_output_error(monkeypatch: pytest.MonkeyPatch) -> None:
    from frame3d.formats import stl as module

    broken = Mesh(TETRAHEDRON.vertices, TETRAHEDRON.triangles[:3])
    monkeypatch.setattr(module, "frame_mesh", lambda *_: broken)
    monkeypatch.setattr(module, "hold", lambda *_: None)
    with pytest.raises(OutputError, match="stay closed") as error:
        stl(make(context({"one": bar(30.0, (0, 0, 0), (0, 0, 100), 1.0)})))
    assert error.value.faults[0].code == "output"
    assert error.value.faults[0].hint
