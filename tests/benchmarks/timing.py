"""Timing whole processes side by side, one thread each."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "configs" / "trail_hardtail_29.yaml"
MINIMAL = ROOT / "configs" / "minimal.yaml"
ONE_THREAD = {
    f"{library}_NUM_THREADS": "1" for library in ("OMP", "OPENBLAS", "MKL", "NUMEXPR", "TBB")
}


def environment() -> dict[str, str]:
    """One thread, nothing left over from the caller, the repository importable."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")}
    return kept | ONE_THREAD | {"PYTHONPATH": str(ROOT)}


@dataclass(frozen=True)
class Took:
    """What a process took [s]."""

    wall: float
    cpu: float
    """User and system time: hardly disturbed by what else the machine does."""


def python(arguments: Sequence[str], allowed: Sequence[int] = (0,)) -> tuple[Took, str]:
    """Run an interpreter: what it took from start to end, and what it printed.

    Raises:
        RuntimeError: it ended with an exit status that is not allowed.
    """
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begin = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments],
        env=environment(),
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    wall = time.perf_counter() - begin
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in allowed:
        raise RuntimeError(f"{arguments} ended with {done.returncode}:\n{done.stderr}")
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Took(wall, cpu), done.stdout


def side_by_side(
    commands: Mapping[str, Sequence[str]], runs: int, allowed: Sequence[int] = (0,)
) -> dict[str, list[Took]]:
    """What each command took, turn by turn, so that a busy machine slows all alike."""
    for arguments in commands.values():
        python(arguments, allowed)  # fills the file cache
    times: dict[str, list[Took]] = {name: [] for name in commands}
    for _ in range(runs):
        for name, arguments in commands.items():
            times[name].append(python(arguments, allowed)[0])
    return times


def shown(times: Sequence[Took]) -> str:
    """Medians, for people."""
    wall, cpu = (statistics.median(getattr(t, kind) for t in times) for kind in ("wall", "cpu"))
    return f"{wall:.3f} s, {cpu:.3f} s of processor"


def ratio(times: Sequence[Took], base: Sequence[Took]) -> str:
    """Median over the rounds of one command's time over the other's in the same round."""
    wall, cpu = (
        statistics.median(
            getattr(t, kind) / getattr(b, kind) for t, b in zip(times, base, strict=True)
        )
        for kind in ("wall", "cpu")
    )
    return f"{wall:.2f}, of processor time {cpu:.2f}"
