"""Certified gaps at 0.01 mm against OCCT's and python-fcl's distances, and the whole `check`."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import fcl
import numpy as np
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.gp import gp_Trsf, gp_Vec
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Shape

from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.bodies.body import Body
from frame3d.bodies.motion.mounts import SHIFT, Mount, Step
from frame3d.bodies.motion.pose import Pose
from frame3d.clearance.certify.batch import STORES, Pair, SearchBatch
from frame3d.clearance.certify.distance import (
    TOLERANCE,
    nearest,
    prepare,
)
from frame3d.clearance.certify.motion import Range
from frame3d.parameters.reading.reader import load
from frame3d.solids.mating import solid_of
from frame3d.solids.outline_mesh import body_mesh
from tests.benchmarks.timing import DEMO, shown, side_by_side

TARGET_OCCT, TARGET_FCL, TARGET_CHECK = 2000, 20, 5
TARGET_TRAVEL_OCCT, TARGET_TRAVEL_FCL = 5000, 50
TRAVEL = Mount("axle", (Step(SHIFT, "fork", axis=(0.0, 0.0, 1.0)),))
"""The rear axle on a straight path, for want of a suspension on the demo."""
STEPS = np.linspace(0.0, 40.0, 41)
REPEATS = 200
CHORD = 0.05
"""How fine python-fcl's meshes are: five times as coarse as our certificates [mm]."""


def measure(runs: int) -> list[tuple[str, str]]:
    """Rear tyre against every tube of the demo, standing and moving; then the whole check."""
    bodies = bodies_of(solve(load(DEMO)))
    tyre = bodies.body("rear_tyre")
    tubes = [
        b for b in bodies.bodies if b.family == "frame" and b.tubes and b.name != "bottom_bracket"
    ]
    outlines = [b.tubes[0] for b in tubes]
    shape = tyre.shapes[0]
    ours = [_batch([prepare(t, shape)] * REPEATS) / REPEATS for t in outlines]
    whole = [_once(lambda t=t: nearest(t, shape)) for t in outlines]
    solids, ring = [solid_of(t, Pose()) for t in outlines], solid_of(shape, Pose())
    occt = [_once(lambda s=s: BRepExtrema_DistShapeShape(s, ring).Value()) for s in solids]
    meshes, wheel = [_model(b) for b in tubes], _model(tyre)
    meshed = [_once(lambda m=m: _fcl(m, wheel)) for m in meshes]
    moving = replace(shape, mount=TRAVEL)
    travel = Range("fork", 0.0, float(STEPS[-1]))
    range_ours = _batch([prepare(t, moving, [travel]) for t in outlines])
    range_occt = sum(_once(lambda s=s: _occt_travel(s, ring)) for s in solids)
    range_fcl = sum(_once(lambda m=m: _fcl_travel(m, wheel)) for m in meshes)
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
        ("tubes measured against the rear tyre", str(len(tubes))),
        ("a pair, numbers prepared: median", _shown(ours)),
        ("a pair, from bodies to result: median", _shown(whole)),
        ("a pair by OCCT: median", _shown(occt)),
        (f"a pair by python-fcl, meshes to {CHORD} mm: median", _shown(meshed)),
        (f"OCCT / ours, median of the pairs (target ≥ {TARGET_OCCT})", _times(occt, ours)),
        ("the least of them", f"{min(t / o for o, t in zip(ours, occt, strict=True)):.0f}"),
        (f"python-fcl / ours, median (target ≥ {TARGET_FCL})", _times(meshed, ours)),
        ("OCCT / ours from bodies to result, median", _times(occt, whole)),
        (f"all tubes over {STEPS[-1]:.0f} mm of travel, every position", _shown([range_ours])),
        (
            f"OCCT at {len(STEPS)} travels / that (target ≥ {TARGET_TRAVEL_OCCT})",
            f"{range_occt / range_ours:.0f}",
        ),
        (
            f"python-fcl at {len(STEPS)} travels / that (target ≥ {TARGET_TRAVEL_FCL})",
            f"{range_fcl / range_ours:.0f}",
        ),
        ("frame3d check of the demo, compiled code cached", shown(times["check"])),
        ("frame3d solve of the demo", shown(times["solve"])),
        (f"ratio check / solve (target ≤ {TARGET_CHECK})", f"{ratio:.2f}"),
    ]


def _once(what: Callable[[], object]) -> float:
    """Seconds a call takes, warm: the least of three."""
    what()
    return min(_timed(what) for _ in range(3))


def _timed(what: Callable[[], object]) -> float:
    begin = time.perf_counter()
    what()
    return time.perf_counter() - begin


def _batch(pairs: list[Pair]) -> float:
    """Seconds to measure prepared pairs to the default tolerance, warm."""
    batch = SearchBatch(pairs)
    return _once(lambda: batch.run(TOLERANCE, None, False, STORES[1]))


def _model(body: Body) -> fcl.CollisionObject:
    """A body's mesh as fcl takes it."""
    mesh = body_mesh(body, tolerance=CHORD)
    model = fcl.BVHModel()
    model.beginModel(len(mesh.vertices), len(mesh.triangles))
    model.addSubModel(np.asarray(mesh.vertices), np.asarray(mesh.triangles))
    model.endModel()
    return fcl.CollisionObject(model, fcl.Transform())


def _fcl(a: fcl.CollisionObject, b: fcl.CollisionObject) -> float:
    return float(fcl.distance(a, b, fcl.DistanceRequest(), fcl.DistanceResult()))


def _fcl_travel(tube: fcl.CollisionObject, wheel: fcl.CollisionObject) -> float:
    least = np.inf
    for z in STEPS:
        wheel.setTranslation(np.array([0.0, 0.0, z]))
        least = min(least, _fcl(tube, wheel))
    wheel.setTranslation(np.zeros(3))
    return float(least)


def _occt_travel(tube: TopoDS_Shape, ring: TopoDS_Shape) -> float:
    least = np.inf
    for z in STEPS:
        move = gp_Trsf()
        move.SetTranslation(gp_Vec(0.0, 0.0, float(z)))
        least = min(
            least, BRepExtrema_DistShapeShape(tube, ring.Moved(TopLoc_Location(move))).Value()
        )
    return float(least)


def _shown(seconds: list[float]) -> str:
    median = float(np.median(seconds))
    return f"{1e6 * median:.1f} µs" if median < 1e-3 else f"{1e3 * median:.2f} ms"


def _times(theirs: list[float], ours: list[float]) -> str:
    return f"{float(np.median([t / o for o, t in zip(ours, theirs, strict=True)])):.0f}"
