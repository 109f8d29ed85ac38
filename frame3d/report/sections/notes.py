"""The sections of notes and of the caution."""

from __future__ import annotations

from frame3d.caution import CAUTION
from frame3d.errors import Note
from frame3d.report.data import ReportData
from frame3d.report.markup import Markup, el, together
from frame3d.report.texts import Texts


def notes(data: ReportData, texts: Texts) -> Markup:
    """Return the file's own notes, then the solver's."""
    said = data.bike.notes
    if data.travelled is not None:
        said = (*said, *data.travelled.sprung.notes)
    listed = [el("li", _said(note, texts)) for note in said]
    return together(
        own_notes(data),
        el("ul", *listed, class_="notes") if listed else el("p", texts("notes.none")),
    )


def own_notes(data: ReportData) -> Markup | None:
    """Return the file's own notes; None where it has none."""
    own = data.bike.spec.notes
    return None if not own else el("p", own, class_="own")


def _said(note: Note, texts: Texts) -> Markup:
    place = note.place
    where = None
    if place is not None and place.line is not None:
        where = texts("notes.line", path=note.path, line=place.line)
    elif note.path:
        where = note.path
    return together(
        note.message, None if where is None else el("span", f" {where}", class_="where")
    )


def caution(texts: Texts) -> Markup:
    """Return the caution that goes with every result."""
    return el("aside", el("h2", texts("page.caution")), el("p", CAUTION), class_="caution")
