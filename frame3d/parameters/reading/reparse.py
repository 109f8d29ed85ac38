"""Parse successive texts of a file; where only one number has changed, only that is parsed."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from frame3d.errors import SourceLocation
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.tree import Entry, Mapping, Node, Parsed, Scalar, Sequence

_NUMBER: Final = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)%?")
_OF_NUMBERS: Final = frozenset("0123456789.+-%")


class Reparse:
    """Parses texts of one file as `tree.parse` does, and keeps the last one without faults."""

    def __init__(self) -> None:
        self._text = ""
        self._parsed: Parsed | None = None

    def __call__(self, text: str, place: Callable[[int, int], SourceLocation]) -> Parsed:
        """Read one YAML document.

        Raises:
            SpecError: not well-formed, or beyond the limits.
        """
        if self._parsed is not None and text == self._text:
            return self._parsed
        parsed = None if self._parsed is None else patched(self._parsed, self._text, text, place)
        if parsed is None:
            parsed = tree.parse(text, place)
        if not parsed.faults:
            self._text, self._parsed = text, parsed
        return parsed


def patched(
    parsed: Parsed, old: str, new: str, place: Callable[[int, int], SourceLocation]
) -> Parsed | None:
    """Return the tree of a text that differs from a parsed one in a single unquoted number.

    Args:
        parsed: the tree of the other text, without faults.
        old: the other text.
        new: the text.
        place: turns a 1-based line and column of `new` into a SourceLocation.

    Returns:
        what `tree.parse` returns for `new`; None where the texts differ in anything else.
    """
    start, rest = _same(old, new)
    while start > 0 and old[start - 1] in _OF_NUMBERS:
        start -= 1
    while rest > 0 and old[-rest] in _OF_NUMBERS:
        rest -= 1
    before, after = old[start : len(old) - rest], new[start : len(new) - rest]
    if not (_NUMBER.fullmatch(before) and _NUMBER.fullmatch(after)):
        return None
    above = tree.lines(old[:start])
    patch = _Patch(len(above), len(above[-1]) + 1, before, after, place)
    root = None if parsed.root is None else patch.node(parsed.root)
    return Parsed(root, ()) if patch.found else None


def _same(old: str, new: str) -> tuple[int, int]:
    """Return the lengths of the common start and of the common end of two texts, without overlap."""
    most = min(len(old), len(new))
    start = next((i for i in range(most) if old[i] != new[i]), most)
    rest = next((i for i in range(most - start) if old[-1 - i] != new[-1 - i]), most - start)
    return start, rest


class _Patch:
    """Replaces a number by another, also where aliases refer to it."""

    def __init__(
        self,
        line: int,
        column: int,
        before: str,
        after: str,
        place: Callable[[int, int], SourceLocation],
    ) -> None:
        self.line, self.column, self.before, self.after = line, column, before, after
        self.place = place
        self.found = False

    def node(self, node: Node) -> Node:
        """Return the node with the new number; the same node where it does not contain the old one."""
        where = self._moved(node.place)
        if isinstance(node, Scalar):
            if node.plain and node.text == self.before and self._is_here(node.place):
                self.found = True
                return Scalar(self.after, True, where)
            return node if where is node.place else Scalar(node.text, node.plain, where)
        if isinstance(node, Sequence):
            items = tuple(self.node(item) for item in node.items)
            same = where is node.place and all(
                a is b for a, b in zip(items, node.items, strict=True)
            )
            return node if same else Sequence(items, where)
        entries = {name: self._entry(entry) for name, entry in node.entries.items()}
        same = where is node.place and all(
            a is b for a, b in zip(entries.values(), node.entries.values(), strict=True)
        )
        return node if same else Mapping(entries, where)

    def _entry(self, entry: Entry) -> Entry:
        where = self._moved(entry.key.place)
        key = entry.key
        if where is not key.place:
            key = Scalar(key.text, key.plain, where)
        node = self.node(entry.node)
        return entry if key is entry.key and node is entry.node else Entry(key, node)

    def _is_here(self, place: SourceLocation) -> bool:
        return place.line == self.line and place.column == self.column

    def _moved(self, place: SourceLocation) -> SourceLocation:
        """Return a location on the changed line with its new text and, if behind, its new column."""
        if place.line != self.line or place.column is None:
            return place
        by = len(self.after) - len(self.before) if place.column > self.column else 0
        return self.place(self.line, place.column + by)
