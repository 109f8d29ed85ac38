"""Unsaved text is kept a short time after each change, and told where that cannot be."""

from __future__ import annotations

import asyncio
from glob import glob
from pathlib import Path

import pytest

from frame3d.errors import Fault, OutputError
from frame3d.live.unsaved import keeping
from frame3d.live.unsaved.recovery import NAME, Place, Recovery, Unsaved, text_sum
from frame3d.live.work import slow_work
from tests.hardening.test_workspace_lives_on import NoWorker
from tests.live.loops import run
from tests.live.serving import SMALL
from tests.live.test_workspace import FakePage, workspace_in

TEXT = SMALL.read_text(encoding="utf-8")
MINE = TEXT.replace("reach: 455", "reach: 461")


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slow_work, "Worker", NoWorker)
    monkeypatch.setattr(keeping, "SOON", 0.02)


def kept(folder: Path) -> list[Path]:
    return [Path(path) for path in sorted(glob(f"{folder}/out/.*/{NAME}"))]  # folders may vanish


async def until_kept(folder: Path, count: int) -> None:
    async with asyncio.timeout(30):
        while len(kept(folder)) != count:
            await asyncio.sleep(0.01)


def killed(folder: Path, unsaved: Unsaved) -> None:
    recovery = Recovery(folder / "out", folder / "bike.yaml")
    recovery.keep(unsaved)
    recovery.close()


def test_what_is_unsaved_is_kept_until_it_is_saved_or_undone(tmp_path: Path) -> None:
    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            page.type("reach: 455", "reach: 461")
            await until_kept(tmp_path, 1)
            await workspace.save()
            await until_kept(tmp_path, 0)
            workspace.attempt("geometry.bb_drop", 60.0, dragging=False)
            await until_kept(tmp_path, 1)
            workspace.undo()
            assert await workspace.left.keeper.update()
            assert not (tmp_path / "out").exists()
            page.type("461", "462")
        assert workspace.left.keeper.kept == Unsaved(
            page.text, {}, text_sum(TEXT.replace("455", "461"))
        )  # at its end it is kept at once
        assert len(kept(tmp_path)) == 1

    run(play())


def test_it_is_told_once_that_nothing_can_be_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And what was offered stays where it is until it can be kept anew."""
    full = OutputError(Fault("output", "", "cannot write to out: No space left on device"))

    def refuse(*_: object) -> None:
        raise full

    async def play() -> None:
        killed(tmp_path, Unsaved(MINE, {}, ""))
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            await page.until(lambda page: page.state["left"])
            with monkeypatch.context() as now:
                now.setattr(Place, "keep", refuse)
                await workspace.left.take()
                assert "No space left" in page.state["note"]
                assert page.text == MINE
                assert not page.state["left"]
                assert len(kept(tmp_path)) == 1
                workspace.overlay(False)
                await workspace.compare_with_text("x", TEXT)  # takes the note away
                page.type("reach: 461", "reach: 462")
                await asyncio.sleep(0.1)
                assert page.state["note"] == ""
                assert workspace.left.keeper.kept is None
            page.type("reach: 462", "reach: 463")
            await until_kept(tmp_path, 2)

    run(play())


def test_folder_that_cannot_be_made_is_told_and_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("no folder")

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            page.type("reach: 455", "reach: 461")
            await page.until(lambda page: "cannot be kept" in page.state["note"])
            await page.until(lambda page: "<td>461.0" in page.html.get("figures", ""))
            await workspace.save()
            assert workspace.disk.read() == MINE

    run(play())
