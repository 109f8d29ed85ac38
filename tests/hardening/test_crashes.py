"""A set of files under every end that a run of the writer can have: whole, no strays, no orphans."""

from __future__ import annotations

import subprocess
import sys

from tests.hardening.running import ROOT, environment


def test_every_point_at_which_a_run_can_end() -> None:
    """In a process without threads, which may fork."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.hardening", "crashes", "40", "4"],
        capture_output=True, text=True, cwd=ROOT, env=environment(), check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 went wrong" in done.stdout
