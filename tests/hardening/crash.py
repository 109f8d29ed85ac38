"""Runs that end at their n-th change of the disk: killed, refused by the system, or interrupted.

Every change is known from Python's audit events and from flushes, so every point at which a run can end
is tried, one after the other, each in a forked process. A flush that is not reached leaves half of what
was written, as a kill amid the writing does.
"""

from __future__ import annotations

import errno
import os
import shutil
import signal
import stat
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from frame3d.errors import OutputError
from frame3d.formats.journal import JOURNAL, UNDO, WORK
from frame3d.formats.writer import settle, write

CHANGES = {
    "os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.link", "os.symlink", "os.chmod",
    "os.truncate", "tests.fsync",
}  # fmt: skip
WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT
DONE, TOLD, INTERRUPTED, DEFECT = range(10, 14)
"""How a run ended that was not killed."""

Files = dict[str, bytes]
State = dict[str, bytes | None]
"""Contents by name; None for a folder."""


class Trigger:
    """Ends a run at its n-th change below a folder."""

    def __init__(self, how: str, number: int, folder: Path) -> None:
        """Prepare.

        Args:
            how: ``kill``, ``interrupt``, ``refuse`` (once), ``refuse on`` (from there on).
            number: of the change, from 1 on.
            folder: changes elsewhere do not count.
        """
        self.how, self.number, self.below = how, number, str(folder)
        self.count = 0

    def arm(self) -> None:
        """Watch this process; it cannot be undone."""
        sys.addaudithook(self._audit)

    def _audit(self, event: str, arguments: tuple[Any, ...]) -> None:
        if not self._is_change(event, arguments):
            return
        self.count += 1
        if self.count < self.number:
            return
        if self.how == "kill":
            if event == "tests.fsync":
                tear(arguments[0])
            os.kill(os.getpid(), signal.SIGKILL)
        if self.count == self.number or self.how == "refuse on":
            if self.how == "interrupt":
                raise KeyboardInterrupt
            raise OSError(errno.ENOSPC, "No space left on device")

    def _is_change(self, event: str, arguments: tuple[Any, ...]) -> bool:
        if event == "tests.fsync":
            return True
        if event == "open":
            path, _, flags = arguments
            return bool(flags & WRITES) and self._is_below(path)
        return event in CHANGES and any(map(self._is_below, arguments[:2]))

    def _is_below(self, path: object) -> bool:
        return isinstance(path, str | os.PathLike) and str(path).startswith(self.below)


def tear(handle: int) -> None:
    """Leave half of a file that is being written."""
    state = os.fstat(handle)
    if stat.S_ISREG(state.st_mode):
        os.ftruncate(handle, state.st_size // 2)


@contextmanager
def flushes_told() -> Iterator[None]:
    """Make flushes known to triggers; a kill of a process loses nothing, so they need not be done."""
    real = os.fsync
    os.fsync = lambda handle: sys.audit("tests.fsync", handle)
    try:
        yield
    finally:
        os.fsync = real


def forked(run: Callable[[], object], trigger: Trigger) -> int | None:
    """Run in a process of its own; how it ended, None where it was killed."""
    child = os.fork()
    if child == 0:
        status = DEFECT
        try:
            trigger.arm()
            run()
            status = DONE
        except OutputError:
            status = TOLD
        except KeyboardInterrupt:
            status = INTERRUPTED
        finally:
            os._exit(status)
    _, status = os.waitpid(child, 0)
    return None if os.WIFSIGNALED(status) else os.WEXITSTATUS(status)


@dataclass(frozen=True)
class Case:
    """A set in a folder, and the set that a run writes over it."""

    name: str
    before: Files
    after: Files
    manifest: str | None = "set.sha256"
    own: Files = field(default_factory=dict)
    """What the user puts there in between."""
    links: bool = True
    """Whether the file system has hard links."""

    def prepare(self, folder: Path) -> None:
        """Make the folder as it is before the run."""
        if self.before:
            write(self.before, folder, manifest=self.manifest)
        for name, data in self.own.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(data)

    def run(self, folder: Path) -> None:
        """Write the set."""
        if not self.links:
            os.link = no_links
        write(self.after, folder, manifest=self.manifest)


def no_links(*_: object, **__: object) -> None:
    raise OSError(errno.EPERM, "Operation not permitted")


BRACE = {
    "cut_list.csv": b"one,two",
    "templates/brace.dxf": b"brace dxf" * 9,
    "templates/brace.svg": b"brace svg",
    "templates/stay.dxf": b"stay",
    "drawing.pdf": b"of one" * 2000,
}
STRUT = {
    "cut_list.csv": b"three,four",
    "templates/strut.dxf": b"strut dxf",
    "templates/stay.dxf": b"stay of two",
    "drawing.pdf": b"of two" * 3000,
    "bends.csv": b"bends",
}
FLAT = {"cut_list.csv": b"none", "drawing.pdf": b"of three"}
OWN = {
    "mine.txt": b"mine",
    "templates/mine.dxf": b"mine too",
    "templates/brace.svg": b"brace svg, changed by hand",
    ".mine.part": b"hidden",
}
CASES = (
    Case("first", {}, BRACE),
    Case("renamed tube, own files", BRACE, STRUT, own=OWN),
    Case("no templates any more", BRACE, FLAT),
    Case("templates for the first time", FLAT, STRUT),
    Case("without hard links", BRACE, STRUT, own=OWN, links=False),
    Case("one file", {"report.html": b"old"}, {"report.html": b"new" * 5000}, manifest=None),
)
LAST = {"cut_list.csv": b"the last", "templates/last.dxf": b"last"}


def state(folder: Path) -> State:
    """What is in a folder, but for what a run left to be recovered from."""
    if not folder.exists():
        return {}
    found = (p for p in folder.rglob("*") if p.relative_to(folder).parts[0] != WORK)
    return {p.relative_to(folder).as_posix(): None if p.is_dir() else p.read_bytes() for p in found}


def is_begun(folder: Path) -> bool:
    return any((folder / WORK / name).exists() for name in (JOURNAL, UNDO))


class Bench:
    """A place in which the runs of one case are tried."""

    def __init__(self, case: Case, place: Path) -> None:
        self.case, self.place = case, place
        self.folder = place / "set"
        case.prepare(place / "start")
        self.old = state(place / "start")
        self.fresh()
        write(case.after, self.folder, manifest=case.manifest)
        self.new = state(self.folder)
        self.changes = self.runs = 0
        self.wrong: list[str] = []

    def fresh(self) -> Path:
        """The folder as it was before."""
        copied(self.place / "start", self.folder)
        return self.folder

    def note(self, what: str, bad: bool) -> None:
        if bad:
            self.wrong.append(what)

    def kills(self, every: int) -> None:
        """Kill at every change; after each `every`-th such kill, the recovery at every change too."""
        while True:
            self.fresh()
            number = self.changes + 1
            ended = forked(lambda: self.case.run(self.folder), Trigger("kill", number, self.folder))
            if ended is not None:
                self.note(f"ends with {ended}", ended != DONE or state(self.folder) != self.new)
                return
            self.changes = number
            if number % every == 0:
                self._kill_recovery(number)
            self.holds(f"killed at {number}")

    def _kill_recovery(self, number: int) -> None:
        kept = self.place / "kept"
        copied(self.folder, kept)
        ended, again = None, 0
        while ended is None:
            again += 1
            copied(kept, self.folder)
            ended = forked(lambda: settle(self.folder), Trigger("kill", again, self.folder))
            self.note(f"recovery of {number} ends with {ended}", ended not in (None, DONE))
            self.holds(f"killed at {number}, its recovery at {again}")
        copied(kept, self.folder)

    def faults(self, how: str, step: int) -> None:
        """At each `step`-th change, let the system refuse it, or the user interrupt; after `kills`."""
        for number in range(1, self.changes + 1, step):
            self.fresh()
            ended = forked(lambda: self.case.run(self.folder), Trigger(how, number, self.folder))
            what, now = f"{how} at {number}, ends with {ended}", state(self.folder)
            self.note(what, ended in (None, DEFECT))
            files = {name: data for name, data in now.items() if data is not None}
            more = {n: d for n, d in self.old.items() if n not in self.new and n in now}
            if how == "refuse on":
                self.holds(what)
            elif ended == DONE:  # an empty folder may be left
                self.note(f"{what}: not new", files != files_of(self.new))
            elif now != self.old:  # what the set before has more could not be removed
                self.note(f"{what}: mixed at once", now != {**self.new, **more})
            else:
                self.holds(what)

    def holds(self, what: str) -> None:
        """Hold what a run has left, and what the next run makes of it."""
        self.runs += 1
        now = state(self.folder)
        for name, data in now.items():
            self.note(f"{what}: {name} torn", data not in (self.old.get(name), self.new.get(name)))
        whole = now in (self.old, self.new)
        self.note(f"{what}: mixed, and no journal", not whole and not is_begun(self.folder))
        if self.case.manifest:  # straight on with another set
            other = self.place / "other"
            copied(self.folder, other)
            write(LAST, other, manifest=self.case.manifest)
            odd = set(files_of(state(other))) ^ {*self.case.own, *LAST, self.case.manifest}
            self.note(f"{what}: strays or orphans: {sorted(odd)}", bool(odd))
            self.note(f"{what}: rest, after the next run", (other / WORK).exists())
        settle(self.folder)
        self.note(f"{what}: mixed", state(self.folder) not in (self.old, self.new))
        self.note(f"{what}: rest", (self.folder / WORK).exists())


def files_of(now: State) -> State:
    return {name: data for name, data in now.items() if data is not None}


def copied(source: Path, target: Path) -> None:
    """Make `target` like `source`, which may not be there."""
    shutil.rmtree(target, ignore_errors=True)
    if source.exists():
        shutil.copytree(source, target, symlinks=True)


def crashes(every: int = 1, step: int = 1) -> int:
    """Try every case; return how much goes wrong, and print it."""
    bad = runs = 0
    with flushes_told():
        for case in CASES:
            with tempfile.TemporaryDirectory() as place:
                bench = Bench(case, Path(place))
                bench.kills(every)
                for how in ("refuse", "refuse on", "interrupt"):
                    bench.faults(how, step)
            print(f"{case.name}: {bench.changes} changes, {bench.runs} ends of a run", flush=True)
            for line in bench.wrong[:20]:
                print(f"    {line}", flush=True)
            bad += len(bench.wrong)
            runs += bench.runs
    print(f"{runs} ends of a run, {bad} went wrong")
    return bad
