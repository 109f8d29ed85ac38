"""The command that sets bikes side by side."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from frame3d.cli.options import JSON, OUT, QUIET, SET, SETTING, SIZE, SWAP
from frame3d.cli.request import FALLS_SHORT, INPUT_AT_FAULT, OK, Request, say_faults


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

    def document() -> dict[str, object]:
        from frame3d.report.comparing.document import comparison_document

        return comparison_document(family, measured, say)

    def text() -> str:
        from frame3d.cli.screen_compare import compared

        return compared(family, measured, say, shutil.get_terminal_size((120, 24)).columns)

    request.answer(document, text)
    if family.faults:
        say_faults(family.faults, as_json=False)
        return INPUT_AT_FAULT
    return OK if measured is None or all(one.report.ok for one in measured) else FALLS_SHORT
