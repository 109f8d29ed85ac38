"""Pieces: one key for one surface."""

from __future__ import annotations

from frame3d.bodies.shapes import PlacedShape, box
from frame3d.looks.piece import piece
from frame3d.looks.wheel import casing, tread

ON = PlacedShape("part", box(10, 10, 10), (0.0, 0.0, 0.0))


def test_a_key_is_that_of_sizes_and_maker() -> None:
    def key(make: object, *sizes: object) -> str:
        return piece(make, *sizes, on=ON, colour="#000000", finish="soft").key  # type: ignore[arg-type]

    assert key(casing, 300.0, 30.0, 15.0) == key(casing, 300.0 + 1e-9, 30.0, 15.0)
    assert key(casing, 300.0, 30.0, 15.0) != key(casing, 300.01, 30.0, 15.0)
    assert key(casing, 300.0, 30.0) != key(tread, 300.0, 30.0)
    assert key(casing, (1.0, -0.0)) == key(casing, [1.0, 0.0])


def test_a_piece_makes_its_surface() -> None:
    made = piece(tread, 300.0, 30.0, on=ON, colour="#000000", finish="soft")
    assert made.surface is tread(300.0, 30.0), "made once"
