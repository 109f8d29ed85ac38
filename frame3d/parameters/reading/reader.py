"""Read a parameter file to a FrameSpec; report all its faults at once."""

from __future__ import annotations

import codecs
import os
from collections.abc import Callable, Sequence, Set
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from frame3d.errors import Fault, SourceLocation, SpecError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.data import (
    Reading,
    first_of_each,
    in_order,
    no_mapping,
    places,
    refuse_unprintable,
)
from frame3d.parameters.reading.explain import explain
from frame3d.parameters.reading.overrides import override
from frame3d.parameters.reading.putting import steps_of
from frame3d.parameters.reading.variant_tree import VariantTree, of_sizes, resolve
from frame3d.parameters.reading.wishes import without_settled

MAX_BYTES: Final = 1 << 20
"""Largest size of a parameter file [bytes]."""


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
    place = places(text, source)
    refuse_unprintable(text, place)
    parsed = parse(text, place)
    faults = list(parsed.faults)
    root, variants = _one_bike(parsed.root, sets, swaps, size, settings, faults)
    if not isinstance(root, tree.Mapping):
        hint = "start one with frame3d new FILE; it begins with format: 1"
        faults.append(no_mapping(root, whole, hint))
        raise SpecError(faults)
    reading = Reading(whole)
    data = reading.mapping(root, "")
    spec, found = _checked(data, reading)
    # One fault for each value, first those of the text itself. Words such as yes are
    # ambiguous only where text was wanted; elsewhere another fault is reported.
    faults = first_of_each(faults, reading.faults, found, reading.words)
    if faults or spec is None:
        raise SpecError(sorted(faults, key=in_order))
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
    root = parse(text, places(text, source)).root
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


def _checked(data: dict[str, Any], reading: Reading) -> tuple[FrameSpec | None, list[Fault]]:
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
        faults = first_of_each(faults, [f for f in more if f.path not in missed])
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
