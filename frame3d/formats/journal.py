"""Replace a set of files in a folder as a whole, by a write-ahead log as databases have.

1. All new files are staged in `WORK`, a hidden folder within the set's folder, and every file that they
   replace is linked (copied, where there are no links) beside them. All of this is flushed to the disk.
2. `JOURNAL`, which lists what is put where and what is removed, appears by one rename. From here on an
   interrupted exchange is finished, not dropped.
3. The staged files are renamed to their places. Where one cannot be (on Windows, if it is open in
   another program), `JOURNAL` is renamed to `UNDO`, and all files are put back as they were.
4. Outdated files are removed, then the journal, then the rest of `WORK`.

A run that is killed leaves `WORK` behind. `recover` finishes step 3, or undoes it if a staged file is
damaged, or finishes undoing; without a journal it removes the staged files. It may itself be killed and
called again any number of times.

What a reader can rely on: each file is complete at every moment. The set is old before step 3, new after
it. During step 3, which takes a few milliseconds, some files are new and some old; after a kill within
step 3 that lasts until the next run into the folder. `JOURNAL` or `UNDO` exists as long as the set may
be mixed. No portable call replaces a folder in one step and leaves the user's own files in it.
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
from functools import partial
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any, Final

WORK: Final = ".frame3d-unfinished"
JOURNAL: Final = "journal.json"
UNDO: Final = "undo.json"
FORMAT: Final = "frame3d journal 1"
LARGEST: Final = 1 << 24
"""Largest size of a journal that is read [bytes]."""
PRIVATE, ANYBODY = 0o600, 0o666
"""Permissions of new files, before what the user's own mask takes away."""
_OURS: Final = re.compile(r"(new|old)-[0-9]{1,9}|journal\.part")
_SUM: Final = re.compile(r"[0-9a-f]{64}")
_NO_SYNC: Final = {errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES}
"""Errors of systems that cannot flush a folder, or whose folder may not be read."""


class JournalError(Exception):
    """A journal cannot be read, or was not written by frame3d."""


@dataclass(frozen=True, slots=True)
class Put:
    """A file to put in place."""

    name: str
    """Path below the set's folder, with `/` between folders."""
    sha256: str
    replaces: bool
    """Whether it replaces an older file."""


@dataclass(frozen=True, slots=True)
class Journal:
    """The files to put in place, and those to remove."""

    put: tuple[Put, ...]
    remove: Mapping[str, str]
    """Name -> check sum of a file to remove, unless it has another sum by then."""

    def packed(self) -> bytes:
        """Return the journal as JSON."""
        put = [asdict(one) for one in self.put]
        document = {"format": FORMAT, "put": put, "remove": dict(self.remove)}
        return json.dumps(document, indent=1).encode()


def exchange(
    folder: Path, files: Mapping[str, bytes], remove: Mapping[str, str], *, private: bool = False
) -> list[tuple[Path, OSError]]:
    """Put `files` into `folder`, and remove outdated ones.

    The caller holds `WORK` (`folder_lock.held`) and has called `recover`.

    Args:
        folder: the set's folder.
        files: contents by name.
        remove: name -> check sum of an outdated file, which stays if it has another sum.
        private: whether only the user may read the new files.

    Returns:
        the files that could not be removed, with the reason; the set is complete nevertheless.

    Raises:
        OSError: the set cannot be put in place; all files are as before, unless `is_begun`.
    """
    work = folder / WORK
    try:
        journal = _stage(folder, files, remove, private)
        _write(work / "journal.part", journal.packed())
        os.replace(work / "journal.part", work / JOURNAL)
        _sync(work)
    except BaseException:
        with contextlib.suppress(OSError):
            sweep(work)
        raise
    return _finish(folder, journal)


def recover(folder: Path) -> None:
    """Finish or undo what a killed run has begun in `folder`; the caller holds `WORK`.

    Raises:
        JournalError: the journal cannot be read, or was not written by frame3d; nothing is changed.
        OSError: the exchange can neither be finished nor be undone.
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
    """Remove the journal, then all staged files; other files stay."""
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


def _stage(
    folder: Path, files: Mapping[str, bytes], remove: Mapping[str, str], private: bool
) -> Journal:
    """Put all files into `WORK` that the exchange, or undoing it, needs; return the journal."""
    work, put = folder / WORK, []
    for i, (name, data) in enumerate(files.items()):
        target = folder / name
        _check_place(target, folder, work)
        _write(work / f"new-{i}", data, PRIVATE if private else ANYBODY)
        replaces = os.path.lexists(target)
        if replaces:
            if not target.is_symlink() and not private:
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
    """Link a file under a second name; copy it where links are not possible."""
    try:
        os.link(target, old, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(target, old, follow_symlinks=False)
        if not old.is_symlink():
            with old.open("rb+") as stream:
                os.fsync(stream.fileno())


def _finish(folder: Path, journal: Journal) -> list[tuple[Path, OSError]]:
    """Do the rest of what the journal lists; undo everything where a file cannot be put in place."""
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
    with contextlib.suppress(OSError):  # the set is complete; the next run removes the rest
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
    """Put all files back as they were."""
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
    """Return whether all files that are still staged have the journal's check sums."""
    staged = ((work / f"new-{i}", put.sha256) for i, put in enumerate(journal.put))
    return all(is_unchanged(path, was) for path, was in staged if os.path.lexists(path))


def _write(path: Path, data: bytes, mode: int = ANYBODY) -> None:
    """Write a new file and flush it to the disk."""
    with open(path, "xb", opener=partial(os.open, mode=mode)) as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _sync(folder: Path) -> None:
    """Flush a folder's entries to the disk, where the system can."""
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
        # Without O_NONBLOCK, opening a named pipe would wait for a writer.
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
        ValueError: the name lies elsewhere.
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
