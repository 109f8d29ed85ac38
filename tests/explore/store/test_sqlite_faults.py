"""What is wrong with a store, in words."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from frame3d.explore.store.sqlite_faults import fault_of, no_store, other_version

STORE = Path("found/designs.sqlite")


def named(name: str) -> sqlite3.Error:
    """An error as SQLite raises it, with its name of sqlite.org/rescode.html."""
    error = sqlite3.OperationalError("as SQLite says it")
    error.sqlite_errorname = name  # type: ignore[misc]
    return error


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("SQLITE_FULL", "the disk is full"),
        ("SQLITE_READONLY_DIRECTORY", "cannot be written to"),
        ("SQLITE_CANTOPEN_ISDIR", "cannot be opened"),
        ("SQLITE_BUSY_SNAPSHOT", "another run is writing to it"),
        ("SQLITE_NOTADB", "some other file"),
        ("SQLITE_CORRUPT_INDEX", "it is damaged"),
        ("SQLITE_IOERR_READ", "could not be read or written"),
    ],
)
def test_each_kind_of_error_has_its_words_and_a_way_out(name: str, said: str) -> None:
    (fault,) = fault_of(named(name), STORE).faults
    assert str(STORE) in fault.message
    assert said in fault.message
    assert fault.hint


def test_an_error_of_the_system_and_one_that_is_not_known() -> None:
    (system,) = fault_of(PermissionError(13, "no"), STORE).faults
    assert "cannot be opened" in system.message
    (other,) = fault_of(named("SQLITE_MISUSE"), STORE).faults
    assert "as SQLite says it" in other.message
    assert "--fresh" in other.hint


def test_stores_of_others() -> None:
    (version,) = other_version(STORE, "0.0.9", "0.1.0").faults
    assert "made by 0.0.9, this is 0.1.0" in version.message
    (foreign,) = no_store(STORE).faults
    assert "stays as it is" in foreign.hint
