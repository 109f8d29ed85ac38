"""Dampers in the file."""

from __future__ import annotations

import pytest

from frame3d.parameters import loads
from tests.parameters.faults import GEO, Row, hold, row, row_name


def damper(body: str) -> str:
    return GEO + f"build:\n  fork: {{travel: 140, damper: {body}}}\n"


AT = "build.fork.damper"
ROWS: list[Row] = [
    row(damper("{rebound_n_s_m: -3}"), "out-of-range", f"{AT}.rebound_n_s_m", "-3", "below 0", "0 to 500000"),
    row(damper("{}"), "missing-key", AT, "{}", "says nothing", "rebound_n_s_m: 5000"),
    row(
        damper("{rebound_n_s_m: 3, rebound_fast_n_s_m: 2}"),
        "missing-key", f"{AT}.fast_from", "{rebound", "the speed from which", "fast_from: 0.3",
    ),
    row(
        damper("{rebound_n_s_m: 3, fast_from: 0.2}"),
        "inconsistent", f"{AT}.fast_from", "0.2", "without a fast slope", "leave fast_from out",
    ),
    row(
        damper("{rebound_n_s_m: 3, compression_fast_n_s_m: 4, fast_from: 0.2}"),
        "missing-key", f"{AT}.compression_n_s_m", "{rebound", "the slope before", "compression_n_s_m",
    ),
    row(
        damper("{rebound_n_s_m: 3, filmed_return: {start: 50, end: 9, seconds: 0.1}}"),
        "inconsistent", f"{AT}.filmed_return", "{start", "both give the rebound", "keep one",
    ),
    row(
        damper("{filmed_return: {start: 9, end: 50, seconds: 0.1}}"),
        "inconsistent", f"{AT}.filmed_return.end", "50", "never returns", "start: 45",
    ),
]  # fmt: skip


@pytest.mark.parametrize("given", ROWS, ids=row_name)
def test_what_a_damper_does_not_take(given: Row) -> None:
    hold(given)


def test_a_filmed_return_stands_for_the_rebound() -> None:
    text = damper(
        "{filmed_return: {start: 100, end: 9, seconds: 0.1}, rebound_fast_n_s_m: 900, fast_from: 1}"
    )
    fork = loads(text).build.fork
    assert fork is not None
    assert fork.damper is not None
    assert fork.damper.filmed_return is not None
