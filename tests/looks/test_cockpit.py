"""Looks of the cockpit: bends near their corners, a clamp about the bar, levers mirrored."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.pose import own_matrix
from frame3d.looks.cockpit import (
    cockpit,
    hood,
    left_lever,
    neck_and_clamp,
    right_lever,
    rounded,
    spacers,
)
from tests.looks.demos import DROPS, HARDTAIL, parts


def test_bends_keep_near_their_corners() -> None:
    corners = np.array([(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 100.0, 0.0)])
    line = rounded(corners, 4.0)
    assert np.linalg.norm(line - corners[1], axis=1).min() == pytest.approx(4.0, rel=0.35)
    assert (line[0] == corners[0]).all()
    assert (line[-1] == corners[-1]).all()


def test_the_clamp_is_about_the_bar() -> None:
    bodies, place = parts(HARDTAIL)
    (piece,) = [p for _, p in cockpit(bodies, place) if p.make is neck_and_clamp]
    points = piece.surface.moved(own_matrix(piece.on)).points
    bar = bodies["handlebar"].shapes[0].origin
    near = points[np.hypot(*(points - bar)[:, [0, 2]].T) < 18]
    assert np.ptp(near[:, 1]) == pytest.approx(40.0, abs=0.1)


def test_levers_are_mirror_images_and_drop_bars_have_hoods() -> None:
    left, right = left_lever(37.0, 65.0, 15.0), right_lever(37.0, 65.0, 15.0)
    assert right.points == pytest.approx(left.points * (1, -1, 1))
    bodies, place = parts(HARDTAIL)
    made = {n: p.make for n, p in cockpit(bodies, place) if n.startswith("brake_lever")}
    assert made == {"brake_lever_left": left_lever, "brake_lever_right": right_lever}
    drops, their_place = parts(DROPS)
    made = {
        p.make
        for _, p in cockpit(drops | {"brake_lever_left": bodies["brake_lever_left"]}, their_place)
    }
    assert hood in made
    assert left_lever not in made


def test_spacers_fill_what_the_file_gives() -> None:
    assert len(spacers(18.0, 38.0, 8.0).points) > len(spacers(18.0, 18.0, 8.0).points)
    assert spacers(18.0, 8.0, 8.0).points[:, 1].max() == pytest.approx(8.2)
