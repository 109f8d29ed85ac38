"""Event loops for tests: Playwright keeps one running in the thread that tests run in."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")


def run(play: Coroutine[Any, Any, T]) -> T:
    """Run a coroutine to its end, in a loop and a thread of its own."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, play).result()
