"""Write a sheet's ezdxf document as SVG and PDF, at exactly 1:1."""

from __future__ import annotations

import io
from collections.abc import Sequence
from html import escape
from typing import Any, Final

import numpy as np

from frame3d.paper.fonts import draw_text, text_width
from frame3d.paper.sheet import CAP, LAYER, Sheet

POINT: Final = 72 / 25.4
"""PDF points per millimetre."""


def svg(sheet: Sheet) -> bytes:
    """Return a sheet as SVG in mm."""
    w, h = sheet.width, sheet.height
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(w)}mm" height="{_n(h)}mm" '
        f'viewBox="0 0 {_n(w)} {_n(h)}" fill="none" stroke-linecap="round" stroke-linejoin="round" '
        'font-family="Helvetica, Arial, sans-serif">',
        f"<title>{escape(sheet.title)}</title>",
        f'<rect width="{_n(w)}" height="{_n(h)}" fill="#fff"/>',
    ]
    groups: dict[str, list[str]] = {name: [] for name in LAYER}
    for entity in sheet.entities():
        groups[entity.dxf.layer].append(_svg_entity(entity, h))
    for name, shapes in groups.items():
        if shapes:
            layer = LAYER[name]
            colour = f"#{layer.grey:02x}{layer.grey:02x}{layer.grey:02x}"
            dashes = " ".join(_n(d) for d in layer.dashes)
            pattern = f' stroke-dasharray="{dashes}"' if dashes else ""
            out.append(
                f'<g id="{name}" stroke="{colour}" stroke-width="{_n(layer.weight)}"{pattern}>'
            )
            out += [*shapes, "</g>"]
    return ("\n".join([*out, "</svg>"]) + "\n").encode("utf-8")


def _svg_entity(entity: Any, h: float) -> str:
    kind, dxf = entity.dxftype(), entity.dxf
    if kind == "LINE":
        a, b = dxf.start, dxf.end
        return f'<path d="M{_n(a.x)} {_n(h - a.y)}L{_n(b.x)} {_n(h - b.y)}"/>'
    if kind == "LWPOLYLINE":
        points = "L".join(f"{_n(x)} {_n(h - y)}" for x, y in entity.get_points("xy"))
        return f'<path d="M{points}{"Z" if entity.closed else ""}"/>'
    if kind == "CIRCLE":
        return f'<circle cx="{_n(dxf.center.x)}" cy="{_n(h - dxf.center.y)}" r="{_n(dxf.radius)}"/>'
    if kind == "ARC":
        a, b = entity.start_point, entity.end_point
        large = int((dxf.end_angle - dxf.start_angle) % 360 > 180)
        r = _n(dxf.radius)
        return f'<path d="M{_n(a.x)} {_n(h - a.y)}A{r} {r} 0 {large} 0 {_n(b.x)} {_n(h - b.y)}"/>'
    grey = LAYER[dxf.layer].grey
    colour = f"#{grey:02x}{grey:02x}{grey:02x}"
    if kind == "SOLID":
        points = "L".join(f"{_n(p.x)} {_n(h - p.y)}" for p in _corners(entity))
        return f'<path d="M{points}Z" fill="{colour}" stroke="none"/>'
    assert kind == "TEXT", kind
    at, anchor = _placement(entity)
    turn = ""
    if dxf.rotation:
        turn = f' transform="rotate({_n(-dxf.rotation)} {_n(at.x)} {_n(h - at.y)})"'
    bold = dxf.style == "BOLD"
    weight = ' font-weight="bold"' if bold else ""
    # The width is fixed to the one of the layout, whichever font the reader has.
    wide = _n(text_width(dxf.text, dxf.height / CAP, bold=bold))
    fit = f' textLength="{wide}" lengthAdjust="spacingAndGlyphs"'
    return (
        f'<text x="{_n(at.x)}" y="{_n(h - at.y)}" font-size="{_n(dxf.height / CAP)}" '
        f'fill="{colour}" stroke="none" text-anchor="{anchor}"'
        f"{weight}{fit}{turn}>"
        f"{escape(dxf.text)}</text>"
    )


def pdf(sheets: Sequence[Sheet], title: str) -> bytes:
    """Return sheets as pages of one PDF, each of its own size."""
    from reportlab.pdfgen.canvas import Canvas

    stream = io.BytesIO()
    canvas = Canvas(stream, invariant=1)
    canvas.setTitle(title)
    canvas.setAuthor("frame3d")
    canvas.setSubject("Geometry only; see the caution on each sheet")
    for sheet in sheets:
        canvas.setPageSize((sheet.width * POINT, sheet.height * POINT))
        canvas.bookmarkPage(sheet.name)
        canvas.addOutlineEntry(sheet.title, sheet.name)
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        for name in LAYER:
            _pdf_layer(canvas, sheet, name)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _pdf_layer(canvas: Any, sheet: Sheet, name: str) -> None:
    layer = LAYER[name]
    shapes = [e for e in sheet.entities() if e.dxf.layer == name]
    if not shapes:
        return
    grey = layer.grey / 255
    canvas.setLineWidth(layer.weight * POINT)
    canvas.setStrokeColorRGB(grey, grey, grey)
    canvas.setFillColorRGB(grey, grey, grey)
    canvas.setDash([d * POINT for d in layer.dashes] if layer.dashes else [])
    for entity in shapes:
        _pdf_entity(canvas, entity)


def _pdf_entity(canvas: Any, entity: Any) -> None:
    kind, dxf = entity.dxftype(), entity.dxf
    if kind == "LINE":
        a, b = dxf.start * POINT, dxf.end * POINT
        canvas.line(a.x, a.y, b.x, b.y)
    elif kind == "LWPOLYLINE":
        _pdf_path(canvas, [(x * POINT, y * POINT) for x, y in entity.get_points("xy")],
                  closed=entity.closed, filled=False)  # fmt: skip
    elif kind == "CIRCLE":
        c = dxf.center * POINT
        canvas.circle(c.x, c.y, dxf.radius * POINT, stroke=1, fill=0)
    elif kind == "ARC":
        c, r = dxf.center * POINT, dxf.radius * POINT
        sweep = (dxf.end_angle - dxf.start_angle) % 360
        turn = np.radians(dxf.start_angle + np.linspace(0, sweep, max(3, int(sweep / 2) + 2)))
        around = zip(
            (c.x + r * np.cos(turn)).tolist(), (c.y + r * np.sin(turn)).tolist(), strict=True
        )
        _pdf_path(canvas, list(around), closed=False, filled=False)
    elif kind == "SOLID":
        _pdf_path(canvas, [(p.x * POINT, p.y * POINT) for p in _corners(entity)], closed=True,
                  filled=True)  # fmt: skip
    else:
        assert kind == "TEXT", kind
        at, anchor = _placement(entity)
        canvas.saveState()
        canvas.translate(at.x * POINT, at.y * POINT)
        canvas.rotate(dxf.rotation)
        bold, size = dxf.style == "BOLD", dxf.height / CAP * POINT
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        draw_text(
            canvas, -share * text_width(dxf.text, size, bold=bold), 0.0, dxf.text, size, bold=bold
        )
        canvas.restoreState()


def _pdf_path(
    canvas: Any, points: list[tuple[float, float]], *, closed: bool, filled: bool
) -> None:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if closed:
        path.close()
    canvas.drawPath(path, stroke=0 if filled else 1, fill=1 if filled else 0)


def _corners(entity: Any) -> list[Any]:
    dxf = entity.dxf
    corners = [dxf.vtx0, dxf.vtx1, dxf.vtx3, dxf.vtx2]
    return corners[:3] if dxf.vtx2 == dxf.vtx3 else corners


def _placement(entity: Any) -> tuple[Any, str]:
    align, p, _ = entity.get_placement()
    anchor = {"LEFT": "start", "CENTER": "middle", "RIGHT": "end"}[align.name]
    return p, anchor


def _n(x: float) -> str:
    """Return a number as short text, exact to 1e-6."""
    text = f"{x:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
