"""Decisions and a cold check beside those of another tree, turn by turn: ``explore --against FOLDER``."""

from __future__ import annotations

import json
import resource
import statistics
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from tests.benchmarks.explore import TARGETS, designs, study_of
from tests.benchmarks.timing import ROOT, environment

TARGET_COLD = 0.5
COLD = "trail_full_140"
PLAIN = """
import json, sys, time
from frame3d.bike.solve import solve
from frame3d.bike.travel import over_travel
from frame3d.clearance.check import check
from frame3d.errors import FrameError
from frame3d.parameters.reading.reader import loads
text = open(sys.argv[1], encoding="utf-8").read()
for line in sys.stdin:
    begin = time.process_time()
    try:
        bike = solve(loads(text, sys.argv[1], json.loads(line)))
        bike.frame.masses.total
        if bike.linkage is not None:
            over_travel(bike)
        check(bike)
    except FrameError:
        pass
    print(time.process_time() - begin, flush=True)
"""
"""Load, solve, weigh, follow and check one design a line, as a script would."""
DECIDED = """
import json, pathlib, sys, time
from frame3d.explore.evaluate.evaluator import Evaluator
from tests.benchmarks.explore import study_of
evaluator = Evaluator(study_of(pathlib.Path(sys.argv[1]).stem), reject=False)
for line in sys.stdin:
    begin = time.process_time()
    evaluator.evaluate([tuple(json.loads(line))])
    print(time.process_time() - begin, flush=True)
"""
"""All figures and all checks of one design a line."""


class _Worker:
    """A process of a tree that is told one design after another and says what each took."""

    def __init__(self, tree: Path, code: str, bike: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", code, str(bike)],
            env=environment() | {"PYTHONPATH": str(tree)},
            cwd=tree,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            bufsize=1,
        )

    def __enter__(self) -> _Worker:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait()

    def took(self, design: Sequence[object]) -> float:
        """Return what a design took [s of processor time]."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps(list(design)) + "\n")
        return float(self._process.stdout.readline())


def measure(other: Path, runs: int) -> list[tuple[str, str]]:
    """Rows of the report: this tree's decisions, and its cold check, over another tree's.

    Args:
        other: the folder of the other tree; it need not have studies.
        runs: how many designs and cold checks.
    """
    rows: list[tuple[str, str]] = []
    for demo, target in TARGETS.items():
        study = study_of(demo)
        bike = other / "configs" / f"{demo}.yaml"
        with (
            _Worker(other, PLAIN, bike) as theirs,
            _Worker(ROOT, PLAIN, bike) as ours,
            _Worker(ROOT, DECIDED, bike) as decided,
        ):
            took = []
            for design in designs(study, runs + 1):
                sets = study.sets(design)
                took.append((theirs.took(sets), ours.took(sets), decided.took(design)))
        slow, plain, quick = (list(column) for column in zip(*took[1:], strict=True))
        rows += [
            (f"{demo}: load, solve, check there", f"{1e3 * statistics.median(slow):.0f} ms"),
            ("  here", f"{1e3 * statistics.median(plain):.0f} ms"),
            ("  all stages and all shortfalls here", f"{1e3 * statistics.median(quick):.0f} ms"),
            (f"  ratio to there (target ≥ {target})", _ratio(slow, quick)),
            ("  ratio to here", _ratio(plain, quick)),
        ]
    path = other / "configs" / f"{COLD}.yaml"
    _cold(ROOT, path)  # compiled
    _cold(other, path)
    cold = [(_cold(ROOT, path), _cold(other, path)) for _ in range(runs)]
    here, there = (list(column) for column in zip(*cold, strict=True))
    return [
        *rows,
        (f"frame3d check {COLD}, cold, there", f"{statistics.median(there):.2f} s"),
        (f"  here over there (target ≤ {TARGET_COLD})", _ratio(here, there)),
    ]


def _ratio(times: Sequence[float], base: Sequence[float]) -> str:
    """Return the median over the rounds."""
    return f"{statistics.median(a / b for a, b in zip(times, base, strict=True)):.2f}"


def _cold(tree: Path, bike: Path) -> float:
    """Return what a check takes in a process of its own [s of user and system time]."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, "-m", "frame3d", "check", str(bike)],
        env=environment() | {"PYTHONPATH": str(tree)},
        cwd=tree,
        stdout=subprocess.DEVNULL,
        check=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
