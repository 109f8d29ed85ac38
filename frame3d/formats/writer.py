"""Write a set of files completely or not at all: to temporary files first, then renamed."""

from __future__ import annotations

import contextlib
import os
import re
import stat
import tempfile
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path

from frame3d.errors import Fault, OutputError

FIXED = datetime(1980, 1, 1, tzinfo=UTC)
"""Date for formats that insist on one, unless SOURCE_DATE_EPOCH gives another: the first that a zip
archive can hold."""

LAST = datetime(2107, 12, 31, 23, 59, 58, tzinfo=UTC)
"""The last date that a zip archive can hold."""
RECORD = 1 << 22
"""Size that a record of an earlier run may have [bytes]."""
_SECONDS = re.compile(r"-?[0-9]{1,15}")


def write(files: Mapping[str, bytes], folder: Path) -> tuple[Path, ...]:
    """Write a set of files, by name, into `folder`, which is created if missing.

    A name may have a folder of its own before it: ``templates/top_tube.dxf``. All bytes are on the
    disk before the first old file is replaced, so that a failure leaves the previous set whole.

    Raises:
        OutputError: the folder or a file cannot be written.
    """
    staged: list[tuple[str, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            target = folder / name
            if target.is_dir():
                raise IsADirectoryError(f"{target} is a folder")
            target.parent.mkdir(exist_ok=True)
            handle, beside = tempfile.mkstemp(
                prefix=f".{target.name}.", suffix=".part", dir=target.parent
            )
            staged.append((beside, target))
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
            os.chmod(beside, 0o666 & ~_umask())
        for beside, target in staged:
            os.replace(beside, target)
    except OSError as problem:
        raise OutputError(
            Fault(
                "output",
                "",
                f"cannot write to {folder}: {problem.strerror or problem}",
                "choose another folder with -o, or make this one writable",
            )
        ) from problem
    finally:
        for beside, _ in staged:
            with contextlib.suppress(OSError):
                Path(beside).unlink(missing_ok=True)
    return tuple(target for _, target in staged)


def write_new(file: Path, data: bytes) -> Path:
    """Write a file that is not there yet.

    Raises:
        OutputError: it is there, or cannot be written.
    """
    if file.exists():
        raise OutputError(
            Fault(
                "output", "", f"{file} is there already", "choose another name, or remove it first"
            )
        )
    return write({file.name: data}, file.parent)[0]


def read_record(file: Path) -> str:
    """Return the text that an earlier run wrote to `file`.

    Returns:
        The text; an empty one where it is not there, no plain file, no UTF-8, or too large for one.
    """
    try:
        # Opening a pipe would wait for somebody to write to it.
        handle = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(handle, "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                return ""
            raw = stream.read(RECORD + 1)
        return raw.decode("utf-8") if len(raw) <= RECORD else ""
    except (OSError, ValueError):
        return ""


def remove(files: Iterable[Path]) -> None:
    """Take away files of an earlier run.

    Raises:
        OutputError: with every one that cannot be removed, such as a folder or a locked file.
    """
    faults = []
    for file in files:
        try:
            file.unlink()
        except OSError as problem:
            faults.append(
                Fault(
                    "output",
                    "",
                    f"cannot remove {file}, of the run before: {problem.strerror or problem}",
                    "remove it by hand: what has been written now no longer has it",
                )
            )
    if faults:
        raise OutputError(faults)


def timestamp() -> datetime:
    """Return the date to write where a format insists on one: SOURCE_DATE_EPOCH, else `FIXED`.

    See reproducible-builds.org, "SOURCE_DATE_EPOCH specification": seconds since 1970, UTC.

    Raises:
        OutputError: SOURCE_DATE_EPOCH is no such number.
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


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
