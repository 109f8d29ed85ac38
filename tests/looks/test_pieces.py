"""Looks of whole bikes: within the outlines, closed, the same for the same sizes, quick to name."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
import trimesh

from frame3d.bodies.motion.pose import own_matrix
from frame3d.looks.piece import BEYOND, Piece
from frame3d.looks.pieces import looks_of, quick
from frame3d.looks.surfaces import Surface
from tests.looks.demos import COIL, DROPS, HARDTAIL, ODD, bike
from tests.looks.outside import outside
from tests.looks.test_surfaces import volume

BESIDE = {
    "stem": ("handlebar",),
    "seatpost": ("saddle",),
    "front_tyre": ("front_rim",),
    "rear_tyre": ("rear_rim",),
    "chainring": ("chain_round",),
    "cassette": ("chain_round",),
}
"""Parts whose looks reach into the outlines of others as well."""


@pytest.mark.parametrize("name", [HARDTAIL, COIL, DROPS, ODD])
def test_looks_stay_within_the_outlines_that_gaps_are_measured_on(name: str) -> None:
    solved, carried = bike(name)
    far = {}
    for part, pieces in looks_of(solved, carried).items():
        near = (part, *BESIDE.get(part, ()))
        shapes = tuple(s for b in carried.bodies if b.name.startswith(near) for s in b.shapes)
        for piece in pieces:
            if not piece.joins:
                points = piece.surface.moved(own_matrix(piece.on)).points
                far[part, piece.make.__name__] = float(outside(points, shapes).max())
    assert {what: by for what, by in far.items() if by > BEYOND} == {}
    assert {
        piece.on.mount for pieces in looks_of(solved, carried).values() for piece in pieces
    } <= {shape.mount for body in carried.bodies for shape in body.shapes}


def test_pieces_are_closed_and_face_outward() -> None:
    """As an independent library sees them; the section's hatching counts on it."""
    for name in (HARDTAIL, COIL, ODD):
        for piece in once(name).values():
            surface = piece.surface
            mesh = trimesh.Trimesh(surface.points.round(5), surface.corners, process=True)
            mesh.update_faces(mesh.nondegenerate_faces())
            assert mesh.is_watertight, piece
            assert volume(surface) > 0, piece
            # Knobs have normals of something rounder than they are.
            if piece.make.__name__ != "tread":
                assert inward(surface) < 3e-3, piece
            assert len(surface.points) < 2**16


def inward(surface: Surface) -> float:
    """Share of a surface whose normals point inward."""
    a, b, c = (surface.points[surface.corners[:, i]] for i in range(3))
    faces = np.cross(b - a, c - a)
    along = np.einsum("ij,ij->i", faces, surface.normals[surface.corners].mean(axis=1))
    return float(-along[along < 0].sum() / along[along > 0].sum())


def once(name: str) -> dict[str, Piece]:
    looks = looks_of(*bike(name))
    return {piece.key: piece for pieces in looks.values() for piece in pieces}


def test_what_is_alike_is_one_surface() -> None:
    """Left and right lowers, front and rear tyres of one size: made and sent once."""
    looks = looks_of(*bike(HARDTAIL))
    for a, b in (("fork_lower_left", "fork_lower_right"), ("front_tyre", "rear_tyre")):
        assert [piece.key for piece in looks[a]] == [piece.key for piece in looks[b]]
    assert looks["front_rim"][1].key != looks["rear_rim"][1].key, "spokes to another hub"
    again = looks_of(*bike(HARDTAIL))
    assert {n: [p.key for p in look] for n, look in again.items()} == {
        n: [p.key for p in look] for n, look in looks.items()
    }


def test_quick_looks_do_without_what_is_fine() -> None:
    """A quarter of the triangles less; a tyre keeps its casing, the cassette is its outline."""
    whole = looks_of(*bike(HARDTAIL))
    few = quick(whole)
    assert {piece.make.__name__ for piece in few["rear_tyre"]} == {"casing"}
    assert "cassette" not in few

    def count(looks: Mapping[str, tuple[Piece, ...]]) -> int:
        return sum(len(p.surface.corners) for pieces in looks.values() for p in pieces)

    assert count(few) < 0.75 * count(whole)


def test_only_what_is_drawn_has_looks() -> None:
    solved, carried = bike(HARDTAIL)
    drawn = {body.name for body in carried.bodies if body.drawn}
    assert set(looks_of(solved, carried)) < drawn
    assert "saddle_dropped" not in drawn
