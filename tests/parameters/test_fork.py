"""A fork's spring and damper in the file: what they need of the fork."""

from __future__ import annotations

import pytest

from frame3d.parameters import loads
from tests.parameters.faults import GEO, Row, hold, row, row_name

SPRUNG = "{travel: 140, sag: 20%, spring: {air: {piston: 32, volume_cm3: 200}}}"


def fork(body: str) -> str:
    return GEO + f"build:\n  fork: {body}\n"


ROWS: list[Row] = [
    row(
        (text := fork("{travel: 0, spring: {coil: {rate_n_mm: 9}}}")),
        "inconsistent", "build.fork.spring", "{coil", "without travel has no spring", "travel",
    ),
    row(
        (text := fork("{damper: {rebound_n_s_m: 2000}}")),
        "inconsistent", "build.fork.damper", "{rebound", "without travel has no damper", "travel",
    ),
    row(
        (text := fork("{travel: 140, spring: {air: {piston: 32, volume_cm3: 200}}}")),
        "missing-key", "build.fork.spring.air.pressure_bar", "{piston", "without a sag", "build.fork.sag",
    ),
    row(
        (text := fork("{travel: 140, sag: 20%, spring: {air: {piston: 32, volume_cm3: 100}}}")),
        "inconsistent", "build.fork.spring.air.volume_cm3", "100", "leaves no air", "more than 112.6",
    ),
    row(
        (text := fork("{travel: 140, spring: {table: [[0, 50], [100, 900]]}}")),
        "inconsistent", "build.fork.spring.table.1", "[100", "before the stroke of 140 mm", "go on to 140",
    ),
    row(
        (text := fork("{travel: 140, damper: {filmed_return: {start: 150, end: 9, seconds: 0.2}}}")),
        "inconsistent", "build.fork.damper.filmed_return.start", "150", "full stroke of 140", "at most 140",
    ),
]  # fmt: skip


@pytest.mark.parametrize("given", ROWS, ids=row_name)
def test_what_a_fork_does_not_take(given: Row) -> None:
    hold(given)


def test_a_fork_with_a_spring() -> None:
    found = loads(fork(SPRUNG)).build.fork
    assert found is not None
    assert not found.rigid
    assert found.spring is not None
    assert found.spring.air is not None
    assert found.spring.air.air_cm3 == 200
