"""Write a set of files as a whole or not at all; all files of frame3d are written here."""

from __future__ import annotations

import contextlib
import errno
import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from frame3d.errors import Fault, OutputError
from frame3d.formats import folder_lock
from frame3d.formats.journal import WORK, JournalError, exchange, is_begun, recover
from frame3d.formats.manifest import listing, outdated
from frame3d.progress import Progress

FIXED = datetime(1980, 1, 1, tzinfo=UTC)
"""Date for formats that insist on one, unless SOURCE_DATE_EPOCH gives another: the first that a zip
archive can hold."""

LAST = datetime(2107, 12, 31, 23, 59, 58, tzinfo=UTC)
"""The last date that a zip archive can hold."""
_SECONDS = re.compile(r"-?[0-9]{1,15}")


@dataclass(frozen=True, slots=True)
class WrittenSet:
    """The result of writing a set of files."""

    files: tuple[Path, ...]
    removed: tuple[Path, ...] = ()
    """Files of the last set that this one no longer has."""
    kept: tuple[Path, ...] = ()
    """Such files that somebody has changed since, which stay."""


def write(
    files: Mapping[str, bytes],
    folder: Path,
    *,
    manifest: str | None = None,
    replace: bool = True,
    private: bool = False,
    progress: Progress | None = None,
) -> WrittenSet:
    """Write a set of files, by name, into `folder`, which is created if missing.

    A name may have one folder before it: ``templates/top_tube.dxf``. Afterwards either all files are new
    or all are as they were. Where the process is killed, the next run into the folder, or `settle`,
    finishes or undoes the exchange; `journal` describes what a reader may see until then. A file that is
    replaced keeps its permissions. Of two runs into one folder, one waits.

    Args:
        files: contents by name.
        folder: where to.
        manifest: name of a list that is added to the set. Files that the last set's list names, and
            this set no longer has, are removed unless somebody has changed them.
        replace: whether files may be there already.
        private: whether only the user may read the files, whoever might read those that they replace.
        progress: called while another run holds the folder.

    Raises:
        OutputError: the folder or a file cannot be written, and older files are unchanged; or the new
            set is complete and an outdated file cannot be removed.
    """
    whole = dict(files) if manifest is None else {**files, manifest: listing(files)}

    def waiting() -> None:
        if progress is not None:
            progress("waiting for another run", 1.0)

    missing = [place for place in (folder, *folder.parents) if not os.path.lexists(place)]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with folder_lock.held(folder / WORK, waiting, folder_lock.PATIENCE):
            recover(folder)
            if not replace:
                _need_new(folder, whole)
            gone, kept = ({}, ()) if manifest is None else outdated(folder, manifest, whole)
            problems = exchange(folder, whole, gone, private=private)
    except (OSError, JournalError, folder_lock.LockedError) as problem:
        for place in missing:
            with contextlib.suppress(OSError):
                place.rmdir()
        raise _fault(problem, folder) from problem
    if problems:
        raise OutputError([_not_removed(path, problem) for path, problem in problems])
    return WrittenSet(
        tuple(folder / name for name in whole), tuple(folder / name for name in gone), kept
    )


def write_new(file: Path, data: bytes) -> Path:
    """Write a file that is not there yet.

    Raises:
        OutputError: it is there, or cannot be written.
    """
    return write({file.name: data}, file.parent, replace=False).files[0]


def settle(folder: Path) -> None:
    """Finish or undo what a killed run has left in `folder`, unless another run works there.

    Raises:
        OutputError: it can neither be finished nor be undone.
    """
    if not os.path.lexists(folder / WORK):
        return
    try:
        with folder_lock.held(folder / WORK, None, 0.0):
            recover(folder)
    except folder_lock.LockedError:
        return
    except (OSError, JournalError) as problem:
        raise _fault(problem, folder) from problem


def _need_new(folder: Path, names: Iterable[str]) -> None:
    for name in names:
        if os.path.lexists(folder / name):
            raise OutputError(
                Fault(
                    "output",
                    "",
                    f"{folder / name} is there already",
                    "choose another name, or remove it first",
                )
            )


def _fault(problem: Exception, folder: Path) -> OutputError:
    """Return the error for a set that could not be written."""
    work = folder / WORK
    if isinstance(problem, folder_lock.LockedError):
        why = f"another run has been writing to it for {folder_lock.PATIENCE:.0f} s"
        hint = "wait until it has ended, or choose another folder with -o"
    elif isinstance(problem, JournalError):
        why = f"{problem} should tell what a run that was killed had begun, and cannot be read"
        hint = f"look whether the files in {folder} are as they should be, then remove {work}"
    else:
        why = str(problem)
        if isinstance(problem, OSError) and problem.strerror:
            where = problem.filename
            inner = isinstance(where, str) and Path(where) not in (folder, work)
            why = problem.strerror + (f" ({where})" if inner else "")
        full = isinstance(problem, OSError) and problem.errno in (errno.ENOSPC, errno.EDQUOT)
        do = "make room there" if full else "make this one writable"
        hint = f"choose another folder with -o, or {do}"
        if is_begun(folder):
            why += "; some files there are new and some old"
            hint = f"make it writable; the next run puts that right from {work}"
    return OutputError(Fault("output", "", f"cannot write to {folder}: {why}", hint))


def _not_removed(path: Path, problem: OSError) -> Fault:
    return Fault(
        "output",
        "",
        f"cannot remove {path}, of the run before: {problem.strerror or problem}",
        "remove it by hand: what has been written now no longer has it",
    )


def stated_date() -> datetime | None:
    """Return the date that SOURCE_DATE_EPOCH gives; None where it is not set.

    Raises:
        OutputError: as `timestamp`.
    """
    return timestamp() if "SOURCE_DATE_EPOCH" in os.environ else None


def timestamp() -> datetime:
    """Return the date to write where a format insists on one: SOURCE_DATE_EPOCH, else `FIXED`.

    See reproducible-builds.org, "SOURCE_DATE_EPOCH specification": seconds since 1970, UTC.

    Raises:
        OutputError: SOURCE_DATE_EPOCH is no such number, or a date that a zip archive cannot hold.
    """
    text = os.environ.get("SOURCE_DATE_EPOCH")
    if text is None:
        return FIXED
    try:
        if not _SECONDS.fullmatch(text):
            raise ValueError(text)
        date = datetime.fromtimestamp(int(text), tz=UTC)
    except (ValueError, OverflowError, OSError) as problem:
        shown = "".join(c if c.isprintable() else "?" for c in text[:40])
        raise OutputError(
            Fault(
                "output",
                "",
                f"SOURCE_DATE_EPOCH is '{shown}'",
                "set it to whole seconds since 1970-01-01, or leave it unset",
            )
        ) from problem
    if not FIXED <= date <= LAST:
        raise OutputError(
            Fault(
                "output",
                "",
                f"SOURCE_DATE_EPOCH is {text}, which is in the year {date.year}",
                f"a zip archive, and with it 3MF, can hold dates from {FIXED.year} to {LAST.year}: set "
                f"it from {int(FIXED.timestamp())} to {int(LAST.timestamp())}, or leave it unset",
            )
        )
    return date
