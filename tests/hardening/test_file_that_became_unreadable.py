"""The workspace's file turns into something that is no text: a conflict, never saved over unasked."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from frame3d.live.disk import Disk, Unreadable
from frame3d.live.work import slow_work
from tests.hardening.test_workspace_lives_on import TEXT, NoWorker
from tests.live.loops import run
from tests.live.test_workspace import FakePage, workspace_in


def as_utf16(file: Path) -> None:
    file.write_bytes(TEXT.encode("utf-16"))


def as_latin(file: Path) -> None:
    file.write_bytes(b"name: caf\xe9\n")


def as_large(file: Path) -> None:
    file.write_bytes(b"#" * (1 << 20) + b"\n")


def as_folder(file: Path) -> None:
    file.unlink()
    file.mkdir()


def as_pipe(file: Path) -> None:
    file.unlink()
    os.mkfifo(file)


@pytest.mark.parametrize("spoil", [as_utf16, as_latin, as_large, as_folder, as_pipe])
def test_what_stands_there_is_neither_gone_nor_a_text(
    tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    file = tmp_path / "bike.yaml"
    file.write_text(TEXT, encoding="utf-8")
    disk = Disk(file)
    assert disk.now() == TEXT
    spoil(file)
    now = disk.now()
    assert isinstance(now, Unreadable)
    assert now.why
    assert disk.now() == now


@pytest.mark.parametrize("unsaved", [False, True])
def test_save_asks_before_it_replaces_utf16(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, unsaved: bool
) -> None:
    monkeypatch.setattr(slow_work, "Worker", NoWorker)

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            file = workspace.disk.path
            as_utf16(file)
            raw = file.read_bytes()
            if unsaved:
                page.type("reach: 455", "reach: 456")
            await workspace.save()
            assert file.read_bytes() == raw
            assert page.state["conflict"]
            assert not page.state["gone"]
            assert "UTF-16" in page.state["conflict"]
            assert page.state["unsaved"]
            assert not page.state["theirs"]
            workspace.take_theirs()  # there is nothing to take
            assert page.state["conflict"]
            await workspace.save()
            assert file.read_bytes() == raw
            await workspace.keep_mine()
            assert file.read_text(encoding="utf-8") == page.text
            assert not page.state["conflict"]
            assert not page.state["unsaved"]
            assert page.state["note"] == ""

    run(play())


def test_mended_file_is_taken_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slow_work, "Worker", NoWorker)

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            as_utf16(workspace.disk.path)
            await page.until(lambda page: page.state["conflict"])
            await asyncio.sleep(0)
            workspace.disk.path.write_text(TEXT.replace("reach: 455", "reach: 457"), "utf-8")
            await page.until(lambda page: "reach: 457" in page.text)
            assert not page.state["conflict"]
            assert page.state["note"] == ""

    run(play())


@pytest.mark.parametrize("typed", [False, True])
def test_file_moved_away_and_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, typed: bool
) -> None:
    """It is told that it is gone, and nothing more once it is back; what was typed is still there."""
    monkeypatch.setattr(slow_work, "Worker", NoWorker)

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page, file = FakePage(workspace, 1), workspace.disk.path
            if typed:
                page.type("reach: 455", "reach: 456")
            mine = page.text
            away = file.rename(tmp_path / "away.yaml")
            await page.until(lambda page: page.state["gone"])
            assert page.state["unsaved"]
            away.rename(file)
            await page.until(lambda page: not page.state["gone"])
            assert page.state["conflict"] == ""
            assert page.state["unsaved"] == typed
            assert page.text == mine
            await workspace.save()
            assert file.read_text(encoding="utf-8") == mine

    run(play())


def test_saving_where_the_file_was_never_replaces_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It appears in the very moment of saving."""
    monkeypatch.setattr(slow_work, "Worker", NoWorker)

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page, file = FakePage(workspace, 1), workspace.disk.path
            page.type("reach: 455", "reach: 456")
            file.unlink()
            write = Disk.write

            def late(disk: Disk, text: str, *, anew: bool = False) -> None:
                file.write_text("name: Another\n", encoding="utf-8")
                write(disk, text, anew=anew)

            with monkeypatch.context() as now:
                now.setattr(Disk, "write", late)
                await workspace.save()
            assert file.read_text(encoding="utf-8") == "name: Another\n"
            assert "is there already" in page.state["note"]
            await page.until(lambda page: page.state["conflict"])
            assert page.state["theirs"]

    run(play())
