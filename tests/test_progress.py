"""The bar: on a terminal while something is done, and nothing anywhere else."""

from __future__ import annotations

import io
import sys

import pytest

from frame3d.progress import bar


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def run(silent: bool) -> None:
    with bar(silent) as progress:
        for k in range(4):
            progress(f"step {k}", k / 3)


@pytest.mark.parametrize(
    ("stream", "silent"), [(io.StringIO(), False), (Terminal(), True), (io.StringIO(), True)]
)
def test_nothing_is_written(
    monkeypatch: pytest.MonkeyPatch, stream: io.StringIO, silent: bool
) -> None:
    monkeypatch.setattr(sys, "stderr", stream)
    run(silent)
    assert stream.getvalue() == ""


def test_a_terminal_sees_what_is_done_and_is_left_clean(monkeypatch: pytest.MonkeyPatch) -> None:
    out, terminal = io.StringIO(), Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr(sys, "stdout", out)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "100")
    run(silent=False)
    shown = terminal.getvalue()
    assert "step 3" in shown
    assert shown.endswith("\x1b[2K")  # ECMA-48: erase the whole line
    assert out.getvalue() == ""


def test_a_fault_on_the_way_leaves_through_the_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", Terminal())

    def failing() -> None:
        with bar(False) as progress:
            progress("half", 0.5)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        failing()
