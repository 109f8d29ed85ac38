"""Progress of slow work: a bar on a terminal, nothing elsewhere."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Progress = Callable[[str, float], None]
"""Called with what is being done and the share done, 0 to 1."""


@contextmanager
def bar(silent: bool) -> Iterator[Progress]:
    """Yield a progress bar on stderr, removed when done; none where `silent` or not on a terminal."""
    if silent or not sys.stderr.isatty():
        yield lambda _what, _share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    columns = (TextColumn("{task.description:<28}"), BarColumn(), TimeElapsedColumn())
    with Bar(*columns, console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task("starting the CAD kernel", total=1.0)

        def progress(what: str, share: float) -> None:
            shown.update(task, description=what, completed=share)

        yield progress
