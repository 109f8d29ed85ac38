"""The section of actual and effective seat tube angle, with the saddle at any height.

On the seatpost axis a saddle at the straight distance h from the bottom bracket is seen under the
effective angle E: h·sin(E − B) = offset, where B is the actual angle and offset that of the axis (the
chart's own relation). Scripts move the saddle by the same formula.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from frame3d.report.data import ReportData
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.markup import Markup, el
from frame3d.report.texts import Texts
from frame3d.rider.contacts import saddle_height_of

ABOUT: Final = 120.0
"""How far the slider goes below and above the bike's own saddle height [mm]."""
SIZE: Final = 44.0
"""Height of figures on the drawing [mm]."""
_ARC: Final = 250.0
_FURTHER: Final = 180.0


@dataclass(frozen=True)
class Seat:
    """The seatpost axis of a bike, and the saddle height that it is set for."""

    angle: float
    """Actual seat tube angle [degrees]."""
    offset: float
    """Of the axis from the bottom bracket, positive forward [mm]."""
    height: float
    """Straight from the bottom bracket to the saddle [mm]."""
    own: bool
    """Whether the file gives that height; else it follows from the rider, or is where charts take it."""

    def effective(self, height: float) -> float:
        """Return the effective seat tube angle at a saddle height [degrees]."""
        return self.angle + math.degrees(math.asin(self.offset / height))

    def saddle(self, height: float) -> XZ:
        """Return where the saddle is, from the bottom bracket [mm]."""
        angle = math.radians(self.effective(height))
        return (-height * math.cos(angle), height * math.sin(angle))

    @property
    def range(self) -> tuple[float, float]:
        """Lowest and highest saddle height of the slider [mm], whole millimetres."""
        low = max(self.height - ABOUT, 1.2 * abs(self.offset), 100.0)
        return math.floor(low), math.ceil(max(self.height, low) + ABOUT)


def seat_of(data: ReportData) -> Seat | None:
    """Return a bike's seat; None where the chart does not know the seat tube's axis."""
    chart, spec = data.bike.chart, data.bike.spec
    angle, offset = chart["actual_seat_tube_angle"], chart["seat_tube_offset"]
    if angle is None or offset is None:
        return None
    known = saddle_height_of(spec)
    height = math.hypot(*data.side.at("saddle")) if known is None else known
    if height <= 1.2 * abs(offset):
        return None
    post = spec.build.seatpost
    return Seat(angle, offset, height, post is not None and post.saddle_height is not None)


def seat_angles(data: ReportData, texts: Texts) -> Markup | None:
    """Return drawing, slider and figures; None where the chart does not know the seat tube's axis."""
    seat = seat_of(data)
    if seat is None:
        return None
    low, high = seat.range
    slider = el(
        "label",
        el("span", texts("seat.height")),
        el("output", texts.quantity(seat.height, "mm", 0)),
        el(
            "input",
            type="range",
            id="saddle-height",
            min=low,
            max=high,
            step=1,
            value=f"{seat.height:g}",
        ),
        hidden=True,
        class_="slider",
    )
    return el(
        "div",
        _picture(data, seat, texts),
        el("div", slider, _figures(data, seat, texts), class_="beside"),
        class_="seat",
        data_angle=repr(seat.angle),
        data_offset=repr(seat.offset),
        data_ground=repr(data.side.ground),
        data_arc=repr(_ARC + _FURTHER),
        data_size=repr(SIZE),
    )


def _figures(data: ReportData, seat: Seat, texts: Texts) -> Markup:
    x, z = seat.saddle(seat.height)
    rows = [
        ("actual", seat.angle, "degrees", False),
        ("effective", seat.effective(seat.height), "degrees", True),
        ("at_stack", data.bike.chart["effective_seat_tube_angle_at_stack"], "degrees", False),
        ("behind", -x, "mm", True),
        ("over", z - data.side.ground, "mm", True),
    ]
    listed = [
        el(
            "div",
            el("dt", texts(f"seat.{key}")),
            el(
                "dd",
                texts.quantity(value, unit, 1 if unit == "degrees" else 0),
                data_moves=key if moves else None,
            ),
        )
        for key, value, unit, moves in rows
        if value is not None
    ]
    same = abs(seat.offset) < 0.05
    return el(
        "div",
        el("dl", *listed, class_="glance small"),
        el("p", texts("seat.same" if same else "seat.differ"), class_="remark"),
        None if seat.own else el("p", texts("seat.taken"), class_="remark"),
    )


def _picture(data: ReportData, seat: Seat, texts: Texts) -> Markup:
    side = data.side
    (x0, z0), (x1, z1) = side.corners
    low, high = seat.range
    sheet = SvgDrawing(SIZE)
    sheet.use(BIKE, 2.4)
    sheet.line((x0, side.ground), (x1, side.ground), "ground")
    foot = side.seat_foot
    top = seat.saddle(high)
    below = (foot[0] - 60 * side.seat_up[0], foot[1] - 60 * side.seat_up[1])
    sheet.line((foot[0] - 1.7 * _ARC, foot[1]), foot, "actual thin")
    sheet.line(below, top, "actual")
    sheet.angle(foot, 180 - seat.angle, 180.0, _ARC, texts.quantity(seat.angle, "degrees"))
    sheet.marks.append(_moving(seat, texts))
    sheet.line(seat.saddle(low), seat.saddle(high), "way")
    margin = 70.0
    return sheet.svg(
        (x0 - margin, z0 - margin),
        (x1 + margin, max(z1, top[1]) + margin),
        texts("seat.label"),
        "sheet seat-view",
    )


def _moving(seat: Seat, texts: Texts) -> Markup:
    """Return what moves with the saddle: the line to it, its angle, the saddle itself."""
    (x, z), effective = seat.saddle(seat.height), seat.effective(seat.height)
    radius = _ARC + _FURTHER
    turn = math.radians(180 - effective)
    end = (radius * math.cos(turn), radius * math.sin(turn))
    half = math.radians(180 - effective / 2)
    at = ((radius + SIZE) * math.cos(half), (radius + SIZE) * math.sin(half))
    return el(
        "g",
        el("path", d=f"M{-radius:.1f} 0H0L{x:.1f} {-z:.1f}", class_="effective"),
        el(
            "path",
            d=f"M{end[0]:.1f} {-end[1]:.1f}A{radius:g} {radius:g} 0 0 0 {-radius:g} 0",
            class_="effective arc",
        ),
        el("circle", cx=f"{x:.1f}", cy=f"{-z:.1f}", r=22, class_="place"),
        el(
            "text",
            texts.quantity(effective, "degrees"),
            x=f"{at[0]:.1f}",
            y=f"{-at[1]:.1f}",
            font_size=f"{SIZE:g}",
            text_anchor="end",
        ),
        class_="moving",
    )
