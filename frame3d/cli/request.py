"""What a command is asked for, and the one way in which it answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from frame3d.cli import streams
from frame3d.errors import Fault, OutputError

if TYPE_CHECKING:
    from frame3d.bike.bike import Bike
    from frame3d.bike.choice import Choice
    from frame3d.bike.exchange import AsBuilt
    from frame3d.progress import Progress

OK, FALLS_SHORT, INPUT_AT_FAULT, OWN_DEFECT, STOPPED = 0, 1, 2, 70, 130
"""Exit statuses; 70 is the usual one for a defect of the program itself (BSD sysexits), 130 the one
after an interrupt from the keyboard."""


@dataclass(frozen=True)
class Request:
    """The file, changes to it, and how much is said: what nearly every command takes."""

    file: Path
    sets: Sequence[str]
    swaps: Sequence[str]
    as_json: bool
    quiet: bool
    out: Path | None = None
    size: str | None = None
    settings: tuple[str, ...] = ()
    bikes: tuple[str, ...] = ()
    """All that were named, as typed, where a command takes several and got them; `file` is the first."""

    @property
    def folder(self) -> Path:
        """Where results go; a size or setting that is asked for by name has a folder of its own."""
        if self.out is not None:
            return self.out
        return self.choice.folder_in(Path("exports") / self.file.stem)

    @property
    def choice(self) -> Choice:
        """Which of the file's bikes is asked for."""
        from frame3d.bike.choice import Choice

        return Choice(self.size, self.settings, self.sets, self.swaps)

    def bar(self) -> AbstractContextManager[Progress]:
        """A progress bar, where anything but faults is said."""
        from frame3d.progress import bar

        return bar(self.quiet or self.as_json)

    def answer(self, document: Callable[[], Mapping[str, Any]], text: Callable[[], str]) -> None:
        """Print the JSON document, or the text unless nothing is to be said."""
        if self.as_json:
            from frame3d.formats.documents import dumps

            streams.say(dumps(document()), nl=False)
        elif not self.quiet:
            streams.say(text())


@dataclass(frozen=True)
class Answer:
    """What a command that writes files has to say of one bike."""

    bike: Bike
    document: Callable[[], Mapping[str, Any]]
    text: Callable[[], str]
    status: int = OK
    faults: Sequence[Fault] = ()
    """Of things that were left out."""
    is_whole: bool = True
    """Whether the bike has all tubes of its file, as the file gives them."""


def solved(request: Request) -> tuple[Bike, AsBuilt | None]:
    """Return the bike, and what exchanging parts did to it where any were."""
    from frame3d.bike.choice import solve_choice
    from frame3d.bike.exchange import as_built
    from frame3d.parameters.reading.reader import read_text

    chosen = solve_choice(read_text(request.file), str(request.file), request.choice)
    if not chosen.bike.exchanged:
        return chosen.bike, None
    return chosen.bike, as_built(chosen.drawn, chosen.bike)


def need_tubes(bike: Bike, verb: str, also: str = "") -> None:
    """Raise OutputError where a file describes no tubes, so that there is nothing to `verb`."""
    if not bike.tubes:
        raise OutputError(
            bike.spec.fault(
                "missing-key",
                "tubes",
                f"the file describes no tubes, so there is nothing to {verb}",
                f"add tubes, or see `frame3d new` for a complete example{also}",
            )
        )


def sizes(files: Iterable[Path]) -> list[str]:
    """A line for each file that was written."""
    return [f"{path.stat().st_size:>12,} bytes  {path}" for path in files]


def leftovers(removed: Iterable[Path], kept: Iterable[Path]) -> list[str]:
    """A line for each file of the run before that this one no longer has."""
    return [
        *(f"           removed  {path}, of the run before" for path in removed),
        *(f"              kept  {path}, of the run before, changed since" for path in kept),
    ]


def say_faults(faults: Sequence[Fault], *, as_json: bool) -> None:
    """Print faults on stderr, and as a JSON document on stdout where that is asked for."""
    text = "\n\n".join(fault.render() for fault in faults)
    count = f"\n\n{len(faults)} faults" if len(faults) > 1 else ""
    streams.complain(lambda: streams.say(text + count, err=True))
    if as_json:
        from frame3d.formats import documents

        document = documents.dumps(documents.fault_document(faults))
        streams.complain(lambda: streams.say(document, nl=False))
