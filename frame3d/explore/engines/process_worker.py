"""A process that evaluates pieces of designs for its parent, and ends with it."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from multiprocessing.connection import Connection
from typing import Final

from frame3d.explore.engines.engine import Make
from frame3d.explore.engines.work import Evaluators, Worked, work
from frame3d.explore.study.study import Design, Study
from frame3d.threads import LINEAR_ALGEBRA

READY: Final = "ready"
_ONE_THREAD: Final = (
    *LINEAR_ALGEBRA,
    "OMP_NUM_THREADS",
    "NUMEXPR_NUM_THREADS",
    "NUMBA_NUM_THREADS",
)
"""Settings of libraries that would start threads of their own; read when those are imported."""


class Hand:
    """A worker process as its parent sees it."""

    def __init__(self, make: Make) -> None:
        """Start the process."""
        context = multiprocessing.get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, make), daemon=True)
        with _one_thread_each():
            self._process.start()
        theirs.close()
        self.greeted = False
        """Whether it has said that it is ready."""
        self._study: Study | None = None

    def send(self, study: Study, designs: tuple[Design, ...]) -> None:
        """Hand a piece over; nothing happens where the process has just died, which its pipe tells."""
        new = None if study is self._study else study
        self._study = study
        with contextlib.suppress(OSError):
            self.pipe.send((new, designs))

    def receive(self) -> Worked | None:
        """Return the result of a piece; None for the process's greeting.

        Raises:
            EOFError: the process has died.
        """
        try:
            said = self.pipe.recv()
        except OSError:
            raise EOFError from None
        if said == READY:
            self.greeted = True
            return None
        assert isinstance(said, Worked)
        return said

    def end(self) -> None:
        """End the process, whatever it does."""
        self._process.kill()
        self._process.join(5)
        with contextlib.suppress(OSError):
            self.pipe.close()


@contextlib.contextmanager
def _one_thread_each() -> Iterator[None]:
    """Let processes that are started within have one thread for linear algebra."""
    before = {name: os.environ.get(name) for name in _ONE_THREAD}
    os.environ.update(dict.fromkeys(_ONE_THREAD, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _serve(pipe: Connection, make: Make) -> None:
    """Evaluate pieces until the pipe closes: the main function of the process."""
    # A key that stops the program stops the parent, which ends this process in good order.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    evaluators = Evaluators()
    study: Study | None = None
    with contextlib.suppress(EOFError, OSError):
        pipe.send(READY)
        while True:
            new, designs = pipe.recv()
            study = study if new is None else new
            assert study is not None
            pipe.send(work(evaluators, make, study, designs))


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)
