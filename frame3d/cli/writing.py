"""Commands that write files of a bike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

from frame3d.caution import CAUTION
from frame3d.cli.every_size import over_sizes
from frame3d.cli.options import OUT, Number, common, common_of_several
from frame3d.cli.ordering import ordering, tube_stock_of
from frame3d.cli.plate_options import plate_options
from frame3d.cli.request import (
    FALLS_SHORT,
    OK,
    Answer,
    Request,
    leftovers,
    need_tubes,
    sizes,
    solved,
)
from frame3d.errors import Fault, TubeError
from frame3d.formats.writer import settle, stated_date

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.fabrication.flat.nest import Stock
    from frame3d.family.of_file import FileTables
    from frame3d.parameters.reading.tube_stock import TubeStock
    from frame3d.report.audience import Audience


@click.command()
@common
@OUT
@click.option(
    "--tolerance",
    type=Number(0.001, 1.0),
    default=0.05,
    show_default=True,
    help="Largest distance of STL and 3MF faces from the true surface [mm].",
)
@click.option(
    "--at",
    metavar="POSE",
    help="Pose of everything that moves, e.g. rear=50%,fork=sag,steer=20. Default: as drawn.",
)
@over_sizes
def build(request: Request, tolerance: float, at: str | None) -> Answer:
    """Build FILE: solve it, make the solids, write STEP, STL, 3MF, GLB and JSON."""
    settle(request.folder)
    bike, built = solved(request)
    pose = None
    if at is not None:
        from frame3d.bodies.motion.pose_text import pose_at

        pose = pose_at(bike, at)
    need_tubes(bike, "build", "; `frame3d solve` works without")
    with request.bar() as progress:
        from frame3d.formats import document_of, write_all
        from frame3d.solids import make

        # Making the solids takes about three quarters of the whole.
        model = make(bike, lambda what, share: progress(what, 0.75 * share))
        files = write_all(
            model,
            request.folder,
            lambda what, share: progress(what, 0.75 + 0.25 * share),
            tolerance=tolerance,
            as_built=built,
            pose=pose,
        )

    def document() -> dict[str, Any]:
        return {**document_of(model, built, pose), "files": [f.as_posix() for f in files]}

    def text() -> str:
        said = [f"- {note.render()}" for note in (*bike.notes, *model.notes)]
        mass = f"frame mass {model.mass:.0f} g in {len(model.parts)} parts"
        if model.fork is not None:
            mass += f"; fork mass {model.fork.mass:.0f} g in {len(model.fork.parts)} parts"
        return "\n".join([*said, *sizes(files), mass, "", CAUTION])

    return Answer(bike, document, text)


@click.command()
@common_of_several
@OUT
@click.option(
    "--paper",
    type=click.Choice(["A4", "Letter"], case_sensitive=False),
    default="A4",
    show_default=True,
    help="Of templates and lists; the drawing is A3.",
)
@click.option(
    "--tube-stock",
    callback=tube_stock_of,
    metavar="FILE",
    help="The shop's own tubes: what each tube of the frame is cut from, or why none fits.",
)
@plate_options
@ordering
def fabricate(
    request: Request, paper: str, tube_stock: TubeStock | None, plate_stock: Stock | None
) -> Answer:
    """Write FILE's workshop pack: templates, cut list, fixture sheet, drawing, parts, bends, plates.

    With --all-sizes, or for several files, each has a folder of its own, and one order list for all of
    them stands beside these folders.
    """
    from frame3d.fabrication import fabricate as write_pack
    from frame3d.fabrication.partial_layout import salvaged
    from frame3d.parameters.reading.reader import load

    settle(request.folder)
    left_out: Sequence[Fault] = ()
    try:
        bike, _ = solved(request)
    except TubeError as error:
        bike, left_out = salvaged(load(request.file, request.sets, size=request.size), error)
    need_tubes(bike, "cut")
    with request.bar() as progress:
        written = write_pack(
            bike,
            request.folder,
            paper=paper,
            tube_stock=tube_stock,
            plate_stock=plate_stock,
            progress=progress,
        )
    faults = (*left_out, *written.faults)

    def document() -> dict[str, Any]:
        from frame3d.formats import documents

        summary = documents.fault_document(faults) if faults else {}
        files = [f.as_posix() for f in written.files]
        notes = [documents.note_document(note) for note in (*bike.notes, *written.notes)]
        removed, kept = ([f.as_posix() for f in fs] for fs in (written.removed, written.kept))
        variant = documents.variant_document(bike.spec)
        return {
            **variant,
            **summary,
            "files": files,
            "removed": removed,
            "kept": kept,
            "notes": notes,
        }

    def text() -> str:
        said = [f"- {note.render()}" for note in (*bike.notes, *written.notes)]
        old = leftovers(written.removed, written.kept)
        return "\n".join([*said, *sizes(written.files), *old, "", CAUTION])

    status = FALLS_SHORT if faults else OK
    return Answer(bike, document, text, status, faults, is_whole=not left_out)


@click.command()
@common
@OUT
@click.option("--scale", metavar="RATIO", help="1:6 or 0.1667. Default: 1:6.")
@click.option(
    "--length",
    type=Number(0.0, min_open=True),
    metavar="MM",
    help="Overall length, in place of a scale.",
)
@click.option("--bed", default="220x220x250", show_default=True, help="Printer's volume [mm].")
@click.option(
    "--with",
    "kits",
    metavar="PARTS",
    help="What goes with the frame: wheels,fork,cranks,cockpit,saddle; frame for none. Default: all "
    "that the file gives.",
)
@click.option("--name", metavar="TEXT", help="Text of the name plate. Default: the bike's name.")
@click.option("--stand/--no-stand", default=True, help="Display stand with the name plate.")
@click.option("--mixed", is_flag=True, help="Let parts of several colours share a plate.")
@click.option(
    "--wall",
    type=Number(0.4, 5.0),
    default=1.2,
    show_default=True,
    help="Thinnest wall [mm].",
)
@click.option(
    "--rod",
    type=Number(0.4, 8.0),
    default=2.0,
    show_default=True,
    help="Thinnest rod [mm].",
)
@click.option(
    "--fit",
    type=Number(0.05, 0.5),
    default=0.2,
    show_default=True,
    help="Clearance of pegs in their holes, per side [mm].",
)
@click.option(
    "--turn",
    type=Number(0.05, 1.0),
    default=0.3,
    show_default=True,
    help="Clearance of what turns, per side [mm].",
)
@click.option(
    "--material",
    type=click.Choice(["PLA", "PETG", "ABS", "ASA", "PA12", "resin"], case_sensitive=False),
    default="PLA",
    show_default=True,
    help="For the mass.",
)
@click.option(
    "--at",
    metavar="POSE",
    help="Pose of suspension, fork and cranks, e.g. rear=sag,fork=sag,crank=30.",
)
@over_sizes
def mockup(request: Request, at: str | None, **wishes: Any) -> Answer:
    """Scale model of FILE: plates that print, an STL a part, how to put it together."""
    from frame3d.mockup import mockup as to_plates
    from frame3d.mockup.read_options import pose_of, read_options

    folder = request.folder / "mockup" if request.out is None else request.out
    settle(folder)
    bike, _ = solved(request)
    pose = pose_of(bike, at)
    options = read_options(bike, pose=pose, **wishes)
    with request.bar() as progress:
        written, result = to_plates(bike, options, folder, pose=pose, progress=progress)

    def text() -> str:
        from frame3d.cli.screen_mockup import summary

        return summary(result, written)

    return Answer(bike, lambda: result, text)


@click.command()
@common
@OUT
@click.option(
    "--for",
    "audience",
    type=click.Choice(["builder", "rider"]),
    default="builder",
    show_default=True,
    help="Whom the page is for: the rider's has plain words, and no keys and checks of the shop.",
)
@over_sizes
def report(request: Request, audience: Audience) -> Answer:
    """Report on FILE: one page with 3D, figures, drawing, curves and checks, for any browser."""
    from frame3d.parameters.reading.change import exchanges
    from frame3d.report.data import gather
    from frame3d.report.page import write_report

    stated_date()  # a date that is none is told at once
    settle(request.folder)
    bike, built = solved(request)
    with request.bar() as progress:
        # Drawing and packing the page takes about a tenth of the whole.
        data = gather(
            bike,
            built,
            exchanges(bike.spec),
            lambda what, share: progress(what, 0.9 * share),
            _offered(request, bike),
        )
        progress("the page", 0.9)
        written = write_report(data, request.folder, progress, audience)

    def document() -> dict[str, Any]:
        from frame3d.formats.documents import check_document, variant_document

        variant = variant_document(bike.spec)
        names = [path.as_posix() for path in written.files]
        return {**variant, **check_document(data.report, bike.warnings), "files": names}

    def text() -> str:
        from frame3d.cli import screen
        from frame3d.paper.fonts import lacking

        hint = "" if data.report.ok else f"; see `frame3d check {request.file}`"
        has_sheet = any(file.suffix == ".pdf" for file in written.files)
        said = [f"- {line}" for line in lacking(bike.spec.title)] if has_sheet else []
        gone = leftovers(written.removed, written.kept)
        tally = screen.tally(data.report) + hint
        return "\n".join([*said, *sizes(written.files), *gone, tally])

    return Answer(bike, document, text, OK if data.report.ok else FALLS_SHORT)


def _offered(request: Request, bike: Bike) -> FileTables | None:
    """Return the tables of the sizes and settings that the file has; None where it has none."""
    if not bike.spec.variants.sizes and not bike.spec.variants.settings:
        return None
    from frame3d.family.of_file import tables_of
    from frame3d.family.wanted import Source
    from frame3d.parameters.reading.reader import read_text

    source = Source(str(request.file), read_text(request.file), tuple(request.sets))
    return tables_of(source, request.choice)
