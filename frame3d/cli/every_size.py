"""Run a command that writes files for one size of a file, or for each of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import wraps
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from frame3d.cli import streams
from frame3d.cli.request import (
    INPUT_AT_FAULT,
    OK,
    Answer,
    Request,
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
options; its own answer is said last. Bikes of which something was left out are not among them."""


@dataclass(frozen=True)
class ForAll:
    """What a command adds once the files of each size are written."""

    finish: Finish
    options: tuple[str, ...] = ()
    """Options that only it takes, by their Python names; each asks for ``--all-sizes``."""
    check: Callable[..., None] | None = None
    """Raises where an option does not suit the file: takes its sizes, and these options. It is called
    before anything is written."""


def over_sizes(make: Maker, then: ForAll | None = None) -> Callable[..., int]:
    """Return a command that writes one size's files, or with ``--all-sizes`` those of each.

    A size that cannot be made is told by its name, and the others are still written.

    Args:
        make: for one bike.
        then: for all of them together.
    """
    own = () if then is None else then.options

    @ALL_SIZES
    @wraps(make)
    def command(request: Request, all_sizes: bool, **wishes: Any) -> int:
        alone = {name: wish for name, wish in wishes.items() if name not in own}
        if all_sizes:
            return _each(request, make, then, alone, {name: wishes[name] for name in own})
        _need_all_sizes(own)
        answer = make(request, **alone)
        request.answer(answer.document, answer.text)
        if answer.faults:
            say_faults(answer.faults, as_json=False)
        return answer.status

    return command


def _need_all_sizes(names: Iterable[str]) -> None:
    """Raise SpecError if one of these options was given."""
    context = click.get_current_context()
    for name in names:
        if context.get_parameter_source(name) is ParameterSource.COMMANDLINE:
            place = SourceLocation(f"--{name.replace('_', '-')}")
            hint = "add --all-sizes, or leave it out"
            raise SpecError(Fault("override", "", "it is for all sizes together", hint, place))


def _each(
    request: Request,
    make: Maker,
    then: ForAll | None,
    wishes: Mapping[str, Any],
    own: Mapping[str, Any],
) -> int:
    """Write the files of each size; return the worst exit status."""
    from frame3d.bike.choice import Choice
    from frame3d.formats.documents import fault_document

    names = sizes_of(request)
    if then is not None and then.check is not None:
        then.check(names, **own)
    done: list[str] = []
    whole: dict[str, Bike] = {}
    documents: dict[str, Mapping[str, Any]] = {}
    status, failed = OK, []
    for size in names:
        out = None if request.out is None else Choice(size).folder_in(request.out)
        try:
            answer = make(replace(request, size=size, out=out), **wishes)
            faults, worst = answer.faults, answer.status
            done.append(size)
            if answer.is_whole:
                whole[size] = answer.bike
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
    last: Answer | None = None
    at_fault: Mapping[str, Any] = {}
    try:
        if then is not None and whole:
            last = then.finish(request, whole, **wishes, **own)
            status = max(status, OK if last is None else last.status)
    except FrameError as error:
        say_faults(error.faults, as_json=False)
        status, at_fault = INPUT_AT_FAULT, fault_document(error.faults)

    def document() -> dict[str, Any]:
        return {"sizes": documents, **at_fault, **({} if last is None else last.document())}

    def text() -> str:
        said = f"sizes done: {', '.join(done) or 'none'}"
        if failed:
            said += f"; not done: {', '.join(failed)}"
        return said if last is None else f"{last.text()}\n\n{said}"

    request.answer(document, text)
    return status


def sizes_of(request: Request) -> tuple[str, ...]:
    """Return the sizes of the request's file.

    Raises:
        SpecError: it has none, or one is named beside all of them.
    """
    from frame3d.parameters.reading.reader import read_text, variants_of
    from frame3d.parameters.reading.variant_tree import no_sizes

    place = SourceLocation("--all-sizes")
    if request.size is not None:
        raise SpecError(
            Fault("override", "", "a size is named too", f"leave out --size {request.size}", place)
        )
    sizes = variants_of(read_text(request.file), str(request.file), request.sets).sizes
    if not sizes:
        raise SpecError(no_sizes(place))
    return sizes
