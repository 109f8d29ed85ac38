"""The file: read, written whole, watched."""

from __future__ import annotations

import asyncio
import os
import stat
from pathlib import Path

import pytest

from frame3d.errors import OutputError, SpecError
from frame3d.live.disk import Disk, OnDisk, Unreadable
from tests.live.loops import run


@pytest.mark.parametrize(
    ("raw", "text", "after"),
    [
        (b"a: 1\nb: 2\n", "a: 1\nb: 2\n", b"a: 1\nb: 3\n"),
        (b"a: 1\r\nb: 2\r\n", "a: 1\nb: 2\n", b"a: 1\r\nb: 3\r\n"),
        (b"\xef\xbb\xbfa: 1\nb: 2", "a: 1\nb: 2", b"\xef\xbb\xbfa: 1\nb: 3"),
        ("é: 1\nb: 2".encode(), "é: 1\nb: 2", "é: 1\nb: 3".encode()),
    ],
)
def test_a_file_keeps_its_line_ends_and_its_byte_order_mark(
    tmp_path: Path, raw: bytes, text: str, after: bytes
) -> None:
    file = tmp_path / "bike.yaml"
    file.write_bytes(raw)
    disk = Disk(file)
    assert disk.read() == text
    disk.write(text.replace("b: 2", "b: 3"))
    assert file.read_bytes() == after
    assert [p.name for p in tmp_path.iterdir()] == ["bike.yaml"]


def test_a_link_stays_a_link_and_permissions_stay(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    file, link = tmp_path / "real" / "bike.yaml", tmp_path / "link.yaml"
    file.write_text("a: 1\n")
    file.chmod(0o640)
    link.symlink_to(file)
    disk = Disk(link)
    disk.write(disk.read().replace("1", "2"))
    assert link.is_symlink()
    assert file.read_text() == "a: 2\n"
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_a_file_that_is_not_there_is_a_fault(tmp_path: Path) -> None:
    disk = Disk(tmp_path / "none.yaml")
    assert disk.now() is None
    with pytest.raises(SpecError) as caught:
        disk.read()
    assert caught.value.faults[0].code == "file-missing"


def test_a_file_that_cannot_be_written_is_a_fault_and_stays(tmp_path: Path) -> None:
    file = tmp_path / "gone" / "bike.yaml"
    with pytest.raises(OutputError) as caught:
        Disk(file).write("a: 1\n")
    assert "cannot be saved" in caught.value.faults[0].message
    file.parent.mkdir()
    file.mkdir()  # something else stands there
    with pytest.raises(OutputError):
        Disk(file).write("a: 1\n")
    assert file.is_dir()


def test_nothing_is_written_over_that_appeared_where_nothing_stood(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    disk = Disk(file)
    disk.write("a: 1\n", anew=True)
    with pytest.raises(OutputError, match="is there already"):
        disk.write("a: 2\n", anew=True)
    assert file.read_text() == "a: 1\n"
    disk.write("a: 2\n")
    assert file.read_text() == "a: 2\n"


def test_changes_are_noticed_however_they_are_made(tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text("a: 1\n")

    async def play() -> list[OnDisk]:
        seen: list[OnDisk] = []
        stop, news = asyncio.Event(), asyncio.Event()

        async def watch() -> None:
            async for text in Disk(file).changes(stop):
                seen.append(text)
                news.set()

        def is_seen(text: str | type[Unreadable] | None) -> bool:
            if isinstance(text, type):
                return bool(seen) and isinstance(seen[-1], text)
            return bool(seen) and seen[-1] == text

        async def until(text: str | type[Unreadable] | None) -> None:
            async with asyncio.timeout(30):
                while not is_seen(text):
                    news.clear()
                    await news.wait()

        task = asyncio.create_task(watch())
        await until("a: 1\n")  # a first look, in case it changed before the watch stood
        file.write_text("a: 2\n")
        await until("a: 2\n")
        (tmp_path / "other.yaml").write_text("a: 9\n")
        (tmp_path / "swap").write_text("a: 3\n")
        os.replace(tmp_path / "swap", file)
        await until("a: 3\n")
        file.unlink()
        await until(None)
        file.write_text("a: 4\n")
        await until("a: 4\n")
        away = tmp_path.rename(tmp_path.with_name("away"))  # the folder with all that is in it
        await until(None)
        away.rename(tmp_path)
        await until("a: 4\n")
        file.write_bytes(b"name: caf\xe9\n")
        await until(Unreadable)
        file.write_text("a: 5\n")
        await until("a: 5\n")
        stop.set()
        await task
        return seen

    assert "a: 9\n" not in run(play())
