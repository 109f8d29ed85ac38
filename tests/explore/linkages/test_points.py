"""Positions of points of many designs against those of one."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.solve import begin, point_tubes
from frame3d.bike.suspended import on_tube
from frame3d.explore.linkages.points import Places, beside, values_of
from frame3d.geometry.arrays import Array, Complex
from frame3d.geometry.centreline import Centreline
from frame3d.linkage import points as of_one
from frame3d.parameters import load
from tests.explore.linkages.linkages import CONFIGS


@pytest.mark.parametrize("demo", ["trail_full_140", "enduro_170_mixed"])
def test_positions_and_drifts(demo: str) -> None:
    spec = load(CONFIGS / f"{demo}.yaml")
    assert spec.suspension is not None
    own, begun = spec.suspension, begin(spec)
    tubes = point_tubes(spec, begun.solved)
    axes = {tube.key: tube.axis for tube in tubes}
    names = ("bottom_bracket", "rear_axle", *own.points)
    places, random = Places(own, names), np.random.default_rng(3)
    values: dict[tuple[str, str], Any] = {
        name: value + random.uniform(-20, 20, 3) for name, value in values_of(own).items()
    }

    def many_on_tube(tube: str, along: str, at: Array, offset: Array) -> Complex:
        axis = axes[tube]
        return beside(axis, at if along == "from_start" else axis.length - at, offset)

    axle = np.array([-430 + 30j, -440 + 20j, -450 + 10j])
    found = places.positions(values, axle, many_on_tube)
    moved = [*values][::3]
    drifts = places.drifts(values, moved, many_on_tube)
    for i in range(3):
        at, one = (axle[i].real, axle[i].imag), {name: float(v[i]) for name, v in values.items()}
        told = of_one.positions(own, at, on_tube(tubes), one)
        assert found[i] == pytest.approx([told[name] for name in names], abs=1e-11)
        for name, drift in zip(moved, drifts, strict=True):
            own_drift = of_one.drift(own, at, on_tube(tubes), one, name)
            assert drift[i] == pytest.approx([own_drift[p] for p in names], abs=1e-10)


def test_beside_goes_up_or_ahead() -> None:
    for end in ((0.0, 0.0, 300.0), (0.0, 0.0, -300.0), (200.0, 0.0, 50.0), (-200.0, 0.0, 50.0)):
        axis = Centreline.through(((0.0, 0.0, 0.0), end), ())
        told = of_one.beside((0.0, 0.0), (end[0], end[2]), 120.0, 30.0)
        found = beside(axis, np.array([120.0]), np.array([30.0]))[0]
        assert (found.real, found.imag) == pytest.approx(told, abs=1e-12)
