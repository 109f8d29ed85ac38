"""One page as an ezdxf document at 1:1, from which its DXF, SVG and PDF are made."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final

import ezdxf
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment

XY = tuple[float, float]
CAP: Final = 0.718
"""Height of capitals of the sans-serif font of sheets, as a share of its size."""
ALIGN: Final = {
    "left": TextEntityAlignment.LEFT,
    "centre": TextEntityAlignment.CENTER,
    "right": TextEntityAlignment.RIGHT,
}


@dataclass(frozen=True, slots=True)
class Layer:
    """Line style of a layer."""

    name: str
    weight: float
    """Line width, one of DXF's steps [mm]."""
    dashes: tuple[float, ...] = ()
    """Lengths of dash and gap [mm]; empty for a full line."""
    grey: int = 0
    """0 black to 255 white."""


LAYERS: Final = (
    Layer("BUTT", 0.13, (), 205),
    Layer("CUT", 0.35),
    Layer("CUT_INNER", 0.18, (2.0, 1.2)),
    Layer("STRIP", 0.18),
    Layer("CENTRE", 0.13, (6.0, 1.2, 1.0, 1.2)),
    Layer("OUTLINE", 0.35),
    Layer("PHANTOM", 0.13, (8.0, 1.5, 1.5, 1.5, 1.5, 1.5), 110),
    Layer("PAPER", 0.13, (), 255),
    Layer("DIMENSION", 0.13),
    Layer("TABLE", 0.13, (), 130),
    Layer("CHECK", 0.18),
    Layer("FRAME", 0.5),
    Layer("TEXT", 0.13),
    Layer("CAUTION", 0.13, (), 60),
)
"""The layers of every sheet."""
LAYER: Final = {layer.name: layer for layer in LAYERS}


class Sheet:
    """One page: width × height [mm], origin at its lower left corner."""

    def __init__(self, name: str, title: str, width: float, height: float) -> None:
        self.name, self.title = name, title
        self.width, self.height = width, height
        with fixed_identifiers():
            self.doc: Drawing = ezdxf.new("R2010", units=units.MM)  # type: ignore[attr-defined]
        for layer in LAYERS:
            linetype = "CONTINUOUS"
            if layer.dashes:
                linetype = f"{layer.name}_LINE"
                steps = [d if i % 2 == 0 else -d for i, d in enumerate(layer.dashes)]
                self.doc.linetypes.add(linetype, [sum(layer.dashes), *steps])
            made = self.doc.layers.add(layer.name, color=7, linetype=linetype)
            made.dxf.lineweight = round(layer.weight * 100)
            if layer.grey:
                made.rgb = (layer.grey,) * 3
        self.doc.styles.add("PLAIN", font="arial.ttf")
        self.doc.styles.add("BOLD", font="arialbd.ttf")
        self.doc.header["$LWDISPLAY"] = 1
        self.doc.header["$EXTMIN"], self.doc.header["$EXTMAX"] = (0, 0, 0), (width, height, 0)
        self.doc.header["$LIMMIN"], self.doc.header["$LIMMAX"] = (0, 0), (width, height)
        self.space = self.doc.modelspace()

    def line(self, a: XY, b: XY, layer: str) -> None:
        """Draw a straight line."""
        self.space.add_line(a, b, dxfattribs={"layer": layer})

    def path(self, points: Iterable[Sequence[float]], layer: str, *, closed: bool = False) -> None:
        """Draw a polyline through points."""
        flat = [(float(p[0]), float(p[1])) for p in points]
        if len(flat) > 1:
            self.space.add_lwpolyline(flat, close=closed, dxfattribs={"layer": layer})

    def box(self, x: float, y: float, width: float, height: float, layer: str) -> None:
        """Draw a rectangle from its lower left corner."""
        corners = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
        self.path(corners, layer, closed=True)

    def circle(self, centre: XY, radius: float, layer: str) -> None:
        """Draw a circle."""
        self.space.add_circle(centre, radius, dxfattribs={"layer": layer})

    def arc(self, centre: XY, radius: float, start: float, end: float, layer: str) -> None:
        """Draw an arc, anticlockwise between two angles [degrees]."""
        self.space.add_arc(centre, radius, start, end, dxfattribs={"layer": layer})

    def fill(self, corners: Sequence[XY], layer: str) -> None:
        """Draw a filled triangle or quadrangle."""
        order = corners if len(corners) == 3 else [corners[i] for i in (0, 1, 3, 2)]
        self.space.add_solid(order, dxfattribs={"layer": layer})

    def text(
        self,
        at: XY,
        text: str,
        size: float,
        *,
        align: str = "left",
        bold: bool = False,
        turn: float = 0.0,
        layer: str = "TEXT",
    ) -> None:
        """Draw one line of text on its baseline: font size [mm], rotation `turn` [degrees]."""
        if not text:
            return
        entity = self.space.add_text(
            text,
            height=size * CAP,
            rotation=turn,
            dxfattribs={"layer": layer, "style": "BOLD" if bold else "PLAIN"},
        )
        entity.set_placement(at, align=ALIGN[align])

    def dxf(self) -> bytes:
        """Return the page as DXF R2010 in mm, the same bytes every time."""
        stream = io.StringIO()
        for name in sorted(self.doc.entitydb.dxf_types_in_use()):
            self.doc.classes.add_class(name)  # ezdxf would take them in a set's order
        with fixed_identifiers():
            self.doc.write(stream)
        return stream.getvalue().encode("utf-8")

    def entities(self) -> Iterator[Any]:
        """Yield the entities of the page, in drawing order."""
        return iter(self.space)

    def texts(self) -> list[str]:
        """Return the lines of text on the page, in drawing order."""
        return [entity.dxf.text for entity in self.entities() if entity.dxftype() == "TEXT"]


@contextmanager
def fixed_identifiers() -> Iterator[None]:
    """Return a context in which dates and identifiers of DXF files are fixed."""
    options = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
