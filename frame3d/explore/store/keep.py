"""Designs as parameter files of their own: the bike's text with other values, its comments kept."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from pathlib import PurePath
from typing import Any, Final

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap

from frame3d.errors import Fault, SourceLocation, SpecError, printable
from frame3d.explore.store.text_with import text_with
from frame3d.explore.study.study import Design, Study
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.editing import scalars, with_texts
from frame3d.parameters.reading.number_places import own_scalars
from frame3d.parameters.reading.putting import steps_of
from frame3d.parameters.reading.reader import loads
from frame3d.parameters.reading.variant_tree import VariantTree, resolve

_Span = tuple[int, int]
_SCHEMA: Final = "# yaml-language-server:"
_NUMBER: Final = re.compile(r"-?[0-9]+(\.[0-9]+)?%?")
_NEEDS_QUOTES: Final = re.compile(r"[,\[\]{}#:&*!|>'\"%@`]|^[-?]?\s|\s$")


def kept(
    study: Study, designs: Sequence[Design], said: Sequence[str] | None = None
) -> dict[str, bytes]:
    """Return files for designs by name, the best first: ``trail_1.yaml``, ``trail_2.yaml``, …

    Each begins with a comment that says which study it came from, and what was changed. A value is
    changed where it stands; one that the file has not, or gives by a rule, is put in.

    Args:
        study: what the designs are values for.
        designs: to keep.
        said: a sentence on each of them for the head of its file.

    Raises:
        SpecError: a value cannot be put into the file.
    """
    digits = len(str(len(designs)))
    stem = PurePath(study.bike_source).stem
    sentences = [""] * len(designs) if said is None else said
    return {
        f"{stem}_{i:0{digits}}.yaml": kept_text(study, design, f"{i:0{digits}}", one).encode(
            "utf-8"
        )
        for i, (design, one) in enumerate(zip(designs, sentences, strict=True), start=1)
    }


def kept_text(study: Study, design: Design, suffix: str = "", said: str = "") -> str:
    """Return the bike's text with a design's values in it.

    Args:
        study: what the design is values for.
        design: the values.
        suffix: a number that is added to the bike's name.
        said: a sentence for the comment at its head.

    Raises:
        SpecError: a value cannot be put into the file.
    """
    before = study.bike_text.removeprefix("\ufeff")
    typed = dict(change.split("=", 1) for change in study.sets(design))
    for way in (_in_text, _anew):
        text = way(before, typed, study.sizes)
        if text is not None and _is_same(text, before, study, design):
            break
    else:
        raise _not_possible(study, typed)
    text = _named(text, suffix)
    end = "\r\n" if "\r\n" in text else "\n"
    head = [f"# Found by frame3d for the study {printable(PurePath(study.source).name)}:"]
    head += [f"#   {path}: {new}" for path, new in typed.items()]
    head += [f"# {printable(said)}"] if said else []
    if text.startswith(_SCHEMA):  # editors look for it on the first line
        first, _, text = text.partition(end)
        head.insert(0, first)
    return end.join((*head, text))


def _in_text(text: str, typed: Mapping[str, str], sizes: Sequence[str | None]) -> str | None:
    """Return the text with values changed where they stand or put in; None where one cannot be."""
    root = tree.parse(text, partial(SourceLocation, "<text>")).root
    own: dict[_Span, tree.Scalar] = {}
    by_path: dict[str, tree.Scalar] = {}
    for path, scalar in own_scalars(root):
        own[scalar.span] = scalar
        by_path.setdefault(path, scalar)
    bikes = [dict(own_scalars(bike)) for bike in _bikes(root, sizes)]
    pieces: dict[_Span, str] = {}
    to_put_in: dict[str, str] = {}
    for path, new in typed.items():
        key = ".".join(steps_of(path))
        for bike in bikes:
            stands = bike.get(key, by_path.get(key))
            written = None if stands is None else own.get(stands.span)
            if stands is None or written is None or written.text != stands.text:
                to_put_in[path] = new  # missing, shared, or worked out by a rule
            else:
                pieces[stands.span] = _like(new, written)
    found: str | None = with_texts(text, pieces)
    for path, new in to_put_in.items():
        found = None if found is None else text_with(found, path, _quoted(new))
    return found


def _bikes(root: tree.Node | None, sizes: Sequence[str | None]) -> Iterator[tree.Node | None]:
    """Yield the trees of a file's bikes."""
    family = VariantTree(root)
    for size in sizes:
        chosen = family.default if size is None else size
        yield resolve(family.of_size(chosen), family, chosen, ()).root


def _like(new: str, old: tree.Scalar) -> str:
    """Return a value as it is to stand in the file in place of another."""
    number = new.removesuffix("%")
    if old.plain and _NUMBER.fullmatch(new):
        sign = "%" if new.endswith("%") else ""
        has_point = "." in old.text and "." not in number
        return f"{number}{'.0' if has_point else ''}{sign}"
    return _quoted(new)


def _quoted(new: str) -> str:
    """Return a value in quotes where it needs them to stand within braces."""
    if _NUMBER.fullmatch(new) or not _NEEDS_QUOTES.search(new):
        return new
    return json.dumps(new, ensure_ascii=False)


def _anew(text: str, typed: Mapping[str, str], sizes: Sequence[str | None]) -> str | None:
    """Return the text written anew with values put in; None where one cannot be.

    Comments within braces are lost then: what else cannot be done in the text.
    """
    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 100_000
    data: Any = yaml.load(text)
    try:
        for path, new in typed.items():
            *way, last = steps_of(path)
            here = data
            for step in way:
                if isinstance(here, dict) and not isinstance(here.get(step), dict | list):
                    here[step] = CommentedMap()
                here = here[int(step) if isinstance(here, list) else step]
            here[int(last) if isinstance(here, list) else last] = yaml.load(new)
    except (LookupError, TypeError, ValueError):
        return None
    stream = io.StringIO()
    yaml.dump(data, stream)
    return stream.getvalue()


def _is_same(text: str, before: str, study: Study, design: Design) -> bool:
    """Return whether a text makes the bikes that the changes make of the one before."""
    sets = study.sets(design)
    try:
        return all(
            loads(text, size=size).model_dump() == loads(before, sets=sets, size=size).model_dump()
            for size in study.sizes
        )
    except SpecError:
        return False


def _named(text: str, suffix: str) -> str:
    """Return the text with a number added to the bike's name, where it has one and takes it."""
    name = scalars(text).get("name")
    if name is None or not suffix:
        return text
    new = f"{name.text}, design {suffix}"
    shown = new if name.plain else json.dumps(new, ensure_ascii=False)
    named = with_texts(text, {(name.start, name.end): shown})
    try:
        return named if loads(named).name == new else text
    except SpecError:
        return text


def _not_possible(study: Study, typed: Mapping[str, str]) -> SpecError:
    changes = " ".join(f"--set {path}={new}" for path, new in typed.items())
    return SpecError(
        Fault(
            "override",
            "",
            "a design's values cannot be written into the bike's file",
            f"use the file as it is with {changes}",
            SourceLocation(study.bike_source),
        )
    )
