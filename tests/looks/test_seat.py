"""Looks of saddles and posts: wings and a nose, rails below, a clamp on the post's axis."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.looks.seat import clamp, dropper, rails, seat, shell
from tests.looks.demos import HARDTAIL, ODD, parts


def test_a_saddle_has_wings_and_a_nose() -> None:
    made = shell(260.0, 145.0, 55.0, 15.0)

    def width(low: float, high: float) -> float:
        x = made.points[:, 0]
        return float(np.ptp(made.points[(x > low) & (x < high), 1]))

    assert width(-110, -70) > 130
    assert width(50, 110) < 50
    assert np.ptp(made.points[:, 0]) > 250
    assert rails(260.0, 145.0, 55.0).points[:, 2].min() == pytest.approx(-27.5, abs=0.1)


def test_the_clamp_is_where_the_post_comes_up() -> None:
    bodies, place = parts(HARDTAIL)
    (piece,) = [p for n, p in seat(bodies, place) if p.make is clamp and n == "seatpost"]
    at = piece.surface.points.mean(axis=0) + piece.on.origin
    foot = place.node("saddle")
    share = (at[2] - foot[2]) / place.seat_up[2]
    assert (foot + share * place.seat_up)[0] == pytest.approx(at[0], abs=3.0)


def test_only_a_post_with_travel_has_a_thinner_shaft() -> None:
    for name, is_dropper in ((HARDTAIL, True), (ODD, False)):
        bodies, place = parts(name)
        assert (dropper in [p.make for _, p in seat(bodies, place)]) is is_dropper
