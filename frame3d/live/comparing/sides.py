"""The two bikes that are compared: the present one, bikes of its file, saved versions, other files."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from frame3d.bike.choice import Choice
from frame3d.errors import Fault, FrameError, SpecError
from frame3d.family.members import Missing
from frame3d.live.choosing.others import Others, label_of
from frame3d.live.session import Session
from frame3d.live.solved_text import SolvedText, exchanged, good
from frame3d.parameters.reading.reader import read_text
from frame3d.report.texts import Texts

NOW, LAST, GIVEN, EXCHANGED = "now", "last", "given", "exchanged"
"""Keys of the present bike, the version saved last, a file that a page has sent, an exchange. Others are
``version 3``, ``file small.yaml``, and ``bike L low`` for a size with a setting of the present file."""
KINDS: Final = (".yaml", ".yml")
MOST: Final = 100
"""Largest number of files beside the workspace's own that are offered, and of bikes of the present
one."""
_NEXT_SWAP: Final = re.compile(r"\s+(?=[\w.]+\s*=)")


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two bikes."""

    name: str
    solved: SolvedText


class Sides:
    """What can be compared, and what is."""

    def __init__(
        self,
        session: Session,
        file: Path,
        texts: Texts,
        now: Callable[[], SolvedText | None],
        others: Others | None = None,
    ) -> None:
        """Compare the version saved last with the present bike.

        Args:
            session: whose saved versions are offered.
            file: the workspace's own; others in its folder are offered.
            texts: of the pages.
            now: returns the bike in view.
            others: solves and keeps bikes beside it.
        """
        self.chosen = (LAST, NOW)
        """Keys of both."""
        self.reads_others = True
        """Whether files beside the workspace's own may be read."""
        self._session, self._file, self._texts, self._now = session, file, texts, now
        self._others = Others(file.name) if others is None else others
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
        found += [(key, self._named(choice)) for key, choice in self._bikes().items()]
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
            FrameError: a file cannot be read, or what is chosen makes no bike; the choice is as before.
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
            faults = self._solve(key)
            if faults:
                raise SpecError(faults)
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
        """Follow the present bike: make the exchange on it, solve what is compared in its text or size.

        A bike of the file that the text no longer has is no longer compared.
        """
        now, last = self._now(), self._exchanged
        if now is None:
            return
        if (
            last is not None
            and (now.text, replace(now.choice, swaps=self._swaps)) != last.solved.key
        ):
            with contextlib.suppress(FrameError):  # the last one that could be made stays
                self._exchanged = self._with(now, self._swaps)
        bikes = self._bikes()
        self.chosen = (
            LAST if _is_gone(self.chosen[0], bikes) else self.chosen[0],
            NOW if _is_gone(self.chosen[1], bikes) else self.chosen[1],
        )
        for key in self.chosen:
            self._solve(key)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Why one of the two cannot be made in the present text or size; empty where both can."""
        found: list[Fault] = []
        for key in self.chosen:
            wanted = self._wanted(key)
            other = None if wanted is None else self._others.known(wanted[0].text, wanted[1])
            if other is not None and isinstance(other.outcome, Missing):
                found += other.outcome.faults
        return tuple(found)

    def _bikes(self) -> dict[str, Choice]:
        """Return the bikes of the present text by their keys: each size, as drawn and with each setting.

        Where that would be too many, other sizes than the present one are offered as drawn.
        """
        now = self._now()
        if now is None:
            return {}
        offered = now.bike.spec.variants
        if not offered.sizes and not offered.settings:
            return {}
        sizes = offered.sizes or (None,)
        made = [(), *((name,) for name in offered.settings)]
        every = len(sizes) * len(made) <= MOST
        choices = (
            Choice(size, settings)
            for size in sizes
            for settings in made
            if every or not settings or size == now.choice.size
        )
        return {f"bike {label_of(choice)}": choice for choice in choices}

    def _named(self, choice: Choice) -> str:
        """Return the name of a bike of the present text."""
        parts = [self._texts("live.compare.size", size=choice.size)] if choice.size else []
        return ", ".join((*parts, *choice.settings)) or self._texts("live.compare.drawn")

    def _wanted(self, key: str) -> tuple[SolvedText, Choice] | None:
        """Return a bike whose text is meant, and which bike of that; None for one that is as it is.

        Versions and other files are seen in the present size and settings, where they have such.
        """
        now = self._now()
        if now is None:
            return None
        bikes = self._bikes()
        if key in bikes:
            return now, bikes[key]
        side = self._as_read(key)
        if side is None:
            return None
        return side.solved, now.choice.fitted(side.solved.bike.spec.variants)

    def _solve(self, key: str) -> tuple[Fault, ...]:
        """Solve the bike of a key, unless it is known; return its faults."""
        wanted = self._wanted(key)
        if wanted is None or wanted[0].choice == wanted[1]:
            return ()
        outcome = self._others.solve(wanted[0].text, wanted[1]).outcome
        return outcome.faults if isinstance(outcome, Missing) else ()

    def _with(self, now: SolvedText, swaps: tuple[str, ...]) -> Side:
        name = self._texts("live.compare.exchanged", swaps=", ".join(swaps))
        return Side(name, exchanged(now, swaps, self._file.name))

    def _side(self, key: str) -> Side | None:
        now = self._now()
        if key == NOW:
            return None if now is None else Side(self._texts("live.compare.present"), now)
        if key == EXCHANGED:
            return self._exchanged
        wanted, read = self._wanted(key), self._as_read(key)
        if wanted is None:
            return read
        base, choice = wanted
        other = None if base.choice == choice else self._others.known(base.text, choice)
        solved = base if base.choice == choice else None if other is None else other.solved
        if solved is None:
            return None
        if read is None:
            return Side(self._named(choice), solved)
        is_other = key == GIVEN or key in self._read
        return Side(solved.bike.spec.variants.titled(read.name) if is_other else read.name, solved)

    def _as_read(self, key: str) -> Side | None:
        """Return a saved version or another file, in the size that it was solved in."""
        kept = self._session.kept
        if key == GIVEN:
            return self._given
        if key in self._read:
            return self._read[key]
        wanted = kept[-1:] if key == LAST else [k for k in kept if key == f"version {k.number}"]
        return next((Side(self._version(k.number), k.solved) for k in wanted), None)

    def _version(self, number: int) -> str:
        if number == 0:
            return self._texts("live.compare.opened")
        return self._texts("live.compare.kept", number=number)


def _is_gone(key: str, bikes: dict[str, Choice]) -> bool:
    return key.startswith("bike ") and key not in bikes
