"""Units of the ride's results by the ends of their names."""

from __future__ import annotations

import pytest

from frame3d.ride.units import unit_of


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("mechanical_trail", "mm"),
        ("push_torque_nm", "N·m"),
        ("front_load_n", "N"),
        ("wheel_rate_n_mm", "N/mm"),
        ("knee_angle", "degrees"),
        ("fit.angles.knee_angle.low", "degrees"),
        ("springs.rear.found.travel", "mm"),
        ("falling_in_nm_per_degree", "N·m/degree"),
        ("stroke_share", "1"),
        ("critical_damping_n_s_m", "N·s/m"),
    ],
)
def test_the_longest_end_of_a_name_gives_the_unit(name: str, unit: str) -> None:
    assert unit_of(name) == unit
