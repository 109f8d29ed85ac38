"""The one file that the workspace reads and writes, and what others do to it."""

from __future__ import annotations

import asyncio
import contextlib
import os
import stat
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from frame3d.errors import Fault, OutputError, SpecError
from frame3d.formats.writer import write
from frame3d.parameters.reading.reader import read_text

BOM = b"\xef\xbb\xbf"
LOOK: Final = 500
"""After how long the file is looked at where nothing is told [ms]."""


@dataclass(frozen=True, slots=True)
class TextForm:
    """How a file's text is stored: what an editor must give back as it was."""

    newline: str = "\n"
    mark: bytes = b""
    """A byte order mark, or nothing."""

    def packed(self, text: str) -> bytes:
        """Return the file's bytes; `text` has line ends of one character."""
        return self.mark + text.replace("\n", self.newline).encode("utf-8")


class Disk:
    """A parameter file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        """As given."""
        self._form = TextForm()

    def read(self) -> str:
        """Return the file's text, line ends as one character.

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

    def write(self, text: str) -> None:
        """Write beside the file, then rename: it is whole at every moment.

        A link stays a link, and the file keeps its permissions.

        Raises:
            OutputError: it cannot be written, or is no longer where it was.
        """
        target = self.path.resolve()
        if not target.parent.is_dir():
            raise self._cannot("its folder is gone")
        try:
            mode = stat.S_IMODE(target.stat().st_mode)
        except OSError:
            mode = None
        try:
            write({target.name: self._form.packed(text)}, target.parent)
            if mode is not None:
                os.chmod(target, mode)
        except OSError as problem:
            raise self._cannot(problem.strerror or str(problem)) from problem
        except OutputError as error:
            raise self._cannot(error.faults[0].message) from error

    def _cannot(self, why: str) -> OutputError:
        hint = "the text on the page is not lost; make room for it, or copy it elsewhere"
        return OutputError(Fault("output", "", f"{self.path} cannot be saved: {why}", hint))

    async def changes(self, stop: asyncio.Event) -> AsyncIterator[str | None]:
        """Yield the file's text each time that it has changed; None where it is gone.

        Editors save by renaming, so the folder is watched, not the file. What happens before the watch
        stands, or where a file system tells nothing, is seen by a look at the file now and then.
        """
        from watchfiles import awatch

        target = self.path.resolve()
        last: str | None = None
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

    def now(self) -> str | None:
        """Return the file's text; None where it is gone, or cannot be read."""
        try:
            return self.read()
        except SpecError:
            return None
