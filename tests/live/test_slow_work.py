"""Slow work: what is started when, how far it says it is, and whose messages are heard."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from frame3d.bike.choice import Choice
from frame3d.errors import Fault
from frame3d.live.comparing.comparison import Measured
from frame3d.live.disk import Disk
from frame3d.live.solved_text import good
from frame3d.live.work import slow_work
from frame3d.live.work.slow_work import SlowWork
from frame3d.live.work.worker import Message
from frame3d.live.workspace import Workspace
from frame3d.report.texts import texts
from tests.live.loops import run
from tests.live.serving import SMALL

TEXT = SMALL.read_text(encoding="utf-8")
OTHER = TEXT.replace("reach: 455", "reach: 430")


class FakeWorker:
    """Remembers what was started; the test says what the process would."""

    made: list[FakeWorker]

    def __init__(self, entry: str, heard: Callable[[Message], None], *, nice: int = 0) -> None:
        self.heard, self.job, self.busy = heard, 0, False
        self.started: list[tuple[Any, ...]] = []
        self.closed = 0
        FakeWorker.made.append(self)

    def start(self, *what: Any) -> int:
        self.started.append(what)
        self.job, self.busy = self.job + 1, True
        return self.job

    def stop(self) -> None:
        self.job, self.busy = self.job + self.busy, False

    def close(self) -> None:
        self.closed += 1

    def say(self, kind: str, what: Any = None, *, job: int | None = None) -> None:
        self.busy = self.busy and kind not in ("done", "faults", "lost")
        self.heard(Message(self.job if job is None else job, kind, what))


class Here:
    """A workspace with a solved bike, whose workers are fakes; nothing of it runs by itself."""

    def __init__(self, folder: Path) -> None:
        file = folder / "bike.yaml"
        file.write_text(TEXT, encoding="utf-8")
        FakeWorker.made = []
        self.desk = Workspace(Disk(file), folder / "out", texts())
        self.checker, self.maker, self.comparer, self.writer = FakeWorker.made
        self.slow: SlowWork = self.desk.slow
        self.told: list[Any] = []
        self.shows(TEXT)
        self.desk.join(1, self.told.append)

    def shows(self, text: str) -> None:
        solved = good(text, "bike.yaml")
        self.desk.shown.become(solved, self.desk.shelf.put(text.encode()), None)

    @property
    def working(self) -> dict[str, tuple[str, float]]:
        state = self.desk.state()["working"]
        return {key: (one["text"], one["share"]) for key, one in state.items()}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Here:
    monkeypatch.setattr(slow_work, "Worker", FakeWorker)
    monkeypatch.setattr(slow_work, "REST", 0.0)
    return Here(tmp_path)


def started(here: Here) -> None:
    """Work begins, and the time before solids passes."""

    async def play() -> None:
        here.slow.wait()
        here.slow.start()
        await asyncio.sleep(0.01)

    run(play())


def test_checks_start_at_once_and_solids_after_a_rest(here: Here) -> None:
    started(here)
    assert here.checker.started == [("check", TEXT, Choice(), "bike.yaml", "en")]
    assert here.maker.started == [("solids", TEXT, Choice(), "bike.yaml", "en")]
    assert set(here.working) == {"check", "curves", "solids"}
    started(here)  # both are at it
    assert len(here.checker.started) == len(here.maker.started) == 1


def test_each_stage_says_how_far_it_is(here: Here) -> None:
    started(here)
    here.checker.say("progress", ("check", 0.5))
    here.maker.say("progress", ("curves", 0.0))
    assert here.working["check"] == ("measuring clearances", 0.5)
    assert here.working["curves"] == ("computing curves", 0.0)
    here.maker.say("curves", {"curves": "<p>c</p>", "plots": [], "poses": []})
    assert "curves" not in here.working
    assert here.told[-1]["html"]["curves"] == "<p>c</p>"
    here.maker.say("progress", ("solids", 0.25))
    assert here.working["solids"] == ("making solids", 0.25)
    here.checker.say("progress", ("rear_tyre_to_frame", 0.75))
    assert here.working["check"][0] == "Rear tyre to the frame"
    here.checker.say("done")
    here.maker.say("done")
    assert here.working == {}
    assert (here.desk.shown.checked, here.desk.shown.curved, here.desk.shown.made) == (True,) * 3
    started(here)  # nothing is left to do
    assert len(here.checker.started) == len(here.maker.started) == 1


def test_a_change_stops_it_and_older_messages_are_not_heard(here: Here) -> None:
    started(here)
    older = here.checker.job, here.maker.job
    here.slow.pause()
    assert here.working == {}
    before = len(here.told)
    here.checker.say("checks", {"checks": [], "verdict": "", "clearances": ""}, job=older[0])
    here.maker.say("masses", {"grams": 1.0, "masses": ""}, job=older[1])
    assert len(here.told) == before
    assert here.desk.shown.checks is None
    assert here.desk.shown.grams is None


def test_work_that_fails_is_told_in_its_place(here: Here) -> None:
    started(here)
    here.checker.say("faults", (Fault("solid", "", "no checks today"),))
    assert "No checks today" in here.told[-2]["html"]["clearances"]
    here.maker.say("faults", (Fault("solid", "", "no solids today"),))
    assert "No solids today" in str(here.desk.tables()["messages"])
    assert here.working == {}  # nobody computes curves any more


def test_what_is_compared_is_measured_once_a_page_asks(here: Here) -> None:
    here.desk.sides.give("other.yaml", OTHER)
    here.slow.measure()
    assert here.comparer.started == []
    here.desk.measure()
    assert here.comparer.started == [("measure", OTHER, Choice(), "other.yaml")]
    here.desk.measure()  # it is at it
    assert len(here.comparer.started) == 1
    measured = Measured({}, 1234.0)
    here.comparer.say("measured", measured)
    here.comparer.say("done")
    assert here.slow.measured(good(OTHER, "x")) == measured
    assert here.comparer.closed == 1
    assert len(here.comparer.started) == 1

    # What the checker has measured of the present bike is known when it is an older one.
    started(here)
    here.checker.say("measured", Measured({}, 1500.0))
    assert here.slow.measured(good(TEXT, "x")) == Measured({}, 1500.0)
    assert "1234 g" in str(here.desk.tables()["compare"])


def test_a_bike_that_cannot_be_measured_is_not_tried_again(here: Here) -> None:
    here.desk.sides.give("other.yaml", OTHER)
    here.desk.measure()
    here.comparer.say("lost", ("died", ""))
    here.desk.measure()
    assert len(here.comparer.started) == 1
    assert here.working == {}


def test_files_are_offered_as_they_were_written(here: Here) -> None:
    here.desk.write_output("report")
    assert here.working == {"output": ("", 0.0)}
    here.desk.write_output("report")  # one at a time
    assert len(here.writer.started) == 1
    (here.desk.folder / "templates").mkdir(parents=True)
    (here.desk.folder / "templates" / "a.dxf").write_bytes(b"dxf")
    here.writer.say("written", ["templates/a.dxf", "gone.pdf"])
    html = next(news["html"]["written"] for news in reversed(here.told) if "html" in news)
    assert '<a href="/f3d/written/1" download><code>templates/a.dxf</code></a>' in html
    assert "<li><code>gone.pdf</code>" in html
    assert here.slow.downloads.read(1) == ("a.dxf", b"dxf")
    here.writer.say("done")
    assert here.working == {}
    assert here.writer.closed == 1
    here.slow.close()
    assert here.checker.closed == here.maker.closed == 1
