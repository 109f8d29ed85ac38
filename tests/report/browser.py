"""A browser for tests: Debian's Chromium with software GL, or playwright's own."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

FLAGS = [
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--no-sandbox",
    "--hide-scrollbars",
]
WIDE, PHONE = (1400, 900), (390, 844)


@contextmanager
def chromium() -> Iterator[Browser]:
    """A running browser; where there is none, tests are skipped, or fail in CI."""
    try:
        from playwright.sync_api import Error, sync_playwright
    except ImportError:
        _missing("playwright is not installed")
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as playwright:
        try:
            browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        except Error as problem:
            _missing(f"no browser starts: {problem.message.splitlines()[0]}")
        yield browser
        browser.close()


def _missing(why: str) -> None:
    if os.environ.get("CI"):
        pytest.fail(why)
    pytest.skip(why)


@contextmanager
def quiet_page(browser: Browser, size: tuple[int, int] = WIDE, **more: object) -> Iterator[Page]:
    """A page without a network, which may neither complain nor ask for anything outside.

    Fails at the end on any message of the console that is a warning or an error, on any exception, and
    on any request that is not for the page itself, a blob or data.
    """
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, offline=True, **more
    )
    page = context.new_page()
    complaints: list[str] = []
    page.on(
        "console",
        lambda m: (
            complaints.append(f"{m.type}: {m.text}") if m.type in ("error", "warning") else None
        ),
    )
    page.on("pageerror", lambda e: complaints.append(f"exception: {e}"))
    page.on(
        "request",
        lambda r: (
            complaints.append(f"request: {r.url[:200]}")
            if not r.url.startswith(("file:", "blob:", "data:"))
            else None
        ),
    )
    try:
        yield page
    finally:
        context.close()
    assert [c for c in complaints if not _of_software_gl(c)] == []


def _of_software_gl(complaint: str) -> bool:
    """What Chromium says of its software GL when pixels are read; no fault of the page."""
    return (
        "GPU stall due to ReadPixels" in complaint or "Automatic fallback to software" in complaint
    )
