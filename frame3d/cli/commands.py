"""The package's verbs, for a terminal."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

import click

from frame3d.cli import comparing, exploring, sizing, solving, stiffening, streams, writing
from frame3d.cli.options import FILE, OUT, QUIET, SETTING, SIZE, Number, common, ip_address_of
from frame3d.cli.request import (
    FALLS_SHORT,
    INPUT_AT_FAULT,
    OK,
    OWN_DEFECT,
    STOPPED,
    Request,
    say_faults,
    solved,
)
from frame3d.errors import FrameError
from frame3d.threads import one_thread
from frame3d.version import __version__

LONGEST = 500
"""Characters of a defect that are shown."""


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="frame3d")
def frame3d() -> None:
    """From one parameter file to a solved bicycle frame, tube solids and shop files.

    Exit status: 0 done, 1 done but a check falls short, 2 the input is at fault.
    """


for command in (
    writing.build,
    comparing.compare,
    exploring.explore,
    sizing.sizes,
    writing.fabricate,
    writing.mockup,
    writing.report,
    solving.solve,
    stiffening.stiffness,
):
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
        streams.say(f"wrote {file}; next: frame3d solve {file}")


@frame3d.command()
@common
@click.option(
    "--tolerance",
    type=Number(1e-6, 1.0),
    default=0.01,
    show_default=True,
    help="Width of each gap's certificate [mm].",
)
@click.option(
    "--near",
    type=Number(0.0, 500.0),
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
    from frame3d.clearance.memory import PairMemory
    from frame3d.clearance.scene import scene_of
    from frame3d.cli import screen
    from frame3d.formats import documents

    bike, built = solved(request)
    scene = scene_of(bike, tolerance, PairMemory())
    with request.bar() as progress:
        report = run_checks(scene, progress)
        report = with_mends(report, Remedies(scene, report).mends, progress)
        close = None if near is None else closer_than(scene, near, progress)
        fits = largest(scene, progress) if what_fits else None

    def document() -> dict[str, Any]:
        out = {
            **documents.variant_document(bike.spec),
            **documents.check_document(report, bike.warnings),
        }
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
@SIZE
@SETTING
@OUT
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=7029,
    show_default=True,
    help="Port of this machine's own address; 0 takes any that is free.",
)
@click.option(
    "--on",
    "address",
    callback=ip_address_of,
    default="127.0.0.1",
    metavar="ADDRESS",
    help="IP address of this machine in the shop's network, for a tablet at the counter; with "
    "--read-only. A code on this terminal lets one browser in.",
)
@click.option(
    "--read-only", is_flag=True, help="Pages show the bike; nothing can be changed or written."
)
@click.option("--no-open", is_flag=True, help="Do not open a browser.")
def live(
    file: Path,
    size: str | None,
    settings: Sequence[str],
    out: Path | None,
    port: int,
    address: str,
    read_only: bool,
    no_open: bool,
) -> None:
    """Edit FILE on a page that shows the bike while you type: figures, 3D, clearances."""
    from frame3d.bike.choice import Choice
    from frame3d.formats.writer import settle
    from frame3d.live.app import run

    folder = Path("exports") / file.stem if out is None else out
    for place in (file.resolve().parent, folder):
        settle(place)
    run(
        file,
        folder,
        port,
        address=address,
        read_only=read_only,
        browse=not no_open,
        say=streams.say,
        choice=Choice(size, tuple(settings)) if size is not None or settings else None,
    )


@frame3d.command()
@click.option("--study", is_flag=True, help="That of studies, which say what may vary.")
def schema(study: bool) -> None:
    """Print the JSON Schema of parameter files, for editors."""
    from frame3d.formats.documents import dumps

    if study:
        from frame3d.explore.study.schema import schema as of_studies

        streams.say(dumps(of_studies()), nl=False)
        return
    from frame3d.parameters.reading.schema import schema as of_format

    streams.say(dumps(of_format()), nl=False)


@frame3d.command()
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(shell: str) -> None:
    """Print the completion script for SHELL: eval "$(frame3d completion bash)"."""
    from click.shell_completion import get_completion_class

    kind = get_completion_class(shell)
    assert kind is not None
    streams.say(kind(frame3d, {}, "frame3d", "_FRAME3D_COMPLETE").source())


def program() -> NoReturn:
    """Run a command as a program of its own: what was made is flushed, and the process ends at once.

    Taking everything apart again at exit would take a tenth of a `solve`.
    """
    stop = streams.Stop()
    streams.fill_closed()
    try:
        main(stop=stop)
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else OWN_DEFECT
    except KeyboardInterrupt:  # between two steps of ending
        status = STOPPED
    if not streams.flushed() and status == OK:
        status = INPUT_AT_FAULT
    os._exit(status)


def main(arguments: Sequence[str] | None = None, stop: streams.Stop | None = None) -> NoReturn:
    """Run a command and leave with its exit status; no traceback reaches the user."""
    # Looking for pydantic plugins costs a tenth of a `solve`, and this command uses none.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    one_thread()
    # A command ends before reference cycles could pile up; collecting them costs a tenth of it too.
    gc.disable()
    args = list(sys.argv[1:] if arguments is None else arguments)
    sys.exit(_run(args, streams.Stop(watch=False) if stop is None else stop))


def _run(args: Sequence[str], stop: streams.Stop) -> int:
    as_json = "--json" in args
    streams.make_lenient(as_json=as_json or args[:1] == ["schema"])
    try:
        status = frame3d.main(list(args), prog_name="frame3d", standalone_mode=False)
    except KeyboardInterrupt:
        return _stopped()
    except Exception as error:
        # An interrupt while a library starts, e.g. the CAD kernel, becomes an error of that library's.
        if stop.asked or isinstance(error, click.Abort):
            return _stopped()
        return _failed(error, as_json=as_json)
    return status if isinstance(status, int) else OK


def _failed(error: Exception, *, as_json: bool) -> int:
    """Say what ended a command; its exit status."""
    if isinstance(error, FrameError):
        say_faults(error.faults, as_json=as_json)
    elif isinstance(error, click.ClickException):
        streams.complain(lambda: streams.say_usage(error))
    elif isinstance(error, BrokenPipeError):
        # The reader of our output has left (e.g. `| head`): not an error of ours.
        streams.drop_output()
        return OK
    elif os.environ.get("FRAME3D_DEBUG"):
        raise error
    elif isinstance(error, OSError | MemoryError):
        say_faults([streams.refused(error)], as_json=False)
        streams.drop_output()
    else:
        shown = f"{type(error).__name__}: {error}"[:LONGEST]
        text = (
            f"frame3d has a defect: {shown}\n"
            "Please report it with your parameter file; FRAME3D_DEBUG=1 shows where it happened."
        )
        streams.complain(lambda: streams.say(text, err=True))
        return OWN_DEFECT
    return INPUT_AT_FAULT


def _stopped() -> int:
    streams.complain(lambda: streams.say("stopped; nothing half-written is left behind", err=True))
    return STOPPED
