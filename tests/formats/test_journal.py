"""What is on the disk before what; `tests/hardening/test_crashes.py` ends runs at every change."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any

import pytest

from frame3d.formats.journal import FORMAT, JOURNAL, WORK, check_sum, exchange, is_begun, recover
from frame3d.formats.writer import settle, write

OLD = {"a.txt": b"old a", "in/b.txt": b"old b"}
NEW = {"a.txt": b"new a", "in/c.txt": b"new c", "other/d.txt": b"new d"}
LIST = "set.sha256"


class Recorder:
    """The changes of a folder in their order, as ``what name``; flushes with what they flush."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder = folder
        self.done: list[str] = []
        fsync, replace, unlink = os.fsync, os.replace, os.unlink

        def flush(handle: int) -> None:
            fsync(handle)
            self.done.append(f"flush {self._named(handle)}")

        def put(source: Any, target: Any) -> None:
            replace(source, target)
            self.done.append(f"put {self._name(target)}")

        def gone(path: Any, **more: Any) -> None:
            unlink(path, **more)
            self.done.append(f"remove {self._name(path)}")

        monkeypatch.setattr(os, "fsync", flush)
        monkeypatch.setattr(os, "replace", put)
        monkeypatch.setattr(os, "unlink", gone)

    def _name(self, path: Any) -> str:
        return Path(path).relative_to(self.folder).as_posix()

    def _named(self, handle: int) -> str:
        (path,) = [
            p
            for p in (self.folder, *self.folder.rglob("*"))
            if os.path.samestat(p.lstat(), os.fstat(handle))
        ]
        return self._name(path)

    def before(self, first: str, then: str) -> None:
        """Hold that all of `first` came before all of `then`, and both came."""
        firsts = [i for i, one in enumerate(self.done) if one == first]
        thens = [i for i, one in enumerate(self.done) if one == then]
        assert firsts, first
        assert thens, then
        assert firsts[0] < thens[0], (first, then, self.done)


@pytest.mark.skipif(sys.platform == "win32", reason="folders cannot be flushed there")
def test_what_is_on_the_disk_before_what(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A power cut keeps what was flushed, and of the rest whatever it likes, in any order."""
    write(OLD, tmp_path, manifest=LIST)
    seen = Recorder(tmp_path, monkeypatch)
    write(NEW, tmp_path, manifest=LIST)
    journal = f"put {WORK}/{JOURNAL}"
    # the journal stands only when all that it names does
    for i in range(4):
        seen.before(f"flush {WORK}/new-{i}", journal)
    seen.before(f"flush {WORK}/journal.part", journal)
    seen.before(f"flush {WORK}", journal)
    seen.before("flush .", journal)
    # nothing is put before the journal is sure to stand
    after = seen.done[seen.done.index(journal) + 1 :]
    assert after[0] == f"flush {WORK}"
    assert after[1:5] == ["put a.txt", "put in/c.txt", "put other/d.txt", f"put {LIST}"]
    # the journal goes only when all that it names is sure to be in place, and what it needs stays till then
    for folder in (".", "in", "other"):
        seen.done = after[1:]
        seen.before(f"flush {folder}", f"remove {WORK}/{JOURNAL}")
    seen.before(f"remove {WORK}/{JOURNAL}", f"remove {WORK}/old-0")


def test_names_that_differ_in_capitals_alone(tmp_path: Path) -> None:
    """Where both are one file the new one stays; where they are two, the old one goes."""
    write({"Brace.dxf": b"same"}, tmp_path, manifest=LIST)
    write({"brace.dxf": b"same"}, tmp_path, manifest=LIST)
    assert [p.name.lower() for p in sorted(tmp_path.iterdir())] == ["brace.dxf", LIST]
    assert (tmp_path / "brace.dxf").read_bytes() == b"same"


def test_one_file_under_two_names_that_differ_in_capitals(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As where capitals do not count; a hard link stands in for that."""
    write({"Brace.dxf": b"same"}, tmp_path, manifest=LIST)
    replace = os.replace

    def both(source: Path, target: Path) -> None:
        replace(source, target)
        if Path(target).name == "brace.dxf":
            (tmp_path / "Brace.dxf").unlink()
            os.link(target, tmp_path / "Brace.dxf")

    monkeypatch.setattr(os, "replace", both)
    write({"brace.dxf": b"same"}, tmp_path, manifest=LIST)
    assert (tmp_path / "brace.dxf").read_bytes() == b"same"
    assert (tmp_path / "Brace.dxf").exists()


def test_an_exchange_and_its_recovery(tmp_path: Path) -> None:
    """The journal tells whether there is anything to recover."""
    (tmp_path / WORK).mkdir()
    (tmp_path / "gone.txt").write_bytes(b"gone")
    (tmp_path / "mine.txt").write_bytes(b"changed")
    sums = {"gone.txt": check_sum(b"gone"), "mine.txt": check_sum(b"as written")}
    assert exchange(tmp_path, {"a.txt": b"a"}, sums) == []
    assert sorted(p.name for p in tmp_path.iterdir()) == [WORK, "a.txt", "mine.txt"]
    assert not is_begun(tmp_path)
    recover(tmp_path)
    assert list((tmp_path / WORK).iterdir()) == []


def test_what_a_user_changes_before_the_recovery_stays(tmp_path: Path) -> None:
    """A file that was to go and has been changed since the kill is the user's."""
    write({"a.txt": b"a", "b.txt": b"b"}, tmp_path, manifest=LIST)
    killed = tmp_path.with_name("killed")
    os.rename(tmp_path, killed)
    (killed / WORK).mkdir()
    (killed / WORK / "new-0").write_bytes(b"new a")
    put = {"name": "a.txt", "sha256": check_sum(b"new a"), "replaces": True}
    journal = {"format": FORMAT, "put": [put], "remove": {"b.txt": check_sum(b"b")}}
    (killed / WORK / JOURNAL).write_text(json.dumps(journal))
    (killed / "b.txt").write_bytes(b"mine now")
    settle(killed)
    assert (killed / "a.txt").read_bytes() == b"new a"
    assert (killed / "b.txt").read_bytes() == b"mine now"
    assert not (killed / WORK).exists()
