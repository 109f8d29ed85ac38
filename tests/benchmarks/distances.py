"""Certified gaps at 0.01 mm against OCCT's distance between the same solids, and the whole `check`."""

from __future__ import annotations

import time

import numpy as np
from OCP.BRepExtrema import BRepExtrema_DistShapeShape

from frame3d.bodies import bodies_of
from frame3d.bodies.pose import Pose
from frame3d.bodies.shapes import Placed, Tubular
from frame3d.clearance.distance import measured, prepare
from frame3d.geometry.solve import solve
from frame3d.solids.mating import solid_of
from frame3d.spec.reader import load
from tests.benchmarks.timing import DEMO, shown, side_by_side

TARGET_PAIR, TARGET_CHECK = 2000, 5
REPEATS = 200


def measure(runs: int) -> list[tuple[str, str]]:
    """Rear tyre against every tube of the demo; then the whole check as a process."""
    bodies = bodies_of(solve(load(DEMO)))
    tyre = bodies.body("rear_tyre").shapes[0]
    tubes = [
        b.tubes[0] for b in bodies.bodies if b.family == "frame" and b.name != "bottom_bracket"
    ]
    ours = _ours(tubes, tyre)
    theirs = _occt(tubes, tyre)
    median = float(np.median([t / o for o, t in zip(ours, theirs, strict=True)]))
    rows = [
        ("tubes measured against the rear tyre", str(len(tubes))),
        ("a pair, certified, warm: median", f"{1e6 * float(np.median(ours)):.1f} µs"),
        ("a pair by OCCT's distance: median", f"{1e3 * float(np.median(theirs)):.2f} ms"),
        (f"OCCT / ours, median of the pairs (target ≥ {TARGET_PAIR})", f"{median:.0f}"),
        ("OCCT / ours, all pairs together", f"{sum(theirs) / sum(ours):.0f}"),
    ]
    times = side_by_side(
        {
            "solve": ["-m", "frame3d", "solve", str(DEMO), "-q"],
            "check": ["-m", "frame3d", "check", str(DEMO), "-q"],
        },
        runs,
    )
    ratio = float(
        np.median([c.wall / s.wall for c, s in zip(times["check"], times["solve"], strict=True)])
    )
    return [
        *rows,
        ("frame3d check of the demo, compiled code cached", shown(times["check"])),
        ("frame3d solve of the demo", shown(times["solve"])),
        (f"ratio check / solve (target ≤ {TARGET_CHECK})", f"{ratio:.2f}"),
    ]


def _ours(tubes: list[Tubular], tyre: Placed) -> list[float]:
    """Seconds a pair, its numbers prepared, many measured in one compiled loop."""
    out = []
    for tube in tubes:
        pairs = [prepare(tube, tyre)] * REPEATS
        measured(pairs)
        begin = time.perf_counter()
        measured(pairs)
        out.append((time.perf_counter() - begin) / REPEATS)
    return out


def _occt(tubes: list[Tubular], tyre: Placed) -> list[float]:
    """Seconds a pair by BRepExtrema on the exact solids."""
    ring = solid_of(tyre, Pose())
    out = []
    for tube in tubes:
        solid = solid_of(tube, Pose())
        BRepExtrema_DistShapeShape(solid, ring).Value()
        begin = time.perf_counter()
        BRepExtrema_DistShapeShape(solid, ring).Value()
        out.append(time.perf_counter() - begin)
    return out
