"""The workspace under errors of its own: told on the page, and the next good text is solved."""

from __future__ import annotations

import asyncio
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from frame3d.bike.choice import Choice
from frame3d.live import workspace as module
from frame3d.live.disk import Disk
from frame3d.live.solved_text import AS_DRAWN, SolvedText, Solver
from frame3d.live.work import drawing, slow_work
from frame3d.live.workspace import Workspace
from frame3d.report.texts import texts
from tests.live.loops import run
from tests.live.serving import SMALL
from tests.live.test_workspace import FakePage, workspace_in

TEXT = SMALL.read_text(encoding="utf-8")
ERRORS = (OverflowError, KeyError, ZeroDivisionError, RecursionError, MemoryError, AssertionError)


class NoWorker:
    """In place of a process for slow work."""

    def __init__(self, *_: Any, **__: Any) -> None:
        self.busy, self.job = False, 0

    def start(self, *_: Any) -> int:
        return 0

    def stop(self) -> None:
        pass

    close = stop


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slow_work, "Worker", NoWorker)
    monkeypatch.setattr(module, "PAUSE", 0.01)
    monkeypatch.setattr(module, "AGAIN", 0.01)


class Flaky:
    """Raises at random in place of a function, and remembers what."""

    def __init__(self, function: Callable[..., Any], dice: random.Random, share: float) -> None:
        self.function, self.dice, self.share = function, dice, share
        self.on = True

    def __call__(self, *arguments: Any, **more: Any) -> Any:
        if self.on and self.dice.random() < self.share:
            raise self.dice.choice(ERRORS)("out of the blue")
        return self.function(*arguments, **more)


def told(page: FakePage) -> bool:
    """Whether a page tells of a defect, and how to report it."""
    said = page.html.get("faults", "") + page.state.get("note", "")
    return "has a defect" in said and "report it" in said


def shows(figure: str) -> Callable[[FakePage], bool]:
    """Whether a page shows a figure as one of the text as it is, with no defect told."""

    def seen(page: FakePage) -> bool:
        html = page.html.get("figures", "")
        return f"<td>{figure}" in html and not page.state["dim"] and not told(page)

    return seen


@pytest.mark.parametrize("seed", range(3))
def test_solver_that_raises_at_random(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever raises while a text is solved, shown or prepared: the next good text is solved."""
    dice = random.Random(seed)
    flaky = [
        Flaky(Solver.__call__, dice, 0.4),
        Flaky(module.light_picture, dice, 0.2),
        Flaky(module.inputs, dice, 0.2),
        Flaky(module.difference, dice, 0.2),
        Flaky(module.panels.messages, dice, 0.2),
        Flaky(module.packed, dice, 0.2),
    ]

    class FlakySolver(Solver):
        def __call__(self, text: str, choice: Choice = AS_DRAWN) -> SolvedText:
            result: SolvedText = flaky[0](self, text, choice)
            return result

    monkeypatch.setattr(drawing, "Solver", FlakySolver)
    monkeypatch.setattr(drawing, "light_picture", flaky[1])
    for name, one in zip(
        ("light_picture", "inputs", "difference", "packed"),
        (flaky[1], flaky[2], flaky[3], flaky[5]),
        strict=True,
    ):
        monkeypatch.setattr(module, name, one)
    monkeypatch.setattr(module.panels, "messages", flaky[4])

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            defects = 0
            reach = 455
            for _ in range(12):
                new = dice.choice([n for n in range(440, 470) if n != reach])
                page.type(f"reach: {reach}", f"reach: {new}")
                reach = new
                seen = shows(f"{new}.0")
                await page.until(lambda page, seen=seen: told(page) or seen(page))
                await asyncio.sleep(dice.choice((0, 0.1)))  # tables follow
                defects += told(page)
                if told(page) and page.html.get("faults"):
                    assert page.state["dim"]  # older figures do not pass for those of this text
            assert defects
            for one in flaky:
                one.on = False
            page.type(f"reach: {reach}", "reach: 471")
            await page.until(shows("471.0"))

    run(play())


def test_number_of_309_digits(tmp_path: Path) -> None:
    """Such a number is a fault of its line, and the next good text is solved."""

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            for digits in (16, 308, 309, 5000):
                page.type("reach: 455", "reach: " + "9" * digits)
                await page.until(lambda page: page.state["dim"])
                assert page.state["lines"] == [7]
                page.type("reach: " + "9" * digits, "reach: 455")
                await page.until(lambda page: not page.state["dim"])
                assert not told(page)
            second = FakePage(workspace, 2)
            assert second.text == page.text
            assert "geometry.reach" in dict(second.tries["known"])

    run(play())


def test_number_of_309_digits_beside_good_ones(tmp_path: Path) -> None:
    """Where the text makes a bike, such a number (of a length limited by nothing) does no harm."""
    text = TEXT + "notes: " + "9" * 309 + "\n"

    async def play() -> None:
        file = tmp_path / "bike.yaml"
        file.write_text(text, encoding="utf-8")
        workspace = Workspace(Disk(file), tmp_path / "out", texts())
        workspace.open()
        try:
            page = FakePage(workspace, 1)
            page.type("reach: 455", "reach: 456")
            await page.until(lambda page: page.state["dim"] or shows("456.0")(page))
            assert not told(page)
            assert "notes" not in dict(page.tries["known"])
        finally:
            await workspace.close()

    run(play())


def test_page_that_cannot_be_told(tmp_path: Path) -> None:
    """Other pages are told nevertheless."""

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            gone = FakePage(workspace, 1)
            page = FakePage(workspace, 2)

            def fail(_: Any) -> None:
                raise RuntimeError("the client is gone")

            workspace.leave(1)
            with pytest.raises(RuntimeError):
                workspace.join(1, fail)
            page.type("reach: 455", "reach: 456")
            await page.until(shows("456.0"))
            assert gone.text == TEXT

    run(play())


def test_watch_that_raises(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file is watched again, and what has become of it is taken over."""
    broken = [1, 2]
    now = Disk.now

    def flaky(disk: Disk) -> Any:
        if broken:
            raise ValueError(f"out of the blue {broken.pop()}")
        return now(disk)

    async def play() -> None:
        async with workspace_in(tmp_path) as workspace:
            page = FakePage(workspace, 1)
            await page.until(shows("455.0"))
            monkeypatch.setattr(Disk, "now", flaky)
            workspace.disk.path.write_text(TEXT.replace("reach: 455", "reach: 457"), "utf-8")
            await page.until(shows("457.0"))
            assert not broken

    run(play())
