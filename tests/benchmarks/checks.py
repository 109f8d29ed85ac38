"""All checks of a bike with a rear suspension: certified, decided and remembered."""

from __future__ import annotations

import time
from collections.abc import Callable
from unittest.mock import patch

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.clearance.certify.batch import SearchBatch
from frame3d.clearance.certify.records import Records
from frame3d.clearance.check import run_checks
from frame3d.clearance.decision import holds
from frame3d.clearance.memory import PairMemory
from frame3d.clearance.scene import scene_of
from frame3d.geometry.arrays import Array, Ints
from frame3d.parameters.reading.reader import load
from tests.benchmarks.timing import ROOT

DEMO = ROOT / "configs" / "trail_full_140.yaml"
CHANGED = "tubes.top_tube.od={}"


def measure(runs: int) -> list[tuple[str, str]]:
    """Processor time of `run_checks`, of the compiled search in it, of `holds`, and with memory."""
    bikes = [solve(load(DEMO, [CHANGED.format(34.9 + 0.1 * i)])) for i in range(runs + 1)]
    run_checks(scene_of(bikes[0]))  # compiled, and what all bikes share
    whole = min(_spent(lambda b=bike: run_checks(scene_of(b))) for bike in bikes[1:])
    searching = min(_searching(bike) for bike in bikes[1:])
    decided = min(_spent(lambda b=bike: holds(scene_of(b))) for bike in bikes[1:])
    memory = PairMemory()
    run_checks(scene_of(bikes[0], memory=memory))
    known = min(_spent(lambda b=bike: run_checks(scene_of(b, memory=memory))) for bike in bikes[1:])
    return [
        (f"all checks of {DEMO.stem}, bodies and certificates, warm", f"{1e3 * whole:.0f} ms"),
        ("the compiled search alone", f"{1e3 * searching:.0f} ms"),
        ("all checks / search alone (target ≤ 3.5)", f"{whole / searching:.2f}"),
        ("all checks / a decision that they hold (target ≥ 1.5)", f"{whole / decided:.2f}"),
        ("all checks / the same, a top tube changed, with memory", f"{whole / known:.2f}"),
    ]


def _spent(what: Callable[[], object]) -> float:
    begin = time.process_time()
    what()
    return time.process_time() - begin


def _searching(bike: Bike) -> float:
    """Processor time of the compiled search over all checks [s]."""
    spent = 0.0
    found = SearchBatch.found

    def timed(
        self: SearchBatch,
        tolerance: float,
        cutoffs: Array | float | None = None,
        lines: Ints | None = None,
    ) -> Records:
        nonlocal spent
        begin = time.process_time()
        try:
            return found(self, tolerance, cutoffs, lines)
        finally:
            spent += time.process_time() - begin

    with patch.object(SearchBatch, "found", timed):
        run_checks(scene_of(bike))
    return spent
