"""The same file gives the same bytes on every machine: hash seed, locale, time zone, threads, folder."""

from __future__ import annotations

from pathlib import Path

from tests.hardening.running import SMALL
from tests.hardening.sameness import different


def test_every_command_writes_and_says_the_same_everywhere(tmp_path: Path) -> None:
    """`python -m tests.hardening same` does it for every demo."""
    assert different(SMALL, tmp_path) == []
