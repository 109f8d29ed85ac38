"""Run a command that writes files for one size of a file, or for each of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import wraps
from typing import TYPE_CHECKING, Any

import click

from frame3d.cli import streams
from frame3d.cli.request import (
    INPUT_AT_FAULT,
    OK,
    Answer,
    Request,
    folder_name,
    say_faults,
)
from frame3d.errors import Fault, FrameError, SourceLocation, SpecError, of_size

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike

ALL_SIZES = click.option(
    "--all-sizes", is_flag=True, help="Every size of the file, each into a folder of its own."
)
Maker = Callable[..., Answer]
"""Writes the files of one bike: takes a request and a command's own options."""
Finish = Callable[..., Answer | None]
"""Adds to what was written for all sizes: takes the request, the bike of each size, and the command's
options; its own answer is said last."""


def over_sizes(make: Maker, finish: Finish | None = None) -> Callable[..., int]:
    """Return a command that writes one size's files, or with ``--all-sizes`` those of each.

    A size that cannot be made is told by its name, and the others are still written.

    Args:
        make: for one bike.
        finish: for all of them together.
    """

    @ALL_SIZES
    @wraps(make)
    def command(request: Request, all_sizes: bool, **wishes: Any) -> int:
        if all_sizes:
            return _each(request, make, finish, wishes)
        answer = make(request, **wishes)
        request.answer(answer.document, answer.text)
        if answer.faults:
            say_faults(answer.faults, as_json=False)
        return answer.status

    return command


def _each(request: Request, make: Maker, finish: Finish | None, wishes: Mapping[str, Any]) -> int:
    """Write the files of each size; return the worst exit status."""
    from frame3d.formats.documents import fault_document

    bikes: dict[str, Bike] = {}
    documents: dict[str, Mapping[str, Any]] = {}
    status, failed = OK, []
    for size in sizes_of(request):
        out = None if request.out is None else request.out / folder_name(size)
        try:
            answer = make(replace(request, size=size, out=out), **wishes)
            faults, worst = answer.faults, answer.status
            bikes[size] = answer.bike
            documents[size] = answer.document() if request.as_json else {}
            if not request.as_json and not request.quiet:
                streams.say(f"size {size}\n{answer.text()}\n")
        except FrameError as error:
            failed.append(size)
            faults, worst = of_size(error, size).faults, INPUT_AT_FAULT
            documents[size] = fault_document(faults)
        if faults:
            say_faults(faults, as_json=False)
        status = max(status, worst)
    last = None if finish is None or not bikes else finish(request, bikes, **wishes)
    if last is not None:
        status = max(status, last.status)

    def text() -> str:
        said = f"sizes done: {', '.join(bikes) or 'none'}"
        if failed:
            said += f"; not done: {', '.join(failed)}"
        return said if last is None else f"{last.text()}\n\n{said}"

    request.answer(lambda: {"sizes": documents, **({} if last is None else last.document())}, text)
    return status


def sizes_of(request: Request) -> tuple[str, ...]:
    """Return the sizes of the request's file.

    Raises:
        SpecError: it has none, or one is named beside all of them.
    """
    from frame3d.parameters.reading.reader import read_text, variants_of

    place = SourceLocation("--all-sizes")
    if request.size is not None:
        raise SpecError(
            Fault("override", "", "a size is named too", f"leave out --size {request.size}", place)
        )
    sizes = variants_of(read_text(request.file), str(request.file), request.sets).sizes
    if not sizes:
        hint = "name them in it, e.g. sizes: [S, M, L], with geometry.reach: {from: 430, step: 25}"
        raise SpecError(Fault("missing-key", "sizes", "the file has no sizes", hint, place))
    return sizes
