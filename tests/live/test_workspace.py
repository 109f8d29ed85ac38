"""The workspace without a browser: what pages are told when they type, save, compare and write files."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from frame3d.live.disk import Disk
from frame3d.live.merge import Edit
from frame3d.live.workspace import Workspace
from frame3d.report.texts import texts
from tests.live.loops import run
from tests.live.serving import SMALL

TEXT = SMALL.read_text(encoding="utf-8")
PATIENCE = 120
"""What a loaded machine may take [s]."""


class FakePage:
    """What a page would show."""

    def __init__(self, workspace: Workspace, key: int) -> None:
        self.workspace, self.key = workspace, key
        self.text = self.base = ""
        self.sequence = 0
        self.html: dict[str, str] = {}
        self.state: dict[str, Any] = {}
        self.model: dict[str, Any] = {}
        self.tries: dict[str, Any] = {}
        self.news = asyncio.Event()
        workspace.join(key, self.tell)

    def tell(self, news: Mapping[str, Any]) -> None:
        news = json.loads(json.dumps(news))  # as it goes over the wire
        if "text" in news:
            self.text = self.base = news["text"]["text"]
        if "wrote" in news:
            self.text = self.base = news["wrote"]["text"] or self.text
        self.html |= news.get("html", {})
        for part in ("state", "model", "tries"):
            if part in news:
                setattr(self, part, news[part])
        self.news.set()

    def type(self, old: str, new: str) -> None:
        assert old in self.text
        self.text = self.text.replace(old, new)
        self.sequence += 1
        edit = Edit(f"tab {self.key}", self.sequence, self.base, self.text)
        self.workspace.write(self.key, edit)

    async def until(self, seen: Callable[[FakePage], Any]) -> None:
        async with asyncio.timeout(PATIENCE):
            while not seen(self):
                self.news.clear()
                await self.news.wait()

    def held(self, what: str) -> bytes:
        data = self.workspace.shelf.get(self.model[what])
        assert data is not None
        return data

    def picture(self) -> tuple[Any, bytes]:
        """Scene document and model, apart."""
        data = self.held("number")
        end = 4 + int.from_bytes(data[:4], "little")
        return json.loads(data[4:end]), data[end:]


@asynccontextmanager
async def workspace_in(folder: Path) -> AsyncIterator[Workspace]:
    file = folder / "bike.yaml"
    file.write_text(TEXT, encoding="utf-8")
    workspace = Workspace(Disk(file), folder / "out", texts())
    workspace.open()
    try:
        yield workspace
    finally:
        await workspace.close()


def test_from_typing_to_files(tmp_path: Path) -> None:
    run(play(tmp_path))


async def play(folder: Path) -> None:
    async with workspace_in(folder) as workspace:
        a, b = FakePage(workspace, 1), FakePage(workspace, 2)
        await a.until(lambda page: page.model.get("checks") is not None)
        assert json.loads(a.held("checks"))[0]["gap"] > 0
        assert a.picture()[1].startswith(b"glTF")
        assert {part["name"] for part in a.picture()[0]["parts"]} >= {"head_tube", "rear_tyre"}
        assert "11" in a.html["verdict"]
        assert "<td>455.0" in a.html["figures"]

        # One types, both see it; the file is as it was.
        a.type("head_tube_angle: 65.5", "head_tube_angle: 65")
        assert b.text == a.text
        await b.until(lambda page: "<td>65.0" in page.html["figures"])
        assert a.state["unsaved"]
        assert workspace.disk.read() == TEXT

        # Both type at once, in different places: neither is told before it has typed.
        before = b.text
        a.type("reach: 455", "reach: 460")
        b.text = b.base = before
        b.type("bb_drop: 62", "bb_drop: 60")
        assert "reach: 460" in a.text
        assert "bb_drop: 60" in a.text
        assert b.text == a.text

        # Nonsense: a message with its line, the last bike stays.
        await a.until(lambda page: "<td>460.0" in page.html["figures"])
        picture = a.model["number"]
        assert {"check", "curves", "solids"} & set(a.state["working"])
        a.type("chainstay_length: 432", "chainstay_length: far")
        await a.until(lambda page: page.state["dim"])
        assert a.state["working"] == {}  # nothing is in work for a text that makes no bike
        assert a.state["lines"] == [12]
        assert 'data-line="12"' in a.html["faults"]
        assert "<td>460.0" in a.html["figures"]
        assert a.model["number"] == picture
        a.type("chainstay_length: far", "chainstay_length: 432")
        await a.until(lambda page: not page.state["dim"])
        assert a.html["faults"] == ""

        # A value is tried, kept, compared.
        workspace.choose("geometry.bb_drop", on=True)
        assert [one["path"] for one in a.tries["chosen"]] == ["geometry.bb_drop"]
        workspace.attempt("geometry.bb_drop", 58.0, dragging=False)
        await a.until(lambda page: "<td>58.0" in page.html["figures"])
        assert "bb_drop: 60" in a.text
        await workspace.save()
        await a.until(lambda page: not page.state["unsaved"])
        saved = TEXT.replace("65.5", "65").replace("reach: 455", "reach: 460")
        assert workspace.disk.read() == saved.replace("bb_drop: 62", "bb_drop: 58")
        await a.until(lambda page: ["version 1", "saved, no. 1"] in page.state["options"])
        stamp = workspace.disk.path.stat().st_ino
        await workspace.save()  # nothing is unsaved: the file is left alone
        assert workspace.disk.path.stat().st_ino == stamp
        await workspace.compare("version 0", "now")
        await a.until(lambda page: "<td>62</td><td>58</td>" in page.html["compare"])
        workspace.measure()
        await a.until(lambda page: "Smallest gap" in page.html["compare"])
        workspace.overlay(True)
        assert a.model["ghost"] is not None
        present = a.model["number"]
        await workspace.compare("now", "version 0")  # in the picture are the two that are compared
        assert a.model["number"] != present
        assert not a.model["exact"]
        assert a.state["pictured"] == "as opened"
        assert '"reach"' in a.html["figures"]
        workspace.overlay(False)
        assert a.model["number"] == present
        await workspace.compare_with_text("other", TEXT.replace("bb_drop: 62", "bb_drop: x"))
        assert "other" in a.state["note"]
        assert a.state["sides"] == ["now", "version 0"]
        await workspace.exchange("build.fork.axle_to_crown=551")
        assert "<td>535</td><td>551</td>" in a.html["compare"]
        await workspace.exchange("build.fork.wings=2")
        assert "wings" in a.state["note"]

        # Exact solids follow, and say how far they are; files go to their folder.
        await a.until(lambda page: page.state["working"].get("solids", {}).get("share", 0) > 0)
        await a.until(lambda page: page.state["grams"] is not None)
        assert a.model["exact"]
        assert workspace.disk.read() == a.text
        workspace.write_output("report")
        await a.until(lambda page: "report.html" in page.html.get("written", ""))
        assert [p.name for p in (folder / "out").iterdir()] == ["report.html"]
        assert sorted(p.name for p in folder.iterdir()) == ["bike.yaml", "out"]


def test_no_output_of_a_text_that_is_wrong(tmp_path: Path) -> None:
    """The page is told why nothing is written."""

    async def ask() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            await page.until(lambda page: "<td>455.0" in page.html.get("figures", ""))
            page.type("reach: 455", "reach: 455x")
            await page.until(lambda page: "455x" in page.html.get("faults", ""))
            workspace.write_output("report")
            await page.until(lambda page: "455x" in page.html.get("written", ""))
            assert list((tmp_path / "out").glob("[!.]*")) == []

    run(ask())


def test_the_picture_follows_a_hand_that_does_not_rest(tmp_path: Path) -> None:
    """Each value is followed by the next before it is solved; bikes are shown all the same, in order."""

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            await page.until(lambda page: page.model)
            seen, value = [page.model["number"]], 440.0
            async with asyncio.timeout(PATIENCE):
                while len(seen) < 6:
                    value = 440.0 if value >= 470.0 else value + 0.25
                    workspace.attempt("geometry.reach", value, dragging=True)
                    await asyncio.sleep(0.004)
                    if page.model["number"] != seen[-1]:
                        seen.append(page.model["number"])
            assert seen == sorted(seen)
            workspace.attempt("geometry.reach", 471.0, dragging=True)
            await page.until(lambda page: "<td>471.0" in page.html["figures"])
            assert page.text == TEXT

    run(play())
