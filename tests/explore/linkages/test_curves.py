"""Curves of many linkages against those of one."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.explore.linkages.batch import followed, grounded, in_gear
from frame3d.linkage import SuspensionInputs
from frame3d.linkage.curves.chain import pitch_radius
from frame3d.linkage.curves.curves import curves
from tests.explore.linkages.linkages import NAMED, linkage_of, moved_points, program_for


@pytest.mark.parametrize("name", NAMED)
def test_curves_are_those_of_one_linkage(name: str) -> None:
    linkage = linkage_of(name)
    program = program_for(linkage)
    at = followed(program, moved_points(program, linkage, 0.0, 2), linkage.stroke)
    front = np.column_stack((760 - 0.1 * linkage.travel, 10 + 0.8 * linkage.travel))
    path = np.array([front @ (1, 1j), front @ (1, 1j) + 15])
    centre, rear, fore = (
        np.array([90 + 800j, 60 + 700j]),
        np.array([355.0, 340]),
        np.array([372.0, 360]),
    )
    under = grounded(at, path, centre, rear, fore)
    gears = [in_gear(at, under, 32, cog) for cog in (10, 32, 50)]
    for i in range(2):
        inputs = SuspensionInputs(
            rear[i], fore[i], np.column_stack((path[i].real, path[i].imag)),
            (centre[i].real, centre[i].imag), 32, (10, 32, 50),
        )  # fmt: skip
        over = curves(linkage, inputs)
        assert under.wheelbase[i] == pytest.approx(over.wheelbase, abs=1e-9)
        assert under.anti_rise[i] == pytest.approx(over.anti_rise, abs=1e-9)
        for ours, gear in zip(gears, over.gears.values(), strict=True):
            assert ours.anti_squat[i] == pytest.approx(gear.anti_squat, abs=1e-9)
            grown = ours.wound[i] - ours.wound[i, 0]
            assert grown == pytest.approx(gear.chain_growth, abs=1e-9)
            turned = grown * np.degrees(1 / float(pitch_radius(32)))
            assert turned == pytest.approx(gear.crank_rotation, abs=1e-9)
