"""Forks: walls before the axle, sizes thickened where they must be."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.mockup.drawing import Drawing
from frame3d.mockup.options import KITS, WALL, Options
from frame3d.mockup.solid import Y, bounds
from tests.mockup.probing import CLOSE, parts, walls
from tests.mockup.samples import RIGID, drawing, layout


@pytest.mark.parametrize("file", [None, RIGID], ids=["suspension", "rigid"])
def test_forks_in_front_of_their_axle(file: Any) -> None:
    drawn = drawing() if file is None else Drawing(layout(file), Options(1 / 6, KITS))
    fork = parts(drawn)["fork"]
    assert fork.down is not None
    sizes = bounds(fork.solid)
    for side in (0.8, 0.86):
        at = drawn.axle("front") + side * sizes[1, 1] * Y
        found = walls(fork.solid, at, fork.down)
        assert found, side
        assert found[0] >= WALL - CLOSE, side
