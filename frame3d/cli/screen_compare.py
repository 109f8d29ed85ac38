"""A comparison of bikes as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, get_args

from frame3d.caution import CAUTION
from frame3d.cli.tables import chunks, number
from frame3d.family.differences import Change, Kind, against_first
from frame3d.family.size_table import Row, SizeTable, size_table
from frame3d.report.comparing import sentences
from frame3d.report.texts import Texts

if TYPE_CHECKING:
    from frame3d.clearance.result import Result
    from frame3d.family.measured import Measured
    from frame3d.family.members import Family, Member

TOLD = 2
"""Most bikes whose differences are told in sentences too; the page tells those of more."""
STANDS = {"static": "As drawn", "sagged": "At sag"}


def compared(family: Family, measured: Sequence[Measured] | None, texts: Texts, width: int) -> str:
    """Return chart, differences to the first bike, and what falls short.

    Args:
        family: solved bikes.
        measured: of each of them; None where only figures are compared.
        texts: for names and sentences.
        width: of the terminal [characters].
    """
    members = family.members
    changes = [own for _, own in against_first(family, measured)]
    parts = [
        "\n".join(f"{member.label}: {member.title}" for member in members),
        sized(size_table(family), width),
        *_differences(members, changes, texts, width),
    ]
    if len(members) == TOLD:
        parts += _sentences(changes[0], texts)
    if measured is not None:
        parts += _stiffness(members, measured, width)
        parts.append(_short(members, measured, texts))
    return "\n\n".join([*parts, CAUTION])


def sized(table: SizeTable, width: int) -> str:
    """Return the size table: a row a figure, a column a bike, as drawn and at sag."""
    parts = []
    for stand in ("static", "sagged"):
        rows = table.rows("static" if stand == "static" else "sagged")
        if rows:
            shown = [[_named(row), *(number(value, 1) for value in row.values)] for row in rows]
            parts.append(chunks([STANDS[stand], *table.columns], shown, width))
    return "\n\n".join(parts)


def _named(row: Row) -> str:
    return f"{row.title} [{'°' if row.unit == 'degrees' else 'mm'}]"


def _differences(
    members: Sequence[Member], changes: Sequence[Sequence[Change]], texts: Texts, width: int
) -> Iterator[str]:
    """Yield a table of what differs from the first bike, a column each other bike."""
    kept = [change for own in changes for change in own]
    found = dict.fromkeys((change.kind, change.name) for change in kept)
    if not found:
        yield f"No difference from {members[0].label}."
        return
    order = get_args(Kind)
    known = [{(change.kind, change.name): change for change in own} for own in changes]
    rows = []
    for key in sorted(found, key=lambda key: order.index(key[0])):
        own = [one.get(key) for one in known]
        first = next(change for change in own if change is not None)
        rows.append([_what(first, texts), *(_delta(change) for change in own)])
    head = [f"Differences from {members[0].label}", *(member.label for member in members[1:])]
    yield chunks(head, rows, width)


def _what(change: Change, texts: Texts) -> str:
    named = sentences.title(change, texts)
    mark = texts.unit(change.unit)
    where = " at sag" if change.kind == "sagged" else ""
    return f"{named}{where} [{mark}]" if mark else f"{named}{where}"


def _delta(change: Change | None) -> str:
    """Return a difference; ``0`` where there is none, a dash where a bike does not have the figure."""
    if change is None:
        return "0"
    return number(change.delta, max(change.decimals, 2) if change.unit != "g" else 0, sign=True)


def _sentences(changes: Sequence[Change], texts: Texts) -> Iterator[str]:
    told = [sentences.sentence(change, texts) for change in sentences.worth_a_word(changes)]
    said = [f"- {one}" for one in told if one is not None]
    if said:
        yield "\n".join(["What that does:", *said])
    yield sentences.thresholds(texts)


def _stiffness(
    members: Sequence[Member], measured: Sequence[Measured], width: int
) -> Iterator[str]:
    """Yield ratios of stiffness to the first bike, and what they say; nothing where there are none."""
    from frame3d.stiffness.comparison import side_by_side

    labels = [member.label for member in members]
    shown = side_by_side(labels, [one.stiffness for one in measured])
    if shown is None:
        return
    rows = []
    for one in shown.first.cases:
        cells = []
        for beside in shown.comparisons[1:]:
            ratios = () if beside is None else beside.ratios
            told = [f"{r.value:.2f} {r.verdict}" for r in ratios if r.case.key == one.case.key]
            cells.append(told[0] if told else "–")
        rows.append([one.case.title, *cells])
    yield chunks([f"Stiffness over {labels[0]}", *labels[1:]], rows, width)
    yield "frame3d stiffness tells bands, loads, and what is left out. Stiffer is not stronger."


def _short(members: Sequence[Member], measured: Sequence[Measured], texts: Texts) -> str:
    """Return what falls short, bike by bike."""
    lines = []
    for member, one in zip(members, measured, strict=True):
        short = "; ".join(_lacks(result, texts) for result in one.short)
        fine = "all checks hold" if one.report.results else "no check made"
        lines.append(f"{member.label}: {short or fine}")
    return "\n".join(["Falls short:", *lines])


def _lacks(result: Result, texts: Texts) -> str:
    gap = texts.quantity(result.least, result.unit, result.decimals(1))
    return f"{result.name} {gap} of {texts.quantity(result.required, result.unit, 1)}"
