"""Stem, bar and spacers: what covers the steerer, where the grips are."""

from __future__ import annotations

from frame3d.mockup.interfaces import steerer
from frame3d.mockup.options import WALL
from tests.mockup.probing import CLOSE, parts, walls
from tests.mockup.samples import drawing


def test_stems_over_their_steerer() -> None:
    drawn = drawing()
    up = drawn.place.up
    cockpit = parts(drawn)["cockpit"].solid
    assert walls(cockpit, steerer(drawn).origin + 1.0 * up, up)[0] >= WALL - CLOSE
