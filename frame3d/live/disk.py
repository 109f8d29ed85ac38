"""The parameter file of the workspace: read, write, and watch for changes by others."""

from __future__ import annotations

import asyncio
import contextlib
import stat
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeAlias

from frame3d.errors import Fault, OutputError, SpecError
from frame3d.formats.writer import write
from frame3d.parameters.reading.reader import read_text

BOM = b"\xef\xbb\xbf"
LOOK: Final = 500
"""Interval of polling where the system reports no change [ms]."""


@dataclass(frozen=True, slots=True)
class TextForm:
    """Byte order mark and line ends of a file, which are kept on writing."""

    newline: str = "\n"
    mark: bytes = b""
    """A byte order mark, or nothing."""

    def packed(self, text: str) -> bytes:
        """Return the file's bytes for a text with plain newlines."""
        return self.mark + text.replace("\n", self.newline).encode("utf-8")


@dataclass(frozen=True, slots=True)
class Unreadable:
    """A file that is there, but is not text that the workspace can take over."""

    why: str
    """E.g. ``the file is UTF-16``."""
    stamp: tuple[int, ...]
    """Device, inode, size [bytes] and time [ns]: differs where the file has changed."""


OnDisk: TypeAlias = str | Unreadable | None
"""The file's text; None where it is gone."""


class Disk:
    """A parameter file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        """Path of the file, as given."""
        self._form = TextForm()

    def read(self) -> str:
        """Return the file's text with plain newlines.

        Raises:
            SpecError: it is not there, or cannot be read.
        """
        text = read_text(self.path)
        with contextlib.suppress(OSError), self.path.open("rb") as file:
            mark = BOM if file.read(3) == BOM else b""
            self._form = TextForm(
                "\r\n" if text.count("\r\n") * 2 > text.count("\n") else "\n", mark
            )
        return text.replace("\r\n", "\n").replace("\r", "\n")

    def write(self, text: str, *, anew: bool = False) -> None:
        """Write the file so that it is complete at every moment; it keeps its permissions.

        A symbolic link stays one.

        Args:
            text: with plain newlines.
            anew: whether nothing may stand there.

        Raises:
            OutputError: the file cannot be written, its folder is gone, or something stands there.
        """
        target = self.path.resolve()
        if not target.parent.is_dir():
            raise self._cannot("its folder is gone")
        try:
            write({target.name: self._form.packed(text)}, target.parent, replace=not anew)
        except OutputError as error:
            raise self._cannot(error.faults[0].message) from error

    def _cannot(self, why: str) -> OutputError:
        hint = "the text on the page is not lost; make room for it, or copy it elsewhere"
        return OutputError(Fault("output", "", f"{self.path} cannot be saved: {why}", hint))

    async def changes(self, stop: asyncio.Event) -> AsyncIterator[OnDisk]:
        """Yield what is on the disk, first as it is, then each time that it has changed.

        The folder is watched, not the file, since editors save by renaming. The file is also read at
        intervals, for changes before the watch is ready and for file systems that report none.
        """
        from watchfiles import awatch

        target = self.path.resolve()
        last: OnDisk = None
        known = False

        def ours(_change: object, path: str) -> bool:
            return Path(path).name == target.name

        async for _ in awatch(
            target.parent,
            watch_filter=ours,
            stop_event=stop,
            recursive=False,
            debounce=200,
            step=20,
            rust_timeout=LOOK,
            yield_on_timeout=True,
        ):
            now = self.now()
            if not known or now != last:
                known, last = True, now
                yield now

    def now(self) -> OnDisk:
        """Return what is on the disk now."""
        try:
            state = self.path.stat()
        except (FileNotFoundError, NotADirectoryError):
            return None
        except OSError as problem:
            return Unreadable(f"it cannot be read: {problem.strerror}", ())
        stamp = (state.st_dev, state.st_ino, state.st_size, state.st_mtime_ns)
        if not stat.S_ISREG(state.st_mode):
            return Unreadable("it is no plain file", stamp)
        try:
            return self.read()
        except SpecError as error:
            gone = not self.path.exists()
            return None if gone else Unreadable(error.faults[0].message, stamp)
