"""Stiffness of a frame: everything of ours over one load case of a general-purpose frame library."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import load
from frame3d.stiffness.from_bike import model_of
from frame3d.stiffness.gains import gains_of
from frame3d.stiffness.of_bike import stiffness_of
from tests.benchmarks.timing import DEMO, ROOT

PIECES = 400
"""Prismatic members that the other library's model is cut into."""


def measure(runs: int) -> list[tuple[str, str]]:
    """Processor time of model, all load cases, energies and gains; and of the peer's one case."""
    bikes = [solve(load(path)) for path in (DEMO, ROOT / "configs" / "trail_full_140.yaml")]
    for bike in bikes:
        gains_of(stiffness_of(bike))  # imports, and masses, which the bike keeps
    hard, full = (
        min(_spent(lambda b=bike: gains_of(stiffness_of(b))) for _ in range(runs)) for bike in bikes
    )
    peer = min(_spent(lambda: _peer(bikes[0])) for _ in range(max(runs // 2, 1)))
    return [
        ("hardtail: model, all cases, energies, gains (target < 50 ms)", f"{1e3 * hard:.1f} ms"),
        ("full suspension: the same", f"{1e3 * full:.1f} ms"),
        (f"PyNite, one case, the same stretches in {PIECES} members", f"{1e3 * peer:.0f} ms"),
        ("ratio hardtail / PyNite (target ≤ 0.3)", f"{hard / peer:.3f}"),
    ]


def _spent(what: Callable[[], object]) -> float:
    begin = time.process_time()
    what()
    return time.process_time() - begin


def _peer(bike: Bike) -> None:
    """Solve one load case of the same stretches, cut into prismatic members."""
    from Pynite import FEModel3D

    structure = model_of(bike).structure
    total = sum(joined.beam.sections.share.sum() for joined in structure.beams)
    model = FEModel3D()
    model.add_material("steel", 205000.0, 79457.0, 0.29, 0.0)
    for name, at in structure.groups.items():
        model.add_node(name, *(float(x) for x in at))
    made = 0
    for number, joined in enumerate(structure.beams):
        sections = joined.beam.sections
        ends = structure.groups[joined.end] - structure.groups[joined.start]
        if not ends.any():
            continue
        own = max(1, round(PIECES * float(sections.share.sum()) / total))
        s = np.cumsum(sections.share)
        before = joined.start
        for i in range(own):
            share = (i + 1) / own
            k = int(np.searchsorted(s, share * s[-1] * 0.999))
            after = joined.end
            if i < own - 1:
                after = f"n{made}"
                at = structure.groups[joined.start] + share * ends
                model.add_node(after, *(float(x) for x in at))
            c = sections.constants
            sizes = (c.area[k], c.upright[k], c.sideways[k], c.torsion[k])
            model.add_section(f"s{number}_{i}", *(float(v) for v in sizes))
            model.add_member(f"m{made}", before, after, "steel", f"s{number}_{i}")
            before = after
            made += 1
    model.def_support("bottom_bracket", *[True] * 6)
    model.add_node_load("lower cup", "FY", 100.0)
    model.analyze_linear()
