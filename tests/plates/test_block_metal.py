"""Volume of a brake mount's blocks against the CAD kernel, and by hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

import frame3d
from frame3d.geometry.closed_path import Path
from frame3d.geometry.outline import Outline
from frame3d.plates.block_metal import footing, weighed
from frame3d.solids import occ
from frame3d.solids.bodies import bodies
from frame3d.solids.build_parts import WAYS, PartBuilder
from frame3d.tubes.on_dropout import Block
from frame3d.tubes.tube import Dropout
from tests.with_mount import BEHIND, POST, RACK, with_mount

BLOCK = Block("b_left", "b", (0.0, 68.0, 60.0), (0.0, 0.0, 1.0), 14.0, 61.0, 81.0, 17.0, 6.0, 12.0)
"""Straight up over an axle at the origin, its foot at z 43."""
DROPOUT = Dropout("d_left", "left", (0.0, 74.0, 0.0), 7.0, 30.0, 12.0, ())


def outline(top: float, left: float = -50.0) -> Outline:
    return Outline(Path.polygon(((left, -20.0), (50.0, -20.0), (50.0, top), (left, top))))


def test_a_block_on_a_level_edge_by_hand() -> None:
    made = weighed(BLOCK, outline(46.0), DROPOUT, ())
    whole, lapped, drilled = 20 * 14 * 17, 7 * 14 * 3, math.pi * 9 * 12
    assert made.volume == pytest.approx(whole - lapped - drilled)
    assert made.centre[0] == pytest.approx(0.0, abs=1e-9)
    z = (whole * 51.5 - lapped * 44.5 - drilled * 54.0) / made.volume
    y = (whole * 71.0 - lapped * 77.5 - drilled * 68.0) / made.volume
    assert made.centre[1:] == pytest.approx((y, z))


@pytest.mark.parametrize(
    ("top", "left", "off", "high"),
    [
        (46.0, -50.0, 0.0, 0.0),
        (46.0, 2.0, 9.0, 0.0),
        (44.0, -50.0, 14.0, 0.0),
        (50.0, -50.0, 0.0, 2.0),
    ],
)
def test_footing(top: float, left: float, off: float, high: float) -> None:
    """A plate from x = 2 on carries 5 of 14 mm; one that ends at z 50 is 2 above the thread's end."""
    found = footing(BLOCK, outline(top, left), DROPOUT.axle, 3.0)
    assert found == pytest.approx((off, high), abs=0.03)


@pytest.mark.parametrize(
    ("features", "kind", "angle"),
    [
        (POST | RACK, "hooded", BEHIND),
        ({"brake": {"kind": "flat_mount", "outward": 12}}, "plain", 90.0),
    ],
)
def test_masses_are_those_of_the_solids(features: dict[str, Any], kind: str, angle: float) -> None:
    """Against OCCT, blocks that a stay cuts too, within 0.2 %; and each is one sound piece."""
    made = frame3d.solve(with_mount(features, kind, angle))
    shop = PartBuilder()
    parts = {
        body.name: shop.part(body, WAYS[0]) for body in bodies(made) if "rear_dropout" in body.name
    }
    weights = {one.name: one for one in made.frame.masses.bodies}
    mount = made.dropouts[0].mount
    assert mount is not None
    for block in mount.blocks:
        part = parts[block.name]
        assert occ.is_valid(part.shape)
        assert weights[block.name].volume == pytest.approx(part.volume, rel=2e-3)
        assert np.allclose(block.centre, part.centre, atol=0.05)
    if kind == "hooded":
        for dropout in made.dropouts:
            assert weights[dropout.name].volume == pytest.approx(
                parts[dropout.name].volume, rel=2e-3
            )
