"""Cuts through whatever is in the way: where, with which pegs, and pieces that fit."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.mockup.options import KITS, Options
from frame3d.mockup.part import ModelPart
from frame3d.mockup.printing.any_plane import any_plane
from frame3d.mockup.printing.bed_fit import Misfit, fits_somehow
from frame3d.mockup.printing.check import meshed, problems
from frame3d.mockup.printing.plane import peg_room
from frame3d.mockup.printing.split import fitted, letters
from frame3d.mockup.solid import block, minus, rod

X, Y, Z = np.eye(3)
BED = (80.0, 80.0, 80.0)
OPTIONS = Options(1.0, KITS, BED)


def test_a_plate_without_limbs_is_cut_where_it_may_be() -> None:
    plate = ModelPart("plate", "#000000", block((0, 0, 0), (90, 90, 12)))
    assert isinstance(fitted(plate, BED, OPTIONS, letters()), Misfit)
    free = ModelPart("plate", "#000000", plate.solid, anywhere=True)
    found = fitted(free, BED, OPTIONS, letters())
    assert not isinstance(found, Misfit)
    parts, joints = found
    assert all(fits_somehow(part, BED) for part in parts)
    assert all(problems(meshed(part.solid)) == [] for part in parts)
    assert {joint.anywhere for joint in joints} == {True}
    assert any(joint.depth > 0 for joint in joints)
    pieces = [part.solid for part in parts if not part.name.startswith("peg")]
    lost = plate.solid.volume() - sum(piece.volume() for piece in pieces)
    assert 0 < lost < 0.02 * plate.solid.volume()
    for peg in (part.solid for part in parts if part.name.startswith("peg")):
        assert all((peg ^ piece).volume() < 1e-6 for piece in pieces)


def test_a_peg_goes_where_there_is_room_for_it() -> None:
    """In the middle of a bar; in the wall of a pipe; in no thin sheet, nor just before the end of a bar."""
    bar = rod(-40 * X, 40 * X, 4.0)
    (one,) = any_plane(bar, X, 0.0, OPTIONS).crossings
    assert one.pegged
    assert one.at == pytest.approx([0, 0, 0], abs=0.2)
    assert one.radius == pytest.approx(4.0, abs=0.1)
    (end,) = any_plane(bar, X, 38.0, OPTIONS).crossings
    assert not end.pegged
    room = peg_room(OPTIONS)
    for wall, pegged in ((2 * room + 1.0, True), (2 * room - 1.0, False)):
        pipe = minus(rod(-40 * X, 40 * X, 10.0), [rod(-41 * X, 41 * X, 10.0 - wall / 1.0)])
        (ring,) = any_plane(pipe, X, 0.0, OPTIONS).crossings
        assert ring.pegged is pegged, wall
        assert float(np.hypot(*ring.at[1:])) == pytest.approx(10.0 - wall / 2, abs=0.3)


def test_every_area_is_a_crossing() -> None:
    two = rod(-40 * X, 40 * X, 4.0) + rod(-40 * X + 20 * Y, 40 * X + 20 * Y, 4.0)
    assert len(any_plane(two, X, 3.0, OPTIONS).crossings) == 2
