"""Run a command that writes files for one bike, for each size of a file, or for several files."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

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
"""Adds to what was written for all: takes the request, whose folder is that beside which the bikes' own
stand, the names of all bikes that were asked for, those that were made by their names, and its
options; its own answer is said last. Bikes of which something was left out are not among them."""


@dataclass(frozen=True)
class ForAll:
    """What a command adds once the files of each size, or of each file, are written."""

    finish: Finish
    options: tuple[str, ...] = ()
    """Options that only it takes, by their Python names; each asks for several bikes."""
    check: Callable[..., None] | None = None
    """Raises where an option does not suit the bikes: takes their kind, their names, and these options.
    It is called before anything is written."""
    shared: tuple[str, ...] = ()
    """Options of the command that it takes too."""


@dataclass(frozen=True)
class Several:
    """The bikes of which a command writes the files, each into a folder of its own."""

    kind: Literal["size", "frame"]
    """What they are called: sizes of one file, or frames of several files."""
    request: Request
    """For all of them; its folder is that beside which theirs stand."""
    bikes: Mapping[str, Request]
    """The request for each, by its name."""


def over_sizes(make: Maker, then: ForAll | None = None) -> Callable[..., int]:
    """Return a command that writes one bike's files, or with ``--all-sizes`` those of each size.

    Of several files it writes each one's. What cannot be made is told by its name, and the others are
    still written.

    Args:
        make: for one bike.
        then: for all of them together.
    """
    own = () if then is None else then.options

    @ALL_SIZES
    @wraps(make)
    def command(request: Request, all_sizes: bool, **wishes: Any) -> int:
        alone = {name: wish for name, wish in wishes.items() if name not in own}
        if all_sizes or request.bikes:
            several = frames_of(request, all_sizes=all_sizes) if request.bikes else _sizes(request)
            return _each(several, make, then, alone, {name: wishes[name] for name in own})
        _need_several(own)
        answer = make(request, **alone)
        request.answer(answer.document, answer.text)
        if answer.faults:
            say_faults(answer.faults, as_json=False)
        return answer.status

    return command


def _need_several(names: Iterable[str]) -> None:
    """Raise SpecError if one of these options was given."""
    context = click.get_current_context()
    for name in names:
        if context.get_parameter_source(name) is ParameterSource.COMMANDLINE:
            place = SourceLocation(f"--{name.replace('_', '-')}")
            hint = "add --all-sizes, or name several files, or leave it out"
            message = "it is for all sizes, or several files, together"
            raise SpecError(Fault("override", "", message, hint, place))


def _each(
    several: Several,
    make: Maker,
    then: ForAll | None,
    wishes: Mapping[str, Any],
    own: Mapping[str, Any],
) -> int:
    """Write the files of each bike; return the worst exit status."""
    from frame3d.formats.documents import fault_document

    request, names = several.request, tuple(several.bikes)
    if then is not None and then.check is not None:
        then.check(several.kind, names, **own)
    done: list[str] = []
    whole: dict[str, Bike] = {}
    documents: dict[str, Mapping[str, Any]] = {}
    status, failed = OK, []
    for name, one in several.bikes.items():
        try:
            answer = make(one, **wishes)
            faults, worst = answer.faults, answer.status
            done.append(name)
            if answer.is_whole:
                whole[name] = answer.bike
            documents[name] = answer.document() if request.as_json else {}
            if not request.as_json and not request.quiet:
                streams.say(f"{several.kind} {name}\n{answer.text()}\n")
        except FrameError as error:
            failed.append(name)
            told = error if one.size is None else of_size(error, one.size)
            faults, worst = told.faults, INPUT_AT_FAULT
            documents[name] = fault_document(faults)
        if faults:
            say_faults(faults, as_json=False)
        status = max(status, worst)
    last: Answer | None = None
    at_fault: Mapping[str, Any] = {}
    try:
        if then is not None and whole:
            shared = {name: wishes[name] for name in then.shared}
            last = then.finish(request, names, whole, **shared, **own)
            status = max(status, OK if last is None else last.status)
    except FrameError as error:
        say_faults(error.faults, as_json=False)
        status, at_fault = INPUT_AT_FAULT, fault_document(error.faults)

    def document() -> dict[str, Any]:
        more = {} if last is None else last.document()
        return {f"{several.kind}s": documents, **at_fault, **more}

    def text() -> str:
        said = f"{several.kind}s done: {', '.join(done) or 'none'}"
        if failed:
            said += f"; not done: {', '.join(failed)}"
        return said if last is None else f"{last.text()}\n\n{said}"

    request.answer(document, text)
    return status


def _sizes(request: Request) -> Several:
    """Return each size of the request's file."""
    from frame3d.bike.choice import Choice

    bikes = {}
    for size in sizes_of(request):
        out = None if request.out is None else Choice(size).folder_in(request.out)
        bikes[size] = replace(request, size=size, out=out)
    return Several("size", request, bikes)


def frames_of(request: Request, *, all_sizes: bool) -> Several:
    """Return the bikes that a request names, each with a folder below the request's, or ``exports``.

    A bike's name, and its folder's, is that of its file without ending, ``trail``; with a size and
    settings ``trail:L+low``. Of two files of one name the second becomes ``trail-2``.

    Raises:
        SpecError: a bike is named twice, or a size beside all of them.
    """
    from frame3d.bike.choice import Choice
    from frame3d.family.wanted import read_name

    base = Path("exports") if request.out is None else request.out
    stems: dict[Path, str] = {}
    bikes: dict[str, Request] = {}
    for typed in request.bikes:
        name, size, settings = read_name(typed)
        file = Path(name)
        size, settings = size or request.size, settings or request.settings
        if all_sizes and size is not None:
            raise SpecError(_size_beside_all(size))
        stem = _stem_of(file, stems)
        for one in _offered(request, file) if all_sizes else (size,):
            label = stem + (f":{one}" if one else "") + "".join(f"+{s}" for s in settings)
            if label in bikes:
                hint = f"name it once; --quantity '{label}=2' orders for two of it"
                place = SourceLocation(typed)
                raise SpecError(Fault("override", "", "this bike is named twice", hint, place))
            out = Choice(one, settings).folder_in(base / stem)
            bikes[label] = replace(
                request, file=file, size=one, settings=settings, out=out, bikes=()
            )
    return Several("frame", replace(request, out=base), bikes)


def _stem_of(file: Path, known: dict[Path, str]) -> str:
    """Return the name of a file without folders and ending, told from those known, which it joins."""
    where = file.resolve()
    if where not in known:
        taken = {stem.casefold() for stem in known.values()}
        stem, number = file.stem, 1
        while stem.casefold() in taken:
            number += 1
            stem = f"{file.stem}-{number}"
        known[where] = stem
    return known[where]


def _offered(request: Request, file: Path) -> tuple[str | None, ...]:
    """Return the sizes of a file; the bike itself where it has none, or where it cannot be read."""
    from frame3d.parameters.reading.reader import read_text, variants_of

    try:
        return variants_of(read_text(file), str(file), request.sets).sizes or (None,)
    except FrameError:
        return (None,)  # its faults are told when it is made


def _size_beside_all(size: str) -> Fault:
    """Return the fault of a size that is named beside ``--all-sizes``."""
    place = SourceLocation("--all-sizes")
    return Fault("override", "", "a size is named too", f"leave out --size {size}", place)


def sizes_of(request: Request) -> tuple[str, ...]:
    """Return the sizes of the request's file.

    Raises:
        SpecError: it has none, or one is named beside all of them.
    """
    from frame3d.parameters.reading.reader import read_text, variants_of
    from frame3d.parameters.reading.variant_tree import no_sizes

    if request.size is not None:
        raise SpecError(_size_beside_all(request.size))
    sizes = variants_of(read_text(request.file), str(request.file), request.sets).sizes
    if not sizes:
        raise SpecError(no_sizes(SourceLocation("--all-sizes")))
    return sizes
