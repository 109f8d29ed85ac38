"""The package's verbs, for a terminal."""

from __future__ import annotations

import gc
import os
import shutil
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from frame3d.cli.options import FILE, OUT, QUIET, common
from frame3d.errors import Fault, FrameError, OutputError
from frame3d.version import __version__

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.bike.exchange import AsBuilt

OK, FALLS_SHORT, INPUT_AT_FAULT, OWN_DEFECT = 0, 1, 2, 70
"""Exit statuses; 70 is the usual one for a defect of the program itself (BSD sysexits)."""


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="frame3d")
def frame3d() -> None:
    """From one parameter file to a solved bicycle frame, tube solids and shop files.

    Exit status: 0 done, 1 done but a check falls short, 2 the input is at fault.
    """


@frame3d.command()
@FILE
@click.option(
    "--suspension",
    metavar="KIND",
    help="A bike with rear suspension: single-pivot, single-pivot-rocker or four-bar.",
)
@QUIET
def new(file: Path, suspension: str | None, quiet: bool) -> None:
    """Write a commented starter FILE, a complete trail hardtail to change."""
    from frame3d.formats.writer import write_new
    from frame3d.parameters.starters.starter import starter

    name = file.stem.replace("_", " ").replace("-", " ").strip().capitalize()
    text = starter(name if name.isprintable() and name else "My bike", suspension)
    write_new(file, text.encode())
    if not quiet:
        click.echo(f"wrote {file}; next: frame3d solve {file}")


@frame3d.command()
@common
@click.option("--sensitivity", is_flag=True, help="Change of every result per unit of every input.")
@click.option("--mass", is_flag=True, help="Mass of every tube and their centre, without solids.")
@click.option("--travel", is_flag=True, help="The rear suspension's curves over its travel.")
def solve(
    file: Path,
    sets: Sequence[str],
    swaps: Sequence[str],
    as_json: bool,
    quiet: bool,
    sensitivity: bool,
    mass: bool,
    travel: bool,
) -> None:
    """Solve FILE: the whole chart, where every node lies, what is assumed."""
    from frame3d.bike.sprung import with_spring_notes

    bike, built = _solved(file, sets, swaps)
    bike = with_spring_notes(bike)
    changes = masses = moving = None
    if sensitivity:
        from frame3d.chart.sensitivity import as_built_sensitivity, design_sensitivity

        changes = (design_sensitivity(bike.solved), as_built_sensitivity(bike.solved))
    if travel:
        from frame3d.bike.travel import over_travel

        moving = over_travel(bike, 101 if as_json else 11)
    if mass and bike.tubes:
        from frame3d.tubes.mass import masses_of

        masses = masses_of(bike.frame)
    if as_json:
        from frame3d.formats import documents

        out = documents.solve_document(bike)
        if masses is not None:
            out["mass"] = documents.mass_document(masses)
        if built is not None:
            out["as_built"] = documents.as_built_document(built)
        if moving is not None:
            out["travel"] = documents.travel_document(moving)
        if changes is not None:
            out["sensitivity"] = documents.sensitivity_document(*changes)
        click.echo(documents.dumps(out), nl=False)
    elif not quiet:
        from frame3d.cli import screen

        width = shutil.get_terminal_size((120, 24)).columns
        parts = [screen.solved(bike, masses)]
        if built is not None:
            parts.append(screen.exchanged(built))
        if moving is not None:
            from frame3d.cli.screen_travel import travelled

            parts.append(travelled(moving, width))
        if changes is not None:
            titles = (
                "Design: the other given figures stand, the frame changes",
                "As built: the frame stays, a part changes",
            )
            named = dict(zip(titles, changes, strict=True))
            parts.append(screen.sensitivities(named, width))
        click.echo("\n\n".join(parts))


@frame3d.command()
@common
@click.option(
    "--tolerance",
    type=click.FloatRange(1e-6, 1.0),
    default=0.01,
    show_default=True,
    help="Width of each gap's certificate [mm].",
)
@click.option(
    "--near",
    type=click.FloatRange(0.0, 500.0),
    metavar="MM",
    help="Also list everything that comes closer than this to anything else.",
)
@click.option("--what-fits", is_flag=True, help="Largest tyres, chainring, crank and travel.")
def check(
    file: Path,
    sets: Sequence[str],
    swaps: Sequence[str],
    as_json: bool,
    quiet: bool,
    tolerance: float,
    near: float | None,
    what_fits: bool,
) -> int:
    """Check FILE: every clearance through all travel and steering, with proof."""
    from frame3d.clearance.advice.fits import what_fits as largest
    from frame3d.clearance.advice.remedies import Remedies
    from frame3d.clearance.check import near as closer_than
    from frame3d.clearance.check import run_checks, with_mends
    from frame3d.clearance.scene import scene_of
    from frame3d.cli import screen
    from frame3d.formats import documents
    from frame3d.progress import bar

    bike, built = _solved(file, sets, swaps)
    scene = scene_of(bike, tolerance)
    with bar(quiet or as_json) as progress:
        report = run_checks(scene, progress)
        report = with_mends(report, Remedies(scene, report).mends, progress)
        close = None if near is None else closer_than(scene, near, progress)
        fits = largest(scene, progress) if what_fits else None
    if as_json:
        out = documents.check_document(report)
        if close is not None:
            out["near"] = [documents.result_document(r) for r in close]
        if fits is not None:
            out["what_fits"] = [documents.fit_document(f) for f in fits]
        if built is not None:
            out["as_built"] = documents.as_built_document(built)
        click.echo(documents.dumps(out), nl=False)
    elif not quiet:
        parts = [screen.checked(bike, report)]
        if close is not None:
            parts.append(screen.close(close, near))
        if fits is not None:
            parts.append(screen.fits(fits))
        click.echo("\n\n".join(parts))
    return OK if report.ok else FALLS_SHORT


@frame3d.command()
@common
@OUT
@click.option("--scale", metavar="RATIO", help="1:6 or 0.1667. Default: 1:6.")
@click.option("--length", type=float, metavar="MM", help="Overall length, in place of a scale.")
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
    type=click.FloatRange(0.4, 5.0),
    default=1.2,
    show_default=True,
    help="Thinnest wall [mm].",
)
@click.option(
    "--rod",
    type=click.FloatRange(0.4, 8.0),
    default=2.0,
    show_default=True,
    help="Thinnest rod [mm].",
)
@click.option(
    "--fit",
    type=click.FloatRange(0.05, 0.5),
    default=0.2,
    show_default=True,
    help="Clearance of pegs in their holes, per side [mm].",
)
@click.option(
    "--turn",
    type=click.FloatRange(0.05, 1.0),
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
def mockup(
    file: Path,
    sets: Sequence[str],
    swaps: Sequence[str],
    as_json: bool,
    quiet: bool,
    out: Path | None,
    at: str | None,
    **wishes: Any,
) -> None:
    """Scale model of FILE: plates that print, an STL a part, how to put it together."""
    from frame3d.mockup import mockup as to_plates
    from frame3d.mockup.read_options import pose_of, read_options
    from frame3d.progress import bar

    bike, _ = _solved(file, sets, swaps)
    pose = pose_of(bike, at)
    options = read_options(bike, pose=pose, **wishes)
    folder = Path("exports") / file.stem / "mockup" if out is None else out
    with bar(quiet or as_json) as progress:
        files, result = to_plates(bike, options, folder, pose=pose, progress=progress)
    if as_json:
        from frame3d.formats import documents

        click.echo(documents.dumps(result), nl=False)
    elif not quiet:
        from frame3d.cli.screen_mockup import summary

        click.echo(summary(result, files))


@frame3d.command()
@common
@OUT
@click.option(
    "--tolerance",
    type=click.FloatRange(0.001, 1.0),
    default=0.05,
    show_default=True,
    help="Largest distance of STL and 3MF faces from the true surface [mm].",
)
@click.option(
    "--at",
    metavar="POSE",
    help="Pose of everything that moves, e.g. rear=50%,fork=sag,steer=20. Default: as drawn.",
)
def build(
    file: Path,
    sets: Sequence[str],
    swaps: Sequence[str],
    as_json: bool,
    quiet: bool,
    out: Path | None,
    tolerance: float,
    at: str | None,
) -> None:
    """Build FILE: solve it, make the solids, write STEP, STL, 3MF, GLB and JSON."""
    from frame3d.progress import bar

    bike, built = _solved(file, sets, swaps)
    pose = None
    if at is not None:
        from frame3d.bodies.motion.pose_text import pose_at

        pose = pose_at(bike, at)
    folder = Path("exports") / file.stem if out is None else out
    if not bike.tubes:
        raise OutputError(
            bike.spec.fault(
                "missing-key",
                "tubes",
                "the file describes no tubes, so there is nothing to build",
                "add tubes, or see `frame3d new` for a complete example; `frame3d solve` works without",
            )
        )
    with bar(quiet or as_json) as progress:
        from frame3d.formats import document_of, write_all
        from frame3d.solids import make

        # Making the solids takes about three quarters of the whole.
        model = make(bike, lambda what, share: progress(what, 0.75 * share))
        files = write_all(
            model,
            folder,
            lambda what, share: progress(what, 0.75 + 0.25 * share),
            tolerance=tolerance,
            as_built=built,
            pose=pose,
        )
    if as_json:
        from frame3d.formats import documents

        text = documents.dumps(
            {**document_of(model, built, pose), "files": [f.as_posix() for f in files]}
        )
        click.echo(text, nl=False)
    elif not quiet:
        from frame3d.caution import CAUTION

        for note in (*bike.notes, *model.notes):
            click.echo(f"- {note.render()}")
        for path in files:
            click.echo(f"{path.stat().st_size:>12,} bytes  {path}")
        click.echo(f"frame mass {model.mass:.0f} g in {len(model.parts)} parts\n\n{CAUTION}")


@frame3d.command()
@common
@OUT
@click.option(
    "--paper",
    type=click.Choice(["A4", "Letter"], case_sensitive=False),
    default="A4",
    show_default=True,
    help="Of templates and lists; the drawing is A3.",
)
def fabricate(
    file: Path,
    sets: Sequence[str],
    swaps: Sequence[str],
    as_json: bool,
    quiet: bool,
    out: Path | None,
    paper: str,
) -> int:
    """Write FILE's workshop pack: templates, cut list, fixture sheet, drawing, parts, bends."""
    from frame3d.errors import TubeError
    from frame3d.fabrication import fabricate as write_pack
    from frame3d.fabrication.partial_layout import salvaged
    from frame3d.parameters.reading.reader import load
    from frame3d.progress import bar

    left_out: Sequence[Fault] = ()
    try:
        bike, _ = _solved(file, sets, swaps)
    except TubeError as error:
        bike, left_out = salvaged(load(file, sets=sets), error)
    folder = Path("exports") / file.stem if out is None else out
    if not bike.tubes:
        raise OutputError(
            bike.spec.fault(
                "missing-key",
                "tubes",
                "the file describes no tubes, so there is nothing to cut",
                "add tubes, or see `frame3d new` for a complete example",
            )
        )
    with bar(quiet or as_json) as progress:
        written = write_pack(bike, folder, paper=paper, progress=progress)
    faults = (*left_out, *written.faults)
    if as_json:
        from frame3d.formats import documents

        summary = documents.fault_document(faults) if faults else {}
        files = [f.as_posix() for f in written.files]
        removed = [f.as_posix() for f in written.removed]
        click.echo(documents.dumps({**summary, "files": files, "removed": removed}), nl=False)
    elif not quiet:
        from frame3d.caution import CAUTION

        for note in (*bike.notes, *written.notes):
            click.echo(f"- {note.render()}")
        for path in written.files:
            click.echo(f"{path.stat().st_size:>12,} bytes  {path}")
        for path in written.removed:
            click.echo(f"           removed  {path}, of the run before")
        click.echo(f"\n{CAUTION}")
    if faults:
        _say_faults(faults, as_json=False)
    return FALLS_SHORT if faults else OK


@frame3d.command()
@common
@OUT
def report(
    file: Path,
    sets: Sequence[str],
    swaps: Sequence[str],
    as_json: bool,
    quiet: bool,
    out: Path | None,
) -> int:
    """Report on FILE: one page with 3D, figures, drawing, curves and checks, for any browser."""
    from frame3d.formats import documents
    from frame3d.progress import bar
    from frame3d.report.data import gather
    from frame3d.report.page import write_report

    bike, built = _solved(file, sets, swaps)
    folder = Path("exports") / file.stem if out is None else out
    with bar(quiet or as_json) as progress:
        # Drawing and packing the page takes about a tenth of the whole.
        data = gather(bike, built, swaps, lambda what, share: progress(what, 0.9 * share))
        progress("the page", 0.9)
        written = write_report(data, folder)
    if as_json:
        checked = documents.check_document(data.report)
        click.echo(documents.dumps({**checked, "files": [written.as_posix()]}), nl=False)
    elif not quiet:
        from frame3d.cli import screen

        click.echo(f"{written.stat().st_size:>12,} bytes  {written}")
        hint = "" if data.report.ok else f"; see `frame3d check {file}`"
        click.echo(screen.tally(data.report) + hint)
    return OK if data.report.ok else FALLS_SHORT


@frame3d.command()
@FILE
@OUT
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=7029,
    show_default=True,
    help="Port of this machine's own address; 0 takes any that is free.",
)
@click.option("--no-open", is_flag=True, help="Do not open a browser.")
def live(file: Path, out: Path | None, port: int, no_open: bool) -> None:
    """Edit FILE on a page that shows the bike while you type: figures, 3D, clearances."""
    from frame3d.live.app import run

    folder = Path("exports") / file.stem if out is None else out
    run(file, folder, port, browse=not no_open, say=click.echo)


@frame3d.command()
def schema() -> None:
    """Print the JSON Schema of parameter files, for editors."""
    from frame3d.formats.documents import dumps
    from frame3d.parameters.reading.schema import schema as of_format

    click.echo(dumps(of_format()), nl=False)


@frame3d.command()
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(shell: str) -> None:
    """Print the completion script for SHELL: eval "$(frame3d completion bash)"."""
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    assert kind is not None
    click.echo(kind(frame3d, {}, "frame3d", "_FRAME3D_COMPLETE").source())


def _solved(file: Path, sets: Sequence[str], swaps: Sequence[str]) -> tuple[Bike, AsBuilt | None]:
    """Return the bike, and the changes by exchanged parts if there are any."""
    from frame3d.bike.solve import solve as to_layout
    from frame3d.parameters.reading.reader import load

    designed = to_layout(load(file, sets=sets))
    if not swaps:
        return designed, None
    from frame3d.bike.exchange import as_built, exchange

    paths = [swap.partition("=")[0].strip() for swap in swaps]
    bike = exchange(designed, load(file, sets=sets, swaps=swaps), paths)
    return bike, as_built(designed, bike)


def program() -> NoReturn:
    """Run a command as a program: output is flushed, and the process ends at once.

    Python's usual clean-up at exit would take a tenth of a `solve`.
    """
    try:
        main()
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else OWN_DEFECT
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:
        pass
    os._exit(status)


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run a command and exit with its status; no traceback reaches the user."""
    # Searching for pydantic plugins takes a tenth of a `solve`; none are used.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    # Collecting reference cycles takes a tenth of it too; a command is too short to need that.
    gc.disable()
    args = list(sys.argv[1:] if arguments is None else arguments)
    sys.exit(_run(args))


def _run(args: Sequence[str]) -> int:
    try:
        status = frame3d.main(list(args), prog_name="frame3d", standalone_mode=False)
        return status if isinstance(status, int) else OK
    except FrameError as error:
        _say_faults(error.faults, as_json="--json" in args)
        return INPUT_AT_FAULT
    except click.ClickException as error:
        error.show()
        return INPUT_AT_FAULT
    except (click.Abort, KeyboardInterrupt):
        click.echo("stopped; nothing half-written is left behind", err=True)
        return 130
    except BrokenPipeError:
        # The reader of our output has gone (e.g. `| head`); not an error.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return OK
    except Exception as error:
        if os.environ.get("FRAME3D_DEBUG"):
            raise
        click.echo(
            f"frame3d has a defect: {type(error).__name__}: {error}\n"
            "Please report it with your parameter file; FRAME3D_DEBUG=1 shows where it happened.",
            err=True,
        )
        return OWN_DEFECT


def _say_faults(faults: Sequence[Fault], *, as_json: bool) -> None:
    click.echo("\n\n".join(fault.render() for fault in faults), err=True)
    if len(faults) > 1:
        click.echo(f"\n{len(faults)} faults", err=True)
    if as_json:
        from frame3d.formats import documents

        click.echo(documents.dumps(documents.fault_document(faults)), nl=False)
