"""A folder that one run at a time works in; the system frees it when the run ends, however it ends."""

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
"""How long another run is waited for [s]; writing takes it well below a second."""
LOOK: Final = 0.05
"""How often is looked whether it has ended [s]."""
_WITHOUT_LOCKS: Final = {errno.ENOLCK, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP}
"""What file systems answer that know no locks; there nothing keeps two runs apart."""
_TRIES: Final = 1000


class LockedError(Exception):
    """Another run works in the folder."""


@contextmanager
def held(folder: Path, waiting: Callable[[], None] | None, patience: float) -> Iterator[None]:
    """Hold `folder`, which is made if missing, and removed at the end if nothing is left in it.

    Args:
        folder: the folder; its parent must be there.
        waiting: called again and again while another run holds it.
        patience: how long that run is waited for [s].

    Raises:
        LockedError: it still holds the folder then.
        OSError: the folder or its lock cannot be made, or is something else.
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
        os.close(handle)  # it is the lock of a run that has removed it since
    raise OSError(f"{file} disappears again and again")


def _give_back(folder: Path, handle: int) -> None:
    """Free the folder, and remove what is empty of it.

    The lock goes while it is held, so that nobody's else can be removed; Windows does not remove what is
    open, neither here nor where another run has opened it.
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
