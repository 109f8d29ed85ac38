"""Parse YAML to a tree of nodes with their source locations, within limits; no objects are built."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final, NoReturn

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentEndEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
    StreamStartEvent,
)

from frame3d.errors import Fault, SourceLocation, SpecError

MAX_DEPTH: Final = 24
"""Nesting that a parameter file may have; the format itself needs 7."""
MAX_LINE: Final = 5_000
"""Largest length of a line that has a tag, anchor, alias or directive of 4000 characters or more."""
_LONG_MARK: Final = re.compile(r"[!&*%][^\s\[\]{},]{4000}")
MAX_VALUES: Final = 20_000
"""Largest number of values in a parameter file, with aliases expanded."""


@dataclass(frozen=True, slots=True)
class Scalar:
    """A scalar: text, with or without quotes."""

    text: str
    plain: bool
    """Whether it is unquoted, and so may be a number, a boolean or null."""
    place: SourceLocation
    span: tuple[int, int] = field(default=(0, 0), compare=False)
    """From where to where it stands in the text that was parsed, quotes included."""
    is_shared: bool = field(default=False, compare=False)
    """Whether an anchor or a merge key lets it stand elsewhere too."""


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list of nodes."""

    items: tuple[Node, ...]
    place: SourceLocation


@dataclass(frozen=True, slots=True)
class Mapping:
    """A mapping from keys to nodes."""

    entries: dict[str, Entry]
    place: SourceLocation


@dataclass(frozen=True, slots=True)
class Entry:
    """A key with its value."""

    key: Scalar
    node: Node


Node = Scalar | Sequence | Mapping


@dataclass(frozen=True, slots=True)
class Parsed:
    """A parsed text: its tree, and faults that do not prevent parsing."""

    root: Node | None
    """The tree; None for an empty text."""
    faults: tuple[Fault, ...]


def lines(text: str) -> list[str]:
    """Return the lines of a text without line ends, as the YAML parser counts them."""
    return re.split("\r\n|\r|\n", text)


def parse(text: str, place: Callable[[int, int], SourceLocation]) -> Parsed:
    """Parse one YAML document; `place` turns a 1-based line and column into a SourceLocation.

    Raises:
        SpecError: not well-formed, or beyond the limits.
    """
    refuse_long_lines(text, place)
    builder = _Builder(text, place)
    try:
        return builder.document()
    except YAMLError as error:
        raise SpecError(_syntax(error, text, place)) from None
    except (ValueError, OverflowError, LookupError, AttributeError, TypeError) as error:
        # The scanner raises other errors for some malformed escapes and tags.
        where = builder.here or place(1, 1)
        raise SpecError(
            Fault(
                "yaml-syntax", "", f"not well-formed here or right after ({error})", _CHECK, where
            )
        ) from None


def refuse_long_lines(text: str, place: Callable[[int, int], SourceLocation]) -> None:
    """Fault if a line is too long: the scanner's time for some tokens grows with their length squared.

    Raises:
        SpecError: the first such line.
    """
    if len(text) <= MAX_LINE:
        return
    for number, line in enumerate(lines(text), start=1):
        if len(line) > MAX_LINE and _LONG_MARK.search(line):
            raise SpecError(
                Fault(
                    "file-too-large",
                    "",
                    f"this line has {len(line)} characters; {MAX_LINE} are allowed",
                    "break it; text over several lines follows | or >",
                    place(number, 1),
                )
            )


def join(path: str, key: str) -> str:
    """Return the dotted path of `key` below `path`."""
    return f"{path}.{key}" if path else key


_NO_COLON: Final = (
    "a key without its ': ' and value",
    "write key: value, with a space after the colon",
)
_PLAIN_WORDS: Final = (
    (
        "'\\t'",
        "a tab stands where YAML wants spaces",
        "indent with spaces, two a level; most editors can convert tabs",
    ),
    (
        "mapping values are not allowed",
        "a second ': ' where one value is wanted, or a line indented too far",
        'indent keys of one mapping alike; put text that holds ": " in quotes',
    ),
    ("could not find expected ':'", *_NO_COLON),
    (
        "expected <block end>",
        "this line is not indented like the ones that it belongs to",
        "indent all keys of one mapping alike",
    ),
    (
        "while parsing a flow",
        "a brace or bracket is not closed, or a comma is missing",
        "write {key: value, key: value} and [value, value]",
    ),
    (
        "while scanning a quoted scalar",
        "quoted text is not closed",
        "close the quote; a quote within single quotes is written twice",
    ),
    (
        "while scanning a double-quoted scalar",
        "text in double quotes holds an escape that YAML does not know",
        "write a backslash as \\\\, or use single quotes",
    ),
    (
        "cannot start any token",
        "a value cannot start with this character",
        "put the value in quotes",
    ),
)
"""Part of the scanner's message, its meaning in plain words, and a hint."""


_CHECK: Final = "check escapes, tags, quotes and colons here"
_OPENED: Final = ("while parsing a flow", "while scanning a quo", "while scanning a simple key")
"""Starts of messages whose fault is shown at the beginning of the construct."""


def _bare_key(text: str, line: int, column: int) -> tuple[int, int] | None:
    """Return the place of a key without a colon, of which the scanner takes the next line as part.

    Args:
        text: the whole file.
        line: where a colon is not allowed, from 0.
        column: of that colon, from 0.

    Returns:
        Line and column of the bare key, from 0; None where that is not what is wrong.
    """
    rows = lines(text)
    key = rows[line][:column]
    if re.search(r":(\s|$)", key):  # the second colon of its own line
        return None
    indent = len(key) - len(key.lstrip())
    for at in range(line - 1, -1, -1):
        row = rows[at].split(" #")[0].rstrip()
        bare = row.lstrip()
        if not bare or bare.startswith("#"):
            continue
        before = len(row) - len(bare)
        is_bare = not re.search(r":(\s|$)", bare) and re.match(r"\w", bare) is not None
        return (at, before) if is_bare and before <= indent else None
    return None


def _syntax(error: YAMLError, text: str, place: Callable[[int, int], SourceLocation]) -> Fault:
    """Return an error of the scanner as a fault."""
    context = str(getattr(error, "context", None) or "")
    problem = str(getattr(error, "problem", None) or error)
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    opened = getattr(error, "context_mark", None)
    if opened is not None and context.startswith(_OPENED):
        mark = opened
    if mark is not None and ("values are not allowed" in problem or "<block end>" in problem):
        bare = _bare_key(text, mark.line, mark.column)
        if bare is not None:
            return Fault("yaml-syntax", "", *_NO_COLON, place(bare[0] + 1, bare[1] + 1))
    where = place(1, 1) if mark is None else place(mark.line + 1, mark.column + 1)
    for known, message, hint in _PLAIN_WORDS:
        if known in f"{context} {problem}":
            return Fault("yaml-syntax", "", message, hint, where)
    said = " ".join(f"{context} {problem}".split())
    return Fault("yaml-syntax", "", f"not well-formed YAML: {said}", _CHECK, where)


class _Builder:
    """Builds the tree from the parser's events."""

    def __init__(self, text: str, place: Callable[[int, int], SourceLocation]) -> None:
        yaml = YAML(typ="safe", pure=True)
        self.events: Iterator[Event] = yaml.parse(text)
        self.place = place
        self.here: SourceLocation | None = None
        self.faults: list[Fault] = []
        self.anchors: dict[str, tuple[Node, int, int] | None] = {}
        """Anchor -> node, its number of values, its depth; None while it is being read."""
        self.count = 0
        self.sharing = 0
        """Anchors and merge keys that the event at hand stands under."""

    def document(self) -> Parsed:
        root: Node | None = None
        documents = 0
        for event in self.events:
            where = self._at(event)
            if isinstance(event, StreamStartEvent | StreamEndEvent | DocumentEndEvent):
                continue
            if isinstance(event, DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self._stop(
                        "yaml-syntax",
                        "a second document starts here",
                        "one bike a file: take the --- out, or write two files",
                        where,
                    )
                if event.version is not None and tuple(event.version) != (1, 2):
                    self._stop(
                        "yaml-syntax",
                        "this format is YAML 1.2",
                        "take the %YAML line out",
                        where,
                    )
                continue
            root, _, _ = self._node(event, 1, "")
        return Parsed(root, tuple(self.faults))

    def _node(self, event: Event, depth: int, path: str) -> tuple[Node, int, int]:
        """Return the node that starts with `event`, its number of values, and its depth."""
        where = self._at(event)
        if depth > MAX_DEPTH:
            self._stop(
                "yaml-depth",
                f"nested deeper than {MAX_DEPTH} levels",
                "no parameter needs that; look for a bracket that is not closed",
                where,
            )
        if isinstance(event, AliasEvent):
            return self._alias(event, depth, where)
        self._grow(1, where)
        anchor: str | None = getattr(event, "anchor", None)
        if anchor is not None:
            self.anchors[anchor] = None
            self.sharing += 1
        tag = str(getattr(event, "tag", None) or "").replace("tag:yaml.org,2002:", "!!")
        if tag:
            self.faults.append(
                Fault(
                    "yaml-tag",
                    path,
                    f"the tag {tag} has no meaning in a parameter file",
                    "take the tag out, and write the plain value",
                    where,
                )
            )
        built: tuple[Node, int, int]
        if isinstance(event, ScalarEvent):
            span = (event.start_mark.index, event.end_mark.index)
            plain = event.style in (None, "")
            built = Scalar(event.value, plain, where, span, self.sharing > 0), 1, 1
        elif isinstance(event, SequenceStartEvent):
            built = self._sequence(depth, path, where)
        elif isinstance(event, MappingStartEvent):
            built = self._mapping(depth, path, where)
        else:
            raise AssertionError(f"unexpected {type(event).__name__}")
        if anchor is not None:
            self.anchors[anchor] = built
            self.sharing -= 1
        return built

    def _sequence(self, depth: int, path: str, where: SourceLocation) -> tuple[Node, int, int]:
        items: list[Node] = []
        size, deepest = 1, 0
        for event in self.events:
            if isinstance(event, SequenceEndEvent):
                break
            node, n, d = self._node(event, depth + 1, join(path, str(len(items))))
            items.append(node)
            size, deepest = size + n, max(deepest, d)
        return Sequence(tuple(items), where), size, deepest + 1

    def _mapping(self, depth: int, path: str, where: SourceLocation) -> tuple[Node, int, int]:
        entries: dict[str, Entry] = {}
        merged: list[Entry] = []
        size, deepest = 1, 0
        for event in self.events:
            if isinstance(event, MappingEndEvent):
                break
            key, n, d = self._node(event, depth + 1, path)
            size, deepest = size + n, max(deepest, d)
            name = key.text if isinstance(key, Scalar) else ""
            below = join(path, name)
            merges = isinstance(key, Scalar) and key.plain and name == "<<"
            self.sharing += merges
            node, n, d = self._node(next(self.events), depth + 1, below)
            self.sharing -= merges
            size, deepest = size + n, max(deepest, d)
            if not isinstance(key, Scalar):
                self._fault("wrong-type", path, "a key must be plain text", "key: value", key.place)
            elif name in entries or (merged and merges):
                first = merged[0].key if name == "<<" else entries[name].key
                self._fault(
                    "duplicate-key",
                    below,
                    f"{name} stands twice here"
                    + (f", first on line {first.place.line}" if first.place.line else ""),
                    "keep one of the two",
                    key.place,
                )
            elif merges:
                merged.append(Entry(key, node))
            else:
                entries[name] = Entry(key, node)
        for entry in merged:
            self._merge(entry, entries, path)
        return Mapping(entries, where), size, deepest + 1

    def _merge(self, entry: Entry, entries: dict[str, Entry], path: str) -> None:
        """Add the entries that a merge key (``<<``) refers to, except for keys that are present."""
        sources = entry.node.items if isinstance(entry.node, Sequence) else (entry.node,)
        for source in sources:
            if not isinstance(source, Mapping):
                self._fault(
                    "wrong-type",
                    join(path, "<<"),
                    "<< takes over the keys of a mapping, and this is none",
                    "<<: *anchor, where &anchor stands before a mapping",
                    entry.key.place,
                )
                continue
            for name, taken in source.entries.items():
                entries.setdefault(name, taken)

    def _alias(self, event: Any, depth: int, where: SourceLocation) -> tuple[Node, int, int]:
        name = str(event.anchor)
        if name not in self.anchors:
            known = ", ".join(f"*{a}" for a in self.anchors) or "none"
            self._stop(
                "yaml-alias",
                f"*{name} stands for nothing: no &{name} comes before it",
                f"anchors before it: {known}",
                where,
            )
        target = self.anchors[name]
        if target is None:
            self._stop("yaml-alias", f"*{name} contains itself", "write the value out", where)
        node, size, deepest = target
        if depth + deepest - 1 > MAX_DEPTH:
            self._stop("yaml-alias", "aliases nested too deep", "write the values out", where)
        self._grow(size, where)
        return node, size, deepest

    def _grow(self, n: int, where: SourceLocation) -> None:
        self.count += n
        if self.count > MAX_VALUES:
            aliased = n > 1 or any(self.anchors.values())
            self._stop(
                "yaml-alias" if aliased else "file-too-large",
                f"the file comes to more than {MAX_VALUES} values"
                + (", aliases counted as what they stand for" if aliased else ""),
                "a bike needs a few hundred",
                where,
            )

    def _at(self, event: Event) -> SourceLocation:
        mark = event.start_mark
        self.here = self.place(mark.line + 1, mark.column + 1)
        return self.here

    def _fault(self, code: str, path: str, message: str, hint: str, where: SourceLocation) -> None:
        self.faults.append(Fault(code, path, message, hint, where))

    def _stop(self, code: str, message: str, hint: str, where: SourceLocation) -> NoReturn:
        raise SpecError((*self.faults, Fault(code, "", message, hint, where)))
