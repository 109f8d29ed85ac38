"""Standard streams that are full, closed or of a narrow encoding; dates; interrupts."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from tests.hardening.running import SMALL, command, environment, is_fault, process
from tests.sampling import diagonal, first

FULL = Path("/dev/full")


def ended(shell: str, **changes: str) -> tuple[int, str]:
    """Exit status and complaints of a command whose streams a shell sets up."""
    words = " ".join(f"'{word}'" for word in command())
    done = subprocess.run(
        ["sh", "-c", f"{words} {shell}"],
        capture_output=True, text=True, env=environment(**changes), timeout=120, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stderr
    assert "has a defect" not in done.stderr
    return done.returncode, done.stderr


@pytest.mark.skipif(not FULL.exists(), reason="no /dev/full here")
@pytest.mark.parametrize("more", ["", "--json"])
def test_full_stdout_is_a_fault(more: str) -> None:
    status, said = ended(f"solve {more} {SMALL} > {FULL}")
    assert status == 2
    assert "No space left" in said


def test_closed_stdout_is_a_fault_where_something_is_to_be_said() -> None:
    status, said = ended(f"solve {SMALL} >&-")
    assert status == 2
    assert "standard output is closed" in said
    assert ended(f"solve -q {SMALL} >&-")[0] == 0


def test_closed_streams_spoil_no_file(tmp_path: Path) -> None:
    """What is written does not get the number of a stream."""
    status, _ = ended(f"new -q {tmp_path / 'bike.yaml'} <&- >&- 2>&-")
    assert status == 0
    assert (tmp_path / "bike.yaml").read_text("utf-8").startswith("# yaml-language-server")


@pytest.mark.parametrize("stderr", ["2>&-", f"2>{FULL}"])
def test_nobody_to_complain_to(stderr: str) -> None:
    assert ended(f"solve nowhere.yaml {stderr}")[0] == 2
    assert ended(f"solve -q {SMALL} {stderr}")[0] == 0


@pytest.mark.parametrize("encoding", first(1, ["ascii", "latin-1", "cp437", "koi8-r"]))
def test_encoding_that_lacks_letters(encoding: str) -> None:
    """Screens show ``?`` for them; JSON escapes them and stays JSON."""
    name = ("--set", "name=Ž→🚲 rad", "--set", "geometry.reach=far")
    assert is_fault(process("solve", SMALL, *name, PYTHONIOENCODING=encoding))
    for words in (("solve", SMALL, *name[:2]), ("new", "-q", "/dev/null/ž.yaml")):
        assert process(*words, PYTHONIOENCODING=encoding).status in (0, 2)
    for words in (("schema",), ("solve", "--json", SMALL, *name[:2])):
        done = subprocess.run(
            command(*words),
            capture_output=True,
            env=environment(PYTHONIOENCODING=encoding),
            check=True,
        )
        found = json.loads(done.stdout.decode(encoding if encoding != "ascii" else "utf-8"))
        assert words == ("schema",) or found["name"] == "Ž→🚲 rad"


DATES = ["-1", "0", "315532799", "4354819200", "1e9", "soon", "9" * 5000]


@pytest.mark.parametrize(("verb", "date"), diagonal(3, ["build", "mockup", "fabricate"], DATES))
def test_date_that_no_archive_can_hold(verb: str, date: str, tmp_path: Path) -> None:
    done = process(verb, SMALL, "-o", tmp_path, SOURCE_DATE_EPOCH=date)
    assert is_fault(done)
    assert "SOURCE_DATE_EPOCH" in done.err
    assert list(tmp_path.iterdir()) == []


def test_first_and_last_date_that_an_archive_can_hold(tmp_path: Path) -> None:
    for date in ("315532800", "4354819198"):
        assert process("build", "-q", SMALL, "-o", tmp_path, SOURCE_DATE_EPOCH=date).status == 0


@pytest.mark.parametrize("after", first(2, [1.0, 2.0, 0.6, 1.5, 2.5]))
def test_interrupt_while_libraries_start(after: float, tmp_path: Path) -> None:
    """Ctrl-C at any time, such as while the CAD kernel is imported, is no error."""
    running = subprocess.Popen(
        command("build", SMALL, "-o", tmp_path / "out"),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment(),
    )  # fmt: skip
    time.sleep(after)
    os.kill(running.pid, signal.SIGINT)
    _, said = running.communicate(timeout=120)
    # Before the program's own code runs, the interpreter speaks for itself.
    if "frame3d/__main__.py" not in said:
        assert "Traceback" not in said
        assert "has a defect" not in said
        assert running.returncode in (0, 130)
