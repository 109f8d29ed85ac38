"""The files that the workspace has written, which pages may download by number."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import Final, NamedTuple

OFFERED: Final = 500
"""Largest number of files offered; the oldest are dropped."""


class Stamp(NamedTuple):
    """What tells a file from one that has taken its place."""

    device: int
    inode: int
    size: int
    """[bytes]"""
    time: int
    """Of the last change [ns]."""

    @classmethod
    def of(cls, state: os.stat_result) -> Stamp:
        """Return the stamp of a file's state."""
        return cls(state.st_dev, state.st_ino, state.st_size, state.st_mtime_ns)


class Downloads:
    """Files by number. Only what was offered is read, and only while it is the file that was written."""

    def __init__(self) -> None:
        self._number = 0
        self._offered: dict[int, tuple[Path, Stamp]] = {}

    def offer(self, paths: Iterable[Path]) -> list[int | None]:
        """Offer files that have just been written; return their numbers, None for one that is gone."""
        return [self._offer(path) for path in paths]

    def _offer(self, path: Path) -> int | None:
        try:
            state = path.lstat()
        except OSError:
            return None
        if not stat.S_ISREG(state.st_mode):
            return None
        self._number += 1
        self._offered[self._number] = (path, Stamp.of(state))
        if len(self._offered) > OFFERED:
            del self._offered[next(iter(self._offered))]
        return self._number

    def read(self, number: int) -> tuple[str, bytes] | None:
        """Return a file's name and bytes; None where it was not offered, or is another by now."""
        path, stamp = self._offered.get(number, (None, None))
        if path is None:
            return None
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
        try:
            with open(path, "rb", opener=lambda name, _: os.open(name, flags | _binary())) as file:
                state = os.fstat(file.fileno())
                if not stat.S_ISREG(state.st_mode) or Stamp.of(state) != stamp:
                    return None
                return path.name, file.read()
        except OSError:
            return None


def _binary() -> int:
    return getattr(os, "O_BINARY", 0)
