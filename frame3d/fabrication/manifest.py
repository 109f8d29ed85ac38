"""The list of files that a workshop pack wrote, so that the next pack can remove outdated ones."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

from frame3d.formats.writer import read_record

LISTING: Final = "pack.sha256"
"""Name of the list: a check sum and a file name on each line, as ``sha256sum --check`` reads them."""
_LINE: Final = re.compile(r"([0-9a-f]{64})  ((?:templates/)?\w[\w.-]*)")


def listing(files: Mapping[str, bytes]) -> bytes:
    """Return the contents of `LISTING` for a pack's files."""
    rows = [f"{_sum(data)}  {name}\n" for name, data in sorted(files.items())]
    return "".join(rows).encode()


def outdated(folder: Path, names: Iterable[str]) -> list[Path]:
    """Return files that the pack before wrote, this one does not, and nobody has changed since.

    Args:
        folder: folder of the pack; without a list there are none.
        names: names of this pack's files.
    """
    lines = read_record(folder / LISTING).split("\n")
    rows = {row[2]: row[1] for line in lines if (row := _LINE.fullmatch(line)) is not None}
    gone = [(folder / name, was) for name, was in rows.items() if name not in set(names)]
    return [path for path, was in gone if _is_unchanged(path, was)]


def _is_unchanged(path: Path, was: str) -> bool:
    """Whether a file is there and has that sum."""
    try:
        return path.is_file() and _sum(path.read_bytes()) == was
    except OSError:
        return False


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
