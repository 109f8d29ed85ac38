"""Looks of what is pedalled: as many teeth as the file says, a chain without a gap, joined parts."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.motion.pose import own_matrix
from frame3d.bodies.parts.drivetrain import tip_radius
from frame3d.looks.drivetrain import (
    axle,
    cogs,
    drivetrain,
    ring,
    spindle,
    straight,
    toothed,
    wrapped,
)
from frame3d.parameters.sizes.chains import PITCH
from tests.looks.demos import DROPS, HARDTAIL, parts


def test_every_wheel_has_its_teeth() -> None:
    bodies, place = parts(HARDTAIL)
    assert place.build.cassette is not None
    made = list(drivetrain(bodies, place))
    found = [teeth for _, p in made if p.make is cogs for teeth, _, _ in p.sizes[0]]
    assert sorted(found) == list(place.build.cassette.cogs)
    assert [p.sizes[0] for _, p in made if p.make is ring] == [32]
    outer, _ = toothed(32, tip_radius(32), 4)
    r = np.hypot(*outer.T)
    assert ((r > r.mean()) & (np.roll(r, 1) < r.mean())).sum() == 32


def test_the_chain_goes_round_without_a_gap() -> None:
    """Ends of the arcs about ring and cog are those of the straight runs on the ring, to half a link."""
    bodies, place = parts(HARDTAIL)
    made = [(n, p) for n, p in drivetrain(bodies, place) if p.make in (straight, wrapped)]
    where = {n: p.surface.moved(own_matrix(p.on)).points for n, p in made}
    assert len(where) == 4
    for name, points in where.items():
        for other in (o for o in where if o != name and ("chain_" in o) != ("chain_" in name)):
            far = np.linalg.norm(points[:, None, [0, 2]] - where[other][None, ::7, [0, 2]], axis=2)
            assert far.min() < PITCH, (name, other)
    ring_links = where["chainring"]
    assert ring_links[:, 0].max() == pytest.approx(tip_radius(32), abs=1.0), "around its front"
    axle_x = place.axle("rear")[0]
    assert where["cassette"][:, 0].min() < axle_x - 20, "around the cog's back"


def test_arms_reach_the_shell_and_pedals_the_arms() -> None:
    bodies, place = parts(DROPS)
    assert place.bike.shell is not None
    made = list(drivetrain(bodies, place))
    for kind, ends in ((spindle, place.bike.shell.width / 2), (axle, 156 / 2)):
        pieces = [p for _, p in made if p.make is kind]
        assert len(pieces) == 2
        for piece in pieces:
            points = piece.surface.moved(own_matrix(piece.on)).points
            assert piece.joins
            assert np.abs(points[:, 1]).min() == pytest.approx(ends, abs=0.01)
