"""A workspace that is edited over and over: what its memory does."""

from __future__ import annotations

import gc
import tempfile
import tracemalloc
from pathlib import Path

from tests.live.loops import run
from tests.live.test_workspace import FakePage, workspace_in


def growth(count: int, *, after: int) -> float:
    """Return the memory gained per edit over `count` edits [bytes], counted after the first `after`.

    Each edit is typed, solved, drawn and shown before the next.
    """

    async def play(folder: Path) -> float:
        async with workspace_in(folder) as workspace:
            page = FakePage(workspace, 1)
            reach, held = 455, 0
            for edit in range(after + count):
                if edit == after:
                    gc.collect()
                    held = tracemalloc.get_traced_memory()[0]
                new = 440 + edit % 30 + (edit % 30 >= reach - 440)
                page.type(f"reach: {reach}", f"reach: {new}")
                reach = new
                wanted = f"<td>{new}.0"
                await page.until(
                    lambda page, wanted=wanted: (
                        wanted in page.html.get("figures", "") and not page.state["dim"]
                    )
                )
            gc.collect()
            return (tracemalloc.get_traced_memory()[0] - held) / count

    tracemalloc.start()
    try:
        with tempfile.TemporaryDirectory() as folder:
            return run(play(Path(folder)))
    finally:
        tracemalloc.stop()
