"""Options of the sheets on which ``fabricate`` nests flat parts."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any, Final

import click

from frame3d.cli.options import Number

if TYPE_CHECKING:
    from frame3d.fabrication.flat.nest import Stock

SMALLEST: Final = 50.0
LARGEST: Final = 6000.0
"""Least and largest side of a sheet [mm]."""
DEFAULT: Final = 5.0
"""Gap and margin where they are not given [mm]; common practice, no source."""


def sheet_of(
    _ctx: click.Context, _param: click.Parameter, value: str | None
) -> tuple[float, float] | None:
    """Return a sheet's width and height from ``1000x500`` [mm].

    Raises:
        click.BadParameter: it is no size of a sheet.
    """
    if value is None:
        return None
    number = r"\s*(\d+(?:\.\d+)?)\s*"
    found = re.fullmatch(f"{number}[x×]{number}", value)
    if found is None:
        raise click.BadParameter(f"{value!r} is no size of a sheet, as 1000x500 is.")
    width, height = float(found[1]), float(found[2])
    if min(width, height) < SMALLEST or max(width, height) > LARGEST:
        raise click.BadParameter(f"a sheet is {SMALLEST:g} to {LARGEST:g} mm wide and high.")
    return width, height


def plate_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Return a command that takes the sheet's size, gap and margin, and gets them as `plate_stock`."""

    @wraps(command)
    def asked(
        *args: Any,
        plate_sheet: tuple[float, float] | None,
        plate_gap: float | None,
        plate_margin: float | None,
        **wishes: Any,
    ) -> Any:
        return command(*args, plate_stock=_stock(plate_sheet, plate_gap, plate_margin), **wishes)

    for option in (
        click.option(
            "--plate-margin",
            type=Number(0.0, 200.0),
            help=f"With --plate-sheet: least distance from the sheet's edge [mm]. Default: {DEFAULT:g}.",
        ),
        click.option(
            "--plate-gap",
            type=Number(0.0, 200.0),
            help=f"With --plate-sheet: least distance between flat parts [mm]. Default: {DEFAULT:g}.",
        ),
        click.option(
            "--plate-sheet",
            callback=sheet_of,
            metavar="WxH",
            help="Nest the flat parts on sheets of this size [mm], e.g. 1000x500.",
        ),
    ):
        asked = option(asked)
    return asked


def _stock(
    sheet: tuple[float, float] | None, gap: float | None, margin: float | None
) -> Stock | None:
    """Return the sheets; None for none.

    Raises:
        click.UsageError: a gap or margin without a sheet, or a margin that leaves nothing of it.
    """
    from frame3d.fabrication.flat.nest import Stock

    if sheet is None:
        if gap is not None or margin is not None:
            name = "--plate-gap" if gap is not None else "--plate-margin"
            raise click.UsageError(f"{name} is for nesting: give --plate-sheet too, e.g. 1000x500.")
        return None
    stock = Stock(*sheet, DEFAULT if gap is None else gap, DEFAULT if margin is None else margin)
    if min(stock.room) <= 0:
        raise click.UsageError(
            f"--plate-margin {stock.margin:g} leaves nothing of a sheet of {sheet[0]:g} x "
            f"{sheet[1]:g} mm."
        )
    return stock
