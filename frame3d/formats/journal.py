"""Exchange a set of files in a folder whole: stage it, write down what is to be done, then do it.

As a database does with its write-ahead log:

1. All new files are staged in `WORK`, a hidden folder in the set's own, and every file that they
   replace is linked (copied, where there are no links) beside them. All that is on the disk before
2. `JOURNAL` appears, by one rename: what is to be put where, and what goes. From here on the set is new.
3. The staged files are renamed to their places. Where one cannot be (it is open in another program, on
   Windows), `JOURNAL` becomes `UNDO` and all are put back as they were.
4. What goes is removed, then the journal, then what is left in `WORK`.

A run that is killed leaves `WORK` behind. `recover` goes on with step 3 or with undoing, and removes
what was staged where there is no journal; it may be killed and called again as often as anybody likes.

What a reader can rely on: each file is whole at every moment. The set is old before step 3, new
after it. Between two renames of step 3, a few milliseconds in all, or from a kill in there to the next
run into the folder, some files are new and some old; `JOURNAL` or `UNDO` is there as long as that is
so. No portable call exchanges a folder in one step and leaves the user's own files in it.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import re
import shutil
import stat
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any, Final

WORK: Final = ".frame3d-unfinished"
JOURNAL: Final = "journal.json"
UNDO: Final = "undo.json"
FORMAT: Final = "frame3d journal 1"
LARGEST: Final = 1 << 24
"""Size that a journal may have [bytes]."""
_OURS: Final = re.compile(r"(new|old)-[0-9]{1,9}|journal\.part")
_SUM: Final = re.compile(r"[0-9a-f]{64}")
_NO_SYNC: Final = {errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES}
"""What systems answer that cannot flush a folder, or let nobody read it."""


class JournalError(Exception):
    """A journal cannot be read, or is none of ours."""


@dataclass(frozen=True, slots=True)
class Put:
    """A file that is put in place."""

    name: str
    """Below the set's folder, with `/` between folders."""
    sha256: str
    replaces: bool
    """Whether something stood there."""


@dataclass(frozen=True, slots=True)
class Journal:
    """What is to be done."""

    put: tuple[Put, ...]
    remove: Mapping[str, str]
    """Name -> check sum of a file that goes, unless it has another sum by then."""

    def packed(self) -> bytes:
        """Return the journal as JSON."""
        put = [asdict(one) for one in self.put]
        document = {"format": FORMAT, "put": put, "remove": dict(self.remove)}
        return json.dumps(document, indent=1).encode()


def exchange(
    folder: Path, files: Mapping[str, bytes], remove: Mapping[str, str]
) -> list[tuple[Path, OSError]]:
    """Put `files` into `folder`, and remove files of the set before; `WORK` is held, and recovered.

    Args:
        folder: the set's folder.
        files: contents by name.
        remove: name -> check sum of a file that goes, unless it has another sum.

    Returns:
        the files that could not be removed, with the reason; the set is complete nevertheless.

    Raises:
        OSError: the set cannot be put in place; what was there still is, unless `is_begun`.
    """
    work = folder / WORK
    try:
        journal = _stage(folder, files, remove)
        _write(work / "journal.part", journal.packed())
        os.replace(work / "journal.part", work / JOURNAL)
        _sync(work)
    except BaseException:
        with contextlib.suppress(OSError):
            sweep(work)
        raise
    return _finish(folder, journal)


def recover(folder: Path) -> None:
    """Finish or undo what a run that was killed has begun in `folder`; `WORK` is held.

    Raises:
        JournalError: its journal is none of ours; nothing is changed.
        OSError: it can neither be finished nor be undone.
    """
    work = folder / WORK
    if os.path.lexists(work / JOURNAL):
        journal = _read(work / JOURNAL)
        try:
            if _is_sound(work, journal):
                _finish(folder, journal)
            else:
                _undo(folder, journal)
        except OSError:
            if is_begun(folder):
                raise
    elif os.path.lexists(work / UNDO):
        _undo(folder, _read(work / UNDO))
    sweep(work)


def is_begun(folder: Path) -> bool:
    """Return whether an exchange in `folder` is neither finished nor undone."""
    return any(os.path.lexists(folder / WORK / name) for name in (JOURNAL, UNDO))


def sweep(work: Path) -> None:
    """Remove the journal, then all that was staged; what is not ours stays."""
    for name in (JOURNAL, UNDO):
        if os.path.lexists(work / name):
            os.unlink(work / name)
            _sync(work)
    for path in sorted(work.iterdir()):
        if _OURS.fullmatch(path.name):
            path.unlink()


def check_sum(data: bytes) -> str:
    """Return the SHA-256 sum of `data` in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def is_unchanged(path: Path, was: str) -> bool:
    """Return whether a plain file is there and has that check sum."""
    try:
        return path.is_file() and check_sum(path.read_bytes()) == was
    except OSError:
        return False


def _stage(folder: Path, files: Mapping[str, bytes], remove: Mapping[str, str]) -> Journal:
    """Put everything into `WORK` that the exchange, or undoing it, will need."""
    work, put = folder / WORK, []
    for i, (name, data) in enumerate(files.items()):
        target = folder / name
        _check_place(target, folder, work)
        _write(work / f"new-{i}", data)
        replaces = os.path.lexists(target)
        if replaces:
            if not target.is_symlink():
                os.chmod(work / f"new-{i}", stat.S_IMODE(target.stat().st_mode))
            _keep(target, work / f"old-{i}")
        put.append(Put(name, check_sum(data), replaces))
    _sync(work)
    _sync(folder)
    return Journal(tuple(put), remove)


def _check_place(target: Path, folder: Path, work: Path) -> None:
    if target.is_dir() and not target.is_symlink():
        raise IsADirectoryError(f"{target} is a folder")
    inner = target.parent
    if inner != folder and os.path.lexists(inner):
        if not inner.is_dir():
            raise NotADirectoryError(f"{inner} is no folder")
        if inner.stat().st_dev != work.stat().st_dev:
            raise OSError(f"{inner} is on another disk")


def _keep(target: Path, old: Path) -> None:
    """Give a file a second name, or make a copy where that cannot be."""
    try:
        os.link(target, old, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(target, old, follow_symlinks=False)
        if not old.is_symlink():
            with old.open("rb+") as stream:
                os.fsync(stream.fileno())


def _finish(folder: Path, journal: Journal) -> list[tuple[Path, OSError]]:
    """Do what the journal says, as far as it is not done yet; undo all where a file cannot be put."""
    work = folder / WORK
    try:
        for inner in _inner(folder, journal):
            inner.mkdir(exist_ok=True)
        for i, put in enumerate(journal.put):
            if os.path.lexists(work / f"new-{i}"):
                os.replace(work / f"new-{i}", folder / put.name)
        for place in (*_inner(folder, journal), folder):
            _sync(place)
    except BaseException:
        _undo(folder, journal)
        raise
    problems = _remove(folder, journal)
    with contextlib.suppress(OSError):  # all is done: what is left goes with the next run
        sweep(work)
    return problems


def _remove(folder: Path, journal: Journal) -> list[tuple[Path, OSError]]:
    problems = []
    new = {put.name.casefold(): folder / put.name for put in journal.put}
    for name, was in journal.remove.items():
        path, other = folder / name, new.get(name.casefold())
        if not is_unchanged(path, was) or (other is not None and _is_same(path, other)):
            continue
        try:
            path.unlink()
        except OSError as problem:
            problems.append((path, problem))
    for inner in {(folder / name).parent for name in journal.remove}:
        _remove_if_empty(inner, folder)
        with contextlib.suppress(OSError):
            _sync(inner)
    return problems


def _is_same(path: Path, other: Path) -> bool:
    """Return whether two names that differ in capitals name one file, as on some systems."""
    with contextlib.suppress(OSError):
        return os.path.samefile(path, other)
    return False


def _undo(folder: Path, journal: Journal) -> None:
    """Put everything back as it was before."""
    work = folder / WORK
    if os.path.lexists(work / JOURNAL):
        os.replace(work / JOURNAL, work / UNDO)
        _sync(work)
    for i, put in enumerate(journal.put):
        if put.replaces:
            if os.path.lexists(work / f"old-{i}"):
                os.replace(work / f"old-{i}", folder / put.name)
        elif not os.path.lexists(work / f"new-{i}"):
            (folder / put.name).unlink(missing_ok=True)
    for inner in _inner(folder, journal):
        _remove_if_empty(inner, folder)
    for place in (*_inner(folder, journal), folder):
        if place.is_dir():
            _sync(place)
    sweep(work)


def _remove_if_empty(inner: Path, folder: Path) -> None:
    if inner != folder:
        with contextlib.suppress(OSError):
            inner.rmdir()


def _inner(folder: Path, journal: Journal) -> list[Path]:
    """Return the folders within the set's that its files are in."""
    return sorted({(folder / put.name).parent for put in journal.put} - {folder})


def _is_sound(work: Path, journal: Journal) -> bool:
    """Return whether all that is staged still is what was meant."""
    staged = ((work / f"new-{i}", put.sha256) for i, put in enumerate(journal.put))
    return all(is_unchanged(path, was) for path, was in staged if os.path.lexists(path))


def _write(path: Path, data: bytes) -> None:
    """Write a new file; it is on the disk then."""
    with path.open("xb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _sync(folder: Path) -> None:
    """Bring the names in a folder onto the disk, where the system can."""
    if os.name == "nt":
        return  # folders cannot be opened there
    try:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as problem:
        if problem.errno not in _NO_SYNC:
            raise


def _read(path: Path) -> Journal:
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOFOLLOW", 0)
    try:
        # Opening a pipe would wait for somebody to write to it.
        with os.fdopen(os.open(path, flags), "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                raise ValueError("no plain file")
            raw = stream.read(LARGEST + 1)
        if len(raw) > LARGEST:
            raise ValueError("too large")
        return _parsed(json.loads(raw))
    except (OSError, ValueError, TypeError, KeyError, RecursionError) as problem:
        raise JournalError(str(path)) from problem


def _parsed(document: Any) -> Journal:
    if document["format"] != FORMAT:
        raise ValueError("of another format")
    put = tuple(
        Put(_name(one["name"]), _sum(one["sha256"]), one["replaces"] is True)
        for one in document["put"]
    )
    return Journal(put, {_name(k): _sum(v) for k, v in dict(document["remove"]).items()})


def _name(name: Any) -> str:
    """Return a name that lies within the folder, at most one folder deep.

    Raises:
        ValueError: it is none.
    """
    for kind in (PurePosixPath, PureWindowsPath) if os.name == "nt" else (PurePosixPath,):
        path = kind(name)
        if path.anchor or not 1 <= len(path.parts) <= 2 or ".." in path.parts:
            raise ValueError(name)
    if "\0" in name or PurePosixPath(name).parts[0] == WORK:
        raise ValueError(name)
    return str(name)


def _sum(text: Any) -> str:
    if not _SUM.fullmatch(text):
        raise ValueError(text)
    return str(text)
