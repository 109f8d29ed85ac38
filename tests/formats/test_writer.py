"""Writing: all or nothing, previous files whole, no leftovers, faults that say what to do."""

from __future__ import annotations

import os
import stat
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from frame3d.errors import OutputError
from frame3d.formats import folder_lock, write_all
from frame3d.formats.folder_lock import held
from frame3d.formats.journal import WORK
from frame3d.formats.writer import FIXED, settle, stated_date, timestamp, write, write_new
from frame3d.solids import make
from tests.frames import bar, context

FILES = {"a.txt": b"new a", "b.txt": b"new b"}


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_writes_and_replaces(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "er"
    assert write(FILES, folder).files == (folder / "a.txt", folder / "b.txt")
    write({"a.txt": b"newer"}, folder)
    assert (folder / "a.txt").read_bytes() == b"newer"
    assert (folder / "b.txt").read_bytes() == b"new b"
    assert names(folder) == ["a.txt", "b.txt"]


def test_files_are_readable_as_any_other(tmp_path: Path) -> None:
    (tmp_path / "plain").write_bytes(b"")
    write(FILES, tmp_path)
    mode = stat.S_IMODE((tmp_path / "a.txt").stat().st_mode)
    assert mode == stat.S_IMODE((tmp_path / "plain").stat().st_mode)


def test_a_replaced_file_keeps_its_permissions(tmp_path: Path) -> None:
    write(FILES, tmp_path)
    (tmp_path / "a.txt").chmod(0o600)
    write(FILES, tmp_path)
    assert stat.S_IMODE((tmp_path / "a.txt").stat().st_mode) == 0o600


def test_private_files_are_for_the_user_alone(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"for all")
    (tmp_path / "a.txt").chmod(0o644)
    write(FILES, tmp_path, private=True)
    for name, data in FILES.items():
        assert (tmp_path / name).read_bytes() == data
        assert stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o600


def test_a_link_is_replaced_and_what_it_leads_to_stays(tmp_path: Path) -> None:
    (tmp_path / "mine").write_bytes(b"mine")
    (tmp_path / "a.txt").symlink_to("mine")
    write(FILES, tmp_path)
    assert not (tmp_path / "a.txt").is_symlink()
    assert (tmp_path / "mine").read_bytes() == b"mine"


def test_one_that_cannot_be_written_leaves_all_as_they_were(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"old a")
    (tmp_path / "b.txt").mkdir()
    with pytest.raises(OutputError, match="is a folder"):
        write(FILES, tmp_path)
    assert (tmp_path / "a.txt").read_bytes() == b"old a"
    assert names(tmp_path) == ["a.txt", "b.txt"]


def test_a_full_disk_leaves_all_as_they_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a.txt").write_bytes(b"old a")
    calls = []

    def fsync(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fsync)
    with pytest.raises(OutputError, match="No space left") as caught:
        write(FILES, tmp_path)
    assert "make room" in caught.value.faults[0].hint
    assert (tmp_path / "a.txt").read_bytes() == b"old a"
    assert names(tmp_path) == ["a.txt"]


def test_a_folder_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(OutputError, match="cannot write to") as error:
        write(FILES, tmp_path / "file" / "sub")
    with pytest.raises(OutputError, match="cannot write to"):
        write(FILES, tmp_path / "file")
    assert error.value.faults[0].code == "output"
    assert "-o" in error.value.faults[0].hint


def test_folders_that_were_made_in_vain_go(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="too long"):
        write({"a" * 300: b""}, tmp_path / "deep" / "er")
    assert names(tmp_path) == []


def test_a_folder_within_that_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "templates").write_bytes(b"mine")
    with pytest.raises(OutputError, match="templates is no folder"):
        write({"a.txt": b"", "templates/a.dxf": b""}, tmp_path)
    assert names(tmp_path) == ["templates"]


@pytest.mark.parametrize("which", range(1, 5))
def test_a_file_that_another_program_holds_leaves_all_as_they_were(
    which: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on systems that do not replace open files; new ones go again, too."""
    old = {"a.txt": b"old a", "in/b.txt": b"old b"}
    write(old, tmp_path, manifest="set.sha256")
    kept = (tmp_path / "set.sha256").read_bytes()
    real, count = os.replace, [0]

    def replace(source: Path, target: Path) -> None:
        count[0] += Path(source).name.startswith("new-")
        if count[0] == which and Path(source).name.startswith("new-"):
            raise PermissionError(13, "in use by another program", str(source))
        real(source, target)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(OutputError, match="in use"):
        write({"new/c.txt": b"c", **dict.fromkeys(old, b"new")}, tmp_path, manifest="set.sha256")
    assert names(tmp_path) == ["a.txt", "in", "set.sha256"]
    assert {name: (tmp_path / name).read_bytes() for name in old} == old
    assert (tmp_path / "set.sha256").read_bytes() == kept


def test_a_folder_that_gets_read_only_amid_is_told_and_put_right_by_the_next_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write({"a.txt": b"old a", "b.txt": b"old b"}, tmp_path)
    real, count = os.replace, [0]

    def replace(source: Path, target: Path) -> None:
        count[0] += Path(source).name.startswith("new-")
        if count[0] > 1:
            raise OSError(30, "Read-only file system", str(source))
        real(source, target)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(OutputError, match="some files there are new and some old") as caught:
        write(FILES, tmp_path)
    assert "the next run" in caught.value.faults[0].hint
    monkeypatch.setattr(os, "replace", real)
    settle(tmp_path)
    assert names(tmp_path) == ["a.txt", "b.txt"]
    assert {p.read_bytes() for p in tmp_path.iterdir()} in (
        {b"old a", b"old b"},
        {b"new a", b"new b"},
    )


def test_another_disk_is_told_before_anything_is_changed(tmp_path: Path) -> None:
    other = Path("/dev/shm")
    if not other.is_dir() or other.stat().st_dev == tmp_path.stat().st_dev:
        pytest.skip("there is one disk")
    (tmp_path / "templates").symlink_to(other)
    with pytest.raises(OutputError, match="templates is on another disk"):
        write({"a.txt": b"", "templates/a.dxf": b""}, tmp_path)
    assert names(tmp_path) == ["templates"]


def test_another_run_is_waited_for_and_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    with held(tmp_path / WORK, None, 0.0):
        settle(tmp_path)  # does not wait
        monkeypatch.setattr(folder_lock, "PATIENCE", 0.2)
        with pytest.raises(OutputError, match="another run has been writing to it") as caught:
            write(FILES, tmp_path, progress=lambda what, _: told.append(what))
        assert "wait" in caught.value.faults[0].hint
    assert set(told) == {"waiting for another run"}
    write(FILES, tmp_path)
    assert names(tmp_path) == ["a.txt", "b.txt"]


def test_new_files_only(tmp_path: Path) -> None:
    target = tmp_path / "bike.yaml"
    assert write_new(target, b"one") == target
    with pytest.raises(OutputError, match="is there already"):
        write_new(target, b"two")
    assert target.read_bytes() == b"one"


def test_date(monkeypatch: pytest.MonkeyPatch) -> None:
    """reproducible-builds.org, SOURCE_DATE_EPOCH specification."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert timestamp() == FIXED
    assert stated_date() is None
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    assert timestamp() == datetime(2023, 11, 14, 22, 13, 20, tzinfo=UTC)
    assert stated_date() == timestamp()
    for wrong in ("yesterday", "1e9", "9" * 30):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", wrong)
        with pytest.raises(OutputError, match="SOURCE_DATE_EPOCH"):
            timestamp()


@pytest.fixture(scope="module")
def model() -> Any:
    return make(context({"mast": bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)}))


def test_all_formats(model: Any, tmp_path: Path) -> None:
    seen: list[str] = []
    files = write_all(model, tmp_path, lambda name, _: seen.append(name))
    formats = ["frame.step", "frame.stl", "frame.3mf", "frame.glb"]
    formats += ["assembly.step", "geometry.json"]
    assert [f.name for f in files] == formats
    assert seen == [*formats, "done"]
    assert names(tmp_path) == sorted(formats)
    assert all(f.stat().st_size > 500 for f in files)


def test_tolerance_reaches_stl_and_3mf(model: Any, tmp_path: Path) -> None:
    sizes = {}
    for tolerance in (0.05, 0.002):
        files = write_all(model, tmp_path / str(tolerance), tolerance=tolerance)
        sizes[tolerance] = {f.name: f.stat().st_size for f in files}
    for name in ("frame.stl", "frame.3mf"):
        assert sizes[0.002][name] > 1.5 * sizes[0.05][name]
    assert sizes[0.002]["frame.step"] == sizes[0.05]["frame.step"]


def test_a_failed_export_leaves_the_previous_files_whole(
    model: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from frame3d.formats import glb

    files = write_all(model, tmp_path)
    before = {f: f.read_bytes() for f in files}

    def fails(*_: Any) -> bytes:
        raise ValueError("out of paint")

    monkeypatch.setattr(glb, "glb", fails)
    with pytest.raises(ValueError, match="out of paint"):
        write_all(model, tmp_path, tolerance=0.01)
    assert {f: f.read_bytes() for f in files} == before
    assert names(tmp_path) == sorted(f.name for f in files)
