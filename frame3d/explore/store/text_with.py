"""Put a value into a file's text at a path where none stands, or one by a rule does; comments stay.

::

    clearance: {chain_to_frame: 4}   ->   clearance: {rear_tyre_to_frame: 7, chain_to_frame: 4}
    reach: {from: 430, step: 25}     ->   reach: 450
    build:                           ->   build:
      fork: {travel: 130}                   crank: {length: 170}
                                            fork: {travel: 130}
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import partial

from frame3d.errors import SourceLocation
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.editing import with_texts
from frame3d.parameters.reading.putting import steps_of


def text_with(text: str, path: str, value: str) -> str | None:
    """Return the text with a value at a dotted path; None where that cannot be done in the text.

    Args:
        text: of a parameter file.
        path: of the value.
        value: as YAML.

    Raises:
        SpecError: the text is not well-formed.
    """
    root = tree.parse(text, partial(SourceLocation, "<text>")).root
    steps = steps_of(path)
    here: tree.Node | None = root
    for i, step in enumerate(steps):
        below = _below(here, step)
        if below is None:
            return _inserted(text, root, here, _nested(steps[i:], value))
        here = below
    return None if here is None else _replaced(text, here, value)


def _below(node: tree.Node | None, step: str) -> tree.Node | None:
    if isinstance(node, tree.Mapping) and step in node.entries:
        return node.entries[step].node
    if isinstance(node, tree.Sequence) and step.isdigit() and int(step) < len(node.items):
        return node.items[int(step)]
    return None


def _nested(steps: Sequence[str], value: str) -> str:
    """Return ``a: {b: {c: value}}``."""
    for step in reversed(steps[1:]):
        value = f"{{{step}: {value}}}"
    return f"{steps[0]}: {value}"


def _inserted(text: str, root: tree.Node | None, node: tree.Node | None, new: str) -> str | None:
    """Return the text with an entry more in a mapping: at its head, of the file's own at the end."""
    if not isinstance(node, tree.Mapping):
        return None
    end = "\r\n" if "\r\n" in text else "\n"
    if not node.entries:
        at = _offset(text, node.place)
        braces = re.compile(r"\{\s*\}").match(text, at)
        return None if braces is None else f"{text[:at]}{{{new}}}{text[braces.end() :]}"
    first = min(entry.key.span[0] for entry in node.entries.values())
    if text[:first].rstrip().endswith("{"):
        return f"{text[:first]}{new}, {text[first:]}"
    if node is root:
        return f"{text.rstrip()}{end}{new}{end}"
    column = first - (text.rfind("\n", 0, first) + 1)
    return f"{text[:first]}{new}{end}{' ' * column}{text[first:]}"


def _replaced(text: str, node: tree.Node, value: str) -> str | None:
    """Return the text with a value in place of a scalar, or of a mapping of scalars in braces."""
    if isinstance(node, tree.Scalar):
        return None if node.is_shared else with_texts(text, {node.span: value})
    if not isinstance(node, tree.Mapping):
        return None
    ends = [scalar.span[1] for scalar in _scalars(node)]
    start = _offset(text, node.place)
    close = re.compile(r"[ \t]*\}").match(text, max(ends)) if ends else None
    if close is None or not text.startswith("{", start) or "\n" in text[start : close.end()]:
        return None
    return with_texts(text, {(start, close.end()): value})


def _scalars(node: tree.Mapping) -> Iterator[tree.Scalar]:
    for entry in node.entries.values():
        if isinstance(entry.node, tree.Scalar):
            yield entry.node


def _offset(text: str, place: SourceLocation) -> int:
    """Return where a line and column, both from 1, are in a text."""
    assert place.line is not None
    assert place.column is not None
    ends = [0, *(found.end() for found in re.finditer("\r\n|\r|\n", text))]
    return ends[place.line - 1] + place.column - 1
