"""One browser for all tests of pages."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

from tests.report.browser import chromium

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Headless Chromium."""
    with chromium() as running:
        yield running
