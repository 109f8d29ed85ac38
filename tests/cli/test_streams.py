"""Streams: letters that an output lacks, readers that left, refusals of the system.

Whole commands with closed, full and narrow streams are in tests/hardening/test_streams.py.
"""

from __future__ import annotations

import errno
import io
import json
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.cli import streams


class Narrow:
    """Standard output of a narrow encoding."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, encoding: str, *, as_json: bool) -> None:
        self.raw = io.BytesIO()
        monkeypatch.setattr(
            sys, "stdout", io.TextIOWrapper(self.raw, encoding=encoding, newline="")
        )
        streams.make_lenient(as_json=as_json)

    def said(self, text: str) -> bytes:
        sys.stdout.write(text)
        sys.stdout.flush()
        return self.raw.getvalue()


@given(text=st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=20))
def test_json_is_the_same_in_any_encoding(text: str) -> None:
    with pytest.MonkeyPatch.context() as monkeypatch:
        written = Narrow(monkeypatch, "ascii", as_json=True).said(
            json.dumps({"a": text}, ensure_ascii=False)
        )
    assert json.loads(written.decode("ascii")) == {"a": text}


def test_text_has_question_marks_for_letters_that_an_encoding_lacks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert Narrow(monkeypatch, "latin-1", as_json=False).said("25° → Ω") == b"25\xb0 ? ?"


def test_control_characters_do_not_reach_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    streams.say("a\x1b[31mb\nc\td")
    assert capsys.readouterr().out == "a\\x1b[31mb\nc\td\n"
    streams.say("x", nl=False, err=True)
    assert capsys.readouterr().err == "x"


@pytest.mark.parametrize(
    ("error", "whole"),
    [(None, True), (BrokenPipeError(), True), (OSError(errno.ENOSPC, "full"), False)],
)
def test_a_reader_that_has_left_is_no_failure_and_a_full_disk_is(
    monkeypatch: pytest.MonkeyPatch, error: OSError | None, whole: bool
) -> None:
    class Out:
        def flush(self) -> None:
            if error is not None:
                raise error

    monkeypatch.setattr(sys, "stdout", Out())
    assert streams.flushed() is whole


def test_a_complaint_that_nobody_hears_is_dropped() -> None:
    def nobody() -> None:
        raise OSError(errno.EPIPE, "gone")

    streams.complain(nobody)
    with pytest.raises(ZeroDivisionError):
        streams.complain(lambda: print(1 / 0))


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (
            OSError(errno.ENOSPC, "No space left on device"),
            "the system refuses: No space left on device",
        ),
        (PermissionError(errno.EACCES, "Denied", "/x/y"), "the system refuses: Denied (/x/y)"),
        (OSError("odd"), "the system refuses: odd"),
        (OSError(), "the system refuses: OSError"),
        (MemoryError(), "there is not enough memory"),
    ],
)
def test_what_the_system_refuses_is_a_fault(error: OSError | MemoryError, said: str) -> None:
    fault = streams.refused(error)
    assert (fault.code, fault.message) == ("output", said)
    assert fault.hint


def test_closed_streams_are_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    streams.fill_closed()
    assert not sys.stdout.isatty()
    assert sys.stdout.write("") == 0
    sys.stdout.flush()
    with pytest.raises(OSError, match="closed"):
        sys.stdout.write("x")


def test_whoever_does_not_watch_is_not_asked_to_stop() -> None:
    assert streams.Stop(watch=False).asked is False


LOADED = """
import os, signal, sys, time
from importlib.machinery import ExtensionFileLoader
from frame3d.cli import streams

stop = streams.Stop()

class Library(ExtensionFileLoader):
    def exec_module(self, module):
        os.kill(os.getpid(), signal.SIGINT)
        time.sleep(0.1)  # the interrupt comes here, more than once
        print("loaded", stop.asked)

try:
    Library("library", "library.so").exec_module(None)
    time.sleep(30)
except KeyboardInterrupt:
    print("stopped")
"""


def test_an_interrupt_waits_until_a_library_is_loaded() -> None:
    """In a process of its own, as a signal: not within the library's own code, but right after it."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED], capture_output=True, text=True, timeout=25, check=True
    )
    assert done.stdout.split("\n")[:2] == ["loaded True", "stopped"]
