"""What to order for several sizes of a bike: tubes by section, bars, and all other parts.

Round tubes of one outside and one wall are sawn from bars. A tube that is butted, tapered or oval has
its shape at a place, so that each is bought by itself, at least as long as the cut list's stock length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.errors import Fault, OutputError
from frame3d.fabrication.fork_sheet import fork_tubes
from frame3d.fabrication.ordering.stock import Piece, Plan, StockLength, cut_stock
from frame3d.fabrication.parts_list import items_of
from frame3d.fabrication.tube_facts import TubeFacts, facts_of, plain, section_text, wall_text
from frame3d.geometry.centreline import Arc
from frame3d.parameters.models.tubes import ButtedSpec, TubeSpec
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from frame3d.tubes.tube import Tube

STOCK: Final = (StockLength(2000.0),)
"""Lengths in which plain tube is bought [mm]; common practice, no source."""
KERF: Final = 2.0
"""Width of the saw's cut [mm]; common practice, no source."""
TRIM: Final = 0.0
"""Length at either end of a bar that is not used [mm]. None: each piece has its own 10 mm to spare."""


@dataclass(frozen=True, slots=True)
class SawnPiece(Piece):
    """A piece of tube, of one frame."""

    tube: str
    """Name in the file, e.g. ``seatstay_left``."""
    size: str
    frame: int
    """Number of the frame among those of its size, from 1."""
    is_bent: bool
    """Whether it is bent after sawing; the length is the developed one."""


@dataclass(frozen=True, slots=True)
class TubeSection:
    """All tubes of one section and material."""

    number: int
    """From 1, in the order of the list."""
    outside: str
    wall: str
    butts: str
    """Butts as they are left after cutting, or as sold where the file says so, in words; empty for a
    wall of one thickness."""
    material: str
    pieces: tuple[SawnPiece, ...]
    """By size, then tube in build order, then frame."""
    plan: Plan[SawnPiece] | None
    """Bars to saw the pieces from; None where each piece is bought as a tube of its own."""

    @property
    def title(self) -> str:
        """Section and material, e.g. ``38.1 × 0.9 / 0.6 / 0.9, 4130``."""
        wall = self.wall if self.wall == "solid" else f"× {self.wall}"
        return f"{self.outside} {wall}, {self.material}"


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part besides the tubes, equal in all sizes that it is counted for."""

    what: str
    size: str
    standard: str
    note: str
    """Of the parts list, as far as it is the same in all sizes."""
    counts: tuple[int, ...]
    """Number for each size, all its frames together."""
    grams: float | None = None
    """Mass of each [g]; None where it is not known, or not the same in all sizes."""


@dataclass(frozen=True, slots=True)
class SizeCount:
    """A size, or a frame of several files, and how many of it are ordered for."""

    name: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Order:
    """Everything to order."""

    name: str
    """Of the bike, without its size; of several bikes, all their names."""
    sizes: tuple[SizeCount, ...]
    missing: tuple[str, ...]
    """Sizes that could not be made, and are not in the list."""
    stock: tuple[StockLength, ...]
    kerf: float
    trim: float
    sections: tuple[TubeSection, ...]
    parts: tuple[PartLine, ...]

    @property
    def frames(self) -> int:
        """Number of frames in all."""
        return sum(size.quantity for size in self.sizes)


def order_of(
    bikes: Sequence[tuple[str, Bike, int]],
    *,
    stock: Sequence[StockLength] = STOCK,
    kerf: float = KERF,
    trim: float = TRIM,
    missing: Sequence[str] = (),
) -> Order:
    """Return what to order for some of each size.

    Args:
        bikes: name of the size (or of the frame, where they come from several files), its bike, and the
            number of frames; at least one, no name twice. What is not wanted at all is left out.
        stock: lengths in which plain tube is to be had.
        kerf: width of the saw's cut [mm].
        trim: length at either end of a bar that is not used [mm].
        missing: sizes that could not be made, to be told on the list.

    Raises:
        OutputError: a piece is longer than any bar, or the bars do not suffice.
        ValueError: a name stands twice, a number is negative, or none is wanted; see also
            `stock.cut_stock`.
    """
    names = [name for name, _, _ in bikes]
    wanted = [one for one in bikes if one[2]]
    if not wanted or len(set(names)) < len(names) or any(n < 0 for _, _, n in bikes):
        raise ValueError("each size once, with 0 frames or more, and one in all")
    facts = [_facts(bike) for _, bike, _ in wanted]
    return Order(
        name=" + ".join(dict.fromkeys(bike.spec.name for _, bike, _ in wanted)),
        sizes=tuple(SizeCount(name, quantity) for name, _, quantity in wanted),
        missing=tuple(missing),
        stock=tuple(sorted(stock, key=lambda s: -s.length)),
        kerf=kerf,
        trim=trim,
        sections=_sections(wanted, facts, stock, kerf, trim),
        parts=_parts(wanted, facts),
    )


def _facts(bike: Bike) -> list[TubeFacts]:
    bodies = bodies_of(bike.frame)
    if bike.fork is not None:
        bodies |= bodies_of(bike.fork.frame)
    tubes = (*bike.tubes, *fork_tubes(bike))
    return [facts_of(tube, bodies, Cutting(tube, bodies)) for tube in tubes]


def _sections(
    bikes: Sequence[tuple[str, Bike, int]],
    facts: Sequence[Sequence[TubeFacts]],
    stock: Sequence[StockLength],
    kerf: float,
    trim: float,
) -> tuple[TubeSection, ...]:
    """Return the tubes by section, in the order in which the first bike that has it is built."""
    groups: dict[object, list[SawnPiece]] = {}
    first: dict[object, tuple[TubeSpec, Tube]] = {}
    for (size, bike, quantity), tubes in zip(bikes, facts, strict=True):
        for one in tubes:
            spec = spec_of(bike, one.tube)
            key = (spec.od, spec.wall, spec.dimples, one.tube.material)
            first.setdefault(key, (spec, one.tube))
            groups.setdefault(key, [])
            groups[key] += [_piece(one, size, frame) for frame in range(1, quantity + 1)]
    by_size = {size: bike for size, bike, _ in bikes}
    sections, faults = [], []
    for number, (group, pieces) in enumerate(groups.items(), 1):
        spec, tube = first[group]
        plan = cut_stock(pieces, stock, kerf=kerf, trim=trim) if _is_plain(tube) else None
        if plan is not None and plan.left:
            longest = max(plan.left, key=lambda piece: piece.length)
            faults.append(_too_little(by_size[longest.size], plan.left, stock, trim))
        sections.append(TubeSection(
            number, section_text(tube), wall_text(tube), _butts(spec), tube.material,
            tuple(pieces), plan,
        ))  # fmt: skip
    if faults:
        raise OutputError(faults)
    return tuple(sections)


def spec_of(bike: Bike, tube: Tube) -> TubeSpec:
    """Return what the file says of a tube of the frame, or of the fork that the shop builds."""
    own = bike.frame.spec.tubes.get(tube.key)
    if own is None:
        assert bike.fork is not None
        own = bike.fork.frame.spec.tubes[tube.key]
    return own


def _piece(one: TubeFacts, size: str, frame: int) -> SawnPiece:
    tube = one.tube
    is_bent = any(isinstance(piece, Arc) for piece in tube.axis.pieces)
    label = f"{plain(tube.name)}, {size}"
    return SawnPiece(one.stock, label, tube.name, size, frame, is_bent)


def _is_plain(tube: Tube) -> bool:
    """Return whether a tube can be sawn from any place of a bar."""
    section = tube.section
    known = section.is_round or bool(section.rounds)
    return known and section.is_straight_sided and len(set(section.wall)) == 1


def _butts(tube: TubeSpec) -> str:
    """Return butts and transitions of a wall in words."""
    wall = tube.wall
    if not isinstance(wall, ButtedSpec):
        return ""
    lengths = " and ".join(f"{length:g}" for length in wall.lengths)
    told = f"{lengths} long, {wall.transition:g} transition"
    if not wall.is_cut_from:
        return told
    return told + (", as sold" if wall.as_sold is None else f", as sold in {wall.as_sold:g}")


def _too_little(
    bike: Bike, pieces: Sequence[SawnPiece], stock: Sequence[StockLength], trim: float
) -> Fault:
    """Return the fault of pieces of one section for which there is no bar."""
    piece = max(pieces, key=lambda piece: piece.length)
    names = {tube.name: tube.key for tube in (*bike.tubes, *fork_tubes(bike))}
    path = f"tubes.{names[piece.tube]}"
    usable = max(s.length for s in stock) - 2 * trim
    if piece.length <= usable:
        return bike.spec.fault(
            "output", path,
            f"there are bars of {_listed(stock)} mm, which do not suffice: {len(pieces)} pieces are "
            f"left, the longest of {piece.length:g} mm",
            "give more bars, or a length without a number for as many as are needed",
        )  # fmt: skip
    less = f" less {trim:g} mm at either end" if trim else ""
    return bike.spec.fault(
        "output", path,
        f"{piece.label}: a piece of {piece.length:g} mm is longer than any bar, "
        f"{max(s.length for s in stock):g} mm{less}",
        f"give a stock length of {piece.length + 2 * trim:g} mm or more",
    )  # fmt: skip


def _listed(stock: Sequence[StockLength]) -> str:
    """Return stock lengths in words: ``2 × 1500, 2000``."""
    return ", ".join(
        f"{s.length:g}" if s.count is None else f"{s.count} × {s.length:g}" for s in stock
    )


def _parts(
    bikes: Sequence[tuple[str, Bike, int]], facts: Sequence[Sequence[TubeFacts]]
) -> tuple[PartLine, ...]:
    """Return the other parts, those of one kind together, in the order of the parts lists."""
    parts: dict[str, dict[tuple[str, str, str], list[int]]] = {}
    notes: dict[tuple[str, str, str, str], set[str]] = {}
    grams: dict[tuple[str, str, str, str], set[float | None]] = {}
    for at, ((_, bike, quantity), tubes) in enumerate(zip(bikes, facts, strict=True)):
        for item in items_of(bike, tubes):
            if item.is_tube:
                continue
            key = (item.size, item.standard, item.kind)
            counts = parts.setdefault(item.what, {}).setdefault(key, [0] * len(bikes))
            counts[at] += item.count * quantity
            notes.setdefault((item.what, *key), set()).add(item.note)
            mass = None if item.grams is None else round(item.grams, 1)
            grams.setdefault((item.what, *key), set()).add(mass)
    lines = []
    for what, sizes in parts.items():
        for (size, standard, kind), counts in sizes.items():
            said = notes[(what, size, standard, kind)]
            masses = grams[(what, size, standard, kind)]
            note = next(iter(said)) if len(said) == 1 else kind
            mass = next(iter(masses)) if len(masses) == 1 else None
            lines.append(PartLine(what, size, standard, note, tuple(counts), mass))
    return tuple(lines)
