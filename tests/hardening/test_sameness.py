"""The same file gives the same bytes on every machine: hash seed, locale, time zone, threads, folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.hardening.running import SMALL
from tests.hardening.sameness import COMMANDS, different
from tests.sampling import first


@pytest.mark.parametrize("of_mockup", first(1, ["--no-stand", "--stand"]))
def test_every_command_writes_and_says_the_same_everywhere(tmp_path: Path, of_mockup: str) -> None:
    """`python -m tests.hardening same` does it for every demo. A stand takes ten times as long as a model."""
    commands = [(*one, of_mockup) if one[0] == "mockup" else one for one in COMMANDS]
    assert different(SMALL, tmp_path, commands) == []
