"""Outlines: against meshes of the same bodies, and in the order in which they cover each other."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bodies import bodies_of
from frame3d.bodies.body import Body
from frame3d.report.outline import hull, outlines
from frame3d.solids.outline_mesh import body_mesh
from tests.report.samples import hardtail_bike

BODIES = bodies_of(hardtail_bike())


OUTLINES = {o.name: o for o in outlines(BODIES)}


DRAWN = [b for b in BODIES.bodies if b.drawn]


@pytest.mark.parametrize("body", DRAWN, ids=lambda b: b.name)
def test_outlines_reach_as_far_as_the_meshes(body: Body) -> None:
    """In eight directions of the side view; the meshes are made by another way (manifold3d).

    The ends of mitred tubes are flat on drawings and lie under what they are mitred to.
    """
    flat = replace(body, tubes=tuple(replace(t, flat=(True, True)) for t in body.tubes))
    seen = body_mesh(flat, tolerance=0.05).vertices[:, [0, 2]]
    loops = np.concatenate([piece[0] for piece in OUTLINES[body.name].pieces])
    for turn in np.radians(np.arange(0, 360, 45)):
        way = np.array([np.cos(turn), np.sin(turn)])
        assert (loops @ way).max() == pytest.approx((seen @ way).max(), abs=0.8)


def test_tyres_have_a_hole() -> None:
    (piece,) = OUTLINES["front_tyre"].pieces
    outer, inner = (np.linalg.norm(loop - loop.mean(axis=0), axis=1) for loop in piece)
    assert outer == pytest.approx(372, abs=1e-6)
    assert inner == pytest.approx(311, abs=1e-6)  # 622 / 2: the bead seat, by the designation


def test_near_parts_cover_far_ones() -> None:
    order = list(OUTLINES)
    assert order.index("chainstay_left") < order.index("rear_tyre") < order.index("chainstay_right")
    assert order.index("seatstay_right") < order.index("seat_tube") < order.index("crank_arm_right")
    assert order.index("top_tube") < order.index("head_tube")


def test_hull_of_a_square_with_points_inside() -> None:
    rng = np.random.default_rng(1)
    corners = np.array([(0, 0), (2, 0), (2, 2), (0, 2)], dtype=float)
    inside = rng.uniform(0.1, 1.9, (50, 2))
    found = hull(np.concatenate([inside, corners]))
    assert sorted(map(tuple, found)) == sorted(map(tuple, corners))
