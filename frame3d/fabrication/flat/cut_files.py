"""DXF of one flat part for laser or waterjet, at 1:1."""

from __future__ import annotations

from typing import Final

from frame3d.caution import CAUTION
from frame3d.fabrication.flat.parts import SheetPart
from frame3d.paper.cut_drawing import MARK, NOTE, CutDrawing
from frame3d.paper.fonts import wrapped

KERF: Final = (
    "Kerf is left to the shop: lines are the finished edge, not the cutter's path. Layer CUT is cut "
    "through, MARK may be engraved; NOTE is for reading alone."
)
BORED: Final = (
    "Holes with a fit or thread are drawn at their finished or drilled diameter and have a cross on "
    "MARK: cut them smaller, or only mark them, and bore or drill to size."
)
POCKETED: Final = (
    "Pockets are on layers of their own, POCKET_FRONT and POCKET_BACK: milled, not cut."
)


def notes_of(part: SheetPart) -> list[str]:
    """Return what the cutter must know of a part."""
    said = [KERF]
    if any(hole.fit or hole.thread for hole in part.outline.holes):
        said.append(BORED)
    if part.outline.pockets:
        depths = sorted({(p.face, p.depth) for p in part.outline.pockets})
        listed = ", ".join(f"{face} {depth:g} mm deep" for face, depth in depths)
        said.append(f"{POCKETED} {listed[:1].upper()}{listed[1:]}.")
    return said


def part_dxf(part: SheetPart, bike: str) -> bytes:
    """Return a part's DXF: edge, holes, slots, marks; below it what the reader must know.

    Args:
        part: with its outline from its datum.
        bike: the bike's name.
    """
    drawing = CutDrawing(f"{bike}: {part.title}", [*notes_of(part), CAUTION])
    named = drawing.outline(part.outline, part.name)
    low_x, low_y, high_x, _ = part.outline.bounds
    y = low_y - 8.0
    lines = [] if named else [part.name]
    lines += [f"{part.thickness:g} mm, {part.material}, {part.quantity}", bike]
    for line in lines:
        drawing.text((low_x, y), line, 4.0, MARK)
        y -= 6.0
    for line in [*notes_of(part), CAUTION]:
        for piece in wrapped(line, max(high_x - low_x, 120.0), 2.5):
            drawing.text((low_x, y), piece, 2.5, NOTE)
            y -= 3.8
    return drawing.dxf()
