"""What an exploration counts of its designs."""

from __future__ import annotations

from typing import cast

import pytest

from frame3d.bike.bike import Bike
from frame3d.bodies.body import Bodies
from frame3d.clearance.result import Report, Result
from frame3d.explore.evaluate.evaluator import Proof
from frame3d.explore.exploration import Exploration, Kept
from tests.explore.fakes import STUDY, result

TRIED = tuple(result((reach, "61-622")) for reach in (0.0, 60.0, 66.0))


def test_rate_and_feasible_designs() -> None:
    found = Exploration(STUDY, TRIED, evaluated=3, seconds=1.5)
    assert (found.rate, found.feasible) == (2.0, 2)  # the trail is met from a reach of 54 on
    assert Exploration(STUDY, TRIED, seconds=1.5).rate is None
    assert Exploration(STUDY, TRIED, evaluated=3).rate is None


@pytest.mark.parametrize(
    ("gaps", "proved"), [((), False), ((7.0,), True), ((7.0, 5.0), False), ((7.0, 6.1), True)]
)
def test_a_design_is_proved_where_every_size_passes(gaps: tuple[float, ...], proved: bool) -> None:
    proofs = tuple(
        Proof(
            str(i),
            Report((Result("rear_tyre_to_frame", "", ("a", "b"), gap, 0.01, 6, "mm", ""),), ()),
        )
        for i, gap in enumerate(gaps)
    )
    kept = Kept(TRIED[1], cast(Bike, None), cast(Bodies, None), proofs=proofs)
    assert kept.proved is proved
