"""Looks of saddles and posts: wings and a nose, rails below, a clamp on the post's axis."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.pose import own_matrix
from frame3d.looks.piece import rod_sizes
from frame3d.looks.seat import clamp, dropper, rails, rigid, seat, shaft, shell
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


def test_a_rigid_post_reaches_up_to_the_saddle() -> None:
    """Drawn as long as it is checked: it is not left out for the clamp at its top."""
    bodies, place = parts(ODD)
    made = [p for name, p in seat(bodies, place) if name == "seatpost"]
    assert {p.make for p in made} == {clamp, rigid}
    (post,) = [p for p in made if p.make is rigid]
    assert not post.drops
    radius, length = rod_sizes(bodies["seatpost"].shapes[0])
    size = np.ptp(post.surface.points, axis=0)
    assert sorted(size.tolist()) == pytest.approx([2 * radius, 2 * radius, length], rel=1e-9)


def test_what_goes_down_with_the_saddle_goes_into_the_post() -> None:
    """Lowered by the travel, the shaft's foot is in the body, and the clamp stays over the collar."""
    bodies, place = parts(HARDTAIL)
    post = place.build.seatpost
    assert post is not None
    pieces = {p.make: p for _, p in seat(bodies, place)}
    assert {make for make, p in pieces.items() if p.drops} == {shell, rails, clamp, shaft}
    up = place.seat_up

    def heights(make: object) -> tuple[float, float]:
        piece = pieces[make]  # type: ignore[index]
        along = piece.surface.moved(own_matrix(piece.on)).points @ up
        return float(along.min()), float(along.max())

    (foot, collar), (low, high) = heights(dropper), heights(shaft)
    assert foot < low - post.travel < low < collar < high
    assert collar - 25 < high - post.travel
    assert heights(clamp)[0] - post.travel > collar - 15
