"""The order as CSV, for spreadsheets, and as plain data for JSON."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from frame3d.caution import CAUTION
from frame3d.fabrication.lists import csv_bytes
from frame3d.fabrication.ordering.order_list import Order, SawnPiece, TubeSection
from frame3d.fabrication.tube_facts import plain


@dataclass(frozen=True, slots=True)
class Purchase:
    """Tubes or bars of one section and length, and what is made from them."""

    section: TubeSection
    count: int
    """Number to buy."""
    length: float
    """Of each: of a bar, or the least that a tube may have [mm]."""
    pieces: tuple[SawnPiece, ...]

    @property
    def uses(self) -> str:
        """The tubes that are made from them, in words; left and right once."""
        names = [plain(piece.tube) for piece in self.pieces]
        plainest = [name.removesuffix(" left").removesuffix(" right") for name in names]
        return ", ".join(dict.fromkeys(plainest))

    def counts(self, order: Order) -> tuple[int, ...]:
        """Return the number of pieces for each size."""
        sizes = Counter(piece.size for piece in self.pieces)
        return tuple(sizes[size.name] for size in order.sizes)


def purchases(order: Order) -> list[Purchase]:
    """Return the tubes and bars to buy, by section, longest first."""
    found = []
    for section in order.sections:
        whole: list[tuple[float, tuple[SawnPiece, ...]]]
        if section.plan is None:
            whole = [(piece.length, (piece,)) for piece in section.pieces]
        else:
            whole = [(bar.length, bar.pieces) for bar in section.plan.bars]
        for length in sorted({length for length, _ in whole}, reverse=True):
            alike = [pieces for long, pieces in whole if long == length]
            pieces = tuple(piece for some in alike for piece in some)
            found.append(Purchase(section, len(alike), length, pieces))
    return found


def order_csv(order: Order) -> bytes:
    """Return what to buy: a line for each length of each section, and for each part."""
    head = (
        "buy", "kind", "item", "section", "outside_mm", "wall_mm", "butts_mm", "material", "length_mm",
        "size", "standard", "note", "mass_each_g", *(f"pieces for {size.name}" for size in order.sizes),
    )  # fmt: skip
    rows: list[Sequence[str]] = []
    for bought in purchases(order):
        section = bought.section
        kind, note = (
            ("tube", "this long or longer") if section.plan is None else ("bar", section.plan.claim)
        )
        rows.append((
            str(bought.count), kind, bought.uses, str(section.number), section.outside, section.wall,
            section.butts, section.material, f"{bought.length:g}", "", "", note, "",
            *map(str, bought.counts(order)),
        ))  # fmt: skip
    rows += [
        (str(sum(part.counts)), "part", part.what, *[""] * 6, part.size, part.standard, part.note,
         "" if part.grams is None else f"{part.grams:z.1f}", *map(str, part.counts))
        for part in order.parts
    ]  # fmt: skip
    return csv_bytes(head, rows)


def saw_csv(order: Order) -> bytes:
    """Return every piece of tube: its frame, its length, and its bar where it is sawn from one."""
    head = (
        "section", "outside_mm", "wall_mm", "material", "bar", "bar_length_mm", "piece", "tube", "size",
        "frame", "length_mm", "note",
    )  # fmt: skip
    rows: list[Sequence[str]] = []
    for section in order.sections:
        what = (str(section.number), section.outside, section.wall, section.material)
        if section.plan is None:
            rows += [(*what, "", "", "", *_piece_row(piece)) for piece in section.pieces]
            continue
        for i, bar in enumerate(section.plan.bars, 1):
            where = (*what, str(i), f"{bar.length:g}")
            rows += [(*where, str(j), *_piece_row(piece)) for j, piece in enumerate(bar.pieces, 1)]
            rows.append((*where, "", "offcut", "", "", f"{bar.offcut:z.2f}", ""))
    return csv_bytes(head, rows)


def _piece_row(piece: SawnPiece) -> tuple[str, ...]:
    note = "bent after sawing" if piece.is_bent else ""
    return piece.tube, piece.size, str(piece.frame), f"{piece.length:g}", note


def order_document(order: Order) -> dict[str, Any]:
    """Return the order as plain data."""
    return {
        "name": order.name,
        "sizes": [{"size": size.name, "quantity": size.quantity} for size in order.sizes],
        "missing": list(order.missing),
        "stock": [{"length": s.length, "count": s.count} for s in order.stock],
        "kerf": order.kerf,
        "trim": order.trim,
        "tubes": [_section(section) for section in order.sections],
        "parts": [
            {
                "item": part.what,
                "size": part.size,
                "standard": part.standard,
                "note": part.note,
                "mass_each_g": part.grams,
                "count": sum(part.counts),
                "by_size": {s.name: n for s, n in zip(order.sizes, part.counts, strict=True)},
            }
            for part in order.parts
        ],
        "units": {"lengths": "mm", "masses": "g"},
        "caution": CAUTION,
    }


def _section(section: TubeSection) -> dict[str, Any]:
    plan = section.plan
    out: dict[str, Any] = {
        "section": section.number,
        "outside": section.outside,
        "wall": section.wall,
        "butts": section.butts,
        "material": section.material,
        "from_bars": plan is not None,
    }
    if plan is None:
        return {**out, "pieces": [_piece(piece) for piece in section.pieces]}
    return {
        **out,
        "method": plan.method,
        "proven": plan.is_proven,
        "claim": plan.claim,
        "bars": [
            {
                "length": bar.length,
                "pieces": [_piece(piece) for piece in bar.pieces],
                "offcut": bar.offcut,
            }
            for bar in plan.bars
        ],
    }


def _piece(piece: SawnPiece) -> dict[str, Any]:
    return {
        "tube": piece.tube,
        "size": piece.size,
        "frame": piece.frame,
        "length": piece.length,
        "bent": piece.is_bent,
    }
