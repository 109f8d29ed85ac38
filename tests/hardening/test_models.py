"""Scale models of plausible bikes by a number: none is refused, and nothing meets."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.mockup.meeting import meetings
from frame3d.parameters.reading.reader import load
from tests.hardening.models import printed, wishes
from tests.hardening.plausible import plausible


@pytest.mark.parametrize("number", [2])
def test_a_plausible_bike_prints(number: int, tmp_path: Path) -> None:
    """`python -m tests.hardening models N` makes any number."""
    bike = solve(load(plausible(number, tmp_path)))
    if bike.tubes:
        assert list(meetings(printed(bike, **wishes(number)).parts)) == []


def test_options_are_the_same_each_time_and_differ() -> None:
    assert wishes(7) == wishes(7)
    assert len({str(wishes(number)) for number in range(40)}) > 15
