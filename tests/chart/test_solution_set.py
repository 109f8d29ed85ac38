"""Bikes that meet all relations with too few figures: that they do, spread out, and what is settled."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import null_space
from scipy.optimize import least_squares

from frame3d.chart.newton import jacobian
from frame3d.chart.plausible import implausible
from frame3d.chart.relations import ANGLE_SCALE, ANGLES, Values, chart_relations
from frame3d.chart.solution_set import SolutionSet

RELATIONS = chart_relations()
FIXED = {"cup_angle": 0.0, "seat_tube_offset": 0.0, "bb_drop": 62.0, "chainstay_length": 432.0}
FOUND = SolutionSet(RELATIONS, FIXED)


def bike(found: SolutionSet, row: np.ndarray) -> dict[str, float]:
    return {name: found.value(name, arcs) for name, arcs in zip(found.names, row, strict=True)}


def test_every_bike_meets_the_relations_and_has_the_figures() -> None:
    assert len(FOUND.bikes) > 50
    for row in FOUND.bikes:
        values = bike(FOUND, row)
        arrays = Values({name: np.array([value]) for name, value in values.items()})
        assert max(abs(float(r.residual(arrays)[0])) for r in RELATIONS) < 1e-9
        assert {name: values[name] for name in FIXED} == pytest.approx(FIXED, abs=1e-12)
        assert implausible(values) == []


def test_the_bikes_lie_far_apart() -> None:
    spans = dict(zip(FOUND.names, np.ptp(FOUND.bikes, axis=0), strict=True))
    assert min(spans[name] for name in ("reach", "stack", "wheelbase", "fork_offset")) > 100
    assert spans["rear_axle_setback"] < 1e-9


def test_what_is_settled() -> None:
    settled = {n for n, one in zip(FOUND.names, FOUND.settled, strict=True) if one}
    assert settled == {*FIXED, "rear_axle_setback"}
    setback = FOUND.value(
        "rear_axle_setback", FOUND.bikes[0][FOUND.names.index("rear_axle_setback")]
    )
    assert setback == pytest.approx(math.sqrt(432**2 - 62**2), abs=1e-9)


def test_directions_are_scipys_null_space() -> None:
    row, rows = FOUND.some(6)[0], FOUND.tangents[0]
    arrays = Values({name: np.array([value]) for name, value in bike(FOUND, row).items()})
    scale = np.array([ANGLE_SCALE if n in ANGLES else 1.0 for n in FOUND.names])
    matrix = np.vstack(
        [jacobian(RELATIONS, FOUND.names, arrays, 1)[0] / scale, np.eye(len(scale))[FOUND.fixed]]
    )
    free = null_space(matrix, rcond=1e-10)
    assert rows.shape == free.shape
    # Two orthonormal bases of one space: the same projection onto it.
    assert rows @ rows.T == pytest.approx(free @ free.T, abs=1e-9)


def test_a_bike_near_a_start_is_as_near_as_scipys() -> None:
    """Small steps of least length end close to the nearest bike, which scipy finds by weights."""
    start = FOUND.bikes[3].copy()
    start[~FOUND.fixed] += np.random.default_rng(2).uniform(-1, 1, int((~FOUND.fixed).sum()))
    (ended,), good = FOUND.nearest(start[None], FOUND.fixed[None])
    scale = np.array([ANGLE_SCALE if n in ANGLES else 1.0 for n in FOUND.names])

    def off(x: np.ndarray) -> np.ndarray:
        full = start.copy()
        full[~FOUND.fixed] = x
        arrays = Values({n: np.array([v]) for n, v in zip(FOUND.names, full / scale, strict=True)})
        relations = np.array([float(r.residual(arrays)[0]) for r in RELATIONS])
        return np.concatenate([1e4 * relations, x - start[~FOUND.fixed]])

    best = least_squares(off, start[~FOUND.fixed], xtol=1e-12, ftol=1e-12).x
    assert good.all()
    assert np.abs(ended[~FOUND.fixed] - best).max() < 0.02
    assert np.abs(ended - start).max() < 5


def test_narrower_ranges_choose_a_branch() -> None:
    fixed = {"rear_axle_setback": 420.0, "chainstay_length": 432.0, "rear_wheel_radius": 370.0}
    j = FOUND.names.index("bb_drop")
    drop = math.sqrt(432**2 - 420**2)
    both = SolutionSet(RELATIONS, fixed)
    assert not both.settled[j]
    assert {round(v, 6) for v in both.bikes[:, j]} == {round(drop, 6), round(-drop, 6)}
    below = SolutionSet(RELATIONS, fixed, {"bb_drop": (-200.0, 0.0)})
    assert below.settled[j]
    assert below.bikes[0, j] == pytest.approx(-drop, abs=1e-9)


def test_no_bike_at_all() -> None:
    none = SolutionSet(RELATIONS, {"bb_drop": 300.0, "chainstay_length": 250.0})
    assert none.bikes.shape == (0, len(none.names))
    assert not none.settled.any()


def test_where_few_bikes_are_found_more_are_sought() -> None:
    assert 2 < len(SolutionSet(RELATIONS, FIXED, count=2).bikes) <= 20
