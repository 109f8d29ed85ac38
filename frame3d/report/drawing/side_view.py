"""The dimensioned side view, and a drawing of each figure's definition on the same bike."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from frame3d.looks.rider import Figure
from frame3d.parameters.models.figures import unit
from frame3d.report.drawing.dimension import dimension, window
from frame3d.report.drawing.sheet import SvgDrawing, symbol
from frame3d.report.drawing.silhouette import corners, drawn
from frame3d.report.markup import Markup, el, together
from frame3d.report.side import Side
from frame3d.report.texts import Texts

BIKE: Final = "bike"
"""Id of the bike's symbol on the page."""
SIZE: Final = 26.0
"""Height of figures on the drawing [mm]."""
ROOM: Final = 0.75
"""Width of a letter with its share of the room around a text, over its height."""

OFFSETS: Final[Mapping[str, float]] = {
    "wheelbase": -130.0,
    "trail": -64.0,
    "bb_height": 0.0,
    "standover": -150.0,
    "bb_drop": 92.0,
    "chainstay_length": 80.0,
    "front_centre": -80.0,
    "effective_seat_tube_angle": 250.0,
    "head_tube_angle": 150.0,
    "stack": 0.0,
    "effective_top_tube": 0.0,
    "reach": 84.0,
    "seat_tube_length": 74.0,
    "head_tube_length": -96.0,
    "fork_axle_to_crown": 150.0,
    "fork_offset": -64.0,
}
"""Dimensions of the drawing, with the distance of their lines [mm]."""


def bike_symbol(side: Side) -> Markup:
    """Return the bike as a symbol for all drawings of a page."""
    return symbol(BIKE, side.marks())


def drawing(side: Side, texts: Texts, rider: Figure | None = None) -> Markup:
    """Return the dimensioned side view. Needs `bike_symbol` on the same page.

    Args:
        side: of the bike.
        texts: of the page.
        rider: drawn faintly; the page's style shows it where that is asked for, with the room over the
            drawing that it takes. Needs `silhouette.symbols` on the same page.
    """
    sheet = SvgDrawing(SIZE)
    pose = None if rider is None else rider.poses[0]
    if pose is not None:
        sheet.marks.append(drawn(pose.name, ("far",), 1.6, "ridden"))
    sheet.use(BIKE, 2.0)
    if pose is not None:
        sheet.marks.append(drawn(pose.name, ("body", "arm"), 1.6, "ridden"))
    sheet.marks.append(_axes(side))
    for figure, away in OFFSETS.items():
        value = side.figure(figure)
        if value is not None:
            dimension(sheet, side, figure, _named(figure, value, texts), away)
    (x0, z0), (x1, z1) = side.corners
    margin, edge = 2.2 * SIZE, 0.8 * SIZE
    xs, zs = zip(*sheet.reached, strict=True)
    low = (min(x0 - margin, min(xs) - edge), min(z0 - 6.6 * SIZE, min(zs) - edge))
    high = (max(x1 + margin, max(xs) + edge), max(z1 + margin, max(zs) + edge))
    view = sheet.svg(low, high, texts("drawing.label", name=side.bike.spec.title), "sheet drawing")
    if rider is None or pose is None:
        return view
    over = corners(rider, pose)[1][1] + edge - high[1]
    room = el(
        "svg",
        class_="sheet headroom",
        viewbox=f"0 0 {high[0] - low[0]:.0f} {max(over, 1.0):.0f}",
        aria_hidden="true",
    )
    return together(room, view)


def _axes(side: Side) -> Markup:
    """Return ground and steering axis, to which many dimensions refer."""
    sheet = SvgDrawing(SIZE)
    (x0, _), (x1, _) = side.corners
    sheet.line((x0, side.ground), (x1, side.ground), "ground")
    return sheet.marks[0]


def definition(side: Side, figure: str, texts: Texts) -> Markup:
    """Return a drawing of a figure's definition. Needs `bike_symbol` on the same page."""
    low, high = window(side, figure)
    sheet = SvgDrawing(0.046 * (high[0] - low[0]))
    # About one pixel of a picture that is 460 pixels wide.
    sheet.use(BIKE, (high[0] - low[0]) / 460)
    value = side.figure(figure)
    dimension(sheet, side, figure, "" if value is None else _value(figure, value, texts))
    title = texts(f"figure.{figure}.title")
    return sheet.svg(low, high, texts("drawing.definition", figure=title), "sheet definition")


def _named(figure: str, value: float, texts: Texts) -> str:
    """Return a figure's value with its short name before it, where there is room."""
    shown = _value(figure, value, texts)
    name = texts.get(f"drawing.name.{figure}")
    if name is None or unit(figure) == "degrees":
        return shown
    said = f"{name} {shown}"
    return said if ROOM * SIZE * len(said) < abs(value) else shown


def _value(figure: str, value: float, texts: Texts) -> str:
    """Return a figure's value for drawings: without decimals if whole, else with one."""
    shown = texts.number(value, 1)
    whole = texts.number(value, 0)
    short = whole if abs(value - round(value)) < 0.05 else shown
    return f"{short}°" if unit(figure) == "degrees" else short
