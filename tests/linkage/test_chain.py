"""Chain growth: against the material length of a taut chain, worked by winding it round."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.linkage.curves.chain import crank_rotation, growth, upper_run
from frame3d.linkage.motion import LinkageMotion
from tests.linkage.bikes import followed
from tests.reference.test_linkage_statics import four_link


def moved() -> LinkageMotion:
    return followed(four_link(), 40, 41)


@pytest.mark.parametrize("cog", [10, 32, 51])
def test_growth_is_the_axle_along_the_chain(cog: int) -> None:
    """∫ of the axle's velocity along the run over the stroke (Simpson)."""
    motion = followed(four_link(), 40, 161)  # steps of a quarter of a millimetre
    run = upper_run(motion.wheel.at, 32, cog)
    v = motion.wheel.rate
    rate = -(v.real * run.x + v.imag * run.z)  # away from the chainring
    simpson = (rate[0] + 4 * rate[1:-1:2].sum() + 2 * rate[2:-1:2].sum() + rate[-1]) / 12
    assert growth(run)[-1] == pytest.approx(simpson, abs=1e-4)


def test_equal_wheels_have_the_distance_of_their_centres() -> None:
    motion = moved()
    run = upper_run(motion.wheel.at, 32, 32)
    away = np.abs(motion.wheel.at)
    assert growth(run) == pytest.approx(away - away[0], abs=1e-10)
    assert crank_rotation(run, growth(run)) == pytest.approx(
        np.degrees((away - away[0]) / run.ring), abs=1e-10
    )


def test_a_pivot_at_the_chainring_never_pulls_the_chain_on_equal_wheels() -> None:
    """The axle on a circle about the chainring: no growth, with unequal wheels only their winding."""
    axle = -440 * np.exp(1j * np.radians(-np.linspace(0, 20, 11)))
    assert np.abs(growth(upper_run(axle, 32, 32))).max() < 1e-10
    run = upper_run(axle, 32, 50)
    turn = np.radians(-np.linspace(0, 20, 11))
    assert growth(run) == pytest.approx((run.ring - run.cog) * turn, abs=1e-10)
