"""Merge the edits of several pages to one text."""

from __future__ import annotations


def merged(base: str, mine: str, theirs: str) -> str:
    """Return `base` with two changes merged, each of one contiguous stretch (three-way merge).

    Where the two changes overlap or touch, the result is `mine`, which was typed last.
    """
    if theirs in (base, mine):
        return mine
    if mine == base:
        return theirs
    a0, a1, a = _changed(base, mine)
    b0, b1, b = _changed(base, theirs)
    if a1 < b0:
        return base[:a0] + a + base[a1:b0] + b + base[b1:]
    if b1 < a0:
        return base[:b0] + b + base[b1:a0] + a + base[a1:]
    return mine


def _changed(old: str, new: str) -> tuple[int, int, str]:
    """Return the stretch of `old` that `new` replaces: start, end, and the new text."""
    most = min(len(old), len(new))
    start = 0
    while start < most and old[start] == new[start]:
        start += 1
    same = 0
    while same < most - start and old[-1 - same] == new[-1 - same]:
        same += 1
    return start, len(old) - same, new[start : len(new) - same]


class Copy:
    """The server's knowledge of one page's copy of the text.

    A page sends its whole text with the number of the last text that it had received. Texts sent to it
    meanwhile are not in it, so each edit is compared with the text of that number.
    """

    def __init__(self) -> None:
        self._number = 0
        self._texts: dict[int, str] = {}
        """Number of a text sent -> the page's text if it has received that one: with its edits since."""

    def give(self, text: str) -> int:
        """Record that a text is sent to the page; return its number."""
        self._number += 1
        self._texts[self._number] = text
        return self._number

    def take(self, number: int, typed: str, current: str) -> str:
        """Return the common text after the page's edit.

        Args:
            number: of the last text that the page had received.
            typed: the page's whole text.
            current: the common text.
        """
        base = self._texts.get(number, current)
        self._texts = {n: text for n, text in self._texts.items() if n > number}
        self._texts[number] = typed
        return merged(base, typed, current)
