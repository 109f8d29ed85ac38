"""The workspace as users start it, and a page of it in a browser."""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

ROOT = Path(__file__).parents[2]
SMALL = Path(__file__).with_name("small.yaml")
PATIENCE = 60_000
"""What a loaded machine may take [ms]."""
SIZE = (1000, 640)
SECOND = "127.0.0.2"
"""Another address of this machine, where its system has more than one for itself."""


@dataclass(frozen=True)
class Live:
    """A running workspace."""

    url: str
    file: Path
    out: Path
    process: subprocess.Popen[str]

    @property
    def port(self) -> int:
        return int(self.url.rstrip("/").rpartition(":")[2])

    @property
    def text(self) -> str:
        return self.file.read_text(encoding="utf-8")

    def edit(self, text: str) -> None:
        """Change the file as another editor does: write beside, rename."""
        beside = self.file.with_name(".bike.yaml.swap")
        beside.write_text(text, encoding="utf-8")
        os.replace(beside, self.file)


@contextmanager
def serving(folder: Path, source: Path = SMALL, *arguments: str) -> Iterator[Live]:
    """A workspace on a copy of a file, in a folder of its own."""
    file, out = folder / "bike.yaml", folder / "out"
    if not file.exists():  # a second workspace goes on with the first one's
        shutil.copy(source, file)
    command = [sys.executable, "-m", "frame3d", "live", str(file), "--no-open", "--port", "0"]
    process = subprocess.Popen(
        [*command, "-o", str(out), *arguments],
        cwd=folder,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    try:
        assert process.stdout is not None
        said = process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.\d:\d+/", said)
        assert found is not None, said
        yield Live(found[0], file, out, process)
    finally:
        process.terminate()
        process.wait(20)
        assert process.stdout is not None
        process.stdout.close()


def has_address(address: str) -> bool:
    """Whether a server of this machine can listen there."""
    with socket.socket() as probe:
        try:
            probe.bind((address, 0))
        except OSError:
            return False
    return True


@contextmanager
def served_to_network(folder: Path) -> Iterator[tuple[Live, str]]:
    """A read-only workspace at another address, and the code for the first browser."""
    with serving(folder, SMALL, "--read-only", "--on", SECOND) as live:
        assert live.process.stdout is not None
        yield live, live.process.stdout.readline().split()[-1]


@contextmanager
def open_page(browser: Browser, live: Live, **context: Any) -> Iterator[Page]:
    """A page of the workspace with the model in view; no error may turn up in its console."""
    width, height = SIZE
    within = browser.new_context(viewport={"width": width, "height": height}, **context)
    page = within.new_page()
    page.set_default_timeout(PATIENCE)
    complaints: list[str] = []
    page.on("console", lambda m: complaints.append(m.text) if m.type == "error" else None)
    page.on("pageerror", lambda e: complaints.append(f"exception: {e}"))
    page.on(
        "request",
        lambda r: (
            complaints.append(f"request: {r.url[:200]}")
            if not r.url.startswith((live.url, live.url.replace("http", "ws"), "blob:", "data:"))
            else None
        ),
    )
    page.goto(live.url)
    page.wait_for_selector("#f3d-view[data-glb]")
    try:
        yield page
    finally:
        within.close()
    assert complaints == []


def figure(page: Page, name: str) -> Locator:
    """What the page's chart says of a figure."""
    return page.locator(f"tr[data-figure={name}] td").first


def text_of(page: Page) -> str:
    """The editor's text."""
    return str(page.evaluate("getElement(f3d.editor).editor.state.doc.toString()"))


def type_after(page: Page, place: str, typed: str, *, back: int = 0) -> None:
    """Put the cursor behind a place in the text, take some characters back, type."""
    page.evaluate(
        """(place) => {
          const view = getElement(f3d.editor).editor;
          const at = view.state.doc.toString().indexOf(place);
          if (at < 0) throw new Error(`no ${place}`);
          view.dispatch({ selection: { anchor: at + place.length }, scrollIntoView: true });
          view.focus();
        }""",
        place,
    )
    for _ in range(back):
        page.keyboard.press("Backspace")
    page.keyboard.type(typed)
