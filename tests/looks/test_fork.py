"""Looks of the fork: sockets about the legs, struts from the lowers to the arch."""

from __future__ import annotations

import numpy as np

from frame3d.bodies.motion.pose import own_matrix
from frame3d.looks.fork import bridge, fork, props
from tests.looks.demos import DROPS, HARDTAIL, parts
from tests.looks.outside import outside


def test_the_crown_holds_both_legs_and_the_steerer() -> None:
    bodies, place = parts(HARDTAIL)
    (piece,) = [p for _, p in fork(bodies, place) if p.make is bridge]
    points = piece.surface.moved(own_matrix(piece.on)).points
    for side in ("left", "right"):
        leg = bodies[f"fork_leg_{side}"].shapes[0]
        away = np.linalg.norm(points - leg.origin, axis=1)
        assert away.min() < 30, "its socket"
    assert np.linalg.norm(points - place.node("crown_race"), axis=1).min() < 30


def test_struts_run_from_the_lowers_to_the_arch() -> None:
    bodies, place = parts(HARDTAIL)
    (piece,) = [p for _, p in fork(bodies, place) if p.make is props]
    assert piece.joins
    points = piece.surface.moved(own_matrix(piece.on)).points
    for name in ("fork_lower_left", "fork_lower_right", "fork_arch"):
        assert outside(points, bodies[name].shapes).min() == 0
    assert piece.on.mount == bodies["fork_lower_left"].shapes[0].mount


def test_no_fork_has_no_looks() -> None:
    bodies, place = parts(DROPS)
    assert list(fork(bodies, place)) == []
