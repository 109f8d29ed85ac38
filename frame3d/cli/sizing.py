"""The command that tells how each size of a file comes out for a rider."""

from __future__ import annotations

import shutil
from typing import Any

import click

from frame3d.cli.options import Number, common
from frame3d.cli.request import FALLS_SHORT, INPUT_AT_FAULT, OK, Request, say_faults
from frame3d.errors import Fault, SourceLocation, SpecError


@click.command()
@common
@click.option("--rider-height", "height", type=Number(1000, 2300), metavar="MM", help="Barefoot.")
@click.option("--inseam", type=Number(400, 1200), metavar="MM", help="Floor to crotch, barefoot.")
@click.option(
    "--saddle-height",
    type=Number(350, 1100),
    metavar="MM",
    help="Bottom bracket centre to saddle. Default: 0.883 x inseam.",
)
@click.option(
    "--rider-mass", "mass_kg", type=Number(10, 250), metavar="KG", help="With clothes and pack."
)
@click.option(
    "--grip-reach",
    type=Number(100, 900),
    metavar="MM",
    help="Bottom bracket to grips, level. Default: as on the size drawn for such a rider.",
)
@click.option(
    "--grip-stack", type=Number(200, 1200), metavar="MM", help="Bottom bracket to grips, up."
)
def sizes(
    request: Request, grip_reach: float | None, grip_stack: float | None, **measures: Any
) -> int:
    """Which size of FILE: how each comes out for a rider, by default the file's own.

    Exit status: 0 a size holds all that was checked, 1 none does, 2 the input is at fault.
    """
    from frame3d.family.cockpit_ranges import WishedGrips
    from frame3d.family.fitting import body_of, fitting
    from frame3d.family.wanted import Source
    from frame3d.parameters.reading.reader import loads, read_text
    from frame3d.parameters.reading.variant_tree import no_sizes

    if request.size is not None:
        place = SourceLocation(f"--size {request.size}")
        raise SpecError(Fault("override", "", "all sizes are compared", "leave --size out", place))
    grips = None
    if grip_reach is not None and grip_stack is not None:
        grips = WishedGrips(grip_reach, grip_stack, "")
    elif grip_reach is not None or grip_stack is not None:
        given, other = "--grip-reach", "--grip-stack"
        if grip_reach is None:
            given, other = other, given
        place = SourceLocation(given)
        raise SpecError(Fault("missing-key", "", "is half of a place", f"give {other} too", place))
    source = Source(str(request.file), read_text(request.file), tuple(request.sets))
    if not source.variants.sizes:
        raise SpecError(no_sizes(SourceLocation(str(request.file))))
    rider = None
    if measures["height"] is None and measures["inseam"] is None:
        rider = loads(source.text, source.name, source.sets, parse=source.parse).build.rider
    body = body_of(rider, **measures)
    found = fitting(source, body, request.settings, request.swaps, grips=grips)

    def document() -> dict[str, Any]:
        from frame3d.cli.screen_sizing import sizing_document

        return sizing_document(found)

    def text() -> str:
        from frame3d.cli.screen_sizing import sized

        return sized(found, shutil.get_terminal_size((120, 24)).columns)

    request.answer(document, text)
    if found.missing:
        say_faults([f for one in found.missing for f in one.faults], as_json=False)
        return INPUT_AT_FAULT
    return OK if found.holding else FALLS_SHORT
