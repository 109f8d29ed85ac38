"""What a killed workspace has left is offered to the next one, which takes it or throws it away."""

from __future__ import annotations

from pathlib import Path

import pytest

from frame3d.live.disk import Disk
from frame3d.live.unsaved import keeping
from frame3d.live.unsaved.recovery import Recovery, Unsaved, text_sum
from frame3d.live.work import slow_work
from frame3d.live.workspace import Workspace
from frame3d.report.texts import texts
from tests.hardening.test_workspace_lives_on import NoWorker
from tests.live.loops import run
from tests.live.test_keeping import MINE, TEXT, kept, killed, until_kept
from tests.live.test_workspace import FakePage, workspace_in


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slow_work, "Worker", NoWorker)
    monkeypatch.setattr(keeping, "SOON", 0.02)


def test_it_is_offered_with_its_difference_and_taken(tmp_path: Path) -> None:
    """Taking it is a step that undo takes back; what was typed meanwhile is not lost either."""

    async def play() -> None:
        killed(tmp_path, Unsaved(MINE, {"geometry.bb_drop": 60.0, "gone.by.now": 1.0}, ""))
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            await page.until(lambda page: page.state["left"])
            shown = page.html["left"]
            assert '<span class="removed">-  reach: 455</span>' in shown
            assert '<span class="added">+  reach: 461</span>' in shown
            assert "geometry.bb_drop</code> 60" in shown
            assert "has been changed since" in shown
            page.type("chainstay_length: 432", "chainstay_length: 433")
            typed = page.text
            await until_kept(tmp_path, 2)
            await workspace.left.take()
            assert page.text == MINE
            assert workspace.session.tried == {"geometry.bb_drop": 60.0}
            assert page.state["unsaved"]
            assert not page.state["left"]
            assert workspace.disk.read() == TEXT
            await until_kept(tmp_path, 1)
            workspace.undo()
            assert page.text == typed
            await workspace.left.take()  # nothing is offered any more
            await workspace.left.discard()
            assert page.text == typed

    run(play())


def test_what_is_thrown_away_is_gone_and_the_next_one_offered(tmp_path: Path) -> None:
    async def play() -> None:
        first, second = (Recovery(tmp_path / "out", tmp_path / "bike.yaml") for _ in range(2))
        first.keep(Unsaved(MINE, {}, text_sum(TEXT)))
        second.keep(Unsaved(TEXT, {}, ""))  # the file's own text: nothing to offer
        third = Recovery(tmp_path / "out", tmp_path / "bike.yaml")
        third.keep(Unsaved("x", {}, ""))
        for each in (first, second, third):
            each.close()
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            await page.until(lambda page: page.state["left"])
            assert "+x<" in page.html["left"]
            await workspace.left.discard()
            assert "+  reach: 461<" in page.html["left"]
            assert "has been changed since" not in page.html["left"]
            assert len(kept(tmp_path)) == 1
            await workspace.left.discard()
            assert kept(tmp_path) == []
            assert page.html["left"] == ""
            assert page.text == TEXT

    run(play())


def test_an_offer_that_is_not_answered_is_made_again(tmp_path: Path) -> None:
    async def play() -> None:
        killed(tmp_path, Unsaved(MINE, {}, ""))
        for _ in range(2):
            async with workspace_in(tmp_path) as workspace:
                page = FakePage(workspace, 1)
                await page.until(lambda page: page.state["left"])
                page.type("reach: 455", "reach: 470")
                await workspace.save()
            workspace.disk.write(TEXT)
            assert len(kept(tmp_path)) == 1

    run(play())


def test_what_cannot_be_read_is_told(tmp_path: Path) -> None:
    async def play() -> None:
        killed(tmp_path, Unsaved(MINE, {}, ""))
        (place,) = kept(tmp_path)
        place.write_text("{")
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            await page.until(lambda page: str(place) in page.state["note"])
            assert not page.state["left"]
        assert place.read_text() == "{"

    run(play())


def test_a_workspace_that_only_shows_the_bike_offers_and_takes_nothing(tmp_path: Path) -> None:
    """Its pages may be on the network: what was left is for one that may write."""

    async def play() -> None:
        (tmp_path / "bike.yaml").write_text(TEXT, encoding="utf-8")
        killed(tmp_path, Unsaved(MINE, {}, ""))
        workspace = Workspace(Disk(tmp_path / "bike.yaml"), tmp_path / "out", texts())
        workspace.open(keep=False)
        page = FakePage(workspace, 1)
        await page.until(lambda page: page.model)
        assert "left" not in page.html
        assert not page.state["left"]
        found, _ = Recovery(tmp_path / "out", tmp_path / "bike.yaml").left()
        assert len(found) == 1
        await workspace.close()

    run(play())
