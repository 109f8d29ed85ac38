"""The section of the rider: postures, and the distribution of weight."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import mass_model
from frame3d.bike.weight import FrontShares, front_shares
from frame3d.geometry.vector import Point
from frame3d.looks.girths import DENSITY
from frame3d.looks.rider import Figure
from frame3d.report.data import ReportData
from frame3d.report.drawing.centre_of_mass import centre_of_mass
from frame3d.report.drawing.sheet import SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.drawing.silhouette import corners, drawn
from frame3d.report.markup import Markup, el
from frame3d.report.ride_sections.band_text import band_text
from frame3d.report.texts import Texts
from frame3d.ride.slopes.bands import Band, band, places
from frame3d.rider.posture import Posture, Rider

LINE: Final = 3.0
"""Width of the figure's outline [mm]."""


def rider(data: ReportData, texts: Texts) -> Markup | None:
    """Return postures and weight; None where the file does not give enough about the rider."""
    static, figure = data.bike.rider, data.figure
    if static is None or figure is None:
        return None
    shares = front_shares(data.bike)
    return el(
        "div",
        el(
            "div",
            _choice(figure, texts),
            _picture(data, static, figure, texts),
            el(
                "p",
                texts("mannequin.drawn", density=texts.number(DENSITY * 1e6, 2)),
                class_="remark",
            ),
        ),
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
    """Return weight and height in every posture, under the rider's weight where anything is sprung."""
    bike, rows = data.bike, []
    when, who, nodes, known = "static", static, bike.nodes, shares.static
    if bike.sagged is not None and bike.sagged.rider is not None:
        when, known = "sagged", shares.sagged
        who, nodes = bike.sagged.rider, bike.sagged.nodes
    for name, posture in who.postures.items():
        share, height = _bands(bike, posture, nodes, known[name])
        rows.append(
            el(
                "tr",
                el("th", texts(f"rider.{name}"), ", ", texts(f"rider.{when}"), scope="row"),
                el("td", band_text(share, "%", 0, texts)),
                el("td", band_text(height, "mm", 0, texts)),
            )
        )
    head = [texts(f"rider.{key}") for key in ("posture", "share", "centre")]
    return el(
        "table",
        el("thead", el("tr", *(el("th", h, scope="col") for h in head))),
        el("tbody", *rows),
        class_="chart",
    )


def _bands(
    bike: Bike, posture: Posture, nodes: Mapping[str, Point], share: float
) -> tuple[Band, Band]:
    """Return the bands of the weight on the front wheel [%] and of the body's height [mm], in tens.

    Args:
        bike: carries the rider.
        posture: of the rider.
        nodes: of the bike as it stands [mm].
        share: of the weight on the front wheel, the body in the middle of its band.
    """
    rider = bike.spec.build.rider
    assert rider is not None
    x, _, z = posture.centre_of_mass
    others = [complex(at[0], at[2]) for name, at in posture.centres.items() if name != "textbook"]
    bodies = places(complex(x, z), others)
    rear, front = nodes["rear_contact"], nodes["front_contact"]
    of_all = rider.mass_kg / (rider.mass_kg + mass_model(bike).total_kg)
    moved = share + of_all * (bodies.real - x) / (front[0] - rear[0])
    height = band(bodies.imag - rear[2], 0)
    tens = (round(value, -1) for value in (height.low, height.middle, height.high))
    return band(100 * moved, 0, 100), Band(*tens)


def _choice(figure: Figure, texts: Texts) -> Markup | None:
    """Return the choice of a posture, which needs no script; None where there is one only."""
    if len(figure.poses) < 2:
        return None
    return el(
        "fieldset",
        el("legend", texts("rider.posture"), class_="unseen"),
        *(
            el(
                "label",
                el(
                    "input",
                    type="radio",
                    name="posture",
                    id=f"posture-{pose.name}",
                    checked=pose is figure.poses[0],
                ),
                el("span", texts(f"mannequin.{pose.name}")),
                class_="choice",
            )
            for pose in figure.poses
        ),
        class_="postures",
    )


def _picture(data: ReportData, static: Rider, figure: Figure, texts: Texts) -> Markup:
    """Return the rider in every posture; the page's style shows the one that is chosen."""
    (x0, z0), (x1, z1) = data.side.corners
    sheet = SvgDrawing(40.0)
    sheet.line((x0, data.side.ground), (x1, data.side.ground), "ground")
    for pose in figure.poses:
        sheet.marks.append(drawn(pose.name, ("far",), LINE, f"posture {pose.name} far"))
    sheet.use(BIKE, 4.0, "ridden-bike")
    for pose in figure.poses:
        (rear, _), (front, top) = corners(figure, pose)
        x0, x1, z1 = min(x0, rear), max(x1, front), max(z1, top)
        saddle = data.side.lowered_saddle((pose.drop[0], pose.drop[2])) if any(pose.drop) else []
        posture = getattr(static, pose.name)
        mass = (posture.centre_of_mass[0], posture.centre_of_mass[2])
        sheet.marks.append(
            el(
                "g",
                el("g", *saddle, stroke_width=1) if saddle else None,
                drawn(pose.name, ("body", "arm"), LINE, "near"),
                centre_of_mass(mass, name=pose.name),
                class_=f"posture {pose.name}",
            )
        )
    margin = 60.0
    return sheet.svg(
        (x0 - margin, z0 - margin),
        (x1 + margin, z1 + margin),
        texts("rider.label"),
        "sheet rider",
    )
