"""Commands run as a user runs them, in this process or in one of their own."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from frame3d.cli.commands import main

ROOT = Path(__file__).parents[2]
CASES = Path(__file__).with_name("cases")
SMALL = ROOT / "tests" / "live" / "small.yaml"


@dataclass(frozen=True)
class Ended:
    """How a command ended."""

    status: int
    out: str
    err: str


def run(*arguments: str | Path) -> Ended:
    """Run a command in this process."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            main([str(one) for one in arguments])
        except SystemExit as left:
            status = left.code if isinstance(left.code, int) else -1
    return Ended(status, out.getvalue(), err.getvalue())


def command(*arguments: str | Path) -> list[str]:
    """A command's words, for a process of its own."""
    return [sys.executable, "-m", "frame3d", *(str(one) for one in arguments)]


def environment(**changes: str) -> dict[str, str]:
    """The environment of such a process."""
    kept = {k: v for k, v in os.environ.items() if k not in ("FRAME3D_DEBUG", "SOURCE_DATE_EPOCH")}
    return {**kept, "PYTHONPATH": str(ROOT), **changes}


def process(*arguments: str | Path, **changes: str) -> Ended:
    """Run a command in a process of its own, with changes to its environment."""
    done = subprocess.run(
        command(*arguments),
        capture_output=True,
        env=environment(**changes),
        timeout=300,
        check=False,
    )
    decoded = (raw.decode("utf-8", "replace") for raw in (done.stdout, done.stderr))
    return Ended(done.returncode, *decoded)


def is_fault(ended: Ended, file: Path | None = None) -> bool:
    """Whether a command ended by telling what is wrong with the input, where, and nothing else."""
    named = file is None or str(file) in ended.err
    return (
        ended.status == 2
        and named
        and "Traceback" not in ended.err
        and "has a defect" not in ended.err
    )
