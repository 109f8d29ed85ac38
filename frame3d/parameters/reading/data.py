"""Plain data of a parameter file's tree, with the source of each key and value, and its faults."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.names import unprintable
from frame3d.parameters.reading import scalars, tree
from frame3d.parameters.reading.tree import join

_SHOWN: Final = 200
"""Number of characters of a line shown in a fault."""
_COLOUR_LOST: Final = re.compile(r":\s+(#[0-9a-fA-F]{3,8})\b")


def places(text: str, source: str) -> Callable[[int, int], SourceLocation]:
    """Return a function from line and column of `text` to a SourceLocation."""
    rows = tree.lines(text)

    def place(line: int, column: int) -> SourceLocation:
        row = rows[line - 1] if line <= len(rows) else ""
        if column > _SHOWN:
            row = ""
        return SourceLocation(source, line, column, row[:_SHOWN])

    return place


def refuse_unprintable(text: str, place: Callable[[int, int], SourceLocation]) -> None:
    """Fault if the text has control characters and the like, except line ends, tabs and joiners.

    Raises:
        SpecError: the first one.
    """
    bad = unprintable(text, "\n\r\t\u200c\u200d\u00ad")
    if bad is None:
        return
    before = tree.lines(text[: text.index(bad)])
    raise SpecError(
        Fault(
            "file-encoding",
            "",
            f"the character U+{ord(bad):04X} cannot stand in a parameter file",
            "save the file as plain UTF-8 text",
            place(len(before), len(before[-1]) + 1),
        )
    )


def no_mapping(root: tree.Node | None, whole: SourceLocation, hint: str) -> Fault:
    """Return the fault of a text that is not a mapping; `hint` says how one begins."""
    if root is None or (isinstance(root, tree.Scalar) and root.plain and root.text == ""):
        return Fault("missing-key", "", "the file is empty", hint, whole)
    what = "a list" if isinstance(root, tree.Sequence) else "plain text"
    return Fault("wrong-type", "", f"the file holds {what}, not keys", hint, root.place)


@dataclass
class Reading:
    """Plain data of a tree, sources of its keys and values, and ambiguous scalars."""

    whole: SourceLocation
    values: dict[str, SourceLocation] = field(default_factory=dict)
    """Dotted path -> source of the value, or of its key where the value is a block below it."""
    keys: dict[str, SourceLocation] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    words: list[Fault] = field(default_factory=list)
    """Faults of words like ``yes``, which count only where text or a boolean is wanted."""

    def __post_init__(self) -> None:
        self.values[""] = self.whole

    def mapping(self, node: tree.Mapping, path: str) -> dict[str, Any]:
        """Return a mapping as a dict."""
        data: dict[str, Any] = {}
        for name, entry in node.entries.items():
            below = join(path, name)
            place = entry.node.place
            if not isinstance(entry.node, tree.Scalar) and place.line != entry.key.place.line:
                place = entry.key.place
            self.keys[below], self.values[below] = entry.key.place, place
            if path == "tubes":
                self._trap(entry.key, below, entry.key.place)
            if isinstance(entry.node, tree.Scalar) and entry.node.text == "":
                lost = _COLOUR_LOST.search(entry.key.place.text)
                if name == "colour" and lost is not None:
                    self.faults.append(
                        Fault(
                            "yaml-trap",
                            below,
                            f"{lost[1]} is a comment here: # starts one",
                            f'write "{lost[1]}" in quotes',
                            entry.key.place,
                        )
                    )
            data[name] = self.value(entry.node, below)
        return data

    def value(self, node: tree.Node, path: str) -> Any:
        """Return a node's data: dict, tuple, or scalar."""
        if isinstance(node, tree.Mapping):
            return self.mapping(node, path)
        if isinstance(node, tree.Sequence):
            for i, item in enumerate(node.items):
                below = join(path, str(i))
                self.keys[below] = self.values[below] = item.place
            return tuple(self.value(item, join(path, str(i))) for i, item in enumerate(node.items))
        if not node.plain:
            return node.text
        self._trap(node, path, node.place)
        value = scalars.value(node.text)
        if isinstance(value, float) and 0 < abs(value) < scalars.LEAST:
            self.faults.append(
                Fault(
                    "out-of-range",
                    path,
                    f"{node.text[:40]} is too small to be made or measured",
                    f"write 0 where nothing is meant; sizes begin at {scalars.LEAST:g}",
                    node.place,
                )
            )
        return value

    def _trap(self, node: tree.Scalar, path: str, place: SourceLocation) -> None:
        if not node.plain:
            return
        trap, word = scalars.trap(node.text), scalars.word_trap(node.text)
        if trap is not None:
            self.faults.append(Fault("yaml-trap", path, *trap, place))
        elif word is not None:
            self.words.append(Fault("yaml-trap", path, *word, place))


def first_of_each(*groups: Sequence[Fault]) -> list[Fault]:
    """Return all faults, without those of later groups whose path is in an earlier group."""
    kept: list[Fault] = []
    for group in groups:
        known = {fault.path for fault in kept if fault.path}
        kept += [fault for fault in group if fault.path not in known]
    return kept


def in_order(fault: Fault) -> tuple[int, int]:
    """Return a sort key: faults of the whole file, then by line, then those of overrides."""
    place = fault.place
    if place is None or place.source.startswith("--"):
        return (1 << 60, 0)
    return (place.line or 0, place.column or 0)
