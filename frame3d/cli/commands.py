"""The package's verbs, for a terminal."""

from __future__ import annotations

import gc
import os
import shutil
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

import click

from frame3d.cli import writing
from frame3d.cli.options import FILE, OUT, QUIET, common
from frame3d.cli.request import FALLS_SHORT, INPUT_AT_FAULT, OK, OWN_DEFECT, Request, say_faults
from frame3d.cli.request import solved as _solved
from frame3d.errors import FrameError
from frame3d.version import __version__


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="frame3d")
def frame3d() -> None:
    """From one parameter file to a solved bicycle frame, tube solids and shop files.

    Exit status: 0 done, 1 done but a check falls short, 2 the input is at fault.
    """


for command in (writing.build, writing.fabricate, writing.mockup, writing.report):
    frame3d.add_command(command)


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
def solve(request: Request, sensitivity: bool, mass: bool, travel: bool) -> None:
    """Solve FILE: the whole chart, where every node lies, what is assumed."""
    from frame3d.bike.sprung import with_spring_notes

    bike, built = _solved(request)
    bike = with_spring_notes(bike)
    changes = masses = moving = None
    if sensitivity:
        from frame3d.chart.sensitivity import as_built_sensitivity, design_sensitivity

        changes = (design_sensitivity(bike.solved), as_built_sensitivity(bike.solved))
    if travel:
        from frame3d.bike.travel import over_travel

        moving = over_travel(bike, 101 if request.as_json else 11)
    if mass and bike.tubes:
        from frame3d.tubes.mass import masses_of

        masses = masses_of(bike.frame)

    def document() -> dict[str, Any]:
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
        return out

    def text() -> str:
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
        return "\n\n".join(parts)

    request.answer(document, text)


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
def check(request: Request, tolerance: float, near: float | None, what_fits: bool) -> int:
    """Check FILE: every clearance through all travel and steering, with proof."""
    from frame3d.clearance.advice.fits import what_fits as largest
    from frame3d.clearance.advice.remedies import Remedies
    from frame3d.clearance.check import near as closer_than
    from frame3d.clearance.check import run_checks, with_mends
    from frame3d.clearance.scene import scene_of
    from frame3d.cli import screen
    from frame3d.formats import documents

    bike, built = _solved(request)
    scene = scene_of(bike, tolerance)
    with request.bar() as progress:
        report = run_checks(scene, progress)
        report = with_mends(report, Remedies(scene, report).mends, progress)
        close = None if near is None else closer_than(scene, near, progress)
        fits = largest(scene, progress) if what_fits else None

    def document() -> dict[str, Any]:
        out = documents.check_document(report)
        if close is not None:
            out["near"] = [documents.result_document(r) for r in close]
        if fits is not None:
            out["what_fits"] = [documents.fit_document(f) for f in fits]
        if built is not None:
            out["as_built"] = documents.as_built_document(built)
        return out

    def text() -> str:
        parts = [screen.checked(bike, report)]
        if close is not None:
            parts.append(screen.close(close, near))
        if fits is not None:
            parts.append(screen.fits(fits))
        return "\n\n".join(parts)

    request.answer(document, text)
    return OK if report.ok else FALLS_SHORT


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
        say_faults(error.faults, as_json="--json" in args)
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
