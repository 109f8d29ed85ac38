"""Stem and handlebar in the file."""

from __future__ import annotations

import pytest

from frame3d.parameters import loads
from tests.parameters.faults import GEO, Row, hold, row, row_name


def cockpit(stem: str, bar: str) -> str:
    return GEO + f"build:\n  stem: {{length: 45, {stem}}}\n  handlebar: {{{bar}}}\n"


ROWS: list[Row] = [
    row(
        cockpit("spacers: 35, most_spacers: 30", "rise: 20"),
        "inconsistent", "build.stem.spacers", "35", "more than most_spacers", "at most 30",
    ),
    row(
        cockpit("spacers: 5", "width: 333, levers: {from_end: 170}"),
        "inconsistent", "build.handlebar.levers.from_end", "170", "beyond the middle", "less than 166.5",
    ),
    row(
        cockpit("lengths: [-5, 40]", "rise: 20"),
        "out-of-range", "build.stem.lengths", "[-5, 40]", "no stem is -5 mm long", "e.g. [35, 40",
    ),
    row(
        cockpit("lengths: []", "width: 333"),
        "wrong-type", "build.stem.lengths", "[]", "at least 1", "Stems to be had",
    ),
]  # fmt: skip


@pytest.mark.parametrize("given", ROWS, ids=row_name)
def test_what_does_not_go_together(given: Row) -> None:
    hold(given)


def test_sizes_to_be_had() -> None:
    build = loads(cockpit("lengths: [35, 45]", "rises: [10, 20.5]")).build
    assert build.stem is not None
    assert build.handlebar is not None
    assert (build.stem.lengths, build.handlebar.rises) == ((35, 45), (10, 20.5))
