"""A built fork's tubes as a frame's file would say them: brake posts, and the race's seat."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.built_fork.spec import ROTOR_INSET
from frame3d.bike.solve import solve
from frame3d.bodies.parts.wheel import rotor_of
from frame3d.bodies.placement import Placement
from frame3d.geometry.vector import vector
from tests.built_forks import UNICROWN, fork_bike, fork_file


def test_posts_stand_behind_the_left_blade() -> None:
    bike = fork_bike("segmented")
    assert bike.fork is not None
    ends = [vector(bike.fork.tube(f"fork_post_{w}").axis.end) for w in ("lower", "upper")]
    assert float(np.linalg.norm(ends[1] - ends[0])) == pytest.approx(74.0, abs=1e-6)
    assert all(end[1] > 50 for end in ends)
    found = rotor_of(Placement(bike), "front")
    assert found is not None
    assert found[1] == pytest.approx(50.0 - ROTOR_INSET)


def test_no_ring_where_the_steerer_is_as_wide_as_the_seat() -> None:
    steerer = "{od: {steps: [30, 28.6], lengths: [60], transition: 2}, wall: {bore: 25.4}}"
    bike = solve(fork_file(UNICROWN[0].replace("{}", f"{{steerer: {steerer}}}")))
    assert bike.fork is not None
    assert "fork_race_seat" not in {tube.name for tube in bike.fork.tubes}
