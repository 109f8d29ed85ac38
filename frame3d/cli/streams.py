"""The program's standard streams, which may be closed, full or lack letters, and its interrupt."""

from __future__ import annotations

import _thread
import codecs
import contextlib
import errno
import io
import os
import signal
import sys
import threading
from collections.abc import Callable
from importlib.machinery import ExtensionFileLoader
from types import FrameType
from typing import Any, Final

import click

from frame3d.errors import Fault, printable

_ESCAPES: Final = "frame3d-escapes"
_LOADING: Final = ("create_module", "exec_module")
"""Methods of importlib's `ExtensionFileLoader` that run a library's own code."""
_AGAIN: Final = 0.02
"""How long an interrupt waits for that to end before it is tried again [s]."""


class Stop:
    """Whether the user has asked to stop (Ctrl-C)."""

    def __init__(self, *, watch: bool = True) -> None:
        """Begin.

        Args:
            watch: whether to take the interrupt's signal, where it is Python's own to take.
        """
        self.asked = False
        if watch and signal.getsignal(signal.SIGINT) is signal.default_int_handler:
            signal.signal(signal.SIGINT, self._ask)
            before = sys.unraisablehook

            def unraisable(what: Any) -> None:
                # Python would print a traceback of an interrupt within a callback, and go on.
                if not self.asked or os.environ.get("FRAME3D_DEBUG"):
                    before(what)

            sys.unraisablehook = unraisable

    def _ask(self, number: int, frame: FrameType | None) -> None:
        self.asked = True
        if _starts_a_library(frame):
            again = threading.Timer(_AGAIN, _interrupt, (number,))
            again.daemon = True
            again.start()
            return
        raise KeyboardInterrupt


def _interrupt(number: int) -> None:
    """Send the main thread a signal, which ends what it waits for where the system can do that."""
    if sys.platform == "win32":
        _thread.interrupt_main(number)
    else:
        signal.pthread_kill(threading.main_thread().ident or 0, number)


def _starts_a_library(frame: FrameType | None) -> bool:
    """Return whether compiled code is being loaded: an exception that is raised in it may crash it."""
    while frame is not None:
        loader = frame.f_locals.get("self")
        if frame.f_code.co_name in _LOADING and isinstance(loader, ExtensionFileLoader):
            return True
        frame = frame.f_back
    return False


class _Closed:
    """Stands in for a stream that the program was started without."""

    encoding = "utf-8"
    errors = "strict"

    def write(self, text: str) -> int:
        """Refuse.

        Raises:
            OSError: always, unless there is nothing to write.
        """
        if text:
            raise OSError(errno.EBADF, "standard output is closed")
        return 0

    def flush(self) -> None:
        """Do nothing."""

    def isatty(self) -> bool:
        """Return False."""
        return False


def fill_closed() -> None:
    """Put something in place of standard streams that are closed.

    Else the first file that is opened would take a stream's number, and whatever a library prints would
    end up in that file.
    """
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            with contextlib.suppress(OSError):
                os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free
    if sys.stdout is None:
        sys.stdout = _Closed()
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - open to the end


def make_lenient(*, as_json: bool) -> None:
    """Write letters that an output's encoding lacks as ``?``, in JSON as its escapes."""
    codecs.register_error(_ESCAPES, _escaped)
    for stream, errors in (
        (sys.stdout, _ESCAPES if as_json else "replace"),
        (sys.stderr, "replace"),
    ):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            with contextlib.suppress(OSError, ValueError):
                reconfigure(errors=errors)


def _escaped(error: UnicodeError) -> tuple[str, int]:
    r"""Letters as JSON escapes them: ``\u00b0``, pairs of surrogates beyond U+FFFF."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[i : i + 4]}" for i in range(0, len(units), 4)), error.end


def complain(say: Callable[[], None]) -> None:
    """Say something, unless there is nobody left to say it to."""
    with contextlib.suppress(OSError, ValueError):
        say()


def say(text: str, *, nl: bool = True, err: bool = False) -> None:
    """Write to the terminal, or whatever the output goes to; no control character is let through."""
    click.echo(printable(text, keep="\n\t"), nl=nl, err=err)


def say_usage(error: click.ClickException) -> None:
    """Show what is wrong with a command's words, as click does, with control characters escaped."""
    shown = io.StringIO()
    error.show(shown)
    say(shown.getvalue(), nl=False, err=True)


def drop_output() -> None:
    """Send what has not been written to standard output nowhere."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def flushed() -> bool:
    """Write what is left; whether that went well or its reader has left."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        pass
    except (OSError, ValueError):
        return False
    with contextlib.suppress(OSError, ValueError):
        sys.stderr.flush()
    return True


def refused(error: OSError | MemoryError) -> Fault:
    """Return the fault of something that the system did not give."""
    if isinstance(error, MemoryError):
        return Fault(
            "output", "", "there is not enough memory", "close other programs, and try again"
        )
    why = error.strerror or str(error) or type(error).__name__
    where = f" ({error.filename})" if isinstance(error.filename, str) else ""
    return Fault(
        "output",
        "",
        f"the system refuses: {why}{where}",
        "make room or give access there, or send the output somewhere else, e.g. with -o",
    )
