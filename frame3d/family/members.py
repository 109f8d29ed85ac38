"""Solve the bikes of a comparison; what they share is made once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice, solve_choice
from frame3d.chart.cache import ROOM, Cache
from frame3d.errors import Fault, FrameError, SourceLocation, SpecError, printable
from frame3d.family.wanted import LEAST, Source, Unread, Wanted
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.variant_tree import DRAWN, SETTINGS, SIZES


@dataclass(frozen=True, slots=True)
class Member:
    """One solved bike of a comparison."""

    label: str
    """Short, and like no other's: ``L``, ``trail L``, ``drawn``."""
    source: Source
    choice: Choice
    bike: Bike
    drawn: Bike
    """Without settings and exchanged parts; `bike` itself where there are none."""

    @property
    def title(self) -> str:
        """The bike's whole name, with changes from the command line."""
        changes = (*self.choice.sets, *self.choice.swaps)
        return printable(", ".join((self.bike.spec.title, *changes)))


@dataclass(frozen=True, slots=True)
class Missing:
    """A bike that cannot be made, by its label, and why."""

    label: str
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Family:
    """The bikes of a comparison; differences are told against the first."""

    members: tuple[Member, ...]
    missing: tuple[Missing, ...] = ()

    @property
    def first(self) -> Member:
        """The one that the others are held against."""
        return self.members[0]

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Why bikes are missing, with their labels before the messages, but for names of files."""
        return tuple(
            fault
            if fault.place is not None and fault.place.source == one.label
            else replace(fault, message=f"{one.label}: {fault.message}")
            for one in self.missing
            for fault in one.faults
        )


def solve_family(
    wanted: Sequence[Wanted | Unread], memory: Cache | None = None, *, fewest: int = LEAST
) -> Family:
    """Solve bikes in the order in which they are named.

    Args:
        wanted: from `frame3d.family.wanted.wanted_of`.
        memory: cache from bikes solved earlier; results that do not change are taken from it.
        fewest: how many of them must be made at least.

    Raises:
        FrameError: fewer of them can be made; with the faults of all others.
    """
    known = Cache(2 * ROOM) if memory is None else memory
    members: list[Member] = []
    missing: list[Missing] = []
    for one, label in zip(wanted, labels(wanted), strict=True):
        made = Missing(label, one.faults) if isinstance(one, Unread) else solved(one, label, known)
        if isinstance(made, Member):
            members.append(made)
        else:
            missing.append(made)
    family = Family(tuple(members), tuple(missing))
    if len(members) < fewest:
        raise SpecError(family.faults)
    return family


def solved(wanted: Wanted, label: str, memory: Cache | None = None) -> Member | Missing:
    """Solve one bike; `memory` as for `solve_family`."""
    source, choice = wanted.source, wanted.choice
    try:
        chosen = solve_choice(source.text, source.name, choice, memory, source.parse)
    except FrameError as error:
        return Missing(label, tuple(_with_line(fault, source, choice) for fault in error.faults))
    return Member(label, source, choice, chosen.bike, chosen.drawn)


def labels(wanted: Sequence[Wanted | Unread]) -> list[str]:
    """Return a short name for each bike, no two alike.

    A file is named where there are several, a size or a setting where it is asked for, changes where not
    all bikes have them.
    """
    files = dict.fromkeys(one.source.name for one in wanted if isinstance(one, Wanted))
    stems = [one.source.stem for one in wanted if isinstance(one, Wanted)]
    alike = len(set(stems)) < len(files)
    several = len(files) > 1 or any(isinstance(one, Unread) for one in wanted)
    changes = {_changes(one.choice) for one in wanted if isinstance(one, Wanted)}
    made: list[str] = []
    for one in wanted:
        if isinstance(one, Unread):
            made.append(one.name)
            continue
        source, choice = one.source, one.choice
        size = choice.size or (source.variants.default if _has_sizes(one, wanted) else None)
        parts = [(source.name if alike else source.stem)] if several else []
        parts += [] if size is None else [size]
        parts += choice.settings or ([DRAWN] if _has_settings(one, wanted) else [])
        parts += [_changes(choice) or DRAWN] if len(changes) > 1 else []
        made.append(" ".join(dict.fromkeys(parts)) or source.stem)
    return _unique([printable(label) for label in made])


def _unique(made: Sequence[str]) -> list[str]:
    """Return the labels with a number after each that stood before."""
    out: list[str] = []
    for label in made:
        number, shown = 1, label
        while shown in out:
            number += 1
            shown = f"{label} ({number})"
        out.append(shown)
    return out


def _has_sizes(one: Wanted, wanted: Sequence[Wanted | Unread]) -> bool:
    """Return whether a size of the same file is asked for."""
    return any(
        isinstance(other, Wanted)
        and other.source.name == one.source.name
        and other.choice.size is not None
        for other in wanted
    )


def _has_settings(one: Wanted, wanted: Sequence[Wanted | Unread]) -> bool:
    """Return whether another bike of the same file and size has settings."""
    return any(
        isinstance(other, Wanted)
        and other.source.name == one.source.name
        and other.choice.size == one.choice.size
        and other.choice.settings
        for other in wanted
    )


def _changes(choice: Choice) -> str:
    """Return the changes from the command line in short: one of them, or their number."""
    changes = (*choice.sets, *choice.swaps)
    if len(changes) > 1:
        return f"{len(changes)} changes"
    return changes[0].removeprefix("build.").removeprefix("geometry.") if changes else ""


def _with_line(fault: Fault, source: Source, choice: Choice) -> Fault:
    """Return the fault, at the line that names the sizes or settings where one is not among them."""
    for key, names in ((SIZES, (choice.size,)), (SETTINGS, choice.settings)):
        option = f"--{key.removesuffix('s')} "
        if fault.place is None or not fault.place.source.startswith(option):
            continue
        if fault.place.source.removeprefix(option) in names:
            return replace(fault, place=_line_of(source, key))
    return fault


def _line_of(source: Source, key: str) -> SourceLocation:
    """Return the line of a key at the top of a file; the file where it does not have it."""
    rows = tree.lines(source.text)

    def place(line: int, column: int) -> SourceLocation:
        return SourceLocation(source.name, line, column, rows[line - 1])

    root = source.parse(source.text, place).root
    entry = root.entries.get(key) if isinstance(root, tree.Mapping) else None
    return SourceLocation(source.name) if entry is None else entry.key.place
