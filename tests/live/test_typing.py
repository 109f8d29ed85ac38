"""Nothing typed is lost or swapped: pages, a bad network, an outside editor, against a plain reference.

`Editor` does what `live/client/editor.js` does, by the same names; the browser's own one is held to the
same in `test_page.py`. Each page types values of keys of its own, so that the reference is the value that
was typed last.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from frame3d.live.disk import Disk
from frame3d.live.merge import Edit
from frame3d.live.work import slow_work
from frame3d.live.workspace import Workspace
from frame3d.report.texts import texts
from tests.hardening.test_workspace_lives_on import NoWorker
from tests.live.loops import run

PAGES, KEYS = 3, 3
TEXT = "format: 1\nname: Typed at\n" + "".join(
    f"page_{page}_{key}: 0   # of page {page}\n" for key in range(KEYS) for page in range(PAGES)
) + "outside: 0\n"  # fmt: skip


class Editor:
    """A page's editor."""

    def __init__(self, key: int, before: Editor | None = None) -> None:
        self.key = key
        self.base: str | None = None
        self.text = ""
        self.number = self.newest = self.sequence = 0
        self.sent: str | None = None
        self.tab = f"tab {key}" if before is None else before.tab
        self.kept: tuple[str | None, str | None, str] | None = None
        if before is not None:
            self.kept, self.sequence = before.kept, before.sequence
        self.out: list[Edit] = []
        """On its way to the server."""
        self.inward: list[Mapping[str, Any]] = []
        """On its way to the page."""

    def typed(self, text: str) -> None:
        self.text = text
        if self.base is None:
            return
        self.keep()
        if self.sent is None:
            self.send()

    def send(self) -> None:
        self.sent = self.text
        self.sequence += 1
        self.keep()
        self.offer()

    def offer(self) -> None:
        assert self.base is not None
        assert self.sent is not None
        self.out.append(Edit(self.tab, self.sequence, self.base, self.sent))

    def hear(self, news: Mapping[str, Any]) -> None:
        if "wrote" in news:
            self.wrote(**news["wrote"])
        if "text" in news:
            self.take(news["text"]["number"], news["text"]["text"])
        if "state" in news:
            self.newest = max(self.newest, news["state"]["number"])
            if self.base is not None:
                self.catch_up()

    def wrote(self, sequence: int, number: int, text: str | None) -> None:
        if self.sent is None or sequence != self.sequence:
            return
        sent, self.sent = self.sent, None
        if self.text == sent:
            self.agree(sent if text is None else text, number)
        else:
            self.base = sent
        self.keep()
        self.catch_up()

    def take(self, number: int, text: str) -> None:
        self.newest = max(self.newest, number)
        if self.base is None:
            if self.kept is None:
                self.agree(text, number)
            else:
                self.base, self.sent, self.text = self.kept
                if self.sent is not None:
                    self.offer()
        elif self.sent is None and number > self.number and self.text == self.base:
            self.agree(text, number)
        self.catch_up()

    def catch_up(self) -> None:
        if self.sent is None and (self.text != self.base or self.number < self.newest):
            self.send()

    def agree(self, text: str, number: int) -> None:
        self.text = self.base = text
        self.number = number

    def keep(self) -> None:
        agreed = self.sent is None and self.text == self.base
        self.kept = None if agreed else (self.base, self.sent, self.text)


class Typing(RuleBasedStateMachine):
    """Pages of one workspace over a network that drops, delays, reorders and repeats."""

    patch: ClassVar[pytest.MonkeyPatch]

    def __init__(self) -> None:
        super().__init__()
        self.held = tempfile.TemporaryDirectory()
        folder = Path(self.held.name)
        self.file = folder / "bike.yaml"
        self.file.write_text(TEXT, encoding="utf-8")
        self.workspace = Workspace(Disk(self.file), folder / "out", texts())
        self.keys = 0
        self.editors = [self.opened() for _ in range(PAGES)]
        self.typed = {f"page_{page}_{key}": 0 for page in range(PAGES) for key in range(KEYS)}
        self.count = 0

    def opened(self, before: Editor | None = None) -> Editor:
        self.keys += 1
        editor = Editor(self.keys, before)
        self.workspace.join(editor.key, editor.inward.append)
        editor.hear(editor.inward.pop(0))  # a page is there once it has its first news
        return editor

    @rule(page=st.integers(0, PAGES - 1), key=st.integers(0, KEYS - 1))
    def types(self, page: int, key: int) -> None:
        """A page changes a value of its own."""
        self.count += 1
        name, editor = f"page_{page}_{key}", self.editors[page]
        text, times = re.subn(rf"(?m)^{name}: \d+", f"{name}: {self.count}", editor.text)
        assert times == 1, editor.text
        self.typed[name] = self.count
        editor.typed(text)

    @rule(page=st.integers(0, PAGES - 1), at=st.integers(0, 20), again=st.booleans())
    def reaches_the_server(self, page: int, at: int, again: bool) -> None:
        out = self.editors[page].out
        if out:
            one = out[at % len(out)] if again else out.pop(at % len(out))
            self.workspace.write(self.editors[page].key, one)

    @rule(page=st.integers(0, PAGES - 1), at=st.integers(0, 20), again=st.booleans())
    def reaches_the_page(self, page: int, at: int, again: bool) -> None:
        inward = self.editors[page].inward
        if inward:
            one = inward[at % len(inward)] if again else inward.pop(at % len(inward))
            self.editors[page].hear(one)

    @rule(page=st.integers(0, PAGES - 1))
    def loses_the_connection(self, page: int) -> None:
        """All that is on its way is lost; the page is connected again."""
        editor = self.editors[page]
        editor.out.clear()
        editor.inward.clear()
        self.workspace.join(editor.key, editor.inward.append)

    @rule(page=st.integers(0, PAGES - 1))
    def waits(self, page: int) -> None:
        """What is not answered goes out again."""
        if self.editors[page].sent is not None:
            self.editors[page].offer()

    @rule(page=st.integers(0, PAGES - 1))
    def reloads(self, page: int) -> None:
        """The page is opened anew, with what the tab has kept."""
        self.workspace.leave(self.editors[page].key)
        self.editors[page] = self.opened(self.editors[page])

    @rule()
    def saves(self) -> None:
        run(self.workspace.save())
        if self.workspace.session.conflict is not None:
            run(self.workspace.keep_mine())
        assert self.file.read_text(encoding="utf-8") == self.workspace.session.text

    @rule()
    def another_editor_writes(self) -> None:
        """It changes a value that no page types; where it is taken over depends on what is unsaved."""
        self.count += 1
        text = self.file.read_text(encoding="utf-8")
        self.file.write_text(
            re.sub(r"outside: \d+", f"outside: {self.count}", text), encoding="utf-8"
        )

    @invariant()
    def each_page_shows_what_was_typed_in_it(self) -> None:
        for page, editor in enumerate(self.editors):
            for key in range(KEYS):
                name = f"page_{page}_{key}"
                assert f"{name}: {self.typed[name]} " in editor.text

    def teardown(self) -> None:
        with self.held:
            self.settles()

    def settles(self) -> None:
        """Once the network is well again, all show one text with all that was typed."""
        self.saves()
        for _ in range(12):
            for editor in self.editors:
                if editor.sent is not None and not editor.out:
                    editor.offer()
                while editor.out:
                    self.workspace.write(editor.key, editor.out.pop(0))
            for editor in self.editors:
                while editor.inward:
                    editor.hear(editor.inward.pop(0))
        self.saves()
        text = self.workspace.session.text
        assert [editor.text for editor in self.editors] == [text] * PAGES
        assert all(editor.sent is None and editor.kept is None for editor in self.editors)
        for name, value in self.typed.items():
            assert f"{name}: {value} " in text
        assert len(text.splitlines()) == len(TEXT.splitlines())


@pytest.fixture(autouse=True)
def no_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(slow_work, "Worker", NoWorker)


TestTyping = Typing.TestCase
TestTyping.settings = settings(
    max_examples=100, stateful_step_count=100, deadline=None, derandomize=True,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip
TestTyping.pytestmark = [pytest.mark.usefixtures("no_workers")]
