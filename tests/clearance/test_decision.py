"""Decisions against the certified report, on demos with values changed at random."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np
import pytest

from frame3d.bike.solve import solve
from frame3d.clearance.check import run_checks
from frame3d.clearance.decision import holds
from frame3d.clearance.memory import PairMemory
from frame3d.clearance.scene import scene_of
from frame3d.errors import FrameError
from frame3d.parameters.reading.change import value_at
from frame3d.parameters.reading.reader import load
from tests.sampling import EVERY_CASE

DEMOS: Final = [path for path in sorted(Path("configs").glob("*.yaml")) if path.stem != "minimal"]
VARIED: Final = {
    "geometry.head_tube_angle": 1.5,
    "geometry.reach": 20.0,
    "geometry.stack": 15.0,
    "geometry.chainstay_length": 8.0,
    "build.rear_wheel.radius": 8.0,
    "build.front_wheel.radius": 8.0,
    "build.crank.q_factor": 8.0,
}
"""Values that are changed, and by how much at most."""
TRIES: Final = 400 if EVERY_CASE else 1


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_a_decision_is_the_certified_verdict(path: Path) -> None:
    """Never "holds" where a certificate says less, and the other way round; with memory as without."""
    random = np.random.default_rng(5)
    spec, memory, verdicts = load(path), PairMemory(), []
    while len(verdicts) < TRIES:
        sets = [
            f"{key}={float(value) + random.uniform(-1, 1) * most:.3f}"
            for key, most in VARIED.items()
            if isinstance(value := value_at(spec, key), int | float) and random.uniform() < 0.4
        ]
        try:
            bike = solve(load(path, sets))
        except FrameError:
            continue
        report = run_checks(scene_of(bike))
        decision = holds(scene_of(bike, memory=memory))
        assert decision.holds == report.ok, sets
        assert (decision.short is None) == report.ok
        if decision.short is not None:
            same = [r for r in report.results if r.line == decision.short.line]
            assert any(not r.ok for r in same), sets
        else:
            assert {u.name for u in decision.unchecked} == {u.name for u in report.unchecked}
        verdicts.append(report.ok)


def test_only_the_checks_that_are_named() -> None:
    scene = scene_of(
        solve(load("configs/trail_hardtail_29.yaml", ["clearance.rear_tyre_to_frame=60"]))
    )
    assert not holds(scene).holds
    decision = holds(scene, frozenset({"rear_tyre_to_frame"}))
    assert decision.short is not None
    assert decision.short.name == "rear_tyre_to_frame"
    assert holds(scene, frozenset({"chain_to_frame"})).holds
