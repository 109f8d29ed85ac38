"""The session's state: text, tried values, kept versions, last valid bike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from frame3d.errors import Fault, SpecError
from frame3d.live.disk import OnDisk, Unreadable
from frame3d.live.solved_text import SolvedText
from frame3d.parameters.reading.editing import numbers, with_numbers

PAUSE: Final = 1.2
"""Edits with shorter pauses form one step of undo [s]."""
DEPTH: Final = 400
"""Largest number of steps that can be undone."""
VERSIONS: Final = 12
"""Largest number of kept versions."""


@dataclass(frozen=True, slots=True)
class State:
    """A state that undo restores: the text, and the values tried in place of its numbers, by path."""

    text: str
    tried: Mapping[str, float] = field(default_factory=dict)

    @property
    def whole(self) -> str:
        """Return the text with the tried values in it."""
        return with_numbers(self.text, self.tried)


@dataclass(frozen=True, slots=True)
class Kept:
    """A version that was saved, or the one that the workspace opened with (number 0)."""

    number: int
    solved: SolvedText


class Session:
    """The state that all pages share. Nothing here reads, writes, or waits."""

    def __init__(self, text: str) -> None:
        self.state = State(text)
        self.revision = 1
        """Rises with every change of `state`."""
        self.saved: OnDisk = text
        """What the file has, as far as is known; None where it is gone."""
        self._last_text = text
        """The last text that the file was known to have, also where it is gone by now."""
        self.conflict: str | Unreadable | None = None
        """What the file has where the user has to choose between that and the text here; else None."""
        self.good: SolvedText | None = None
        """The last bike that could be solved."""
        self.faults: tuple[Fault, ...] = ()
        """Faults of the present text; where there are any, the last valid bike is older."""
        self.kept: tuple[Kept, ...] = ()
        """Oldest first."""
        self._past: list[State] = []
        self._future: list[State] = []
        self._typed_at: float | None = None

    @property
    def text(self) -> str:
        """The text as the editor shows it."""
        return self.state.text

    @property
    def tried(self) -> Mapping[str, float]:
        """Values of sliders that are not in the text yet, by path."""
        return self.state.tried

    @property
    def unsaved(self) -> bool:
        """Whether the file does not have the text."""
        return self.saved != self.text or self.conflict is not None

    @property
    def can_undo(self) -> bool:
        """Whether there is something to undo."""
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        """Whether there is something to redo."""
        return bool(self._future)

    # What the user does

    def write(self, text: str, now: float) -> bool:
        """Replace the text after an edit; edits with short pauses form one step of undo.

        Args:
            text: the whole of it.
            now: time by any steady clock [s].

        Returns:
            whether anything changed.
        """
        if text == self.text:
            return False
        going_on = self._typed_at is not None and now - self._typed_at < PAUSE
        self._become(State(text, _still_there(self.tried, text)), step=not going_on)
        self._typed_at = now
        return True

    def attempt(self, path: str, value: float, *, dragging: bool = False) -> bool:
        """Try a value in place of a number of the text, which is not changed.

        Args:
            path: of the number.
            value: to try; the text's own value ends the attempt.
            dragging: whether this continues the last attempt, and is undone together with it.

        Raises:
            SpecError: no number stands there, or the text is no YAML.
        """
        with_numbers(self.text, {path: value})
        tried = {**self.tried, path: value}
        if numbers(self.text)[path].number == value:
            del tried[path]
        if tried == self.tried:
            return False
        self._become(State(self.text, tried), step=not dragging)
        return True

    def let_go(self, path: str | None = None) -> bool:
        """Stop trying one value, or all."""
        left = {} if path is None else {k: v for k, v in self.tried.items() if k != path}
        if left == self.tried:
            return False
        self._become(State(self.text, left))
        return True

    def settle(self) -> bool:
        """Put the tried values into the text.

        Raises:
            SpecError: a number that was tried is no longer there.
        """
        if not self.tried:
            return False
        self._become(State(self.state.whole))
        return True

    def look_again(self) -> None:
        """Say that the state is to be solved anew: another bike of the text is wanted."""
        self.revision += 1

    def restore(self, text: str, tried: Mapping[str, float]) -> None:
        """Take over text and tried values of an earlier session."""
        self._become(State(text, _still_there(tried, text)))

    def undo(self) -> bool:
        """Undo the last step; return whether there was one."""
        return self._travel(self._past, self._future)

    def redo(self) -> bool:
        """Redo the last undone step; return whether there was one."""
        return self._travel(self._future, self._past)

    # The file

    def wrote(self, text: str) -> None:
        """Record that a text has been saved."""
        self._file_has(text)
        self._typed_at = None
        self._remember()

    def disk_has(self, text: OnDisk) -> bool:
        """Record that somebody else has changed the file, removed it (None), or put it back.

        Where the text here is the file's last one, a new one is taken over; else it is a conflict, and
        the user chooses. A file that cannot be read is a conflict too, so that it is not overwritten
        unasked. A file that was away and has its last text again is no news to anybody.

        Returns:
            whether anything changed.
        """
        if text == self.saved and self.conflict is None:
            return False
        untouched = self.text == self._last_text and not isinstance(self.saved, Unreadable)
        if text is None or text in (self.text, self.saved, self._last_text):
            self._file_has(text)
        elif isinstance(text, str) and untouched:
            self._file_has(text)
            self._become(State(text, _still_there(self.tried, text)))
        else:
            self.conflict = text
        self._remember()
        return True

    def take_theirs(self) -> None:
        """Resolve a conflict with the file's text, if it can be read; undo restores the session's."""
        if isinstance(self.conflict, str):
            text = self.conflict
            self._file_has(text)
            self._become(State(text, _still_there(self.tried, text)))

    def keep_mine(self) -> None:
        """Resolve a conflict with the session's text, which may then be saved over the file."""
        if self.conflict is not None:
            self._file_has(self.conflict)
            self.revision += 1

    def _file_has(self, text: OnDisk) -> None:
        self.saved, self.conflict = text, None
        if isinstance(text, str):
            self._last_text = text

    # What solving says

    def solved(self, revision: int, outcome: SolvedText | tuple[Fault, ...]) -> bool:
        """Record the result of solving a revision.

        A bike is recorded even where there is a newer revision: it is closer to that than the last bike.
        Faults are not, as the newer text may have none.

        Returns:
            whether it was recorded.
        """
        if isinstance(outcome, SolvedText):
            self.good = outcome
            if revision == self.revision:
                self.faults = ()
            if not self.kept:
                self.kept = (Kept(0, outcome),)
            else:
                self._remember()
        elif revision == self.revision:
            self.faults = outcome
        else:
            return False
        return True

    def version(self, number: int) -> SolvedText | None:
        """Return the kept version of a number; None where there is none."""
        return next((kept.solved for kept in self.kept if kept.number == number), None)

    def _remember(self) -> None:
        """Keep the saved text's bike as a version, if it is solved and differs from the last one."""
        solved = self.good
        if solved is None or self.unsaved or solved.text != self.text:
            return
        last = self.kept[-1] if self.kept else None
        if last is None or last.solved.text != solved.text:
            number = 0 if last is None else last.number + 1
            self.kept = (*self.kept, Kept(number, solved))[-VERSIONS:]

    def _become(self, state: State, *, step: bool = True) -> None:
        if step or not self._past:
            self._past = [*self._past[1 - DEPTH :], self.state]
        self._future = []
        self._typed_at = None
        self._set(state)

    def _travel(self, source: list[State], target: list[State]) -> bool:
        if not source:
            return False
        target.append(self.state)
        self._typed_at = None
        self._set(source.pop())
        return True

    def _set(self, state: State) -> None:
        self.state = state
        self.revision += 1


def _still_there(tried: Mapping[str, float], text: str) -> Mapping[str, float]:
    """Return the tried values whose numbers are still in a text; all where the text cannot be read."""
    if not tried:
        return tried
    try:
        known = numbers(text)
    except SpecError:
        return tried
    return {path: value for path, value in tried.items() if path in known}
