"""One text that several pages edit at once."""

from __future__ import annotations


def merged(base: str, mine: str, theirs: str) -> str:
    """Return a text with two changes of `base`, each of one stretch of it.

    Where the two touch each other, `mine` stands as a whole: what was typed last.
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
    """Return the stretch of `old` that `new` has something else for: from, to, what stands there now."""
    most = min(len(old), len(new))
    start = 0
    while start < most and old[start] == new[start]:
        start += 1
    same = 0
    while same < most - start and old[-1 - same] == new[-1 - same]:
        same += 1
    return start, len(old) - same, new[start : len(new) - same]


class Copy:
    """One page's copy of the text, as far as the server knows it.

    A page sends its whole text with the number of the last text that it was given. Others that were
    sent to it meanwhile are not in what it sends, so each sending is held against the text that it
    grew out of.
    """

    def __init__(self) -> None:
        self._number = 0
        self._texts: dict[int, str] = {}
        """What the page holds if it has taken the text of a number: that, and what it typed since."""

    def give(self, text: str) -> int:
        """Note that a text is sent to the page; returns its number."""
        self._number += 1
        self._texts[self._number] = text
        return self._number

    def take(self, number: int, typed: str, current: str) -> str:
        """Return what the text becomes, `current` so far, where the page has typed something.

        Args:
            number: of the last text that the page had been given.
            typed: the page's whole text.
            current: the text that all share.
        """
        base = self._texts.get(number, current)
        self._texts = {n: text for n, text in self._texts.items() if n > number}
        self._texts[number] = typed
        return merged(base, typed, current)
