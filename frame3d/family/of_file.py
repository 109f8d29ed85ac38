"""The tables of sizes and of settings that a file has, beside one of its bikes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from frame3d.bike.bike import Bike
from frame3d.bike.choice import Choice
from frame3d.chart.cache import ROOM, Cache
from frame3d.errors import FrameError
from frame3d.family.cockpit_ranges import CockpitRange, cockpit_range, grips_of
from frame3d.family.members import solve_family
from frame3d.family.size_table import SizeTable, size_table
from frame3d.family.wanted import Source, Wanted
from frame3d.parameters.reading.variant_tree import DRAWN


@dataclass(frozen=True, slots=True)
class Offered:
    """A table of a file's sizes or settings, and which of them the bike at hand is."""

    table: SizeTable
    own: str
    """Its column."""
    missing: tuple[str, ...]
    """Sizes or settings that cannot be made."""
    cockpits: tuple[CockpitRange | None, ...] = ()
    """What each column can do for the grips of the bike at hand; empty where that has none."""
    bikes: tuple[Bike, ...] = ()
    """The bike of each column."""


@dataclass(frozen=True, slots=True)
class FileTables:
    """What a file offers; None where it has fewer than two that can be made."""

    sizes: Offered | None
    """With the settings and parts of the bike at hand."""
    settings: Offered | None
    """On the size of the bike at hand, the frame as drawn first."""


def tables_of(source: Source, choice: Choice, memory: Cache | None = None) -> FileTables:
    """Return the size tables of a file, as one of its bikes is set up.

    Args:
        source: the file, with its changes of the design.
        choice: the bike at hand; the others have the same parts exchanged.
        memory: cache from bikes solved earlier.
    """
    known = Cache(2 * ROOM) if memory is None else memory
    variants = source.variants
    size = variants.default if choice.size is None else choice.size
    own = Choice(size, tuple(choice.settings), source.sets, tuple(choice.swaps))
    sizes = {name: replace(own, size=name) for name in variants.sizes}
    ways: Sequence[tuple[str, ...]] = [(), *((name,) for name in variants.settings)]
    made = tuple(name for name in own.settings if name != DRAWN)
    if made not in ways:
        ways = [*ways, made]
    settings = {" + ".join(way) or DRAWN: replace(own, settings=way) for way in ways}
    return FileTables(
        None if size is None else _offered(source, sizes, size, known),
        _offered(source, settings, " + ".join(made) or DRAWN, known) if variants.settings else None,
    )


def _offered(source: Source, choices: dict[str, Choice], own: str, memory: Cache) -> Offered | None:
    try:
        family = solve_family([Wanted(source, choice) for choice in choices.values()], memory)
    except FrameError:
        return None
    made = {member.choice: member for member in family.members}
    names = [name for name, choice in choices.items() if choice in made]
    table = replace(size_table(family), columns=tuple(names))
    missing = tuple(name for name in choices if name not in names)
    bikes = {name: made[choice].bike for name, choice in choices.items() if choice in made}
    wish = grips_of(bikes[own], own) if own in bikes else None
    cockpits = () if wish is None else tuple(cockpit_range(b, wish) for b in bikes.values())
    return Offered(table, own, missing, cockpits, tuple(bikes[name] for name in names))
