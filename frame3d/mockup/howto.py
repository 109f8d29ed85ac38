"""The instructions, one page A4 as PDF: the model, its plates, its parts, the order of assembly."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from reportlab.lib.pagesizes import A4
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from frame3d.caution import CAUTION
from frame3d.geometry.arrays import Array
from frame3d.mockup.document import plate_file
from frame3d.mockup.model import ScaleModel
from frame3d.mockup.options import NOZZLE
from frame3d.mockup.printing.plates import Plates
from frame3d.mockup.steps import steps
from frame3d.paper.fonts import draw_text, text_width, wrapped

if TYPE_CHECKING:
    from manifold3d import CrossSection

WIDTH, HEIGHT = A4[0] / mm, A4[1] / mm
MARGIN: Final = 13.0
INK, GREY, PALE = "#1d2023", "#6b7178", "#eceeef"
DISC: Final = 1.35
"""Radius of the discs with numbers [mm]."""
FINE: Final = 0.05
"""Tolerance of outlines [mm of the print]."""


def howto(model: ScaleModel, plates: Plates, document: dict[str, Any]) -> bytes:
    """Return the page as PDF.

    Args:
        model: the complete model.
        plates: its parts on their plates.
        document: from `frame3d.mockup.document.mockup_document`.
    """
    stream = io.BytesIO()
    page = _Page(stream, f"{model.drawing.bike.spec.title}, scale model {document['ratio']}")
    lines = steps(model, plates)
    if model.changes:
        lines.append("Made otherwise so that it prints: " + "; ".join(model.changes) + ".")
    # The picture gets the room that the rest of the page leaves.
    rows = np.ceil(len(document["parts"]) / _columns(document))
    room = HEIGHT - 140.0 - 4.6 * len(lines) - 3.4 * float(rows)
    top = _head(page, document)
    top = _side(page, model, top - 3, float(np.clip(room, 40.0, 125.0)))
    top = _maps(page, plates, model.drawing.options.bed, top - 5)
    top = _steps(page, lines, top - 5)
    _table(page, document, top - 4)
    page.text(MARGIN, 9.0, CAUTION, 5.6, GREY, width=WIDTH - 2 * MARGIN)
    return page.done(stream)


class _Page:
    """A page in millimetres from its lower left corner."""

    def __init__(self, stream: io.BytesIO, title: str) -> None:
        self.canvas = Canvas(stream, pagesize=A4, invariant=1, pageCompression=1)
        self.canvas.setTitle(title)
        self.canvas.setCreator("frame3d")
        self.canvas.setAuthor("frame3d")

    def done(self, stream: io.BytesIO) -> bytes:
        """Finish the page and return the file."""
        self.canvas.showPage()
        self.canvas.save()
        return stream.getvalue()

    def text(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        colour: str = INK,
        *,
        bold: bool = False,
        width: float | None = None,
        align: float = 0.0,
    ) -> float:
        """Draw text from y down, wrapped at `width`; return y below the last line [mm]."""
        self.canvas.setFillColor(colour)
        step = 1.25 * size / mm
        for line in [text] if width is None else wrapped(text, width * mm, size, bold=bold):
            left = x * mm - align * text_width(line, size, bold=bold)
            draw_text(self.canvas, left, y * mm, line, size, bold=bold)
            y -= step
        return y

    def shape(self, shape: CrossSection, at: tuple[float, float], scale: float, fill: str) -> None:
        """Draw a filled area with its holes, its origin at a point."""
        path = self.canvas.beginPath()
        for outline in shape.to_polygons():
            points = (np.asarray(outline) * scale + at) * mm
            path.moveTo(*points[0])
            for point in points[1:]:
                path.lineTo(*point)
            path.close()
        self.canvas.setFillColor(fill)
        self.canvas.setStrokeColor(_edge(fill))
        self.canvas.setLineWidth(0.3)
        self.canvas.drawPath(path, stroke=1, fill=1, fillMode=0)

    def box(self, x: float, y: float, width: float, height: float, fill: str) -> None:
        """Draw a filled rectangle."""
        self.canvas.setFillColor(fill)
        self.canvas.rect(x * mm, y * mm, width * mm, height * mm, stroke=0, fill=1)


def _head(page: _Page, document: dict[str, Any]) -> float:
    y = HEIGHT - MARGIN - 4
    page.text(MARGIN, y, document["name"], 17, bold=True)
    size = document["envelope"]
    material = document["material"]["name"]
    facts = (
        f"Scale model {document['ratio']}: {size['length']:.0f} x {size['width']:.0f} x "
        f"{size['height']:.0f} mm, {len(document['parts'])} parts on {len(document['plates'])} plates, "
        f"{document['mass']:.0f} g of {material} if printed solid"
    )
    return page.text(MARGIN, y - 6, facts, 9, GREY)


def _side(page: _Page, model: ScaleModel, top: float, height: float) -> float:
    """Draw the model from the drive side, far halves of parts first; return y of the lower edge."""
    view = np.array([[1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, -1.0, 0.0, 0.0]])
    drawn = []
    for part in model.parts:
        for half in part.solid.transform(view).split_by_plane((0.0, 0.0, 1.0), 0.0):
            if not half.is_empty():
                box = np.array(half.bounding_box()).reshape(2, 3)
                drawn.append((float(box[:, 2].mean()), part.name, part.colour, half.project(), box))
    low = np.min([box[0, :2] for *_, box in drawn], axis=0)
    high = np.max([box[1, :2] for *_, box in drawn], axis=0)
    scale = min((WIDTH - 2 * MARGIN) / (high[0] - low[0]), height / (high[1] - low[1]))
    wide = (high[0] - low[0]) * scale
    at = (MARGIN + (WIDTH - 2 * MARGIN - wide) / 2 - low[0] * scale, top - high[1] * scale)
    for _, _, colour, shape, _ in sorted(drawn, key=lambda item: item[:2]):
        page.shape(shape.simplify(FINE), at, scale, colour)
    return float(top - (high[1] - low[1]) * scale)


def _maps(page: _Page, plates: Plates, bed: Sequence[float], top: float) -> float:
    """Draw all plates from above, with the numbers of parts; return y of the lower edge."""
    count = len(plates.plates)
    rows = 1 if count <= 7 else 2 if count <= 16 else 3
    across = int(np.ceil(count / rows))
    gap, limit = 2.5, 58.0 / rows - 5.0
    side = min((WIDTH - 2 * MARGIN - gap * (across - 1)) / across, limit * bed[0] / bed[1])
    scale = side / bed[0]
    high = bed[1] * scale
    for i, plate in enumerate(plates.plates):
        x = MARGIN + (i % across) * (side + gap)
        y = top - high - (i // across) * (high + 5.5)
        page.box(x, y, side, high, PALE)
        places = []
        for item in plate.items:
            printed = next(p for p in plates.parts if p.part.name == item.name)
            shadow = printed.laid.shadow.rotate(item.angle).translate(item.shift)
            page.shape(shadow.simplify(0.3), (x, y), scale, printed.part.colour)
            places.append(
                (printed.number, _inside(np.vstack(shadow.to_polygons())) * scale + (x, y))
            )
        for (number, at), spot in zip(places, spread([at for _, at in places]), strict=True):
            _number(page, at, spot, number)
        page.text(x, y - 3.0, plate_file(plate.number), 6.5, GREY)
    return float(top - rows * (high + 5.5) + 1.5)


def _inside(points: Array) -> Array:
    """Return the vertex of an outline nearest to its box's middle, as the place of its number."""
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    return np.asarray(points[int(np.argmin(np.linalg.norm(points - middle, axis=1)))])


def spread(places: Sequence[Array]) -> list[Array]:
    """Return places for discs of radius `DISC` without overlap, at or near the wanted ones (2,)."""
    turn = 2 * np.pi * np.arange(16) / 16
    ring = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    found: list[Array] = []
    for at in places:
        tries = [at, *(at + far * way for far in DISC * np.arange(2.2, 20.0, 1.1) for way in ring)]
        free = (
            spot
            for spot in tries
            if all(float(np.linalg.norm(spot - other)) > 2 * DISC for other in found)
        )
        found.append(next(free, at))
    return found


def _number(page: _Page, at: Array, spot: Array, number: int) -> None:
    """Draw a part's number at a spot, with a line to the part."""
    page.canvas.setFillColor("#ffffff")
    page.canvas.setStrokeColor(INK)
    page.canvas.line(*(at * mm), *(spot * mm))
    page.canvas.circle(spot[0] * mm, spot[1] * mm, DISC * mm, stroke=1, fill=1)
    page.text(float(spot[0]), float(spot[1]) - 0.65, str(number), 5, align=0.5, bold=True)


def _steps(page: _Page, lines: Iterable[str], top: float) -> float:
    y = page.text(MARGIN, top, "Putting it together", 10, bold=True) - 0.6
    for i, line in enumerate(lines, start=1):
        page.text(MARGIN, y, f"{i}.", 7.8, bold=True)
        y = page.text(MARGIN + 5, y, line, 7.8, width=WIDTH - 2 * MARGIN - 5) - 0.5
    return y


def _table(page: _Page, document: dict[str, Any], top: float) -> None:
    """Draw the table of numbers, names, plates and masses, in as many columns as fit."""
    parts = document["parts"]
    fit, turn = (document["clearances"][key] for key in ("fit", "turn"))
    title = (
        f"Parts (p: plate; s: let the slicer add supports; {NOZZLE:g} nozzle; fits {fit:g} and "
        f"{turn:g} mm per side)"
    )
    y = page.text(MARGIN, top, title, 10, bold=True)
    room = y - 14.0
    columns = _columns(document)
    rows = int(np.ceil(len(parts) / columns))
    step = min(3.3, room / max(rows, 1))
    size = min(7.0, step * mm / 1.22)
    wide = (WIDTH - 2 * MARGIN) / columns
    for i, part in enumerate(parts):
        x, line = MARGIN + (i // rows) * wide, y - (i % rows) * step
        page.text(x + 4, line, str(part["number"]), size, align=1.0, bold=True)
        mark = " s" if part["support"] > max(20.0, 0.02 * part["volume"]) else ""
        page.text(x + 5.5, line, part["name"].replace("_", " ") + mark, size)
        page.text(x + wide - 14, line, f"p{part['plate']}", size, GREY, align=1.0)
        page.text(x + wide - 3, line, f"{part['mass']:.1f} g", size, GREY, align=1.0)


def _columns(document: dict[str, Any]) -> int:
    count = len(document["parts"])
    return 3 if count <= 48 else 4 if count <= 80 else 5


def _edge(fill: str) -> str:
    """Return a colour for lines that is visible on a filling."""
    light = sum(int(fill[i : i + 2], 16) for i in (1, 3, 5)) / 3
    return INK if light > 70 else "#81878d"
