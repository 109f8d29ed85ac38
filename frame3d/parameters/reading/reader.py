"""Read a parameter file to a FrameSpec; report all its faults at once."""

from __future__ import annotations

import codecs
import os
import re
from collections.abc import Callable, Sequence, Set
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.names import unprintable
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading import scalars, tree
from frame3d.parameters.reading.explain import explain
from frame3d.parameters.reading.overrides import override
from frame3d.parameters.reading.putting import steps_of
from frame3d.parameters.reading.tree import join
from frame3d.parameters.reading.variant_tree import VariantTree, of_sizes, resolve
from frame3d.parameters.reading.wishes import without_settled

MAX_BYTES: Final = 1 << 20
"""Largest size of a parameter file [bytes]."""
_SHOWN: Final = 200
"""Number of characters of a line shown in a fault."""


def load(
    path: str | Path,
    sets: Sequence[str] = (),
    swaps: Sequence[str] = (),
    *,
    size: str | None = None,
    settings: Sequence[str] = (),
) -> FrameSpec:
    """Read a parameter file, apply overrides and check it.

    `sets` are ``KEY=VALUE`` overrides of the design, `swaps` are applied after them; faults
    name them as ``--set ...`` and ``--swap ...``. See `overrides.override`.

    Args:
        path: the YAML file.
        sets: design changes, put in after those of the size.
        swaps: exchanges of parts, put in last.
        size: one of the file's sizes; its default where none is named.
        settings: those of the file's settings that are made, in order.

    Raises:
        SpecError: with every fault that was found.
    """
    return loads(read_text(path), os.fspath(path), sets, swaps, size=size, settings=settings)


def read_text(path: str | Path) -> str:
    """Return the text of a parameter file without a byte order mark.

    Raises:
        SpecError: it cannot be read, is too large for one, or is not UTF-8.
    """
    source = os.fspath(path)
    return _decoded(_bytes(Path(path), source), source)


def loads(
    text: str,
    source: str = "<text>",
    sets: Sequence[str] = (),
    swaps: Sequence[str] = (),
    parse: Callable[[str, Callable[[int, int], SourceLocation]], tree.Parsed] = tree.parse,
    *,
    size: str | None = None,
    settings: Sequence[str] = (),
) -> FrameSpec:
    """Read a parameter file from its text; else as `load`.

    `parse` may be a `reparse.Reparse`, which is quicker for successive texts. `FrameSpec.variants` of
    the result says which size and settings it is, and which values they exchange.

    Raises:
        SpecError: with every fault that was found.
    """
    whole = SourceLocation(source)
    text = text.removeprefix("\ufeff")
    place = _places(text, source)
    _refuse_unprintable(text, place)
    parsed = parse(text, place)
    faults = list(parsed.faults)
    root, variants = _one_bike(parsed.root, sets, swaps, size, settings, faults)
    if not isinstance(root, tree.Mapping):
        faults.append(_no_mapping(root, whole))
        raise SpecError(faults)
    reading = _Reading(whole)
    data = reading.mapping(root, "")
    spec, found = _checked(data, reading)
    # One fault for each value, first those of the text itself. Words such as yes are
    # ambiguous only where text was wanted; elsewhere another fault is reported.
    faults = _first_of_each(faults, reading.faults, found, reading.words)
    if faults or spec is None:
        raise SpecError(sorted(faults, key=_order))
    return spec.traced(reading.values).as_variant(variants)


def variants_of(
    text: str,
    source: str = "<text>",
    sets: Sequence[str] = (),
    parse: Callable[[str, Callable[[int, int], SourceLocation]], tree.Parsed] = tree.parse,
) -> Variants:
    """Return the sizes and settings that the text of a parameter file offers.

    Args:
        text: of the file.
        source: its name, for faults.
        sets: overrides, as for `loads`.
        parse: as for `loads`.

    Raises:
        SpecError: the text is not well-formed, or these sections are not.
    """
    text = text.removeprefix("\ufeff")
    faults: list[Fault] = []
    root = parse(text, _places(text, source)).root
    _, variants = _one_bike(root, sets, (), None, (), faults)
    if faults:
        raise SpecError(faults)
    return variants


def _one_bike(
    root: tree.Node | None,
    sets: Sequence[str],
    swaps: Sequence[str],
    size: str | None,
    settings: Sequence[str],
    faults: list[Fault],
) -> tuple[tree.Node | None, Variants]:
    """Return the tree of one bike and what the file offers beside it; faults are added to `faults`.

    Raises:
        SpecError: sizes or settings are not as they should be; with all of `faults`.
    """

    def put(root: tree.Node | None, typed: str, option: str) -> tree.Node | None:
        try:
            return override(root, typed, option)
        except SpecError as error:
            faults.extend(error.faults)
            return root

    first = tuple(of_sizes(sets))
    for typed in first:
        root = put(root, typed, "--set")
    try:
        family = VariantTree(root)
        root = family.of_size(size)
        for typed in sets:
            if typed not in first:
                root = put(root, typed, "--set")
        resolved = resolve(root, family, size, settings)
    except SpecError as error:
        raise SpecError((*faults, *error.faults)) from None
    root, variants = resolved.root, resolved.variants
    for typed in swaps:
        root = put(root, typed, "--swap")
    paths = (*variants.exchanged, *(".".join(steps_of(s.partition("=")[0])) for s in swaps))
    root = without_settled(root, paths)
    return root, replace(variants, exchanged=tuple(dict.fromkeys(paths)))


# -- bytes and text ------------------------------------------------------------------------------


def _bytes(path: Path, source: str) -> bytes:
    """Return the file's bytes, at most one more than `MAX_BYTES`."""
    whole = SourceLocation(source)
    try:
        with path.open("rb") as file:
            raw = file.read(MAX_BYTES + 1)
    except IsADirectoryError:
        raise SpecError(
            Fault("file-missing", "", "this is a folder", "name the file in it", whole)
        ) from None
    except FileNotFoundError:
        raise SpecError(
            Fault(
                "file-missing",
                "",
                "there is no such file",
                f"check the name, or start one: frame3d new {source}",
                whole,
            )
        ) from None
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        why = getattr(error, "strerror", None) or str(error)
        raise SpecError(
            Fault("file-missing", "", f"the file cannot be read: {why}", "", whole)
        ) from None
    if len(raw) > MAX_BYTES:
        raise SpecError(
            Fault(
                "file-too-large",
                "",
                f"the file is larger than {MAX_BYTES // 1024} KiB",
                "a parameter file has a few KiB; is this the right file?",
                whole,
            )
        )
    return raw


def _decoded(raw: bytes, source: str) -> str:
    """Return UTF-8 bytes as text, without a byte order mark."""
    hint = "save the file as UTF-8"
    if raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise SpecError(
            Fault("file-encoding", "", "the file is UTF-16", hint, SourceLocation(source))
        )
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8", "replace")
        rows = tree.lines(before)
        place = SourceLocation(source, len(rows), len(rows[-1]) + 1)
        byte = raw[error.start]
        raise SpecError(
            Fault("file-encoding", "", f"the byte 0x{byte:02X} here is no UTF-8", hint, place)
        ) from None


def _places(text: str, source: str) -> Callable[[int, int], SourceLocation]:
    """Return a function from line and column of `text` to a SourceLocation."""
    rows = tree.lines(text)

    def place(line: int, column: int) -> SourceLocation:
        row = rows[line - 1] if line <= len(rows) else ""
        if column > _SHOWN:
            row = ""
        return SourceLocation(source, line, column, row[:_SHOWN])

    return place


def _refuse_unprintable(text: str, place: Callable[[int, int], SourceLocation]) -> None:
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


def _no_mapping(root: tree.Node | None, whole: SourceLocation) -> Fault:
    """Return the fault of a text that is not a mapping."""
    hint = "start one with frame3d new FILE; it begins with format: 1"
    if root is None or (isinstance(root, tree.Scalar) and root.plain and root.text == ""):
        return Fault("missing-key", "", "the file is empty", hint, whole)
    what = "a list" if isinstance(root, tree.Sequence) else "plain text"
    return Fault("wrong-type", "", f"the file holds {what}, not keys", hint, root.place)


# -- tree to data --------------------------------------------------------------------------------

_COLOUR_LOST: Final = re.compile(r":\s+(#[0-9a-fA-F]{3,8})\b")


@dataclass
class _Reading:
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


def _checked(data: dict[str, Any], reading: _Reading) -> tuple[FrameSpec | None, list[Fault]]:
    """Return the spec, or None and its faults."""
    try:
        return FrameSpec.model_validate(data), []
    except ValidationError as error:
        faults = explain(error, reading.values, reading.keys)
    # Rules over the whole file are checked only if every value is valid: check them on valid parts.
    sound = _sound(data, {fault.path for fault in faults})
    try:
        FrameSpec.model_validate(sound)
    except ValidationError as error:
        more = explain(error, reading.values, reading.keys)
        # A point may be given from a tube that is left out here.
        out = _keys(data.get("tubes")).keys() - sound["tubes"].keys()
        missed = {
            f"suspension.points.{name}.on"
            for name, place in _keys(_keys(sound.get("suspension")).get("points")).items()
            if _name(_keys(place).get("on")) in out
        }
        faults = _first_of_each(faults, [f for f in more if f.path not in missed])
    return None, faults


def _sound(data: dict[str, Any], bad: Set[str]) -> dict[str, Any]:
    """Return the data with only tubes without faults, and the rear suspension if it has none.

    Tubes that depend on a suspension with faults are left out with it.
    """
    sound: dict[str, Any] = {"format": 1, "name": "x", "geometry": {}}
    tubes = _keys(data.get("tubes"))
    out = {key for key in tubes if any(f"{path}.".startswith(f"tubes.{key}.") for path in bad)}
    suspension = data.get("suspension")
    if any(path.partition(".")[0] == "suspension" for path in bad):
        points = _keys(_keys(suspension).get("points"))
        for key, tube in tubes.items():
            on = [_name(_keys(_keys(tube).get(end)).get("on")) for end in ("start", "end")]
            if "link" in _keys(tube) or any(name in points for name in on):
                out.add(key)
    elif suspension is not None:
        sound["suspension"] = suspension
    sound["tubes"] = {key: tube for key, tube in tubes.items() if key not in out}
    return sound


def _keys(value: Any) -> dict[str, Any]:
    """Return a value of the file if it is a mapping; else an empty mapping."""
    return value if isinstance(value, dict) else {}


def _name(value: Any) -> str:
    """Return a value of the file if it is text; else an empty text, which names nothing."""
    return value if isinstance(value, str) else ""


def _first_of_each(*groups: Sequence[Fault]) -> list[Fault]:
    """Return all faults, without those of later groups whose path is in an earlier group."""
    kept: list[Fault] = []
    for group in groups:
        known = {fault.path for fault in kept if fault.path}
        kept += [fault for fault in group if fault.path not in known]
    return kept


def _order(fault: Fault) -> tuple[int, int]:
    """Return a sort key: faults of the whole file, then by line, then those of overrides."""
    place = fault.place
    if place is None or place.source.startswith("--"):
        return (1 << 60, 0)
    return (place.line or 0, place.column or 0)
