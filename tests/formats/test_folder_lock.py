"""The lock on a folder: one run at a time, no stale lock blocks, nothing is left."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from frame3d.formats.folder_lock import LOCK, LockedError, held
from frame3d.formats.writer import write
from tests.hardening.running import environment

HOLD = """
import sys
from pathlib import Path
from frame3d.formats.folder_lock import held
with held(Path(sys.argv[1]), None, 0.0):
    print("held", flush=True)
    sys.stdin.readline()
"""
WRITE = """
import sys
from pathlib import Path
from frame3d.formats.writer import write
letter, times = sys.argv[2], int(sys.argv[3])
for i in range(times):
    data = f"{letter}{i}".encode()
    own = {f"in/{letter}{i}.txt": data} if i + 1 < times else {}
    write({"a.txt": data, "b.txt": data * 5000, **own}, Path(sys.argv[1]), manifest="set.sha256")
"""


@contextmanager
def holder(folder: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that holds a folder."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(folder)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment(),
    )  # fmt: skip
    assert process.stdout is not None
    try:
        assert process.stdout.readline() == "held\n"
        yield process
    finally:
        process.kill()
        process.communicate()


def test_the_folder_is_there_while_it_is_held(tmp_path: Path) -> None:
    folder = tmp_path / "work"
    with held(folder, None, 0.0):
        assert [p.name for p in folder.iterdir()] == [LOCK]
        with pytest.raises(LockedError), held(folder, None, 0.0):
            pass
        (folder / "left").touch()
    assert [p.name for p in folder.iterdir()] == ["left"]
    (folder / "left").unlink()
    with held(folder, None, 0.0):
        pass
    assert not folder.exists()


def test_another_process_is_waited_for(tmp_path: Path) -> None:
    with holder(tmp_path / "work") as other:
        told: list[int] = []

        def waiting() -> None:
            told.append(1)
            if len(told) == 3:
                assert other.stdin is not None
                other.stdin.write("\n")
                other.stdin.close()
                other.stdin = None

        with held(tmp_path / "work", waiting, 60.0):
            assert len(told) >= 3


def test_the_lock_of_a_process_that_was_killed_blocks_nobody(tmp_path: Path) -> None:
    with holder(tmp_path / "work") as other:
        with pytest.raises(LockedError), held(tmp_path / "work", None, 0.0):
            pass
        other.kill()
        other.wait()
        assert (tmp_path / "work" / LOCK).exists()
        with held(tmp_path / "work", None, 0.0):
            pass
    assert not (tmp_path / "work").exists()


def test_threads_are_kept_apart(tmp_path: Path) -> None:
    """A counter that is read and written without any lock of its own."""
    count = tmp_path / "count"
    count.write_text("0")

    def add() -> None:
        for _ in range(25):
            with held(tmp_path / "work", None, 60.0):
                count.write_text(str(int(count.read_text()) + 1))

    threads = [threading.Thread(target=add) for _ in range(4)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert count.read_text() == "100"
    assert not (tmp_path / "work").exists()


def test_many_runs_into_one_folder_leave_one_whole_set(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "mine.txt").write_text("mine")
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", WRITE, str(tmp_path), letter, "12"],
            stderr=subprocess.PIPE, env=environment(),
        )
        for letter in "xyz"
    ]  # fmt: skip
    for run in runs:
        assert run.communicate(timeout=300)[1] == b""
        assert run.returncode == 0
    last = (tmp_path / "a.txt").read_bytes()
    assert last in (b"x11", b"y11", b"z11")
    assert (tmp_path / "b.txt").read_bytes() == last * 5000
    files = sorted(p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*") if p.is_file())
    assert files == ["a.txt", "b.txt", "in/mine.txt", "set.sha256"]
    write({}, tmp_path, manifest="set.sha256")
    assert not (tmp_path / "a.txt").exists()
