"""Volume reducers at equal sag."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from frame3d.bike.loaded_spring import LoadedSpring
from frame3d.ride.springs.fork import fork_spring_of
from frame3d.ride.springs.reducers import above, force_curves, reducer_rows
from tests.ride.springs.bikes import FORK_AIR, bike

KINDS = "reducer_cm3: 8, reducers: 1, most_reducers: 3, negative"


def fork(air: str, *changes: tuple[str, str]) -> LoadedSpring:
    found = fork_spring_of(bike(air, "", *changes))
    assert found is not None
    return found.loaded


def test_each_reducer_takes_pressure_away_and_adds_to_the_end() -> None:
    loaded = fork(FORK_AIR.replace("negative", KINDS))
    assert loaded.found is not None
    rows = reducer_rows(loaded, loaded.found)
    assert [row.reducer_count for row in rows] == [0, 1, 2, 3]
    assert [row.fitted for row in rows] == [False, True, False, False]
    for key in ("deep_load_multiple", "end_load_multiple"):
        values = [getattr(row, key) for row in rows]
        assert values == sorted(values)
        assert values[0] < values[-1]
    pressures = [row.pressure_bar for row in rows]
    assert pressures == sorted(pressures, reverse=True)


def test_a_row_by_the_gas_laws_alone() -> None:
    """The row of two reducers: pressure isothermal by hand; forces of the ride by integrating the first law
    of an ideal gas without heat to outside, n p dV + V dp = 0, with scipy from the state at the sag.
    """
    loaded = fork(FORK_AIR.replace("negative", KINDS))
    assert loaded.found is not None
    assert loaded.place.carried is not None
    row = reducer_rows(loaded, loaded.found)[2]
    area, outside, volumes = math.pi / 4 * 35**2, 0.101325, (190e3 - 16e3, 60e3)
    sine, sag = loaded.place.guide.leverage[0], 28.0
    load = loaded.place.carried
    shares = volumes[0] / (volumes[0] - sag * area) - volumes[1] / (volumes[1] + sag * area)
    absolute = load * sine / area / shares
    assert row.pressure_bar == round(10 * (absolute - outside), 1)

    def law(stroke: float, p: np.ndarray) -> list[float]:
        positive, negative = volumes[0] - area * stroke, volumes[1] + area * stroke
        return [1.3 * p[0] / positive * area, -1.3 * p[1] / negative * area]

    start = [
        absolute * volumes[0] / (volumes[0] - sag * area),
        absolute * volumes[1] / (volumes[1] + sag * area),
    ]
    done = solve_ivp(law, (sag, 140.0), start, t_eval=[98.0, 140.0], rtol=1e-10, atol=1e-12)
    force = area * (done.y[0] - done.y[1]) / sine
    assert row.deep_load_multiple == round(float(force[0]) / load, 1)
    assert row.end_load_multiple == round(float(force[1]) / load, 1)
    (curve,) = (c for c in force_curves(loaded, loaded.found) if c.reducer_count == 2)
    assert curve.wheel_force_n[-1] == pytest.approx(force[1], abs=0.06)
    assert np.interp(0.2 * curve.travel[-1], curve.travel, curve.wheel_force_n) == pytest.approx(
        load, rel=1e-3
    )


def test_without_their_number_there_are_none() -> None:
    loaded = fork(FORK_AIR)
    assert loaded.found is not None
    assert reducer_rows(loaded, loaded.found) == ()
    (curve,) = force_curves(loaded, loaded.found)
    assert curve.reducer_count is None
    assert curve.fitted


def test_curves_never_pull() -> None:
    """At top-out the negative chamber is the stronger one when ridden; nothing is below zero."""
    loaded = fork(FORK_AIR.replace("negative", KINDS))
    for curve in force_curves(loaded, loaded.found):
        assert min(curve.wheel_force_n) == 0
        assert list(curve.wheel_force_n) == sorted(curve.wheel_force_n)


def test_a_sag_that_no_pressure_gives() -> None:
    large = (
        "air: {piston: 110, volume_cm3: 1400, pressure_bar: 5, reducer_cm3: 8, most_reducers: 1}"
    )
    loaded = fork(large, ("mass_kg: 80", "mass_kg: 12"))
    assert loaded.place.asked is not None
    rows = reducer_rows(loaded, loaded.place.asked)
    assert all(row.pressure_bar is None and row.end_load_multiple is None for row in rows)
    assert force_curves(loaded, loaded.place.asked) == ()


@pytest.mark.parametrize(
    ("shown", "highest", "is_above"),
    [(12.0, None, False), (12.0, 12.0, False), (12.1, 12.0, True), (11.9, 12.0, False)],
)
def test_the_limit_is_held_against_what_the_gauge_shows(
    shown: float, highest: float | None, is_above: bool
) -> None:
    assert above(shown, highest) is is_above
