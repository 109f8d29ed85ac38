"""What is wrong with a store, in words: no space, not writable, no store, another version's."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from frame3d.errors import Fault, OutputError

_SAID = (
    (
        ("SQLITE_FULL",),
        "the disk is full",
        "what was found until then is kept: free some space and run the same again",
    ),
    (
        ("SQLITE_READONLY",),
        "it cannot be written to",
        "give write permission to the file and its folder, or name another store",
    ),
    (
        ("SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH"),
        "it cannot be opened",
        "name a store in a folder that can be written to",
    ),
    (
        ("SQLITE_BUSY", "SQLITE_LOCKED"),
        "another run is writing to it",
        "wait for that run or end it, or name another store",
    ),
    (
        ("SQLITE_NOTADB",),
        "it is no store of results, but some other file",
        "name another store; this file stays as it is",
    ),
    (
        ("SQLITE_CORRUPT",),
        "it is damaged",
        "move it away and begin again; with --fresh it is emptied",
    ),
    (
        ("SQLITE_IOERR",),
        "it could not be read or written",
        "the disk may be full or gone; what was found until then is kept, and the same command goes on",
    ),
)
"""Beginnings of SQLite's names of errors (sqlite.org/rescode.html), what they mean, and what to do."""


def fault_of(error: sqlite3.Error | OSError, path: Path) -> OutputError:
    """Return an error of SQLite, or of the system, as users are told."""
    name = getattr(error, "sqlite_errorname", None) or ""
    if isinstance(error, OSError):
        name = "SQLITE_CANTOPEN"
    for beginnings, what, hint in _SAID:
        if name.startswith(beginnings):
            return output_error(path, what, hint)
    return output_error(
        path, f"it could not be used ({error})", "name another store, or use --fresh"
    )


def other_version(path: Path, theirs: str, ours: str) -> OutputError:
    """Return the error for a store of another version of frame3d, whose results may differ."""
    return output_error(
        path,
        f"it was made by {theirs}, this is {ours}, whose results may differ",
        "use --fresh to empty it and begin again, or name another store",
    )


def no_store(path: Path) -> OutputError:
    """Return the error for a database of something else."""
    what = "it is no store of results, but some other database"
    return output_error(path, what, "name another store; this file stays as it is")


def output_error(path: Path, what: str, hint: str) -> OutputError:
    """Return an error about a store."""
    return OutputError(Fault("output", "", f"store {path}: {what}", hint))
