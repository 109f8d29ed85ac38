"""The rider's measures in the file."""

from __future__ import annotations

import pytest

from frame3d.parameters import loads
from tests.parameters.faults import GEO, Row, hold, row, row_name


def rider(body: str) -> str:
    return GEO + f"build:\n  rider: {{mass_kg: 80, {body}}}\n"


ROWS: list[Row] = [
    row(
        rider("height: 1100, inseam: 1111"),
        "inconsistent", "build.rider.inseam", "1111", "longer than the rider", "floor to crotch",
    ),
    row(
        rider("knee_angle: 33"),
        "missing-key", "build.rider.at_saddle_height", "{mass", "saddle height at which", "give both",
    ),
    row(
        rider("at_saddle_height: 733"),
        "missing-key", "build.rider.knee_angle", "{mass", "knee angle that was measured", "give both",
    ),
]  # fmt: skip


@pytest.mark.parametrize("given", ROWS, ids=row_name)
def test_what_does_not_go_together(given: Row) -> None:
    hold(given)


def test_a_measured_knee() -> None:
    found = loads(rider("knee_angle: 33, at_saddle_height: 733")).build.rider
    assert found is not None
    assert (found.knee_angle, found.at_saddle_height, found.heel_up) == (33, 733, 20)
