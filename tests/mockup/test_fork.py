"""Forks: walls before the axle, sizes thickened where they must be."""

from __future__ import annotations

from typing import Any

import pytest

from frame3d.mockup.drawing import Drawing
from frame3d.mockup.interfaces import fork_sizes
from frame3d.mockup.options import KITS, WALL, Options
from frame3d.mockup.solid import Y, ball, bounds
from tests.built_forks import fork_bike
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


@pytest.mark.parametrize("kind", ["raked", "segmented"])
def test_a_built_fork_is_printed_in_one_piece_along_its_own_blades(kind: str) -> None:
    bike = fork_bike(kind)
    assert bike.fork is not None
    drawn = Drawing(bike, Options(1 / 6, KITS))
    fork = parts(drawn)["fork"]
    assert fork.colour == bike.fork.spec.colour
    assert len(fork.solid.decompose()) == 1
    assert len(fork.limbs) == 2
    for side in ("left", "right"):
        axis = bike.fork.tube(f"fork_blade_{side}").axis
        for share in (0.3, 0.6, 0.9):
            grain = ball(axis.at(share * axis.length) / 6, 0.6)
            assert (fork.solid ^ grain).volume() == pytest.approx(grain.volume(), rel=1e-3)
    at = drawn.axle("front") + fork_sizes(drawn).legs.spacing / 2 * Y
    assert fork.down is not None
    found = walls(fork.solid, at, fork.down)
    assert found
    assert found[0] >= WALL - CLOSE
