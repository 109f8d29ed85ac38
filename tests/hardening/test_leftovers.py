"""Folders of results in which something odd stands: lists, journals, locks, things to be removed."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from frame3d.errors import OutputError
from frame3d.formats.folder_lock import LOCK
from frame3d.formats.journal import FORMAT, JOURNAL, UNDO, WORK
from frame3d.formats.manifest import outdated
from frame3d.formats.writer import settle, write

LIST = "set.sha256"
SUM = "0" * 64
RECORDS: dict[str, Callable[[Path], None]] = {
    "pipe": os.mkfifo,
    "folder": os.mkdir,
    "link_to_nowhere": lambda file: os.symlink("nowhere", file),
    "link_to_itself": lambda file: os.symlink(file, file),
    "bytes": lambda file: _give(file, b"\xff\xfe\x00"),
    "empty": lambda file: _give(file, b""),
    "large": lambda file: _give(file, b" " * (1 << 23)),
    "deep": lambda file: _give(file, b"[" * 200_000),
    "list": lambda file: _give(file, b"[1, 2]"),
    "number": lambda file: _give(file, b"9" * 5000),
    "sums": lambda file: _give(
        file, b"0" * 64 + b"  ../x\n" + b"0" * 64 + b"  templates/../x\n\0\n"
    ),
}
PUT = {"name": "x", "sha256": SUM, "replaces": True}
JOURNALS: dict[str, object] = {
    "other_format": {"format": "frame3d journal 2", "put": [], "remove": {}},
    "nothing_else": {"format": FORMAT},
    "put_number": {"format": FORMAT, "put": 7, "remove": {}},
    "put_of_no_sum": {"format": FORMAT, "put": [{**PUT, "sha256": "0"}], "remove": {}},
    "remove_list": {"format": FORMAT, "put": [], "remove": ["x"]},
    **{
        f"put_{i}": {"format": FORMAT, "put": [{**PUT, "name": name}], "remove": {}}
        for i, name in enumerate(
            ["../x", "/etc/x", "", ".", "a/b/c", "a\0", f"{WORK}/lock", 7, None]
        )
    },
    "remove_outside": {"format": FORMAT, "put": [], "remove": {"../x": SUM}},
}


def _give(file: Path, data: bytes) -> None:
    file.write_bytes(data)


@pytest.mark.parametrize("kind", RECORDS)
def test_odd_lists_are_no_lists(kind: str, tmp_path: Path) -> None:
    """They name nothing to be removed; what can be replaced is replaced by the new list."""
    (tmp_path / "x").write_text("mine")
    RECORDS[kind](tmp_path / LIST)
    assert outdated(tmp_path, LIST, []) == ({}, ())
    if kind == "folder":
        with pytest.raises(OutputError, match="is a folder"):
            write({"a": b"a"}, tmp_path, manifest=LIST)
    else:
        write({"a": b"a"}, tmp_path, manifest=LIST)
        assert (tmp_path / LIST).read_text().endswith("  a\n")
    assert (tmp_path / "x").read_text() == "mine"
    assert not (tmp_path / WORK).exists()


def _journal(kind: str, name: str, folder: Path) -> None:
    """A run that was killed has left something odd in place of its journal, and a staged file."""
    (folder / WORK).mkdir()
    (folder / WORK / "new-0").write_bytes(b"new")
    if kind in RECORDS:
        RECORDS[kind](folder / WORK / name)
    else:
        (folder / WORK / name).write_text(json.dumps(JOURNALS[kind]))


@pytest.mark.parametrize("name", [JOURNAL, UNDO])
@pytest.mark.parametrize("kind", [*RECORDS, *JOURNALS])
def test_odd_journals_are_told_and_nothing_is_changed(kind: str, name: str, tmp_path: Path) -> None:
    folder = tmp_path / "set"
    folder.mkdir()
    (folder / "x").write_text("mine")
    _journal(kind, name, folder)
    for run in (lambda: write({"a": b"a"}, folder), lambda: settle(folder)):
        with pytest.raises(OutputError, match="cannot be read") as caught:
            run()
        (fault,) = caught.value.faults
        assert str(folder / WORK / name) in fault.message
        assert f"remove {folder / WORK}" in fault.hint
        assert sorted(p.name for p in folder.iterdir()) == [WORK, "x"]
        assert sorted(p.name for p in (folder / WORK).iterdir()) == sorted([name, "new-0"])
    assert (folder / "x").read_text() == "mine"


def test_a_staged_file_that_is_damaged_is_not_put(tmp_path: Path) -> None:
    """All is put back: what a disk has lost of a run does not reach the set."""
    (tmp_path / "x").write_text("old")
    (tmp_path / WORK).mkdir()
    for name, text in (("new-0", "torn"), ("old-0", "old")):
        (tmp_path / WORK / name).write_text(text)
    journal = {"format": FORMAT, "put": [PUT], "remove": {}}
    (tmp_path / WORK / JOURNAL).write_text(json.dumps(journal))
    settle(tmp_path)
    assert (tmp_path / "x").read_text() == "old"
    assert not (tmp_path / WORK).exists()


@pytest.mark.parametrize("kind", ["pipe", "folder", "link_to_nowhere", "link_to_itself"])
@pytest.mark.parametrize("name", [WORK, f"{WORK}/{LOCK}", f"{WORK}/new-0"])
def test_odd_things_in_place_of_ours_are_told(name: str, kind: str, tmp_path: Path) -> None:
    if (name, kind) == (WORK, "folder") or (name.endswith("new-0") and kind != "folder"):
        return  # as it should be, or gone with what else a killed run has left
    (tmp_path / "x").write_text("mine")
    if name != WORK:
        (tmp_path / WORK).mkdir()
    RECORDS[kind](tmp_path / name)
    with pytest.raises(OutputError, match="cannot write to") as caught:
        write({"x": b"new", "a": b"a"}, tmp_path)
    assert WORK in caught.value.faults[0].message
    assert (tmp_path / "x").read_text() == "mine"
    assert not (tmp_path / "a").exists()


def test_what_is_not_ours_in_our_folder_stays(tmp_path: Path) -> None:
    (tmp_path / WORK).mkdir()
    (tmp_path / WORK / "notes.txt").write_text("mine")
    (tmp_path / WORK / "new-1").write_text("of a run that was killed")
    write({"a": b"a"}, tmp_path)
    assert [p.name for p in (tmp_path / WORK).iterdir()] == ["notes.txt"]


def test_leftover_that_is_no_file_is_the_users(tmp_path: Path) -> None:
    """What is written stays, what else is left over is removed, what is gone already is no matter."""
    files = dict.fromkeys(("part_a.stl", "part_b.stl", "part_gone.stl", "plate_2.3mf"), b"1")
    write(files, tmp_path, manifest=LIST)
    for name in ("part_b.stl", "part_gone.stl", "plate_2.3mf"):
        (tmp_path / name).unlink()
    (tmp_path / "part_b.stl").mkdir()
    os.mkfifo(tmp_path / "plate_2.3mf")
    done = write({"z": b"z"}, tmp_path, manifest=LIST)
    assert done.removed == (tmp_path / "part_a.stl",)
    assert set(done.kept) == {tmp_path / "part_b.stl", tmp_path / "plate_2.3mf"}
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        "part_b.stl", "plate_2.3mf", LIST, "z",
    ]  # fmt: skip


def test_leftovers_that_are_locked_are_all_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on systems that lock open files; the new set is complete."""
    write({"a": b"a", "b": b"b"}, tmp_path, manifest=LIST)
    real = Path.unlink

    def refuse(file: Path, missing_ok: bool = False) -> None:
        if file.parent == tmp_path:
            raise PermissionError(13, "in use by another program", str(file))
        real(file, missing_ok)

    monkeypatch.setattr(Path, "unlink", refuse)
    with pytest.raises(OutputError) as caught:
        write({"c": b"c"}, tmp_path, manifest=LIST)
    for name, fault in zip(("a", "b"), caught.value.faults, strict=True):
        assert str(tmp_path / name) in fault.message
        assert "in use" in fault.message
        assert fault.hint
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a", "b", "c", LIST]


def test_unreadable_leftover_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write({"old.csv": b"a"}, tmp_path, manifest=LIST)

    def refuse(_: Path) -> bytes:
        raise PermissionError(13, "denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert outdated(tmp_path, LIST, []) == ({}, (tmp_path / "old.csv",))
