"""Read which bikes are to be compared: files, their sizes and settings, as typed."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Final

from frame3d.bike.choice import Choice
from frame3d.errors import Fault, FrameError, SourceLocation, SpecError
from frame3d.parameters.models.variants import Variants
from frame3d.parameters.reading.reader import read_text, variants_of
from frame3d.parameters.reading.reparse import Reparse
from frame3d.parameters.reading.variant_tree import ALL, DRAWN

LEAST, MOST = 2, 8
"""Fewest and most bikes of a comparison."""
_FILE: Final = re.compile(r"(?P<file>.*?\.ya?ml)(?P<rest>[:+].*)?", re.IGNORECASE | re.DOTALL)


@dataclass(frozen=True)
class Source:
    """A parameter file that bikes are taken from, read and parsed once for all of them."""

    name: str
    """As typed."""
    text: str
    sets: tuple[str, ...] = ()
    """Changes of the design that are asked for; they may change the sizes too."""
    parse: Reparse = field(default_factory=Reparse, compare=False)

    @property
    def stem(self) -> str:
        """The file's name without folders and ending."""
        return Path(self.name).stem

    @cached_property
    def variants(self) -> Variants:
        """The sizes and settings that it offers.

        Raises:
            SpecError: the text is not well-formed, or these sections are not.
        """
        return variants_of(self.text, self.name, self.sets, self.parse)


@dataclass(frozen=True, slots=True)
class Wanted:
    """One bike of a file."""

    source: Source
    choice: Choice


@dataclass(frozen=True, slots=True)
class Unread:
    """A bike that cannot even be looked for, with its faults."""

    name: str
    """As typed."""
    faults: tuple[Fault, ...]


def wanted_of(
    named: Sequence[str],
    size: str | None = None,
    settings: Sequence[str] = (),
    sets: Sequence[str] = (),
    swaps: Sequence[str] = (),
    *,
    fewest: int = LEAST,
) -> tuple[Wanted | Unread, ...]:
    """Return the bikes that are named, in order.

    A name is a file, alone or with a size and settings: ``trail.yaml``, ``trail.yaml:L``,
    ``trail.yaml+low``, ``trail.yaml:L+low+long``; ``all`` stands for each size, or for the frame as
    drawn and with each setting. Where only one bike is named, and it has settings or other changes, it
    is compared with itself without them. Where one is enough (`fewest`), a size that stands alone is
    compared with the file's default size.

    Args:
        named: files with their sizes and settings.
        size: the one of every file that is named without; ``all`` for each.
        settings: likewise.
        sets: changes of the design of every bike, ``KEY=VALUE``.
        swaps: exchanges of parts on every bike, ``KEY=VALUE``.
        fewest: how many bikes there must be at least.

    Raises:
        SpecError: fewer bikes than that, or more than eight.
    """
    sources: dict[str, Source] = {}
    found: list[Wanted | Unread] = []
    shared = Choice(size, tuple(settings), tuple(sets), tuple(swaps))
    for typed in named:
        name, rest = _split(typed)
        try:
            if name not in sources:
                sources[name] = Source(name, read_text(name), tuple(sets))
            found += _bikes(sources[name], rest, shared)
        except FrameError as error:
            found.append(Unread(typed, tuple(error.faults)))
    if len(found) == 1 and isinstance(found[0], Wanted):
        found = [*_itself(found[0], other_size=fewest == 1), found[0]]
    _refuse_number(found, named, fewest)
    return tuple(found)


def _split(typed: str) -> tuple[str, str]:
    """Return the file's name, and what is typed behind it: size and settings."""
    if Path(typed).exists():
        return typed, ""
    match = _FILE.fullmatch(typed)
    if match is not None:
        return match["file"], match["rest"] or ""
    name, colon, size = typed.rpartition(":")
    return (name, colon + size) if name else (typed, "")


def read_name(typed: str) -> tuple[str, str | None, tuple[str, ...]]:
    """Return file, size and settings of a bike's name as typed, e.g. ``trail.yaml:L+low``."""
    name, rest = _split(typed)
    return (name, *_read(rest))


def _bikes(source: Source, rest: str, shared: Choice) -> Iterator[Wanted]:
    """Yield the bikes of one file; sizes outside, settings inside."""
    offered = source.variants
    size, settings = _read(rest)
    size = size or shared.size
    settings = settings or tuple(shared.settings)
    sizes: Sequence[str | None] = (size,)
    if size == ALL:
        if not offered.sizes:
            hint = "name them in it, e.g. sizes: [S, M, L]"
            fault = Fault("missing-key", "sizes", "the file has no sizes", hint)
            raise SpecError(replace(fault, place=SourceLocation(source.name)))
        sizes = offered.sizes
    several: Sequence[tuple[str, ...]] = (tuple(s for s in settings if s != DRAWN),)
    if ALL in settings:
        several = ((), *((name,) for name in offered.settings))
    for one in sizes:
        for chosen in several:
            yield Wanted(source, replace(shared, size=one, settings=chosen))


def _read(rest: str) -> tuple[str | None, tuple[str, ...]]:
    """Return size and settings of what is typed behind a file's name; no name holds a plus sign."""
    first, *settings = rest.split("+")
    return first.removeprefix(":") or None, tuple(settings)


def _itself(one: Wanted, *, other_size: bool) -> list[Wanted]:
    """Return the bike without settings and changes; empty where it has none.

    With `other_size`, one that has none but is of another size than the default gives that size.
    """
    size = one.choice.size
    plain = Choice(size)
    default = one.source.variants.default
    if other_size and one.choice == plain and size in one.source.variants.sizes and size != default:
        plain = Choice(default)
    return [Wanted(Source(one.source.name, one.source.text), plain)] if one.choice != plain else []


def _refuse_number(found: Sequence[Wanted | Unread], named: Sequence[str], fewest: int) -> None:
    """Fault if there are too few bikes or too many; faults of a bike that stands alone come first."""
    place = SourceLocation(f"compare {' '.join(named)}".strip())
    if len(found) < fewest:
        for one in found:
            if isinstance(one, Unread):
                raise SpecError(one.faults)
        raise SpecError(
            Fault(
                "comparison",
                "",
                "one bike is nothing to compare" if found else "no bike is named",
                "name two files, one with --size all or --setting all, or one with --swap KEY=VALUE",
                place,
            )
        )
    if len(found) > MOST:
        raise SpecError(
            Fault(
                "comparison",
                "",
                f"{len(found)} bikes; at most {MOST} go side by side",
                "name the sizes that matter, e.g. trail.yaml:S trail.yaml:L",
                place,
            )
        )
