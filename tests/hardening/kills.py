"""Real commands, killed at any time, and what the next run into their folder makes of it.

Each is forked from this process, which has loaded the libraries and done no work in them. One in ten is
killed at a random time, from start to end. The others are killed at a random change that they make to
their folder: a command is run up to its first change and paused there, and forked as often as wanted.
"""

from __future__ import annotations

import importlib
import os
import random
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Final, NoReturn

from frame3d.cli.commands import main
from frame3d.formats.journal import WORK
from frame3d.live.disk import Disk
from frame3d.live.solved_text import AS_DRAWN
from frame3d.live.work import jobs
from tests.hardening.crash import State, Trigger, copied, flushes_told, is_begun, state
from tests.hardening.running import ROOT, SMALL

LIBRARIES: Final = (
    "frame3d.solids", "frame3d.formats.assembly", "frame3d.formats.threemf", "frame3d.mockup.write",
    "frame3d.fabrication.pack", "frame3d.report.page", "frame3d.cli.screen_mockup", "frame3d.live.work.outputs",
)  # fmt: skip
PATIENCE: Final = 600.0
"""How long a run may take [s]."""
BRIDGE: Final = """
  {name}:
    start: {{on: top_tube, from_start: 150}}
    end: {{on: down_tube, from_start: {at}}}
    od: 16
    wall: 0.8
"""
OWN: Final = {"mine.txt": b"mine", "templates/mine.dxf": b"mine too", ".frame.stl.mine": b"hidden"}
SPENT: Final = 20
"""Exit status of a run that ended by itself, below which are those of commands."""

Run = Callable[[Path, bool], None]
"""Runs a command into a folder, as of the first bike or of the second."""


@dataclass(frozen=True)
class Files:
    """Parameter files: two bikes with a tube of another name, two that are checked quickly, a bad one."""

    folder: Path

    def make(self) -> None:
        small = SMALL.read_text(encoding="utf-8")
        minimal = (ROOT / "configs" / "minimal.yaml").read_text(encoding="utf-8")
        for second, name, at in ((False, "brace", 250), (True, "strut", 300)):
            text = small + BRIDGE.format(name=name, at=at)
            self.bike(second).write_text(text.replace("Small bike", f"With a {name}"), "utf-8")
            self.quick(second).write_text(f"{minimal}\nnotes: {name}\n", "utf-8")
        self.bad.write_text("format: 1\nname: [", "utf-8")

    def bike(self, second: bool) -> Path:
        return self.folder / f"bike_{int(second)}.yaml"

    def quick(self, second: bool) -> Path:
        return self.folder / f"quick_{int(second)}.yaml"

    @property
    def bad(self) -> Path:
        return self.folder / "bad.yaml"


def commands(files: Files) -> Mapping[str, Run]:
    """All that writes files, by name."""

    def of(verb: str, *more: str) -> Run:
        return lambda folder, second: main(
            [verb, str(files.bike(second)), "-q", "-o", str(folder), *more]
        )

    def report(folder: Path, second: bool) -> None:
        main(["report", str(files.quick(second)), "-q", "-o", str(folder)])

    def new(folder: Path, second: bool) -> None:
        folder.mkdir(exist_ok=True)
        main(["new", str(folder / f"bike_{int(second)}.yaml"), "-q"])

    def save(folder: Path, second: bool) -> None:
        folder.mkdir(exist_ok=True)
        Disk(folder / "bike.yaml").write(files.bike(second).read_text("utf-8"))

    def page(folder: Path, second: bool) -> None:
        text = files.bike(second).read_text("utf-8")
        jobs.run(
            "output", ("fabricate", text, AS_DRAWN, "bike.yaml", folder), lambda _kind, _what: None
        )

    return {
        "build": of("build"),
        "fabricate": of("fabricate"),
        "mockup": of("mockup", "--with", "frame"),
        "report": report,
        "new": new,
        "save": save,
        "page": page,
    }


OFTEN: Final = {
    "build": 4, "fabricate": 5, "mockup": 4, "report": 1, "new": 2, "save": 3, "page": 2,
}  # fmt: skip


def forked(run: Callable[[], object], after: float | None = None) -> int | None:
    """Run in a process of its own; its exit status, None where it was killed.

    Args:
        run: what is run.
        after: time after which it is killed [s].

    Raises:
        RuntimeError: it hangs, or has a defect.
    """
    sys.stdout.flush()
    with tempfile.TemporaryFile() as said:
        child = os.fork()
        if child == 0:
            _run(run, said.fileno())
        until = time.monotonic() + (PATIENCE if after is None else after)
        while (ended := os.waitpid(child, os.WNOHANG))[0] == 0:
            if time.monotonic() > until:
                os.kill(child, signal.SIGKILL)
                ended = os.waitpid(child, 0)
                if after is None:
                    raise RuntimeError("a run hangs")
                break
            time.sleep(0.002)
        said.seek(0)
        text = said.read().decode("utf-8", "replace")
    if os.WIFSIGNALED(ended[1]):
        return None
    status = os.WEXITSTATUS(ended[1])
    if status > 2:
        raise RuntimeError(text)
    return status


def _run(run: Callable[[], object], output: int | None = None) -> NoReturn:
    status = SPENT
    try:
        if output is not None:
            os.dup2(output, 1)
            os.dup2(output, 2)
        run()
        status = 0
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else SPENT
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        os._exit(status)


class Paused(Trigger):
    """A run that has been paused at its first change, to be gone on with as often as wanted."""

    def __init__(self, run: Callable[[], object], folder: Path) -> None:
        """Start the run in a process of its own."""
        super().__init__("kill", 0, folder)
        answers, questions = os.pipe(), os.pipe()
        self.process = os.fork()
        here = self.process != 0
        self._hear, self._say = (answers[0], questions[1]) if here else (questions[0], answers[1])
        for end in (answers[1], questions[0]) if here else (answers[0], questions[1]):
            os.close(end)
        if not here:
            self._began = False
            self.arm()
            _run(run)

    def go_on(self, number: int) -> int:
        """Go on, and kill at a change; the exit status, or minus a signal."""
        os.write(self._say, number.to_bytes(8, "big"))
        answer = os.read(self._hear, 8)
        if not answer:
            raise RuntimeError(f"a run ends before it changes {self.below}")
        return int.from_bytes(answer, "big", signed=True)

    def close(self) -> None:
        """End the process."""
        os.close(self._say)
        os.waitpid(self.process, 0)

    def _audit(self, event: str, arguments: tuple[Any, ...]) -> None:
        if not self._began and self._is_change(event, arguments):
            self._began = True
            self._pause()
        if self._began:
            super()._audit(event, arguments)

    def _pause(self) -> None:
        """Fork a process for every number that is heard; it returns in these."""
        while asked := os.read(self._hear, 8):
            child = os.fork()
            if child == 0:
                self.number = int.from_bytes(asked, "big")
                return
            ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
            os.write(self._say, ended.to_bytes(8, "big", signed=True))
        os._exit(0)


class Bench:
    """The folder of one command, after a run of the first bike, and of the second over it."""

    def __init__(self, name: str, run: Run, files: Files, place: Path) -> None:
        self.name, self.run, self.files = name, run, files
        self.folder, self.first = place / "set", place / "first"
        self.folder.mkdir(parents=True)
        self.paused = {
            second: Paused(lambda second=second: run(self.folder, second), self.folder)
            for second in (False, True)
        }
        self.go(False)
        for own, data in OWN.items():
            (self.folder / own).parent.mkdir(exist_ok=True)
            (self.folder / own).write_bytes(data)
        copied(self.folder, self.first)
        self.states: dict[bool, State] = {False: state(self.folder)}
        self.go(True)
        self.states[True] = state(self.folder)

    @cached_property
    def duration(self) -> float:
        """How long a run takes [s]."""
        copied(self.first, self.folder)
        began = time.monotonic()
        forked(lambda: self.run(self.folder, True))
        return time.monotonic() - began

    def close(self) -> None:
        """End what is paused; benches that were made later are closed earlier, as they share pipes."""
        for paused in reversed(self.paused.values()):
            paused.close()

    def go(self, second: bool) -> None:
        """Run to the end."""
        status = self.paused[second].go_on(1 << 60)
        if not 0 <= status <= 2:
            raise RuntimeError(f"{self.name} ends with {status}")

    def changes(self) -> int:
        """Return how often a run changes its folder."""
        number = 1
        while self.killed(number):
            number += 1
        return number - 1

    def killed(self, number: int) -> bool:
        """Kill a run at a change; whether it was."""
        copied(self.first, self.folder)
        return self.paused[True].go_on(number) == -signal.SIGKILL

    def killed_after(self, share: float) -> bool:
        """Kill a run after a share of the time that it takes; whether it was."""
        copied(self.first, self.folder)
        return forked(lambda: self.run(self.folder, True), share * self.duration) is None

    def next_run(self, dice: random.Random) -> tuple[str, list[State]]:
        """Run into the folder again; what was run, and the states that it may leave."""
        kind = dice.choice(("same", "other", "bad file"))
        if kind == "bad file" and self.name in ("build", "fabricate", "mockup", "report"):
            words = [self.name, str(self.files.bad), "-q", "-o", str(self.folder)]
            if forked(lambda: main(words)) != 2:
                raise RuntimeError("a bad file is none")
            return kind, list(self.states.values())
        if self.name == "new":  # which refuses a file that is there
            for file in self.folder.glob("bike_*.yaml"):
                file.unlink()
            self.go(False)
            if not (self.folder / "bike_1.yaml").exists():  # not recovered
                self.go(True)
            return "both", [self.states[True]]
        self.go(kind == "same")
        return kind, [self.states[kind == "same"]]


def kills(count: int, seed: int) -> int:
    """Kill `count` runs; print what goes wrong, and return how often."""
    for library in LIBRARIES:
        importlib.import_module(library)
    dice, seen, wrong = random.Random(seed), Counter[str](), 0
    with tempfile.TemporaryDirectory() as place, flushes_told():
        files = Files(Path(place))
        files.make()
        benches = {
            name: Bench(name, run, files, Path(place) / name)
            for name, run in commands(files).items()
        }
        changes = {name: bench.changes() for name, bench in benches.items()}
        print("changes of a run:", changes, flush=True)
        names, weights = zip(*OFTEN.items(), strict=True)
        for i in range(1, count + 1):
            bench = benches[dice.choices(names, weights)[0]]
            number = None if i % 10 == 0 else dice.randint(1, changes[bench.name])
            killed = bench.killed(number) if number else bench.killed_after(dice.random())
            seen[f"{bench.name}{'' if killed else ', done before'}"] += 1
            wrong += _is_wrong(bench, f"{i}: {bench.name}, killed at {number}", dice, seen)
            if i % 100 == 0 or i == count:
                print(f"{i} of {count}: {wrong} wrong; {dict(seen)}", flush=True)
        for bench in reversed(benches.values()):
            bench.close()
    print(f"{count} killed: {wrong} mixed or with strays or orphans after the next run")
    return wrong


def each(name: str, step: int) -> int:
    """Kill one command at each `step`-th change that it makes; return how often the next run is wrong."""
    for library in LIBRARIES:
        importlib.import_module(library)
    dice, seen, wrong, number = random.Random(0), Counter[str](), 0, 1
    with tempfile.TemporaryDirectory() as place, flushes_told():
        files = Files(Path(place))
        files.make()
        bench = Bench(name, commands(files)[name], files, Path(place) / name)
        while bench.killed(number):
            wrong += _is_wrong(bench, f"{name}, killed at {number}", dice, seen)
            seen["killed"] += 1
            number += step
        bench.close()
    print(f"{name}: {wrong} wrong; {dict(seen)}")
    return wrong


def _is_wrong(bench: Bench, what: str, dice: random.Random, seen: Counter[str]) -> bool:
    """Hold the folder of a run that was killed; say what is wrong."""
    now = state(bench.folder)
    mixed = now not in bench.states.values()
    seen["amid writing"] += (bench.folder / WORK).exists()
    seen["mixed until the next run"] += mixed
    lost = mixed and not is_begun(bench.folder)
    kind, may = bench.next_run(dice)
    found = state(bench.folder)
    if lost or found not in may or (bench.folder / WORK).exists():
        names = {*found, *may[0]}
        odd = [n for n in sorted(names) if any(found.get(n) != one.get(n) for one in may)]
        print(f"{what}, then {kind}: {'no journal, ' if lost else ''}{odd[:9]}", flush=True)
        return True
    return False
