"""Lock a folder for one run at a time; the system unlocks it when the run ends, even if it is killed."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

LOCK: Final = "lock"
"""Name of the file that is locked."""
PATIENCE: Final = 60.0
"""Longest time to wait for another run [s]; a run writes for well below a second."""
LOOK: Final = 0.05
"""Time between two attempts to lock [s]."""
_WITHOUT_LOCKS: Final = {errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP}
"""Errors of file systems without locks, where nothing keeps two runs apart."""
_TRIES: Final = 1000


class LockedError(Exception):
    """Another run holds the folder."""


@contextmanager
def held(folder: Path, waiting: Callable[[], None] | None, patience: float) -> Iterator[None]:
    """Lock `folder` within a `with` block; it is made if missing, and removed at the end if empty.

    Args:
        folder: the folder; its parent must be there.
        waiting: called every `LOOK` seconds while another run holds the folder.
        patience: longest time to wait for that run [s].

    Raises:
        LockedError: another run still holds the folder after that time.
        OSError: the folder or its lock file cannot be made, or something else has its name.
    """
    until = time.monotonic() + patience
    while (handle := _take(folder)) is None:
        if time.monotonic() >= until:
            raise LockedError
        if waiting is not None:
            waiting()
        time.sleep(LOOK)
    try:
        yield
    finally:
        _give_back(folder, handle)


def _take(folder: Path) -> int | None:
    """Return the handle of the locked file; None where another run holds it."""
    file = folder / LOCK
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    for _ in range(_TRIES):
        with contextlib.suppress(FileExistsError):
            folder.mkdir()
        try:
            if not stat.S_ISDIR(os.lstat(folder).st_mode):
                raise OSError(f"{folder} is no folder")
            handle = os.open(file, flags, 0o666)
        except FileNotFoundError:
            continue  # the run that held the folder has just removed it
        try:
            if not stat.S_ISREG(os.fstat(handle).st_mode):
                raise OSError(f"{file} is no plain file")
            if not _locked(handle):
                os.close(handle)
                return None
            with contextlib.suppress(FileNotFoundError):
                if os.path.samestat(os.fstat(handle), os.stat(file)):
                    return handle
        except BaseException:
            os.close(handle)
            raise
        os.close(handle)  # a run has removed this lock file since
    raise OSError(f"{file} disappears again and again")


def _give_back(folder: Path, handle: int) -> None:
    """Unlock the folder; remove the lock file, and the folder if it is empty.

    The lock file is removed while it is locked, so that it cannot be another run's by then. Windows
    removes no open file: there it is closed first, and stays where another run has opened it.
    """
    if sys.platform == "win32":
        os.close(handle)
    with contextlib.suppress(OSError):
        os.unlink(folder / LOCK)
        os.rmdir(folder)
    if sys.platform != "win32":
        os.close(handle)


if sys.platform == "win32":

    def _locked(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError as problem:
            if problem.errno in (errno.EACCES, errno.EDEADLK):
                return False
            raise
        return True

else:

    def _locked(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError as problem:
            if problem.errno not in _WITHOUT_LOCKS:
                raise
        return True
