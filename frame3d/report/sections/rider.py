"""The section of the rider: postures, and the distribution of weight."""

from __future__ import annotations

from typing import Final

from frame3d.bike.weight import FrontShares, front_shares
from frame3d.report.data import ReportData
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.markup import Markup, el
from frame3d.report.texts import Texts
from frame3d.rider.posture import Posture, Rider

_LIMBS: Final = (
    ("hip", "shoulder", "elbow", "hands"),
    ("hip", "knee_rear", "ankle_rear", "foot_rear"),
    ("hip", "knee_front", "ankle_front", "foot_front"),
)
HEAD: Final = 0.058
"""Radius of the head as a share of stature, for the picture only."""


def rider(data: ReportData, texts: Texts) -> Markup | None:
    """Return postures and weight; None where the file does not give enough about the rider."""
    static = data.bike.rider
    if static is None or (static.seated is None and static.standing is None):
        return None
    shares = front_shares(data.bike)
    return el(
        "div",
        _picture(data, static, texts),
        el(
            "div",
            _table(data, static, shares, texts),
            _assumed(static, shares, texts),
            class_="beside",
        ),
        class_="rider",
    )


def _assumed(rider: Rider, shares: FrontShares, texts: Texts) -> Markup:
    said = "; ".join((*rider.assumptions, *shares.assumptions))
    return el("p", texts("rider.assumed", list=said), class_="remark")


def _table(data: ReportData, static: Rider, shares: FrontShares, texts: Texts) -> Markup:
    sagged = None if data.bike.sagged is None else data.bike.sagged.rider
    rows = []
    for name in ("seated", "standing"):
        for when, who in (("static", static), ("sagged", sagged)):
            posture = None if who is None else getattr(who, name)
            if posture is None:
                continue
            share = getattr(shares, when)[name]
            chart = data.bike.chart if when == "static" else _sag_chart(data)
            height = posture.centre_of_mass[2] + (chart["bb_height"] or 0.0)
            rows.append(
                el(
                    "tr",
                    el("th", texts(f"rider.{name}"), ", ", texts(f"rider.{when}"), scope="row"),
                    el("td", texts.quantity(100 * share, "%", 0)),
                    el("td", texts.quantity(height, "mm", 0)),
                )
            )
    head = [texts(f"rider.{key}") for key in ("posture", "share", "centre")]
    return el(
        "table",
        el("thead", el("tr", *(el("th", h, scope="col") for h in head))),
        el("tbody", *rows),
        class_="chart",
    )


def _sag_chart(data: ReportData) -> dict[str, float | None]:
    assert data.bike.sagged is not None
    return dict(data.bike.sagged.chart)


def _picture(data: ReportData, static: Rider, texts: Texts) -> Markup:
    (x0, z0), (x1, z1) = data.side.corners
    sheet = SvgDrawing(40.0)
    sheet.use(BIKE, 4.0)
    sheet.line((x0, data.side.ground), (x1, data.side.ground), "ground")
    high = z1
    for name in ("standing", "seated"):
        posture = getattr(static, name)
        if posture is not None:
            high = max(high, _body(sheet, static, posture, name))
    margin = 60.0
    return sheet.svg(
        (x0 - margin, z0 - margin),
        (x1 + margin, high + margin),
        texts("rider.label"),
        "sheet rider",
    )


def _body(sheet: SvgDrawing, rider: Rider, posture: Posture, class_: str) -> float:
    """Draw a stick figure with its centre of mass; return the height of its top [mm]."""
    points: dict[str, XZ] = {
        name: (p[0], p[2]) for name, p in (*posture.joints.items(), *rider.contacts.items())
    }
    lines = [[points[joint] for joint in limb if joint in points] for limb in _LIMBS]
    sheet.path(lines, f"limb {class_}", closed=False)
    size = HEAD * (rider.stature or 1750.0)
    hip, shoulder = points["hip"], points["shoulder"]
    way = ((shoulder[0] - hip[0]), (shoulder[1] - hip[1]))
    length = (way[0] ** 2 + way[1] ** 2) ** 0.5
    # The head is more upright than the trunk.
    x = shoulder[0] + 1.5 * size * 0.6 * way[0] / length
    z = shoulder[1] + 1.5 * size
    sheet.marks.append(
        el("circle", cx=f"{x:.1f}", cy=f"{-z:.1f}", r=f"{size:.1f}", class_=f"limb {class_}")
    )
    mass = (posture.centre_of_mass[0], posture.centre_of_mass[2])
    sheet.marks.append(_centre(mass, class_))
    return z + size


def _centre(at: XZ, class_: str) -> Markup:
    """Return the usual symbol of a centre of mass: a circle with two opposite quarters filled."""
    x, y, r = at[0], -at[1], 26.0
    quarters = (
        f"M{x:.1f} {y:.1f}V{y - r:.1f}A{r} {r} 0 0 1 {x + r:.1f} {y:.1f}Z"
        f"M{x:.1f} {y:.1f}V{y + r:.1f}A{r} {r} 0 0 1 {x - r:.1f} {y:.1f}Z"
    )
    return el(
        "g",
        el("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=r, class_="ring"),
        el("path", d=quarters, class_="quarters"),
        class_=f"centre {class_}",
    )
