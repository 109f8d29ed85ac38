"""Threads of linear algebra."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from frame3d.threads import LINEAR_ALGEBRA, one_thread


def test_one_thread_unless_the_user_says_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    first, *others = LINEAR_ALGEBRA
    for setting in others:
        monkeypatch.delenv(setting, raising=False)
    monkeypatch.setenv(first, "3")
    one_thread()
    assert os.environ[first] == "3"
    assert [os.environ[setting] for setting in others] == ["1"] * len(others)


def test_a_command_says_so_before_numpy_is_imported() -> None:
    """Settings are read when NumPy is imported, so the command line must not have imported it."""
    ask = "import sys, frame3d.cli.commands; print('numpy' in sys.modules)"
    ended = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    assert ended.stdout.strip() == "False"
