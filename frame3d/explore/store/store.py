"""Results of a study in an SQLite file, of which one run at a time is the writer.

SQLite keeps what a transaction has written also where the process is killed right after, and undoes
what it was amid (sqlite.org/wal.html, sqlite.org/atomiccommit.html).
"""

from __future__ import annotations

import contextlib
import heapq
import math
import os
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import Any, Final

from frame3d.errors import OutputError
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.store.question import allows, key_of, order_of, plain, question_of
from frame3d.explore.store.record import design_read, design_written, read, written
from frame3d.explore.store.sqlite_faults import fault_of, no_store, other_version
from frame3d.explore.study.study import Design, Study
from frame3d.version import __version__

FORMAT: Final = 1
"""Number of the layout of stores; raised where it changes."""
MARK: Final = 0x46334453
"""SQLite's ``application_id`` of a store: F3DS."""
MANY: Final = 500
"""Designs asked for at once."""
_WRITER: Final = ".writer"
"""What follows a store's name in that of the file that its writer locks."""
_BESIDE: Final = ("-wal", "-shm")
"""What follows a store's name in those of SQLite's files beside it."""
_TABLES: Final = """
CREATE TABLE made (version TEXT NOT NULL);
CREATE TABLE results (
    question TEXT NOT NULL,   -- of the study: which results are the same, see question.py
    changes TEXT NOT NULL,    -- path=value, sorted, one a line
    design TEXT NOT NULL,     -- JSON, values by path
    stage TEXT NOT NULL,      -- the last that was reached
    feasible INTEGER NOT NULL,
    result TEXT NOT NULL,     -- JSON
    PRIMARY KEY (question, changes)
) WITHOUT ROWID;
"""


class Store:
    """Results of one study; one file may hold those of many. Use it in a ``with`` block.

    Only results of designs that the study's ranges and lists allow are told, in an order that depends on
    nothing but the designs: by their values in the order of the study, numbers by size.
    """

    def __init__(self, path: Path, study: Study, mode: str, link: sqlite3.Connection) -> None:
        """Take a connection; `open_store` makes one."""
        self.path, self.study = path, study
        self.question = question_of(study, mode)
        self._link = link
        self._lock: sqlite3.Connection | None = None

    @classmethod
    def open(cls, path: str | Path, study: Study, *, mode: str = "", fresh: bool = False) -> Store:
        """Open a store, or make one, and be its writer until it is closed.

        Args:
            path: of the file; its folder is made if missing.
            study: whose results are kept.
            mode: how designs are evaluated, where that changes results.
            fresh: whether to begin anew with an empty store. Only a store is emptied, no other file.

        Raises:
            OutputError: the file is another run's at present, no store, of another version, or cannot
                be written.
        """
        file = Path(path)
        lock = None
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            _need_store(file)
            lock = _locked(file)
            if fresh:
                for name in (file.name, *(file.name + end for end in _BESIDE)):
                    file.with_name(name).unlink(missing_ok=True)
            store = cls(file, study, mode, _connected(file))
        except (sqlite3.Error, OSError) as error:
            _unlocked(file, lock)
            raise fault_of(error, file) from error
        except OutputError:
            _unlocked(file, lock)
            raise
        store._lock = lock
        return store

    def close(self) -> None:
        """Close the store, whole; another run may write to it then."""
        with contextlib.suppress(sqlite3.Error):
            self._link.close()
        _unlocked(self.path, self._lock)
        self._lock = None

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def __len__(self) -> int:
        """Return how many results of the study's question are kept, also beyond its ranges.

        Raises:
            OutputError: the store cannot be read.
        """
        found = self._all("SELECT count(*) FROM results WHERE question = ?", (self.question,))
        return int(found[0][0])

    def known(self, designs: Iterable[Design]) -> dict[Design, Evaluation]:
        """Return the results of those designs that have one.

        Raises:
            OutputError: the store cannot be read.
        """
        by_key = {key_of(self.study, design): design for design in designs}
        return {by_key[key]: result for key, result in self._results(list(by_key), by_key)}

    def add(self, evaluations: Sequence[Evaluation]) -> None:
        """Keep results: all of them or, where that fails, none. What is kept already stays as it is.

        Raises:
            OutputError: they could not be written; what was kept before still is.
        """
        rows = [
            (
                self.question,
                key_of(self.study, one.design),
                design_written(self.study, one.design),
                one.stage,
                int(one.feasible),
                written(one),
            )
            for one in evaluations
        ]
        try:
            with self._link:
                self._link.executemany("INSERT OR IGNORE INTO results VALUES (?,?,?,?,?,?)", rows)
        except sqlite3.Error as error:
            raise fault_of(error, self.path) from error

    def rows(self) -> Iterator[Evaluation]:
        """Yield the results of all designs that the study allows, in order.

        Raises:
            OutputError: the store cannot be read.
        """
        return self._of_question(feasible_only=False)

    def best(self, n: int) -> tuple[Evaluation, ...]:
        """Return the n best results, the best first.

        Feasible ones first, by the study's preferences, the first one first; then the others by how
        little they fall short; of equal ones as `rows` has them.

        Raises:
            OutputError: the store cannot be read.
        """
        found = heapq.nsmallest(n, self._of_question(feasible_only=True), key=self._merit)
        if len(found) < n:
            found = heapq.nsmallest(n, self.rows(), key=self._merit)
        return tuple(found)

    def _merit(self, one: Evaluation) -> tuple[float, ...]:
        """Return what to sort by, best first."""
        total = math.inf if math.isnan(one.total) else one.total
        liked = []
        for preference in self.study.preferences:
            value = one.values.get(preference.label, math.nan)
            signed = value if preference.least else -value
            liked.append(math.inf if math.isnan(signed) else signed)
        return (0.0 if one.feasible else 1.0, total, *liked)

    def _of_question(self, *, feasible_only: bool) -> Iterator[Evaluation]:
        only = " AND feasible = 1" if feasible_only else ""
        found = self._all(
            f"SELECT changes, design FROM results WHERE question = ?{only}", (self.question,)
        )
        designs = {key: design_read(self.study, text) for key, text in found}
        allowed = {key: design for key, design in designs.items() if allows(self.study, design)}
        keys = sorted(allowed, key=lambda key: order_of(self.study, allowed[key]))
        return (result for _, result in self._results(keys, allowed))

    def _results(
        self, keys: Sequence[str], designs: Mapping[str, Design]
    ) -> Iterator[tuple[str, Evaluation]]:
        """Yield key and result of those keys that have one, in order."""
        for begin in range(0, len(keys), MANY):
            some = keys[begin : begin + MANY]
            marks = ",".join("?" * len(some))
            query = (
                f"SELECT changes, result FROM results WHERE question = ? AND changes IN ({marks})"
            )
            texts = dict(self._all(query, (self.question, *some)))
            for key in some:
                if key in texts:
                    yield key, read(texts[key], plain(designs[key]))

    def _all(self, query: str, values: tuple[Any, ...]) -> list[Any]:
        try:
            return self._link.execute(query, values).fetchall()
        except sqlite3.Error as error:
            raise fault_of(error, self.path) from error


def _need_store(file: Path) -> None:
    """Fault if a file is there that is no store.

    Raises:
        OutputError: it is something else.
        OSError: it cannot be read.
    """
    if not os.path.lexists(file):
        return
    with file.open("rb") as opened:
        head = opened.read(100)
    # sqlite.org/fileformat.html, 1.3: application_id at offset 68, big-endian.
    if head and not (
        head.startswith(b"SQLite format 3\0") and head[68:72] == MARK.to_bytes(4, "big")
    ):
        raise no_store(file)


def _connected(file: Path) -> sqlite3.Connection:
    """Return a connection to a store, which is made if the file is missing or empty.

    Raises:
        OutputError: it is of another version.
        sqlite3.Error: it cannot be opened.
    """
    link = sqlite3.connect(file)
    try:
        made = link.execute("PRAGMA user_version").fetchone()[0]
        if made == 0 and link.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0:
            _make(link)
        elif made != FORMAT:
            raise other_version(file, f"layout {made}", f"layout {FORMAT}")
        version = link.execute("SELECT version FROM made").fetchone()[0]
        if version != __version__:
            raise other_version(file, f"frame3d {version}", f"frame3d {__version__}")
        # Set after the version is known: nothing of a store of another version is changed.
        link.execute("PRAGMA journal_mode = WAL")
        link.execute("PRAGMA synchronous = FULL")
        with link:  # faults now if it cannot be written to
            link.execute("UPDATE made SET version = version")
    except BaseException:
        link.close()
        raise
    return link


def _make(link: sqlite3.Connection) -> None:
    """Make the tables of a new store, all or none of them."""
    link.executescript(
        f"BEGIN IMMEDIATE; PRAGMA application_id = {MARK}; PRAGMA user_version = {FORMAT}; {_TABLES}"
        f"INSERT INTO made VALUES ('{__version__}'); COMMIT;"
    )


def _locked(file: Path) -> sqlite3.Connection:
    """Return what holds the writer's lock until it is closed; the system drops that of a killed run.

    Raises:
        sqlite3.Error: another run holds it, or the folder cannot be written to.
    """
    lock = sqlite3.connect(file.with_name(file.name + _WRITER), timeout=1.0, isolation_level=None)
    try:
        lock.execute("BEGIN EXCLUSIVE")
    except BaseException:
        lock.close()
        raise
    return lock


def _unlocked(file: Path, lock: sqlite3.Connection | None) -> None:
    """Give the writer's lock back."""
    if lock is None:
        return
    with contextlib.suppress(sqlite3.Error):
        lock.close()
    with contextlib.suppress(OSError):
        file.with_name(file.name + _WRITER).unlink()
