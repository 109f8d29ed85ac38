"""The command that sets bikes side by side."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from frame3d.cli.options import JSON, OUT, QUIET, SET, SETTING, SIZE, SWAP
from frame3d.cli.request import FALLS_SHORT, INPUT_AT_FAULT, OK, Request, say_faults, sizes
from frame3d.errors import Fault, SourceLocation, SpecError

if TYPE_CHECKING:
    from frame3d.family.measured import Measured
    from frame3d.family.members import Family

WIDE = 10_000
"""Width of a table in a file, where nothing has to be split [characters]."""


@click.command()
@click.argument("bikes", nargs=-1, metavar="FILE[:SIZE][+SETTING]...")
@SET
@SWAP
@SIZE
@SETTING
@click.option(
    "--figures-only",
    is_flag=True,
    help="Chart figures alone: no clearances, no suspension, no masses.",
)
@JSON
@QUIET
@OUT
def compare(
    bikes: Sequence[str],
    figures_only: bool,
    as_json: bool,
    quiet: bool,
    out: Path | None,
    **choice: Any,
) -> int:
    """Set two to eight bikes side by side: charts, differences to the first, what falls short.

    A bike is a file, one of its sizes (trail.yaml:L), one with settings (trail.yaml+low,
    trail.yaml:L+low). --size all and --setting all take each that a file has. --set and --swap are made
    on every bike; where only one is named, it is compared with itself without them.
    """
    from frame3d.family.members import solve_family
    from frame3d.family.wanted import wanted_of
    from frame3d.report.texts import texts

    request = Request(Path(), choice["sets"], choice["swaps"], as_json, quiet, out)
    family = solve_family(wanted_of(bikes, **choice))
    measured = None
    if not figures_only:
        from frame3d.family.measured import measure

        with request.bar() as progress:
            measured = measure(family, progress)
    say = texts()
    written: tuple[Path, ...] = ()
    if out is not None:
        written = _write(family, measured, out, request)

    def document() -> dict[str, object]:
        from frame3d.report.comparing.document import comparison_document

        data = comparison_document(family, measured, say)
        return {**data, "files": [f.as_posix() for f in written]} if written else data

    def text() -> str:
        from frame3d.cli.screen_compare import compared

        width = shutil.get_terminal_size((120, 24)).columns
        return "\n".join([*sizes(written), compared(family, measured, say, width)])

    request.answer(document, text)
    if family.faults:
        say_faults(family.faults, as_json=False)
        return INPUT_AT_FAULT
    return OK if measured is None or all(one.report.ok for one in measured) else FALLS_SHORT


def _write(
    family: Family, measured: Sequence[Measured] | None, folder: Path, request: Request
) -> tuple[Path, ...]:
    """Write the page and the size table into a folder.

    Raises:
        SpecError: only figures are wanted, of which there is no page.
        OutputError: the folder cannot be written.
    """
    from frame3d.cli.screen_compare import sized
    from frame3d.formats.writer import settle
    from frame3d.report.comparing.data import Comparison
    from frame3d.report.comparing.page import write_comparison

    if measured is None:
        place = SourceLocation("--figures-only")
        hint = "leave out one of --figures-only and --out"
        raise SpecError(Fault("comparison", "", "a page shows more than figures", hint, place))
    settle(folder)
    comparison = Comparison(family, tuple(measured))
    with request.bar() as progress:
        return write_comparison(comparison, sized(comparison.table, WIDE), folder, progress)
