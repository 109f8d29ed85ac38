"""Panels of the page as markup; every text is escaped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import unified_diff
from pathlib import Path
from typing import Final

from frame3d.errors import Fault, Note
from frame3d.live.cells import change_cell, value_cell
from frame3d.live.solved_text import SolvedText
from frame3d.live.unsaved.recovery import Left
from frame3d.live.work.outputs import OUTPUTS
from frame3d.parameters.models.figures import FIGURES, unit
from frame3d.report.drawing.side_view import bike_symbol, drawing
from frame3d.report.markup import Markup, el, together
from frame3d.report.side import Side
from frame3d.report.texts import Texts

SHOWN: Final = 40
"""Largest number of faults listed; one typing error can cause hundreds."""
DIFFERING: Final = 400
"""Largest number of lines shown of the difference between two texts."""
LINES: Final = {"+": "added", "-": "removed", "@": "place"}
"""Kinds of lines of a difference, by their first character."""


def figures(solved: SolvedText, against: SolvedText | None, texts: Texts) -> Markup:
    """Return the chart: now, at sag, and the difference of each figure to another version."""
    chart, sagged = solved.bike.chart, solved.bike.sagged
    head = [texts("chart.figure"), texts("live.figures.now")]
    if sagged is not None:
        head.append(texts("chart.sagged"))
    head.append(texts("chart.change"))
    rows = []
    for figure in FIGURES:
        value = chart[figure]
        if value is None:
            continue
        given = getattr(solved.bike.spec.geometry, figure) is not None
        title = texts(f"figure.{figure}.title")
        cells = [value_cell(value, unit(figure), texts)]
        if sagged is not None:
            cells.append(value_cell(sagged.chart[figure], unit(figure), texts))
        before = None if against is None else against.bike.chart[figure]
        cells.append(change_cell(before, value, texts))
        means = f"{texts(f'figure.{figure}.is')} {texts(f'figure.{figure}.ride')}"
        rows.append(
            el(
                "tr",
                el(
                    "th",
                    el("span", title, title=means, class_="means"),
                    el("span", "•", class_="given", title=texts("chart.given")) if given else None,
                    el(
                        "button",
                        type="button",
                        class_="pin",
                        data_pin=figure,
                        aria_pressed="false",
                        aria_label=texts("live.figures.pin", title=title),
                        title=texts("live.figures.pin", title=title),
                    ),
                    scope="row",
                ),
                *cells,
                data_figure=figure,
            )
        )
    return el(
        "table",
        el("caption", texts("live.panel.figures"), class_="unseen"),
        el("thead", el("tr", *(el("th", h, scope="col") for h in head))),
        el("tbody", *rows),
        class_="chart",
    )


def side_view(solved: SolvedText, texts: Texts) -> Markup:
    """Return the dimensioned side view, for bikes without anything to show in 3D."""
    side = Side(solved.bike, solved.pictured.parts)
    return together(bike_symbol(side), drawing(side, texts))


def faults(found: Sequence[Fault], texts: Texts) -> Markup | None:
    """Return the list of faults with their lines; None where there are none."""
    if not found:
        return None
    rows = [el("li", *_fault(fault, texts)) for fault in found[:SHOWN]]
    more = len(found) - SHOWN
    return together(
        el(
            "h2",
            texts("live.faults.one" if len(found) == 1 else "live.faults.many", count=len(found)),
        ),
        el("ul", *rows),
        el("p", texts("live.faults.more", count=more)) if more > 0 else None,
    )


def _fault(fault: Fault, texts: Texts) -> list[Markup | None]:
    line = None if fault.place is None else fault.place.line
    where = None
    if line is not None:
        where = el(
            "button",
            texts("live.faults.line", line=line),
            type="button",
            class_="line",
            data_line=line,
        )
    subject = el("code", fault.path) if fault.path else None
    return [
        el("p", where, subject, class_="where")
        if where is not None or subject is not None
        else None,
        el("p", _sentence(fault.message), class_="what"),
        el("p", fault.hint, class_="hint") if fault.hint else None,
    ]


def _sentence(message: str) -> str:
    """Return a message with a capital first letter, unless it starts with a name from the file."""
    first = message.partition(" ")[0]
    return message if "_" in first else message[:1].upper() + message[1:]


def fault_lines(found: Iterable[Fault]) -> list[int]:
    """Return the lines that the editor marks."""
    lines = {f.place.line for f in found if f.place is not None and f.place.line is not None}
    return sorted(lines)


def left(one: Left, disk: object, texts: Texts, *, changed: bool) -> Markup:
    """Return what a killed workspace has left, as the lines that differ from the file.

    Args:
        one: what it has left.
        disk: the file's text; anything else counts as empty.
        texts: of the pages.
        changed: whether the file has been changed since.
    """
    before = disk if isinstance(disk, str) else ""
    after = one.unsaved.text
    found = list(unified_diff(before.split("\n"), after.split("\n"), n=2, lineterm=""))[2:]
    rows = [el("span", line, class_=LINES.get(line[0])) for line in found]
    tried = [el("li", el("code", path), f" {v:g}") for path, v in one.unsaved.tried.items()]
    return together(
        el("p", texts("live.left.says", time=f"{one.time:%Y-%m-%d %H:%M}")),
        el("p", texts("live.left.changed")) if changed else None,
        el("pre", *rows[:DIFFERING], tabindex=0) if rows else None,
        el("p", texts("live.left.more", count=len(rows) - DIFFERING))
        if len(rows) > DIFFERING
        else None,
        el("p", texts("live.left.tried")) if tried else None,
        el("ul", *tried) if tried else None,
    )


def messages(solved: SolvedText | None, of_solids: Sequence[Fault], texts: Texts) -> Markup:
    """Return the solver's notes, and the faults of solids."""
    parts: list[Markup | None] = []
    if of_solids:
        parts.append(
            el(
                "div",
                el("h3", texts("live.solids.failed")),
                el("ul", *(el("li", *_fault(f, texts)) for f in of_solids)),
                class_="faults",
            )
        )
    if solved is not None:
        own = solved.bike.spec.notes
        parts.append(None if not own else el("p", own, class_="own"))
        listed = [el("li", *_note(note, texts)) for note in solved.bike.notes]
        parts.append(el("ul", *listed, class_="notes") if listed else None)
    said = [part for part in parts if part is not None]
    return together(*said) if said else el("p", texts("notes.none"), class_="remark")


def _note(note: Note, texts: Texts) -> list[Markup | None]:
    place = note.place
    where: Markup | None = None
    if place is not None and place.line is not None:
        shown = texts("live.faults.line", line=place.line)
        where = el("button", shown, type="button", class_="line", data_line=place.line)
    path = el("code", note.path) if note.path else None
    return [el("span", _sentence(note.message)), path, where]


def writing(solved: SolvedText | None, folder: Path, texts: Texts) -> Markup:
    """Return a button for each output, and where it goes: below `folder`, one for each size."""
    into = folder if solved is None else solved.choice.folder_in(folder)
    rows = []
    for one in OUTPUTS:
        nothing = solved is None or (one.needs_tubes and not solved.bike.tubes)
        rows.append(
            el(
                "li",
                el(
                    "button",
                    texts(f"output.{one.key}.title"),
                    type="button",
                    data_output=one.key,
                    disabled=nothing,
                ),
                el("span", texts(f"output.{one.key}.says")),
            )
        )
    return together(
        el("p", texts("live.write.into", folder=into.as_posix()), class_="remark"),
        el("ul", *rows, class_="outputs"),
    )


def written(files: Sequence[tuple[str, int | None, int]], folder: str, texts: Texts) -> Markup:
    """Return the list of written files and their folder.

    Args:
        files: path within the folder, number of the download (None where it is gone), size [bytes].
        folder: the folder.
        texts: of the pages.
    """
    rows = [
        el(
            "li",
            el("code", name)
            if number is None
            else el("a", el("code", name), href=f"/f3d/written/{number}", download=True),
            " ",
            _size(size, texts),
        )
        for name, number, size in files
    ]
    return together(
        el("p", texts("live.write.done", folder=folder)), el("ul", *rows, class_="files")
    )


def _size(size: int, texts: Texts) -> str:
    if size < 1_000_000:
        return texts("live.write.kilobytes", size=texts.number(size / 1000, 0))
    return texts("live.write.megabytes", size=texts.number(size / 1e6, 1))


def could_not(found: Sequence[Fault], texts: Texts) -> Markup:
    """Return the faults of an output that was not written."""
    return el("ul", *(el("li", *_fault(f, texts)) for f in found), class_="faults")
