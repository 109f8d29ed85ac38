"""The command that tells how stiff a frame is, compared with others."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from frame3d.cli.options import JSON, QUIET, SET, SETTING, SIZE, SWAP, Number
from frame3d.cli.request import INPUT_AT_FAULT, OK, Request, say_faults


@click.command()
@click.argument("bikes", nargs=-1, metavar="FILE[:SIZE][+SETTING]...")
@SET
@SWAP
@SIZE
@SETTING
@click.option(
    "--travel",
    type=Number(0),
    metavar="MM",
    help="Wheel travel at which suspended frames stand, the shock locked. Default: full extension.",
)
@click.option(
    "--reference",
    metavar="LABEL",
    help="The bike that the others are held against, by its label in the answer. Default: the first.",
)
@JSON
@QUIET
def stiffness(
    bikes: Sequence[str],
    travel: float | None,
    reference: str | None,
    as_json: bool,
    quiet: bool,
    **choice: Any,
) -> int:
    """How stiff a frame is under each load case, and beside the first of several.

    Bikes are named as for compare; the first is the reference. With --set, --swap or a setting of one
    file alone, it is compared with the file as it is; with a size, with the default size. Also: which
    tubes give way, and what a little more outside or wall of each would do for its grams. A beam model;
    no strength is told.
    """
    from frame3d.cli.screen_stiffness import told
    from frame3d.family.stiffnesses import stiffnesses_of
    from frame3d.family.wanted import wanted_of

    request = Request(Path(), choice["sets"], choice["swaps"], as_json, quiet)
    found = stiffnesses_of(wanted_of(bikes, **choice, fewest=1), travel, reference)

    def document() -> dict[str, object]:
        from frame3d.formats.stiffness_document import stiffness_document

        return stiffness_document(found)

    def text() -> str:
        return told(found, shutil.get_terminal_size((120, 24)).columns)

    request.answer(document, text)
    if found.faults:
        say_faults(found.faults, as_json=False)
        return INPUT_AT_FAULT
    return OK
