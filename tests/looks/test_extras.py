"""Looks of bottles and shocks: a cage that reaches its tube, a spring with coils, a can."""

from __future__ import annotations

import numpy as np

from frame3d.bodies.motion.pose import own_matrix
from frame3d.looks.extras import bottles, cage, can, cap, coil, flask, shock
from tests.looks.demos import COIL, HARDTAIL, parts


def test_a_bottle_is_held_on_its_tube() -> None:
    bodies, place = parts(HARDTAIL)
    pieces = {p.make: p for _, p in bottles(bodies, place)}
    assert set(pieces) == {flask, cap, cage}
    (tube,) = (t for t in place.bike.tubes if t.name == "down_tube")
    points = pieces[cage].surface.moved(own_matrix(pieces[cage].on)).points
    _, away = tube.axis.approach(points)
    outside = float(tube.section.height_at(tube.axis.length / 2)) / 2
    assert away.min() < outside + 1
    assert pieces[cage].joins


def test_a_shock_has_a_can_and_a_spring() -> None:
    bodies, _ = parts(COIL)
    made = {p.make for _, p in shock(bodies)}
    assert {can, coil} <= made
    assert list(shock({})) == []
    spring = coil(31.0, 60.0).points
    r = np.hypot(spring[:, 0], spring[:, 2])
    assert r.max() <= 31.001
    assert spring[:, 1].min() >= 0
    assert spring[:, 1].max() <= 60
