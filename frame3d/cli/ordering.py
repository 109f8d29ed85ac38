"""The order list that ``fabricate`` adds for all sizes or several files, and its options."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

import click

from frame3d.cli.every_size import ForAll, Maker, over_sizes
from frame3d.cli.options import Number
from frame3d.cli.request import FALLS_SHORT, OK, Answer, Request, sizes
from frame3d.errors import Fault, SourceLocation, SpecError

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.fabrication.ordering.stock import StockLength
    from frame3d.parameters.reading.tube_stock import TubeStock

LONGEST: Final = 20_000.0
"""Longest bar [mm]."""
MOST: Final = 1000
"""Most frames of a size, and most bars of a length."""


def stock_of(_ctx: click.Context, _param: click.Parameter, value: str) -> tuple[StockLength, ...]:
    """Return stock lengths from ``2000``, or ``3000,1500:2``: any number of 3000 mm, two of 1500 mm.

    Raises:
        click.BadParameter: one is no length, or stands twice.
    """
    from frame3d.fabrication.ordering.stock import StockLength

    found = []
    for part in value.split(","):
        length, colon, count = (text.strip() for text in part.partition(":"))
        try:
            found.append(StockLength(float(length), int(count) if colon else None))
        except ValueError as problem:
            said = f"{part.strip()!r} is no stock length, as 2000 or 1500:2 is."
            raise click.BadParameter(said) from problem
    for one in found:
        if not 0.0 < one.length <= LONGEST:
            raise click.BadParameter(f"{one.length:g} mm is no bar; up to {LONGEST:g} mm.")
        if one.count is not None and not 0 <= one.count <= MOST:
            raise click.BadParameter(f"{one.count} is no number of bars; 0 to {MOST}.")
    if len({one.length for one in found}) < len(found):
        raise click.BadParameter("a length stands twice.")
    return tuple(found)


def tube_stock_of(
    _ctx: click.Context, _param: click.Parameter, value: str | None
) -> TubeStock | None:
    """Return the shop's own tubes from their file; None where none is named.

    Raises:
        SpecError: the file is at fault.
    """
    from frame3d.parameters.reading.tube_stock import read_tube_stock

    return None if value is None else read_tube_stock(value)


def quantities_of(
    _ctx: click.Context, _param: click.Parameter, values: Sequence[str]
) -> tuple[tuple[str, int], ...]:
    """Return sizes or frames and the number wanted of them, each from ``M=2``.

    Raises:
        click.BadParameter: one is no size and number.
    """
    found = []
    for value in values:
        size, _, count = (text.strip() for text in value.rpartition("="))
        number = int(count) if re.fullmatch("[0-9]{1,8}", count) else -1
        if not (size and 0 <= number <= MOST):
            raise click.BadParameter(f"{value!r} is no size and number of frames, as M=2 is.")
        found.append((size, number))
    return tuple(found)


def ordering(make: Maker) -> Callable[..., int]:
    """Return a command for one bike, or for all sizes or several files with their order list."""
    command: Callable[..., int] = over_sizes(
        make,
        ForAll(_order, ("quantity", "stock", "kerf", "trim"), _check, ("paper", "plate_stock")),
    )
    for option in (
        click.option(
            "--trim",
            type=Number(0.0, 500.0),
            default=0.0,
            show_default=True,
            help="Order list: length at either end of a bar that is not used [mm].",
        ),
        click.option(
            "--kerf",
            type=Number(0.0, 10.0),
            default=2.0,
            show_default=True,
            help="Order list: width of the saw's cut [mm].",
        ),
        click.option(
            "--stock",
            callback=stock_of,
            metavar="MM[:COUNT],...",
            default="2000",
            show_default=True,
            help="Order list: lengths in which plain tube is to be had [mm]; with a number, so many.",
        ),
        click.option(
            "--quantity",
            callback=quantities_of,
            multiple=True,
            metavar="NAME=N",
            help="Order list: number of frames of a size, or of a file by its name without ending "
            "(trail=2, trail:L=2). Repeatable. Default: 1 of each.",
        ),
    ):
        command = option(command)
    return command


def _check(
    kind: str,
    names: Sequence[str],
    quantity: Sequence[tuple[str, int]],
    stock: Sequence[StockLength],
    kerf: float,
    trim: float,
) -> None:
    """Raise SpecError where a quantity or a bar cannot be."""
    del kerf
    at = SourceLocation("--quantity")
    known = ", ".join(names)
    for i, (size, _) in enumerate(quantity):
        if size not in names:
            fault = Fault("override", "", f"there is no {kind} {size}", f"known here: {known}", at)
            raise SpecError(fault)
        if size in [name for name, _ in quantity[:i]]:
            hint = f"give the number of {size} once"
            raise SpecError(Fault("override", "", f"{kind} {size} stands twice", hint, at))
    if not any(_numbers(names, quantity).values()):
        hint = f"give at least one {kind} a number of 1 or more"
        raise SpecError(Fault("override", "", "no frame is left to order for", hint, at))
    if any(one.length <= 2 * trim for one in stock):
        raise SpecError(
            Fault(
                "override",
                "",
                f"nothing is left of a bar of {min(one.length for one in stock):g} mm",
                "trim less, or leave that stock length out",
                SourceLocation("--trim"),
            )
        )


def _numbers(names: Sequence[str], quantity: Sequence[tuple[str, int]]) -> Mapping[str, int]:
    """Return the number of frames of each size."""
    return {**dict.fromkeys(names, 1), **dict(quantity)}


def _order(
    request: Request,
    names: Sequence[str],
    bikes: Mapping[str, Bike],
    quantity: Sequence[tuple[str, int]],
    **how: Any,
) -> Answer | None:
    """Write the order list; None where no frame is wanted of the sizes that could be made.

    `how` is the paper, the stock lengths and sheets, kerf and trim, as `write_order` takes them.
    """
    from frame3d.fabrication.ordering import write_order
    from frame3d.formats.writer import settle

    first = next(iter(bikes.values()))
    numbers = _numbers(names, quantity)
    missing = [size for size, number in numbers.items() if number and size not in bikes]
    wanted = [(size, bike, numbers[size]) for size, bike in bikes.items()]
    if not any(number for _, _, number in wanted):
        return None
    settle(request.folder)
    written = write_order(wanted, request.folder, missing=missing, **how)

    def document() -> dict[str, Any]:
        from frame3d.fabrication.ordering.order_tables import order_document
        from frame3d.formats.documents import note_document

        files = [file.as_posix() for file in written.files]
        notes = [note_document(note) for note in written.notes]
        return {"order": {**order_document(written.order), "files": files, "notes": notes}}

    def text() -> str:
        from frame3d.fabrication.ordering.order_tables import purchases

        frames = ", ".join(f"{size.quantity} of {size.name}" for size in written.order.sizes)
        said = [f"order list for {frames}", *(f"- {note.render()}" for note in written.notes)]
        said += [f"- not in it, as it could not be made whole: {size}" for size in missing]
        for bought in purchases(written.order):
            if bought.section.plan is not None:
                bars = f"{bought.count} bar{'s' * (bought.count > 1)} of {bought.length:g}"
                said.append(f"  {bought.section.title}: {bars}, {bought.section.plan.claim}")
        return "\n".join([*said, *sizes(written.files)])

    return Answer(first, document, text, FALLS_SHORT if missing else OK)
