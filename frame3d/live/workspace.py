"""The workspace: one session with its file, its workers and its pages."""

from __future__ import annotations

import asyncio
import contextlib
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from frame3d.errors import Fault, FrameError
from frame3d.live import panels
from frame3d.live.choosing.chooser import Chooser
from frame3d.live.choosing.others import Others, sizes_of
from frame3d.live.choosing.size_panel import sizes
from frame3d.live.comparing.comparison import comparison
from frame3d.live.comparing.sides import Sides
from frame3d.live.disk import Disk, OnDisk, Unreadable
from frame3d.live.merge import Edit, Taken, merged
from frame3d.live.model_store import ModelStore, light_picture, packed
from frame3d.live.session import Session
from frame3d.live.shown import Begun, Drawn, Shown
from frame3d.live.sliders import inputs
from frame3d.live.solved_text import Difference, SolvedText, difference
from frame3d.live.stiffening.stiffness_panel import StiffnessPanel
from frame3d.live.tries import Tries
from frame3d.live.unsaved.offering import Offering
from frame3d.live.unsaved.recovery import Recovery
from frame3d.live.work.drawing import Drawing
from frame3d.live.work.slow_work import SlowWork
from frame3d.live.work.worker import defect
from frame3d.report.markup import Markup, el
from frame3d.report.texts import Texts

PAUSE: Final = 0.3
"""Time without changes of the text before work slower than a picture starts [s]."""
AGAIN: Final = 1.0
"""Time after which the file is watched again where watching has failed [s]."""

Tell = Callable[[Mapping[str, Any]], None]
"""Sends a message to a page, as plain data."""


@dataclass(frozen=True, slots=True)
class Page:
    """An open page."""

    tell: Tell


class Workspace:
    """The state and actions behind the pages. Methods are called in the event loop."""

    def __init__(self, disk: Disk, folder: Path, texts: Texts) -> None:
        """Read the file.

        Args:
            disk: the file.
            folder: where outputs go.
            texts: of the pages.

        Raises:
            SpecError: the file cannot be read.
        """
        self.disk, self.folder, self.texts = disk, folder, texts
        self.source = disk.path.name
        self.session = Session(disk.read())
        self.pages: dict[int, Page] = {}
        self.shelf = ModelStore()
        self.shown = Shown()
        self.chooser = Chooser()
        """Which bike of the file all pages show."""
        self.others = Others(self.source)
        self.tries = Tries(self.session, self.chooser, texts)
        self.sides = Sides(self.session, disk.path, texts, lambda: self.shown.solved, self.others)
        """What is compared."""
        self.stiffness = StiffnessPanel(texts)
        self.overlaid = False
        """Whether the first of the two is laid over a picture of the second."""
        self.note = ""
        """Message about the user's last request; empty where there is none."""
        self.left = Offering(self, Recovery(folder, disk.path), self._restored)
        """What is unsaved, and what killed workspaces have left."""
        self.slow = SlowWork(self)
        self._light: dict[int, tuple[SolvedText, int]] = {}
        """Quick pictures of the sides: 0 and 1."""
        self._draw = Drawing(self.source, self.chooser, self.stiffness, texts)
        self._news = asyncio.Event()
        self._end = asyncio.Event()
        self._tasks: list[asyncio.Task[None]] = []
        self._defect_told = False
        """Whether the note tells of a defect."""
        self._sized = False
        """Whether the size table is of the present text."""
        self._sliders: dict[str, Any] = {}
        """Last message about sliders sent to the pages."""
        self._taken = Taken()
        self._edition = 1
        """Number of the text's edition; rises by one with each change of the text."""

    # Opening and closing

    def open(self, *, keep: bool = True) -> None:
        """Start solving and watching the file; `keep` what is unsaved, and offer what was left."""
        self._tasks = [asyncio.create_task(self._solving()), asyncio.create_task(self._watching())]
        self.sides.reads_others = keep
        if keep:
            self._tasks.append(asyncio.create_task(self.left.keep(self._end)))
        self._news.set()

    async def close(self) -> None:
        """Stop all tasks and workers."""
        self._end.set()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)
        await self.left.keeper.close()
        self.slow.close()

    def join(self, key: int, tell: Tell) -> None:
        """Register a page that has opened or is connected again, and send it everything."""
        self.pages[key] = Page(tell)
        text = {"number": self._edition, "text": self.session.text, "file": self._file()}
        news: dict[str, Any] = {"text": text, "html": self.shown.html}
        if self.shown.curves is not None:
            news["curves"] = dict(self.shown.curves)
        if self.shown.ride is not None:
            news["ride"] = dict(self.shown.ride)
        try:
            news |= {"tries": self.tries.document(), **self.picture()}
        except Exception as error:
            self.has_defect(error)
        tell({**news, "state": self.state()})

    def has_defect(self, error: Exception) -> None:
        """Tell all pages of an error of frame3d's own; the workspace goes on."""
        fault = defect(error)
        self.say(f"{fault.message}; {fault.hint}", of_defect=True)

    def leave(self, key: int) -> None:
        """Remove a page that has closed."""
        self.pages.pop(key, None)
        self.stiffness.look(key, on=False)

    # What users do

    def write(self, key: int, edit: Edit) -> None:
        """Take an edit of a page, unless it was taken; answer it with the text after it."""
        page = self.pages.get(key)
        if page is None:
            return
        if self._taken.is_new(edit):
            result = merged(edit.base, edit.text, self.session.text)
            if self.session.write(result, time.monotonic()):
                self._changed(but=key)
        text = None if self.session.text == edit.text else self.session.text
        answer = {"sequence": edit.sequence, "number": self._edition, "text": text}
        _tell_page(page, {"wrote": answer})

    def attempt(self, path: str, value: float, *, dragging: bool) -> None:
        """Try a slider's value."""
        try:
            if self.tries.attempt(path, value, dragging=dragging):
                # Under a drag the state goes out with the picture: pages have less to lay out.
                self._changed(text=False, tell=not dragging)
        except FrameError as error:
            self.say(error.faults[0].message)

    def choose(self, path: str, *, on: bool) -> None:
        """Add or remove the slider of a number; removing it drops the tried value."""
        if self.tries.choose(path, on=on):
            self._changed(text=False)
        self._tell({"tries": self.tries.document()})

    def vary(self, size: str | None, settings: Sequence[str]) -> None:
        """Show another bike of the file: a size, with settings on its finished frame."""
        if self.chooser.choose(size, settings):
            self.session.look_again()
            self._changed(text=False, sliders=True)

    def let_go(self) -> None:
        """Drop all values tried by sliders."""
        if self.session.let_go():
            self._changed(text=False)

    def undo(self) -> None:
        """Undo the last step."""
        if self.session.undo():
            self._changed(sliders=True)

    def redo(self) -> None:
        """Redo the last undone step."""
        if self.session.redo():
            self._changed(sliders=True)

    async def save(self) -> None:
        """Put tried values into the text and save it, unless somebody else changed the file."""
        try:
            if self.session.settle():
                self._changed(sliders=True)
            self._disk_has(self.disk.now())
            if self.session.conflict is None:
                text, anew = self.session.text, self.session.saved is None
                if self.session.unsaved:
                    await asyncio.to_thread(self.disk.write, text, anew=anew)
                self.session.wrote(text)
                self.left.keeper.changed()
                self.say("")
                self._retell()
                await self._stiffen()
        except FrameError as error:
            self.say(" ".join(fault.message for fault in error.faults))

    def take_theirs(self) -> None:
        """Resolve a conflict with the file's text."""
        if isinstance(self.session.conflict, str):
            self.session.take_theirs()
            self._changed(sliders=True)

    async def keep_mine(self) -> None:
        """Resolve a conflict with the page's text, and save it."""
        self.session.keep_mine()
        await self.save()

    async def compare(self, first: str, second: str) -> None:
        """Compare two of `Sides.options`."""
        name = second if second.startswith("file ") else first
        await self._choose(name.removeprefix("file "), self.sides.choose, first, second)

    async def compare_with_text(self, name: str, text: str) -> None:
        """Compare with another file, whose text the page sends."""
        await self._choose(name, self.sides.give, name, text)

    async def exchange(self, typed: str) -> None:
        """Compare with the same bike after an exchange of parts: ``KEY=VALUE``, one or several."""
        await self._choose(typed, self.sides.exchange, typed)

    async def _choose(self, name: str, choose: Callable[..., None], *arguments: str) -> None:
        try:
            await asyncio.to_thread(choose, *arguments)
        except FrameError as error:
            fault = error.faults[0]
            line = None if fault.place is None else fault.place.line
            where = "" if line is None else f"{self.texts('live.faults.line', line=line)}: "
            why = where + fault.message
            self.say(self.texts("live.compare.cannot", name=name, why=why))
            return
        except Exception as error:
            self.has_defect(error)
            return
        self.say("")
        self._retell()
        self.slow.measure()
        await self._stiffen()

    def measure(self) -> None:
        """Measure what is compared from now on, and look anew for what can be."""
        self.sides.look()
        self.tell_state()
        self.slow.measure(on=True)

    async def look_at_stiffness(self, key: int, *, on: bool) -> None:
        """Say that a page has opened or closed the panel on stiffness."""
        if key in self.pages:
            self.stiffness.look(key, on=on)
            self.shown.bends = self.shown.bends and not on  # this page may not know it
            await self._stiffen()

    async def _stiffen(self) -> None:
        """Show the stiffness of the bike in view, where a page wants it and it is not shown yet.

        How the frame bends goes to the picture, unless another bike is pictured.
        """
        solved, before = self.shown.solved, self.sides.before
        if solved is None or not self.stiffness.is_open:
            return
        if not self.stiffness.is_told(solved, before):
            told = await asyncio.to_thread(self.stiffness.told, solved, before)
            if self.shown.solved is solved:
                self.show({"stiffness": told})
        if self.shown.bends or self.overlaid:
            return
        bending = await asyncio.to_thread(self.stiffness.bending, solved)
        if self.shown.solved is solved and not self.overlaid:
            self.shown.bends = True
            self._tell({"bending": bending})

    def overlay(self, on: bool) -> None:
        """Show or hide the first of the two compared over a picture of the second."""
        self.overlaid, self.shown.bends = on, False
        self._tell({"state": self.state(), "bending": None, **self.picture()})

    def write_output(self, key: str) -> None:
        """Write an output of the shown bike; where the text has faults, report them instead."""
        solved = self.shown.solved
        if solved is None or self.slow.writes:
            return
        if self.session.faults:
            self.show({"written": panels.could_not(self.session.faults, self.texts)})
            return
        self.slow.write(key, solved)

    # Solving

    async def _solving(self) -> None:
        """Solve each state of the text; no error ends this."""
        while not self._end.is_set():  # `wait_for` may swallow that the task is cancelled
            await self._news.wait()
            self._news.clear()
            try:
                await self._solve_news()
            except Exception as error:
                # The pages may show half of the new bike, and the caches hold half a result: the bike
                # is dimmed, and the next text is solved with empty caches.
                self._draw.forget()
                self._show_faults((defect(error),))

    async def _solve_news(self) -> None:
        """Solve the state as it is now, and show it; start slow work once the state rests.

        Where the state has changed meanwhile, as while a slider is dragged, the bike is shown
        nevertheless, and the newest state is solved at once.
        """
        revision, state = self.session.revision, self.session.state
        outcome = await asyncio.to_thread(self._draw, state, self.sides.before, self.shown.solved)
        solved: SolvedText | tuple[Fault, ...]
        match outcome:
            case Drawn():
                solved = outcome.solved
            case Begun():
                solved = outcome.faults
            case _:
                solved = outcome
        if not self.session.solved(revision, solved):
            return
        if self._defect_told:
            self.say("")
        if isinstance(outcome, Drawn):
            self._show_bike(outcome)
        else:
            self._show_faults(self.session.faults, outcome if isinstance(outcome, Begun) else None)
        if revision != self.session.revision:
            return
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._news.wait(), PAUSE)
            return
        self.slow.start()
        await asyncio.to_thread(self._prepare)
        if not self._news.is_set():
            tries = self.tries.document()
            self.show(self.tables(), **({} if tries == self._sliders else {"tries": tries}))
            self._sliders = tries
            self.slow.measure()
            await self._stiffen()
            await self._size_table()

    async def _size_table(self) -> None:
        """Solve every size of the text, as long as it stays as it is, and show their table."""
        if not self.chooser.is_read:
            return
        text, chosen = self.session.state.whole, self.chooser.choice
        found = []
        for choice in sizes_of(self.chooser.offered, chosen):
            found.append(await asyncio.to_thread(self.others.solve, text, choice))
            if self._news.is_set():
                return
        self._sized = True
        self.show({"sizes": str(sizes(found, chosen, self.texts))}, state=self.state())

    def _prepare(self) -> None:
        """Compute results that tables need, so that they are cached. Runs in a thread."""
        try:
            inputs(self.session.text, self.chooser.choice)
            self.sides.follow()
            self._difference()
        except FrameError:
            pass  # reported as faults of the text

    def _show_faults(self, faults: tuple[Fault, ...], what: Begun | None = None) -> None:
        """Show faults; the figures stay, unless there are those of a bike that is only begun.

        Without faults, the text is again that of the shown bike.
        """
        self.session.faults = faults
        html = {"faults": panels.faults(faults, self.texts)}
        if what is not None:
            self.shown.begun = what
        elif not faults:
            self.shown.begun = None
        if what is not None or not faults:
            html |= self._figures()
        self.show(html, state=self.state())

    def _figures(self) -> dict[str, Markup | None]:
        """Return the figures of the bike, or of the one that is only begun, by place."""
        solved, before, what = self.shown.solved, self.sides.before, self.shown.begun
        if what is not None:
            return {"figures": Markup(what.figures)}
        if solved is None:
            return {}
        other = None if before is None else before.solved
        return {"figures": panels.figures(solved, other, self.texts)}

    def _show_bike(self, drawn: Drawn) -> None:
        number = self.shelf.put(packed(drawn.picture))
        self.shown.become(drawn.solved, number, self.slow.grams.get(drawn.solved.key))
        self.slow.wait()
        html = {"title": el("span", drawn.solved.name), "figures": drawn.figures}
        html["drawing"] = drawn.side
        if drawn.stiffness is not None:
            html["stiffness"] = drawn.stiffness
        if not self.session.faults:
            html["faults"] = ""
        self.show(html, state=self.state(), bending=None, **self.picture())

    # The file

    async def _watching(self) -> None:
        """Take over changes of the file; no error ends this."""
        while not self._end.is_set():
            try:
                async for text in self.disk.changes(self._end):
                    self._disk_has(text)
            except Exception as error:
                self.has_defect(error)
                await asyncio.sleep(AGAIN)

    def _disk_has(self, text: OnDisk) -> None:
        before = self.session.revision
        if self.session.disk_has(text):
            self.left.keeper.changed()
            if self.session.revision != before:
                self._changed()
            else:
                self.tell_state()

    # Telling

    def _changed(
        self, *, text: bool = True, but: int | None = None, sliders: bool = False, tell: bool = True
    ) -> None:
        """Tell pages that text or tried values have changed.

        Args:
            text: whether the text has.
            but: a page that is answered by itself.
            sliders: whether sliders move too; where the text is typed, they follow once it rests.
            tell: whether to send the state now; else it goes out with what solving says.
        """
        self.slow.pause()
        self._sized = False
        self._news.set()
        self.left.keeper.changed()
        if text:
            self._edition += 1
            self._tell_text(but)
        if sliders and (self.tries.chosen or self.session.tried):
            self._sliders = self.tries.document()
            self._tell({"state": self.state(), "tries": self._sliders})
        elif tell:
            self.tell_state()

    def _tell_text(self, but: int | None = None) -> None:
        news = {"text": {"number": self._edition, "text": self.session.text}}
        for key, page in tuple(self.pages.items()):
            if key != but:
                _tell_page(page, news)

    def tell_state(self) -> None:
        """Send the state to all pages."""
        self._tell({"state": self.state()})

    def _tell(self, news: Mapping[str, Any]) -> None:
        if news:
            for page in tuple(self.pages.values()):
                _tell_page(page, news)

    def show(self, html: Mapping[str, str | None], **more: Any) -> None:
        """Send markup by place, and other data, to all pages."""
        shown = {key: "" if value is None else str(value) for key, value in html.items()}
        news = {key: value for key, value in shown.items() if self.shown.html.get(key) != value}
        self.shown.html |= shown
        self._tell({**({"html": news} if news else {}), **more})

    def say(self, what: str, *, of_defect: bool = False) -> None:
        """Tell all pages something about what was asked for; empty takes it back."""
        self.note, self._defect_told = what, of_defect
        self.tell_state()

    def _retell(self) -> None:
        """Send everything that depends on the version compared with."""
        self.show(self.tables(), state=self.state(), **self.picture())

    def tables(self) -> dict[str, str]:
        """Return the tables of the shown bike and of the one compared with, by place."""
        solved = self.shown.solved
        if solved is None:
            return {"messages": str(panels.messages(None, (), self.texts))}
        faults = self.sides.faults
        table = (
            panels.could_not(faults, self.texts)
            if faults
            else comparison(self.sides.pair, self._difference(), self.slow.measured, self.texts)
        )
        return {
            **{place: str(figures) for place, figures in self._figures().items()},
            "compare": str(table),
            "messages": str(panels.messages(solved, self.shown.of_solids, self.texts)),
            "write": str(panels.writing(solved, self.folder, self.texts)),
        }

    def _difference(self) -> Difference | None:
        before, after = self.sides.pair
        return None if before is None or after is None else difference(before.solved, after.solved)

    def picture(self) -> dict[str, Any]:
        """Return the numbers of the model, its checks, and the overlaid version, for pages."""
        picture, exact, checks = self.shown.picture, self.shown.exact, self.shown.checks
        if picture is None:
            return {}
        ghost = None
        if self.overlaid:
            before, after = self.sides.pair
            ghost = None if before is None else self._light_of(0, before.solved)
            if after is not None and self.sides.after is not None:  # not the present bike
                picture, exact, checks = self._light_of(1, after.solved), False, None
        self.shelf.fix(*(n for n in (picture, ghost, checks, self.shown.picture) if n is not None))
        return {"model": {"number": picture, "checks": checks, "exact": exact, "ghost": ghost}}

    def _light_of(self, at: int, solved: SolvedText) -> int:
        """Return the number of a side's quick picture, made where it is another bike than before."""
        known = self._light.get(at)
        if known is None or known[0] is not solved or self.shelf.get(known[1]) is None:
            known = (solved, self.shelf.put(packed(light_picture(solved, self.texts))))
            self._light[at] = known
        return known[1]

    def _file(self) -> str:
        """Return a name under which a browser tab keeps what is typed; the path is not shown to it."""
        return sha256(str(self.disk.path.absolute()).encode()).hexdigest()[:16]

    def state(self) -> dict[str, Any]:
        """Return the state for pages."""
        session, after, begun_now = self.session, self.sides.after, self.shown.begun
        return {
            "number": self._edition,
            "unsaved": session.unsaved,
            "gone": session.saved is None,
            "left": self.left.has_any,
            "conflict": self._conflict(),
            "theirs": isinstance(session.conflict, str),
            "undo": session.can_undo,
            "redo": session.can_redo,
            **self.tries.values(),
            "variants": self.chooser.document(),
            "sized": self._sized,
            "dim": bool(session.faults),
            "begun": begun_now is not None and begun_now.faults is session.faults,
            "lines": panels.fault_lines(session.faults),
            "working": {key: asdict(work) for key, work in self.slow.working.items()},
            "measured": self.shown.checks is not None,
            "grams": self.shown.grams,
            "exact": self.shown.exact,
            "options": self.sides.options(),
            "sides": self.sides.chosen,
            "pictured": after.name if self.overlaid and after is not None else None,
            "overlaid": self.overlaid,
            "note": self.note,
        }

    def _restored(self) -> None:
        """The session has taken over what was left."""
        self._changed(sliders=True)

    def _conflict(self) -> str:
        """Return what stands against saving; empty where nothing does."""
        conflict = self.session.conflict
        if isinstance(conflict, Unreadable):
            return self.texts("live.conflict.unreadable", why=conflict.why)
        return "" if conflict is None else self.texts("live.conflict.says")


def _tell_page(page: Page, news: Mapping[str, Any]) -> None:
    """Tell a page; where that fails, the other pages are told nevertheless."""
    try:
        page.tell(news)
    except Exception as error:
        defect(error)
