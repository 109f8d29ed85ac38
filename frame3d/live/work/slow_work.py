"""Slow work on the shown bike in processes of its own: checks, curves, solids, comparisons, files."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Protocol

from frame3d.bike.choice import Choice
from frame3d.live import panels
from frame3d.live.comparing.comparison import Measured
from frame3d.live.comparing.sides import Sides
from frame3d.live.model_store import ModelStore, Picture, packed
from frame3d.live.shown import Shown
from frame3d.live.solved_text import SolvedText
from frame3d.live.work import jobs
from frame3d.live.work.downloads import Downloads
from frame3d.live.work.worker import ENDS, Message, Worker, failure
from frame3d.report.markup import Markup, el
from frame3d.report.scene import compact
from frame3d.report.texts import Texts

LANGUAGE: Final = "en"
REST: Final = 0.5
"""Time without changes before solids are made, beyond that before checks [s]."""
PROGRESS: Final = 0.4
"""How often pages are told how far slow work is [s]."""
MEASURED: Final = 60
"""Largest number of bikes whose smallest gaps and mass are remembered."""
STAGES: Final = {"compare": "check"}
"""Stage that work begins with, where that has another name: its text under ``live.state``."""
STOPPED_BY_CHANGES: Final = ("check", "curves", "solids")


class Desk(Protocol):
    """What slow work needs of the workspace."""

    source: str
    folder: Path
    texts: Texts
    shelf: ModelStore
    shown: Shown
    sides: Sides

    def show(self, html: Mapping[str, str | None], **more: Any) -> None:
        """Send markup by place, and other data, to all pages."""

    def tell_state(self) -> None:
        """Send the state to all pages."""

    def state(self) -> dict[str, Any]:
        """Return the state for pages."""

    def picture(self) -> dict[str, Any]:
        """Return what pages draw."""

    def tables(self) -> dict[str, str]:
        """Return the tables of the shown bike, by place."""

    def has_defect(self, error: Exception) -> None:
        """Tell all pages of an error of frame3d's own."""


@dataclass(frozen=True, slots=True)
class Work:
    """Work in progress."""

    text: str = ""
    share: float = 0.0
    """Of it that is done, 0 to 1."""


class SlowWork:
    """The workers of a workspace. Methods are called in the event loop."""

    def __init__(self, desk: Desk) -> None:
        """Start no process yet."""
        self.working: dict[str, Work] = {}
        """Work in progress: ``check``, ``curves``, ``solids``, ``compare``, ``output``."""
        self.grams: dict[tuple[str, Choice], float] = {}
        """Masses of bikes by their text and which of it they are."""
        self.downloads = Downloads()
        self._desk = desk
        self._checker = Worker(jobs.ENTRY, self._heeding(self._checked), nice=15)
        self._maker = Worker(jobs.ENTRY, self._heeding(self._made), nice=19)
        self._comparer = Worker(jobs.ENTRY, self._heeding(self._compared), nice=19)
        self._writer = Worker(jobs.ENTRY, self._heeding(self._wrote))
        self._rest: asyncio.TimerHandle | None = None
        self._told = 0.0
        self._measures = False
        """Whether a page shows the comparison, so that both bikes are measured."""
        self._measuring: SolvedText | None = None
        self._measured: dict[tuple[str, Choice], Measured] = {}
        """By text and which bike of it."""
        self._into = desk.folder
        """Folder of the files written last."""

    # What the workspace asks for

    def wait(self) -> None:
        """Say that another bike is shown, whose work waits for the text to rest."""
        self._waits(*STOPPED_BY_CHANGES)

    def pause(self) -> None:
        """Stop work on the shown bike, because the text has changed."""
        self._checker.stop()
        self._maker.stop()
        for key in STOPPED_BY_CHANGES:
            self.working.pop(key, None)
        self._cancel()

    def start(self) -> None:
        """Start the work that the shown bike still needs."""
        shown, source = self._desk.shown, self._desk.source
        solved = shown.solved
        if solved is None:
            return
        if not shown.curved:
            self._waits("curves")
        if not shown.checked and not self._checker.busy:
            self._waits("check")
            self._checker.start("check", *solved.key, source, LANGUAGE)
        self._cancel()
        if not shown.made and not self._maker.busy:
            self._waits("solids")
            self._rest = asyncio.get_running_loop().call_later(REST, self._make, solved)

    def measure(self, *, on: bool = False) -> None:
        """Measure what is compared and not measured yet, once a page has asked for it (`on`).

        The present bike is the checker's.
        """
        self._measures = self._measures or on
        if not self._measures or self._comparer.busy:
            return
        for side in (self._desk.sides.before, self._desk.sides.after):
            if side is not None and self.measured(side.solved) is None:
                self._measuring = side.solved
                self._waits("compare")
                self._comparer.start("measure", *side.solved.key, side.name)
                self._desk.tell_state()
                return
        self._comparer.close()  # frees its memory

    def measured(self, solved: SolvedText) -> Measured | None:
        """Return what is measured of a bike; None where nothing is yet."""
        return self._measured.get(solved.key)

    @property
    def writes(self) -> bool:
        """Whether files are being written."""
        return self._writer.busy

    def write(self, key: str, solved: SolvedText) -> None:
        """Write an output of a bike."""
        self.working["output"] = Work()
        self._desk.show({"written": ""})
        self._into = solved.choice.folder_in(self._desk.folder)
        self._writer.start("output", key, *solved.key, self._desk.source, self._into)
        self._desk.tell_state()

    def close(self) -> None:
        """End all processes."""
        self._cancel()
        for worker in (self._checker, self._maker, self._comparer, self._writer):
            worker.close()

    def _make(self, solved: SolvedText) -> None:
        try:
            self._maker.start("solids", *solved.key, self._desk.source, LANGUAGE)
            self._desk.tell_state()
        except Exception as error:
            self._desk.has_defect(error)

    def _waits(self, *keys: str) -> None:
        for key in keys:
            self.working[key] = Work(self._desk.texts(f"live.state.{STAGES.get(key, key)}"))

    def _cancel(self) -> None:
        if self._rest is not None:
            self._rest.cancel()

    # What workers say

    def _heeding(self, heard: Callable[[Message], None]) -> Callable[[Message], None]:
        """Return a handler that calls `heard` and tells the pages of any error in it."""

        def heed(said: Message) -> None:
            try:
                heard(said)
            except Exception as error:
                self._desk.has_defect(error)

        return heed

    def _checked(self, said: Message) -> None:
        desk = self._desk
        if said.job != self._checker.job:
            return
        if said.kind == "checks":
            desk.shown.checks = desk.shelf.put(compact(said.what["checks"]).encode("utf-8"))
            html = {"verdict": said.what["verdict"], "clearances": said.what["clearances"]}
            desk.show(html, state=desk.state(), **desk.picture())
        elif said.kind == "curves":
            self._show_curves(said.what)
        elif said.kind == "ride":
            none = el("p", desk.texts("live.ride.none"), class_="remark")
            desk.shown.ride = {"plots": said.what["plots"]}
            desk.show({"ride": said.what["ride"] or none}, ride=desk.shown.ride)
        elif said.kind == "measured":
            self._remember(desk.shown.solved, said.what)
        elif failure(said):
            desk.show({"verdict": "", "clearances": panels.could_not(failure(said), desk.texts)})
        desk.shown.checked = said.kind in ENDS
        self._track("check", said)

    def _made(self, said: Message) -> None:
        desk, shown = self._desk, self._desk.shown
        if said.job != self._maker.job or shown.solved is None:
            return
        if said.kind == "model" and said.what["glb"]:
            picture = Picture(said.what["glb"], said.what["scene"])
            shown.picture = desk.shelf.put(packed(picture))
            shown.exact = True
            desk.show({}, **desk.picture())
        elif said.kind == "curves":
            self._show_curves(said.what)
        elif said.kind == "masses":
            shown.grams = self.grams[shown.solved.key] = said.what["grams"]
            desk.show({"masses": said.what["masses"], **desk.tables()})
        elif failure(said):
            shown.of_solids = failure(said)
            desk.show({"masses": "", **desk.tables()})
        shown.made = said.kind in ENDS
        self._track("solids", said)

    def _show_curves(self, what: Mapping[str, Any]) -> None:
        desk = self._desk
        none = el("p", desk.texts("live.curves.none"), class_="remark")
        desk.shown.curves = {"plots": what["plots"], "poses": what["poses"]}
        desk.shown.curved = True
        self.working.pop("curves", None)
        html = {"curves": what["curves"] or none}
        desk.show(html, curves=desk.shown.curves, state=desk.state())

    def _compared(self, said: Message) -> None:
        if said.job != self._comparer.job:
            return
        if said.kind == "measured":
            self._remember(self._measuring, said.what)
        elif failure(said):
            self._remember(self._measuring, Measured({}, None))
        self._track("compare", said)
        if said.kind in ENDS:
            self.measure()

    def _remember(self, solved: SolvedText | None, measured: Measured) -> None:
        if solved is not None:
            known = {**self._measured, solved.key: measured}
            self._measured = dict(list(known.items())[-MEASURED:])
            self._desk.show(self._desk.tables())

    def _wrote(self, said: Message) -> None:
        if said.kind == "written":
            self._desk.show({"written": self._files(said.what)})
        elif failure(said):
            self._desk.show({"written": panels.could_not(failure(said), self._desk.texts)})
        self._track("output", said)
        if not self._writer.busy:
            self._writer.close()  # frees its memory

    def _files(self, names: Sequence[str]) -> Markup:
        folder = self._into
        numbers = self.downloads.offer(folder / name for name in names)
        sizes = [
            0 if number is None else (folder / name).stat().st_size
            for name, number in zip(names, numbers, strict=True)
        ]
        files = list(zip(names, numbers, sizes, strict=True))
        return panels.written(files, folder.as_posix(), self._desk.texts)

    def _track(self, key: str, said: Message) -> None:
        """Send a worker's progress to the pages."""
        texts = self._desk.texts
        if said.kind == "progress":
            what, share = said.what
            title = texts.get(f"live.state.{what}") or texts.get(f"check.{what}") or what
            self.working[what if what == "curves" else key] = Work(title, share)
            now = time.monotonic()
            if now - self._told >= PROGRESS:
                self._told = now
                self._desk.tell_state()
        elif said.kind in ENDS:
            self.working.pop(key, None)
            if not {"check", "solids"} & set(self.working):
                self.working.pop("curves", None)  # where neither could compute any
            self._desk.tell_state()
