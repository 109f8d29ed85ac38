"""A set of files under every end that a run can have: whole after the next one, no strays, no orphans."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.hardening.running import ROOT, environment

RUNS = {
    "writer": "from tests.hardening.crash import crashes; print(crashes(60, 8))",
    "fabricate": "from tests.hardening.kills import each; print(each('fabricate', 9))",
}


@pytest.mark.parametrize("run", RUNS)
def test_ends_of_the_writer_and_of_a_command(run: str) -> None:
    """In a process without threads, which may fork."""
    done = subprocess.run(
        [sys.executable, "-c", RUNS[run]],
        capture_output=True, text=True, cwd=ROOT, env=environment(), check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "0", done.stdout
