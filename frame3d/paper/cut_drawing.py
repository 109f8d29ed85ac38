"""A drawing for a cutting machine as DXF: closed polylines with arcs, circles, marks; nothing else."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Final

import ezdxf
from ezdxf import units
from ezdxf.document import Drawing

from frame3d.geometry.closed_path import TOUCH, XY, Path
from frame3d.geometry.outline import Outline
from frame3d.paper.fonts import text_width
from frame3d.paper.sheet import ALIGN, CAP, fixed_identifiers

CUT: Final = "CUT"
MARK: Final = "MARK"
POCKETS: Final = {"front": "POCKET_FRONT", "back": "POCKET_BACK"}
SHEET: Final = "SHEET"
NOTE: Final = "NOTE"
COLOURS: Final = {CUT: 1, MARK: 5, "POCKET_FRONT": 3, "POCKET_BACK": 4, SHEET: 8, NOTE: 8}
"""Layers, and their colours in DXF's index: red is cut, blue marked (common practice, no source)."""
CROSS: Final = 1.5
"""Half the length of a centre mark's lines [mm]."""
CLEAR: Final = 0.8
"""Room between a mark's text and what is cut [mm]."""


class CutDrawing:
    """Outlines in mm at 1:1, each with its layer.

    Layer CUT has edges and slots as closed polylines with exact arcs, and holes as circles. MARK has
    what may be engraved. Pockets have a layer for each face. NOTE and SHEET are for the reader; they do
    not plot.
    """

    def __init__(self, title: str, comments: Sequence[str]) -> None:
        with fixed_identifiers():
            self.doc: Drawing = ezdxf.new("R2010", units=units.MM)  # type: ignore[attr-defined]
        self.doc.styles.add("PLAIN", font="arial.ttf")
        self.doc.header["$MEASUREMENT"] = 1
        for i, line in enumerate((title, *comments)):
            self.doc.header.custom_vars.append("title" if i == 0 else f"note {i}", line)
        self.space = self.doc.modelspace()

    def outline(self, outline: Outline, named: str = "") -> bool:
        """Draw an outline; return whether its name found room within.

        Args:
            outline: in mm.
            named: text that is marked within, of the largest size up to 5 mm that fits; empty for none.
        """
        self.path(outline.outer, CUT)
        for hole in outline.holes:
            self._layer(CUT)
            self.space.add_circle(hole.at, hole.diameter / 2, dxfattribs={"layer": CUT})
            if hole.fit or hole.thread:
                self._cross(hole.at, min(CROSS, hole.diameter / 3))
        for slot in outline.slots:
            self.path(slot.path, CUT)
        for pocket in outline.pockets:
            self.path(pocket.path, POCKETS[pocket.face])
        for size in (5.0, 4.0, 3.2, 2.5) if named else ():
            spot = place_within(outline, text_width(named, size), size * CAP)
            if spot is not None:
                self.text((spot[0], spot[1] - size * CAP / 2), named, size, MARK, align="centre")
                return True
        return False

    def path(self, path: Path, layer: str) -> None:
        """Draw a closed path as one polyline with its arcs."""
        self._layer(layer)
        self.space.add_lwpolyline(
            path.vertices, format="xyb", close=True, dxfattribs={"layer": layer}
        )

    def rectangle(self, x: float, y: float, width: float, height: float, layer: str) -> None:
        """Draw a rectangle from its lower left corner."""
        ends = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
        self.path(Path.polygon(ends), layer)

    def text(self, at: XY, text: str, size: float, layer: str, *, align: str = "left") -> None:
        """Draw one line of text: font size [mm]."""
        self._layer(layer)
        attributes = {"layer": layer, "style": "PLAIN"}
        entity = self.space.add_text(text, height=size * CAP, dxfattribs=attributes)
        entity.set_placement(at, align=ALIGN[align])

    def _cross(self, at: XY, half: float) -> None:
        self._layer(MARK)
        for u, v in ((half, 0.0), (0.0, half)):
            ends = ((at[0] - u, at[1] - v), (at[0] + u, at[1] + v))
            self.space.add_line(*ends, dxfattribs={"layer": MARK})

    def _layer(self, name: str) -> None:
        """Add a layer with its first entity: what is not there is in no layer list of the machine."""
        if name not in self.doc.layers:
            made = self.doc.layers.add(name, color=COLOURS[name])
            if name in (NOTE, SHEET):
                made.dxf.plot = 0

    def dxf(self) -> bytes:
        """Return the drawing as DXF R2010 in mm, the same bytes every time."""
        stream = io.StringIO()
        for name in sorted(self.doc.entitydb.dxf_types_in_use()):
            self.doc.classes.add_class(name)
        with fixed_identifiers():
            self.doc.write(stream)
        return stream.getvalue().encode("utf-8")


def place_within(outline: Outline, width: float, height: float, clear: float = CLEAR) -> XY | None:
    """Return the middle of an upright box in an outline, clear of what is cut or pocketed; or None.

    The place nearest to the centroid of 15 × 15 is taken.

    Args:
        outline: in mm.
        width: of the box.
        height: of the box.
        clear: room around the box [mm].
    """
    low_x, low_y, high_x, high_y = outline.bounds
    cx, cy = outline.centroid
    half_w, half_h = width / 2 + clear, height / 2 + clear
    rims = [*outline.inner, *(pocket.path for pocket in outline.pockets)]
    spots = [
        (low_x + (i + 0.5) / 15 * (high_x - low_x), low_y + (j + 0.5) / 15 * (high_y - low_y))
        for i in range(15)
        for j in range(15)
    ]
    for x, y in sorted([(cx, cy), *spots], key=lambda p: (p[0] - cx) ** 2 + (p[1] - cy) ** 2):
        if not (low_x <= x - half_w and x + half_w <= high_x and low_y <= y - half_h):
            continue
        if y + half_h > high_y or not outline.outer.contains((x, y)):
            continue
        if outline.outer.distance((x, y)) < min(half_w, half_h):
            continue
        box = Path.polygon(
            [
                (x - half_w, y - half_h),
                (x + half_w, y - half_h),
                (x + half_w, y + half_h),
                (x - half_w, y + half_h),
            ]
        )
        if _cuts(outline.outer, box) or any(_cuts(rim, box) for rim in rims):
            continue
        if not any(rim.contains((x, y)) or box.contains(rim.edges[0].start) for rim in rims):
            return x, y
    return None


def _cuts(path: Path, box: Path) -> bool:
    """Return whether two paths meet."""
    return path.gap(box)[0] <= TOUCH or any(box.contains(edge.start) for edge in path.edges)
