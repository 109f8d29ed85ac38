"""Options of the sheets on which flat parts are nested."""

from __future__ import annotations

from typing import Any

import click
import pytest
from click.testing import CliRunner

from frame3d.cli.plate_options import plate_options


def asked(*arguments: str) -> Any:
    found: list[Any] = []

    @click.command()
    @plate_options
    def command(plate_stock: Any) -> None:
        found.append(plate_stock)

    result = CliRunner().invoke(command, arguments)
    return found[0] if found else result.output


def test_a_sheet_with_gap_and_margin() -> None:
    stock = asked("--plate-sheet", "1000x500", "--plate-gap", "3")
    assert stock.room == (990.0, 490.0)
    assert asked() is None
    assert asked("--plate-sheet", "600 × 300.5", "--plate-margin", "0").room == (600.0, 300.5)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--plate-sheet", "big"), "is no size of a sheet"),
        (("--plate-sheet", "10x500"), "a sheet is 50 to 6000 mm"),
        (("--plate-gap", "3"), "--plate-gap is for nesting"),
        (("--plate-sheet", "100x100", "--plate-margin", "60"), "leaves nothing of a sheet"),
    ],
)
def test_what_makes_no_sheet_is_refused(arguments: tuple[str, ...], said: str) -> None:
    assert said in asked(*arguments)
