"""Merge the edits of several pages to one text."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher
from itertools import product
from typing import Any, Final, NamedTuple

TABS: Final = 200
"""Largest number of tabs whose last edit is remembered."""
_WORD: Final = re.compile(r"[\w.+%-]+")
"""A number or a word of the file."""
_LINE: Final = re.compile(r"[^\n]*\n|[^\n]+")
_PART: Final = re.compile(r"[\w.+%-]+|[^\w.+%-]")
"""A word, or a character between words."""
_LAST_WORD: Final = re.compile(r"[\w.+%-]+\Z")


class Edit(NamedTuple):
    """What a page says when its text has changed."""

    tab: str
    """Name of the browser's tab; it stays the same over a reload."""
    sequence: int
    """Number of the edit among those of the tab."""
    base: str
    """The text that the page and the workspace last agreed on."""
    text: str
    """The page's text."""

    @classmethod
    def of(cls, said: Mapping[str, Any]) -> Edit | None:
        """Return the edit in a message; None where it is malformed."""
        tab, sequence, base, text = (said.get(name) for name in cls._fields)
        if not isinstance(sequence, int):
            return None
        if isinstance(tab, str) and isinstance(base, str) and isinstance(text, str):
            return cls(tab, sequence, base, text)
        return None


class Taken:
    """The edits that were taken, so that none is taken twice."""

    def __init__(self) -> None:
        self._last: dict[str, int] = {}

    def is_new(self, edit: Edit) -> bool:
        """Return whether an edit is newer than all earlier ones of its tab; record it if so."""
        new = edit.sequence > self._last.get(edit.tab, 0)
        if new:
            self._last.pop(edit.tab, None)
            self._last[edit.tab] = edit.sequence
            if len(self._last) > TABS:
                del self._last[next(iter(self._last))]
        return new


def merged(base: str, mine: str, theirs: str) -> str:
    """Return `base` with two sets of changes made to it (three-way merge).

    Where all changes of one lie before all changes of the other, both are made. Else the texts are
    aligned by the lines that both left alone, and between these by words. Two insertions at one place
    follow each other, theirs first; where both change one number or word, `mine` is kept, which was
    typed last.
    """
    return _merged(base, mine, theirs, (_LINE, _PART))


def _merged(base: str, mine: str, theirs: str, pieces: Sequence[re.Pattern[str]]) -> str:
    """Return the texts merged, aligned by common pieces: of the first pattern, then of the next."""
    both = _apart(base, mine, theirs)
    if both is not None or not pieces:
        return mine if both is None else both
    whole, left, right = (pieces[0].findall(text) for text in (base, mine, theirs))
    parts, z, a, b = [], 0, 0, 0
    for start, at_left, at_right, count in _common(whole, left, right):
        ours, mines, others = whole[z:start], left[a:at_left], right[b:at_right]
        parts.append(_merged("".join(ours), "".join(mines), "".join(others), pieces[1:]))
        z, a, b = start + count, at_left + count, at_right + count
        parts += whole[start:z]
    return "".join(parts)


def _common(whole: list[str], left: list[str], right: list[str]) -> list[tuple[int, int, int, int]]:
    """Return the runs of pieces that three texts share, in order.

    Each run: index of its first piece in `whole`, `left` and `right`, and its number of pieces. The last
    run is empty and stands at the end of all three.
    """
    blocks = (
        SequenceMatcher(None, whole, other, autojunk=False).get_matching_blocks()
        for other in (left, right)
    )
    runs = []
    for one, two in product(*blocks):
        start, end = max(one.a, two.a), min(one.a + one.size, two.a + two.size)
        if start < end:
            runs.append((start, one.b + start - one.a, two.b + start - two.a, end - start))
    return [*sorted(runs), (len(whole), len(left), len(right), 0)]


def _apart(base: str, mine: str, theirs: str) -> str | None:
    """Return the text with both changes, each taken as one stretch; None where they overlap."""
    if theirs in (base, mine):
        return mine
    if mine == base:
        return theirs
    a0, a1, a = _changed(base, mine)
    b0, b1, b = _changed(base, theirs)
    if b1 <= a0:
        return base[:b0] + b + base[b1:a0] + a + base[a1:]
    if a1 <= b0:
        return base[:a0] + a + base[a1:b0] + b + base[b1:]
    return None


def _changed(old: str, new: str) -> tuple[int, int, str]:
    """Return the stretch of `old` that `new` replaces: start, end, and the new text.

    A number or a word is replaced as a whole, so that two changes of one never make a third.
    """
    most = min(len(old), len(new))
    start = 0
    while start < most and old[start] == new[start]:
        start += 1
    same = 0
    while same < most - start and old[-1 - same] == new[-1 - same]:
        same += 1
    cuts = (old[start : len(old) - same], new[start : len(new) - same])
    if any(cut and _WORD.match(cut[0]) for cut in cuts):
        start -= len(old[:start]) - len(_LAST_WORD.sub("", old[:start]))
    if any(cut and _WORD.match(cut[-1]) for cut in cuts):
        same -= len(found[0]) if (found := _WORD.match(old[len(old) - same :])) else 0
    return start, len(old) - same, new[start : len(new) - same]
