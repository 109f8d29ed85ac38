"""Folders of results in which something odd stands: records of an earlier run, things to be removed."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from frame3d.errors import OutputError
from frame3d.fabrication.manifest import LISTING, outdated
from frame3d.formats.writer import read_record, remove
from frame3d.mockup.write import DOCUMENT, written

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
    "files_number": lambda file: _give(file, b'{"files": 7}'),
    "files_null": lambda file: _give(file, b'{"files": null}'),
    "files_mapping": lambda file: _give(file, b'{"files": {"part_a.stl": 1}}'),
    "files_of_all_kinds": lambda file: _give(
        file,
        json.dumps(
            {"files": [1, None, [], {}, "", "..", "/etc/passwd", "part_\0.stl", "part_/../x.stl",
                       "part_" + "a" * 5000 + ".stl", "part_\ud800.stl", "plate_1.3mf\n"]}
        ).encode(),
    ),
    "sums": lambda file: _give(file, b"0" * 64 + b"  ../x\n" + b"0" * 64 + b"  templates/../x\n\0\n"),
}  # fmt: skip


def _give(file: Path, data: bytes) -> None:
    file.write_bytes(data)


@pytest.mark.parametrize("kind", RECORDS)
def test_odd_records_are_no_records(kind: str, tmp_path: Path) -> None:
    """They name nothing to be removed; what can be replaced is replaced by the new record."""
    (tmp_path / "x").write_text("mine")
    for name in (DOCUMENT, LISTING):
        RECORDS[kind](tmp_path / name)
    assert outdated(tmp_path, []) == []
    if kind == "folder":
        with pytest.raises(OutputError, match="is a folder"):
            written({DOCUMENT: b"{}"}, tmp_path)
    else:
        written({DOCUMENT: b"{}"}, tmp_path)
        assert read_record(tmp_path / DOCUMENT) == "{}"
    assert (tmp_path / "x").read_text() == "mine"


def test_leftover_that_is_a_folder_is_told(tmp_path: Path) -> None:
    """What is written stays, what else is left over is removed, what is gone already is no matter."""
    names = ["part_a.stl", "part_b.stl", "plate_2.3mf", "part_gone.stl"]
    (tmp_path / DOCUMENT).write_text(json.dumps({"files": names}))
    (tmp_path / "part_a.stl").write_bytes(b"a")
    (tmp_path / "part_b.stl").mkdir()
    os.mkfifo(tmp_path / "plate_2.3mf")
    with pytest.raises(OutputError, match=r"part_b\.stl") as caught:
        written({DOCUMENT: b"{}"}, tmp_path)
    assert len(caught.value.faults) == 1
    assert caught.value.faults[0].hint
    assert sorted(p.name for p in tmp_path.iterdir()) == [DOCUMENT, "part_b.stl"]


def test_leftovers_that_are_locked_are_all_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on systems that lock open files."""

    def refuse(file: Path) -> None:
        raise PermissionError(13, "in use by another program", str(file))

    files = [tmp_path / "a", tmp_path / "b"]
    for file in files:
        file.touch()
    monkeypatch.setattr(Path, "unlink", refuse)
    with pytest.raises(OutputError) as caught:
        remove(files)
    assert [
        str(file) in fault.message for file, fault in zip(files, caught.value.faults, strict=True)
    ]
    assert all("in use" in fault.message and fault.hint for fault in caught.value.faults)


def test_unreadable_leftover_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "old.csv").write_bytes(b"a")
    (tmp_path / LISTING).write_text("0" * 64 + "  old.csv\n")

    def refuse(_: Path) -> bytes:
        raise PermissionError(13, "denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert outdated(tmp_path, []) == []
