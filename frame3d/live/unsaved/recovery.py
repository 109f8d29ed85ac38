"""Unsaved text in the results' folder, which outlives a server that is killed.

Each workspace has a place of its own: a hidden folder that only its user may look into, locked as
long as the workspace runs. A place that nobody holds, with a text in it, was left by a killed one.
"""

from __future__ import annotations

import contextlib
import json
import math
import os
import stat
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from threading import Lock
from typing import Any, Final

from frame3d.errors import OutputError
from frame3d.formats.folder_lock import LockedError, held
from frame3d.formats.writer import settle, write

PREFIX: Final = ".frame3d-unsaved"
NAME: Final = "unsaved.json"
FORMAT: Final = "frame3d unsaved 1"
PLACES: Final = 20
"""Largest number of workspaces of one file that keep a text."""
LARGEST: Final = 1 << 23
"""Largest size of a kept text that is read [bytes]: JSON makes up to six of one."""


@dataclass(frozen=True, slots=True)
class Unsaved:
    """What a workspace has that its file has not."""

    text: str
    tried: Mapping[str, float]
    """Values of sliders by path."""
    saved: str
    """`text_sum` of the file's text at that time; empty where it had none."""


@dataclass(frozen=True, slots=True)
class Left:
    """What a killed workspace has left."""

    place: Place
    unsaved: Unsaved
    time: datetime
    """When it was kept last."""


def text_sum(text: object) -> str:
    """Return the check sum of a text; empty for anything else."""
    return sha256(text.encode()).hexdigest() if isinstance(text, str) else ""


class Place:
    """A folder for the unsaved text of one workspace."""

    def __init__(self, folder: Path, file: str) -> None:
        """Name a place without making it.

        Args:
            folder: the place.
            file: path of the parameter file, which the kept text names.
        """
        self.folder, self._file = folder, file
        self._lock = ExitStack()

    @property
    def is_used(self) -> bool:
        """Whether a kept text stands here."""
        return os.path.lexists(self.folder / NAME)

    def take(self) -> bool:
        """Lock the place, which is made if missing; return whether no other workspace holds it.

        Raises:
            OSError: it cannot be made or locked.
        """
        with contextlib.suppress(FileExistsError):
            self.folder.mkdir(mode=0o700)
        try:
            self._lock.enter_context(held(self.folder, None, 0.0))
        except LockedError:
            return False
        return True

    def leave(self) -> None:
        """Unlock the place; it is removed if nothing is kept in it."""
        self._lock.close()

    def keep(self, unsaved: Unsaved) -> None:
        """Write the unsaved text.

        Raises:
            OutputError: it cannot be written.
        """
        document = {
            "format": FORMAT,
            "file": self._file,
            "saved": unsaved.saved,
            "tried": dict(unsaved.tried),
            "text": unsaved.text,
        }
        write({NAME: json.dumps(document, indent=1).encode()}, self.folder, private=True)

    def read(self) -> Left | None:
        """Return what is kept here; None where nothing is, or another file's text.

        Raises:
            OSError: it cannot be read.
            ValueError: it is damaged, or was not written by frame3d.
        """
        with contextlib.suppress(OutputError):  # what is there may be read all the same
            settle(self.folder)
        path = self.folder / NAME
        if not os.path.lexists(path):
            return None
        state = path.lstat()
        if not stat.S_ISREG(state.st_mode) or state.st_size > LARGEST:
            raise ValueError("no kept text")
        try:
            document = json.loads(path.read_bytes())
            if document["format"] != FORMAT:
                raise ValueError("of another format")
            if document["file"] != self._file:
                return None
            return Left(self, _unsaved(document), datetime.fromtimestamp(state.st_mtime))
        except (KeyError, TypeError, RecursionError, OverflowError) as problem:
            raise ValueError("damaged") from problem

    def remove(self) -> None:
        """Remove the kept text.

        Raises:
            OSError: it cannot be removed.
        """
        (self.folder / NAME).unlink(missing_ok=True)


def _unsaved(document: Mapping[str, Any]) -> Unsaved:
    text, saved, tried = document["text"], document["saved"], dict(document["tried"])
    numbers = all(isinstance(v, int | float) and math.isfinite(v) for v in tried.values())
    if not (isinstance(text, str) and isinstance(saved, str) and numbers):
        raise ValueError("damaged")
    text.encode()  # half a surrogate pair is no text
    return Unsaved(text, {str(path): float(value) for path, value in tried.items()}, saved)


class Recovery:
    """The unsaved texts of one parameter file."""

    def __init__(self, folder: Path, file: Path) -> None:
        """Touch nothing yet.

        Args:
            folder: where results go.
            file: the parameter file.
        """
        self.folder = folder
        self._file = str(file.resolve())
        self._own: Place | None = None
        self._others: list[Place] = []
        self._made: list[Path] = []
        self._turn = Lock()
        """One thread at a time: one that nobody waits for any more may still be writing."""

    def left(self) -> tuple[list[Left], list[str]]:
        """Lock and return what killed workspaces have left, newest first, and what cannot be read."""
        found, problems = [], []
        for place in self._places():
            try:
                place.folder.lstat()
            except (FileNotFoundError, NotADirectoryError):
                continue
            except OSError:
                return [], [str(self.folder)]
            with contextlib.suppress(
                OSError
            ):  # on a disk that is read-only nobody else writes either
                if not place.take():
                    continue
            try:
                one = place.read()
            except (OSError, ValueError):
                problems.append(str(place.folder / NAME))
                one = None
            if one is None:
                place.leave()
            else:
                self._others.append(place)
                found.append(one)
        return sorted(found, key=lambda one: one.time, reverse=True), problems

    def keep(self, unsaved: Unsaved) -> None:
        """Keep the workspace's own unsaved text.

        Raises:
            OutputError: it cannot be written.
            OSError: its place cannot be made.
        """
        with self._turn:
            if self._own is None:
                self._own = self._free()
            self._own.keep(unsaved)

    def forget(self) -> None:
        """Remove the workspace's own text and its place.

        Raises:
            OSError: it cannot be removed.
        """
        with self._turn:
            if self._own is not None:
                self._own.remove()
                self._own.leave()
                self._own = None
            for place in self._made:
                with contextlib.suppress(OSError):  # there are results in it by now
                    place.rmdir()
            self._made = []

    def drop(self, left: Left) -> None:
        """Remove what a killed workspace has left.

        Raises:
            OSError: it cannot be removed.
        """
        left.place.remove()
        left.place.leave()

    def close(self) -> None:
        """Unlock all places; the texts that are still kept stay."""
        with self._turn:
            for place in (*self._others, *(() if self._own is None else (self._own,))):
                place.leave()

    def _places(self) -> Iterator[Place]:
        name = f"{PREFIX}-{text_sum(self._file)[:12]}"
        for number in range(1, PLACES + 1):
            yield Place(self.folder / f"{name}-{number}", self._file)

    def _free(self) -> Place:
        """Return a place that nobody holds and where nothing is kept, locked."""
        self._made = [p for p in (self.folder, *self.folder.parents) if not os.path.lexists(p)]
        self.folder.mkdir(parents=True, exist_ok=True)
        for place in self._places():
            if place.take():
                if not place.is_used:
                    return place
                place.leave()
        raise OSError(f"{self.folder} holds {PLACES} unsaved texts of this file")
