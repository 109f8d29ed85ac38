"""Walls no thinner than what prints, by probing the solids."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.mockup.drawing import Drawing
from frame3d.mockup.interfaces import steerer
from frame3d.mockup.model import assembled
from frame3d.mockup.options import KITS, WALL, Options
from frame3d.mockup.part import Array, ModelPart
from frame3d.mockup.parts.cranks import cranks
from frame3d.mockup.parts.frame import _piece, thickened
from frame3d.mockup.solid import Y, Z, bounds, rod
from frame3d.solids.bodies import bodies
from tests.mockup.samples import FULL, RIGID, drawing, layout

CLOSE = 0.02
"""Facets of a hole may stand this far within it [mm]."""


def walls(solid: Any, start: Array, way: Array) -> list[float]:
    """Lengths of solid that a needle meets from a point along a unit direction [mm]."""
    needle = rod(start, start + 60.0 * way, 0.02)
    pieces = (solid ^ needle).decompose()
    ends = [np.asarray(p.to_mesh64().vert_properties)[:, :3] @ way for p in pieces]
    return [float(np.ptp(end)) for end in sorted(ends, key=lambda end: float(end.min()))]


def parts(drawn: Drawing) -> dict[str, ModelPart]:
    return {part.name: part for part in assembled(drawn).parts}


@pytest.mark.parametrize("scale", [1 / 6, 1 / 10])
def test_lugs_of_pivots(scale: float) -> None:
    """6 and 7 mm lugs, and what is kept free beside them, at scale."""
    drawn = Drawing(layout(FULL), Options(scale, KITS))
    lugs = [b for b in bodies(thickened(drawn)) if b.key.startswith("lug_")]
    assert len(lugs) >= 8
    for lug in lugs:
        solid = _piece(lug, drawn)
        item = next(p for p in thickened(drawn).pivots if p.name == lug.name)
        x, _, z = item.axle
        # Through the round, beside its bore.
        way = np.array([0.0, 1.0, 0.0])
        at = np.array([x, -200.0, z + (item.boss + item.bore) / 4])
        through = [(solid ^ rod(at, at + 400.0 * way, 0.05)).bounding_box()]
        assert (through[0][4] - through[0][1]) * scale >= WALL - 1e-6, lug.name


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


def test_stems_over_their_steerer() -> None:
    drawn = drawing()
    up = drawn.place.up
    cockpit = parts(drawn)["cockpit"].solid
    assert walls(cockpit, steerer(drawn).origin + 1.0 * up, up)[0] >= WALL - CLOSE


def test_axle_heads() -> None:
    made = parts(drawing())
    for end in ("front", "rear"):
        axle = made[f"{end}_axle"].solid
        tip = bounds(axle)[1, 1]
        edge = axle ^ rod(np.array([0.0, tip - 5.0, 0.0]), np.array([0.0, tip, 0.0]), 1000.0)
        at = drawing().axle(end) + (drawing().axle_pin(end) / 2 + 0.7) * Z
        found = walls(edge, at + (tip - 5.0) * Y, Y)
        assert found[0] >= WALL - 1e-6


def test_halves_of_wheels() -> None:
    """Half a wheel prints by itself: its spokes rise a wall's thickness."""
    half = parts(drawing())["front_wheel_left"].solid
    axle = drawing().axle("front")
    low = float(bounds(half)[0, 1])
    ring = half ^ (
        rod(axle + (low - 1) * Y, axle + (low + 9) * Y, 35.0)
        - rod(axle + (low - 2) * Y, axle + (low + 10) * Y, 25.0)
    )
    assert float(np.ptp(bounds(ring)[:, 1])) >= WALL - 1e-6


def test_pedals_go_into_their_arms_at_any_size() -> None:
    for scale in (1.0, 0.5, 1 / 6):
        made = {part.name: part.solid for part in cranks(drawing(scale=scale)).parts}
        for side in ("left", "right"):
            assert (made[f"pedal_{side}"] ^ made[f"crank_arm_{side}"]).volume() < 0.01
