"""The two bikes that are compared: any of the present one, saved versions, other files, an exchange."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from frame3d.errors import FrameError
from frame3d.live.session import Session
from frame3d.live.solved_text import SolvedText, exchanged, good
from frame3d.parameters.reading.reader import read_text
from frame3d.report.texts import Texts

NOW, LAST, GIVEN, EXCHANGED = "now", "last", "given", "exchanged"
"""Keys of the present bike, the version saved last, a file that a page has sent, an exchange. Others are
``version 3`` and ``file small.yaml``."""
KINDS: Final = (".yaml", ".yml")
MOST: Final = 100
"""Largest number of files beside the workspace's own that are offered."""
_NEXT_SWAP: Final = re.compile(r"\s+(?=[\w.]+\s*=)")


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two bikes."""

    name: str
    solved: SolvedText


class Sides:
    """What can be compared, and what is."""

    def __init__(
        self, session: Session, file: Path, texts: Texts, now: Callable[[], SolvedText | None]
    ) -> None:
        """Compare the version saved last with the present bike.

        Args:
            session: whose saved versions are offered.
            file: the workspace's own; others in its folder are offered.
            texts: of the pages.
            now: returns the bike in view.
        """
        self.chosen = (LAST, NOW)
        """Keys of both."""
        self.reads_others = True
        """Whether files beside the workspace's own may be read."""
        self._session, self._file, self._texts, self._now = session, file, texts, now
        self._given: Side | None = None
        self._exchanged: Side | None = None
        self._swaps: tuple[str, ...] = ()
        self._beside: tuple[str, ...] = ()
        self._read: dict[str, Side] = {}
        """Sides that were read from files, by key."""

    @property
    def pair(self) -> tuple[Side | None, Side | None]:
        """Both sides, each None where it is not there yet."""
        return self._side(self.chosen[0]), self._side(self.chosen[1])

    @property
    def before(self) -> Side | None:
        """The first side; None where that is the present bike."""
        return None if self.chosen[0] == NOW else self.pair[0]

    @property
    def after(self) -> Side | None:
        """The second side; None where that is the present bike."""
        return None if self.chosen[1] == NOW else self.pair[1]

    def options(self) -> list[tuple[str, str]]:
        """Return what can be chosen: keys and names."""
        say = self._texts
        found = [(NOW, say("live.compare.present")), (LAST, say("live.compare.last"))]
        found += [(f"version {k.number}", self._version(k.number)) for k in self._session.kept]
        found += [(f"file {name}", name) for name in self._beside]
        found += [(GIVEN, self._given.name)] if self._given is not None else []
        return found + ([(EXCHANGED, self._exchanged.name)] if self._exchanged is not None else [])

    def look(self) -> None:
        """Look for other parameter files in the folder of the workspace's own."""
        own = self._file.resolve()
        found: list[str] = []
        if self.reads_others:
            with contextlib.suppress(OSError):
                found = [
                    path.name
                    for path in sorted(own.parent.iterdir())
                    if path.suffix.lower() in KINDS and path.name[0] != "." and path != own
                ]
        self._beside = tuple(found[:MOST])

    def choose(self, first: str, second: str) -> None:
        """Compare two of the options; a file is read anew. Other keys are ignored.

        Raises:
            FrameError: a file cannot be read, or makes no bike; the choice is as before.
        """
        self.look()
        known = {key for key, _ in self.options()}
        if not {first, second} <= known:
            return
        for key in (first, second):
            if key.startswith("file "):
                name = key.removeprefix("file ")  # it is in the list, so it names no other folder
                text = read_text(self._file.resolve().parent / name)
                plain = text.replace("\r\n", "\n").replace("\r", "\n")
                if key not in self._read or self._read[key].solved.text != plain:
                    self._read[key] = Side(name, good(plain, name))
        self.chosen = (first, second)

    def give(self, name: str, text: str) -> None:
        """Compare another file, whose text a page has sent, with the present bike.

        Raises:
            FrameError: the text makes no bike; the choice is as before.
        """
        self._given = Side(name, good(text, name))
        self.chosen = (GIVEN, NOW)

    def exchange(self, typed: str) -> None:
        """Compare the present bike with itself after an exchange of parts, as ``--swap`` has them.

        Raises:
            FrameError: it cannot be made; the choice is as before.
        """
        now = self._now()
        swaps = tuple(swap for swap in _NEXT_SWAP.split(typed.strip()) if swap)
        if now is None or not swaps:
            return
        self._exchanged = self._with(now, swaps)
        self._swaps = swaps
        self.chosen = (NOW, EXCHANGED)

    def follow(self) -> None:
        """Make the exchange on the present bike, where that has changed."""
        now, last = self._now(), self._exchanged
        if now is None or last is None or last.solved.text == now.text:
            return
        with contextlib.suppress(FrameError):  # the last one that could be made stays
            self._exchanged = self._with(now, self._swaps)

    def _with(self, now: SolvedText, swaps: tuple[str, ...]) -> Side:
        name = self._texts("live.compare.exchanged", swaps=", ".join(swaps))
        return Side(name, exchanged(now, swaps, self._file.name))

    def _side(self, key: str) -> Side | None:
        kept = self._session.kept
        if key == NOW:
            now = self._now()
            return None if now is None else Side(self._texts("live.compare.present"), now)
        if key == GIVEN:
            return self._given
        if key == EXCHANGED:
            return self._exchanged
        if key in self._read:
            return self._read[key]
        wanted = kept[-1:] if key == LAST else [k for k in kept if key == f"version {k.number}"]
        return next((Side(self._version(k.number), k.solved) for k in wanted), None)

    def _version(self, number: int) -> str:
        if number == 0:
            return self._texts("live.compare.opened")
        return self._texts("live.compare.kept", number=number)
