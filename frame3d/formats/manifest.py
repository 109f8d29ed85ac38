"""The list of files that a set holds, with check sums, so that the next set can remove outdated ones."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

from frame3d.formats.journal import check_sum, is_unchanged

LARGEST: Final = 1 << 22
"""Largest size of an earlier run's list that is read [bytes]."""
_LINE: Final = re.compile(r"([0-9a-f]{64})  ((?:\w[\w.-]*/)?\w[\w.-]*)")


def listing(files: Mapping[str, bytes]) -> bytes:
    """Return a check sum and a name a line, as ``sha256sum --check`` reads them."""
    rows = [f"{check_sum(data)}  {name}\n" for name, data in sorted(files.items())]
    return "".join(rows).encode()


def outdated(
    folder: Path, name: str, names: Iterable[str]
) -> tuple[dict[str, str], tuple[Path, ...]]:
    """Return the files of the last set that this one no longer has.

    Args:
        folder: of the set.
        name: of the list; without a list there, nothing is outdated.
        names: of this set's files.

    Returns:
        check sums by name of those that are as they were written, and paths of those that somebody has
        changed since, which are the user's now.
    """
    lines = _read(folder / name).split("\n")
    rows = {row[2]: row[1] for line in lines if (row := _LINE.fullmatch(line)) is not None}
    kept = {*names, name}
    gone = {n: was for n, was in rows.items() if n not in kept and os.path.lexists(folder / n)}
    ours = {n: was for n, was in gone.items() if is_unchanged(folder / n, was)}
    return ours, tuple(folder / n for n in gone if n not in ours)


def _read(file: Path) -> str:
    """Return a list's text; empty where there is no plain, readable file of at most `LARGEST` bytes."""
    try:
        # Without O_NONBLOCK, opening a named pipe would wait for a writer.
        handle = os.open(file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(handle, "rb") as stream:
            if not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
                return ""
            raw = stream.read(LARGEST + 1)
        return raw.decode("utf-8") if len(raw) <= LARGEST else ""
    except (OSError, ValueError):
        return ""
