"""A separate process for slow work, which can be killed if it hangs.

It runs one job at a time. A newer job replaces an older one: when the older one next reports progress,
or, if it does not report in time, by killing the process.
"""

from __future__ import annotations

import asyncio
import contextlib
import faulthandler
import multiprocessing
import os
import signal
import threading
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any, Final

from frame3d.errors import Fault, FrameError

SILENCE: Final = 120.0
"""A job without any message for this long counts as hung [s]; compiling kernels takes 15 s."""
GRACE: Final = 5.0
"""Time that an older job has to stop for a newer one [s]."""

LONGEST: Final = 500
"""Characters of a defect that users are told."""

_REPORT: Final = (
    "please report it with your parameter file; started with FRAME3D_DEBUG=1, frame3d shows in its "
    "terminal where it happened"
)

READY, STOP = "ready", "stop"
ENDS: Final = frozenset({"done", "faults", "lost"})
"""Kinds of the last message of a job that is not replaced."""


@dataclass(frozen=True, slots=True)
class Message:
    """A message of a worker about a job."""

    job: int
    kind: str
    """``progress`` (what, share), ``done``, ``replaced``, ``faults`` (faults), ``lost`` (reason:
    ``silent``, ``died`` or ``defect``; detail), or a kind of the job's own."""
    what: Any = None


Post = Callable[[str, Any], None]
"""Sends a message of the job: kind and data. Raises `Replaced` where a newer job is waiting."""
Run = Callable[[str, tuple[Any, ...], Post], None]
"""The function that does a job, called with its kind, its arguments and its `Post`."""


class Replaced(Exception):  # noqa: N818 - no error, a way out
    """Raised in a job when a newer one is waiting."""


class Worker:
    """A process that runs jobs; it is started by the first job.

    Methods are called in the event loop, and so is `on_message`.
    """

    def __init__(
        self,
        entry: str,
        on_message: Callable[[Message], None],
        *,
        silence: float = SILENCE,
        grace: float = GRACE,
        nice: int = 5,
    ) -> None:
        """Prepare the worker without starting the process.

        Args:
            entry: the `Run` function, as ``module:function``.
            on_message: called with every message.
            silence: time without messages after which a job counts as hung [s].
            grace: time that an older job has to stop for a newer one [s].
            nice: niceness of the process, so that it does not slow down answers to the user.
        """
        self.entry = entry
        self.nice = nice
        self.on_message = on_message
        self.silence, self.grace = silence, grace
        self.job = 0
        """Number of the last job."""
        self.busy = False
        """Whether the last job has not ended yet."""
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._greeted = False
        """Whether the process has ever been ready."""
        self._ready = False
        self._running = 0
        """Number of the job that the process is at."""
        self._call: tuple[str, tuple[Any, ...]] = ("", ())
        self._alarm: asyncio.TimerHandle | None = None

    @property
    def pid(self) -> int | None:
        """Process id; None where it does not run."""
        return None if self._process is None else self._process.pid

    def start(self, kind: str, *arguments: Any) -> int:
        """Start a job in place of the running one; return its number."""
        self.job += 1
        self._call = (kind, arguments)
        going_on, self.busy = self.busy, True
        if self._process is None:
            self._open()
        elif self._ready:
            self._hand_over()
        elif going_on and self._running == self.job - 1:
            # Only the first newer job asks the older one to stop; later ones take its place.
            self._send(STOP)
            self._watch(self.grace, self._make_way)
        return self.job

    def stop(self) -> None:
        """Stop the last job; its later messages are ignored."""
        if self.busy:
            asked = self._running != self.job
            self.job += 1
            self.busy = False
            if self._process is not None and not self._ready and not asked:
                self._send(STOP)
                self._watch(self.grace, self._make_way)

    def close(self) -> None:
        """End the process, whatever it does."""
        self.busy = False
        self._kill()

    def _open(self) -> None:
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(
            target=_serve, args=(theirs, self.entry, 2 * self.silence, self.nice), daemon=True
        )
        process.start()
        theirs.close()
        self._process, self._pipe = process, ours
        self._ready = self._greeted = False
        loop = asyncio.get_running_loop()
        threading.Thread(target=self._listen, args=(loop, process, ours), daemon=True).start()
        self._watch(self.silence, self._hung)

    def _listen(
        self, loop: asyncio.AbstractEventLoop, process: BaseProcess, pipe: Connection
    ) -> None:
        """Pass on the process's messages until it ends; runs in a thread."""
        with contextlib.suppress(EOFError, OSError, RuntimeError):
            while True:
                said = pipe.recv()
                loop.call_soon_threadsafe(self._hear, process, said)
        with contextlib.suppress(RuntimeError):  # the loop has ended too
            loop.call_soon_threadsafe(self._ended, process)

    def _hear(self, process: BaseProcess, said: Message) -> None:
        if process is not self._process:
            return
        if said.kind == READY:
            self._ready = self._greeted = True
            self._watch(None)
            if self.busy:
                self._hand_over()
            return
        if said.job == self.job:
            if said.kind in ENDS:
                self.busy = False
                self._watch(None)
            else:
                self._watch(self.silence, self._hung)
        self.on_message(said)

    def _hand_over(self) -> None:
        self._ready, self._running = False, self.job
        self._watch(self.silence, self._hung)
        self._send((self.job, *self._call))

    def _send(self, message: Any) -> None:
        assert self._pipe is not None
        # Where the process has just died, `_ended` tells.
        with contextlib.suppress(OSError):
            self._pipe.send(message)

    def _ended(self, process: BaseProcess) -> None:
        if process is self._process:
            self._lost("died", "")

    def _hung(self) -> None:
        self._lost("silent", f"{self.silence:.0f}")

    def _lost(self, why: str, detail: str) -> None:
        replaced = self._greeted and self._running != self.job
        self._kill()
        if self.busy and replaced:  # an older job's end; the one that counts is still to come
            self._open()
        elif self.busy:
            self.busy = False
            self.on_message(Message(self.job, "lost", (why, detail)))

    def _make_way(self) -> None:
        self._kill()
        if self.busy:
            self._open()

    def _watch(self, after: float | None, act: Callable[[], None] | None = None) -> None:
        """Restart the timer, or switch it off: after this time [s] it calls `act`."""
        if self._alarm is not None:
            self._alarm.cancel()
        self._alarm = None
        if after is not None and act is not None:
            self._alarm = asyncio.get_running_loop().call_later(after, act)

    def _kill(self) -> None:
        self._watch(None)
        process, pipe = self._process, self._pipe
        self._process = self._pipe = None
        self._ready = self._greeted = False
        if process is not None:
            process.kill()
            process.join(5)
        if pipe is not None:
            with contextlib.suppress(OSError):
                pipe.close()


def _serve(pipe: Connection, entry: str, patience: float, nice: int) -> None:
    """Run jobs until the pipe closes: the main function of the process."""
    if hasattr(os, "nice"):
        os.nice(nice)
    # A key that stops the program stops its parent, which ends this one in good order.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    module, _, name = entry.partition(":")
    run: Run = getattr(import_module(module), name)
    with open(os.devnull, "w", encoding="utf-8") as nowhere, contextlib.suppress(EOFError, OSError):
        while True:
            pipe.send(Message(0, READY))
            message = pipe.recv()
            while message == STOP:  # came too late
                message = pipe.recv()
            job, kind, arguments = message

            def post(what: str, detail: Any, job: int = job) -> None:
                if pipe.poll():
                    raise Replaced
                # If the parent is gone and this job hangs with the interpreter's lock held, no thread of
                # ours can end the process; the interpreter's watchdog does.
                faulthandler.dump_traceback_later(patience, exit=True, file=nowhere)
                pipe.send(Message(job, what, detail))

            said = _outcome(run, job, kind, arguments, post)
            faulthandler.cancel_dump_traceback_later()
            pipe.send(said)


def _outcome(run: Run, job: int, kind: str, arguments: tuple[Any, ...], post: Post) -> Message:
    try:
        post("begun", None)
        run(kind, arguments, post)
    except Replaced:
        return Message(job, "replaced")
    except FrameError as error:
        return Message(job, "faults", tuple(error.faults))
    except ConnectionError:  # the pipe is closed
        raise
    except Exception as error:
        return Message(job, "lost", ("defect", defect(error).message))
    return Message(job, "done")


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)


def defect(error: Exception) -> Fault:
    """Return the fault that tells users of an error of frame3d's own, and how to report it.

    With FRAME3D_DEBUG set, the terminal shows where it happened.
    """
    if os.environ.get("FRAME3D_DEBUG"):
        traceback.print_exception(error)
    return Fault(
        "defect",
        "",
        f"frame3d has a defect: {type(error).__name__}: {error}"[:LONGEST],
        _REPORT,
    )


def failure(said: Message) -> tuple[Fault, ...]:
    """Return the faults of a job that failed; none for one that did not."""
    if said.kind == "faults":
        return tuple(said.what)
    if said.kind != "lost":
        return ()
    why, detail = said.what
    if why == "defect":
        return (Fault("defect", "", detail, _REPORT),)
    message, hint = {
        "silent": (
            f"this took too long and was stopped: nothing was heard of it for {detail} s",
            "change a size a little; text, figures and clearances are not affected",
        ),
        "died": (
            "the process that did this has ended unexpectedly",
            "change a size a little, or free some memory, and try again",
        ),
    }[why]
    return (Fault("solid", "", message, hint),)
