"""The bike on a climb: its centre of mass, and where the line of gravity meets the ground."""

from __future__ import annotations

from cmath import exp
from math import atan, degrees

from frame3d.looks.rider import Figure, Pose
from frame3d.report.data import ReportData
from frame3d.report.drawing.centre_of_mass import centre_of_mass
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.drawing.silhouette import corners, drawn
from frame3d.report.markup import Markup, el
from frame3d.report.ride_sections.band_text import band_text
from frame3d.report.texts import Texts
from frame3d.ride.slopes.bands import Band
from frame3d.ride.slopes.of_bike import PostureOnSlopes

SIZE = 62.0
"""Height of figures [mm]."""
LINE = 3.0
"""Width of the rider's outline [mm]."""
CENTRE = 30.0
"""Radius of the centre's symbol [mm]."""


def picture(data: ReportData, posture: PostureOnSlopes, percent: float, texts: Texts) -> Markup:
    """Return the bike on a climb, wheels with their loads. Needs bike's and rider's symbols.

    The bike is drawn unloaded and turned about its rear contact.
    """
    at = posture.on(percent)
    rise = percent / 100
    turn = exp(1j * atan(rise))
    rear, front = (complex(*data.side.at(f"{end}_contact")) for end in ("rear", "front"))

    def turned(point: complex) -> complex:
        return rear + (point - rear) * turn

    sheet = SvgDrawing(SIZE)
    sheet.use(BIKE, 4.0)
    pose = _pose(data.figure, posture.name)
    pivot = f"{rear.real:.1f} {-rear.imag:.1f}"
    ridden = el(
        "g",
        None if pose is None else drawn(pose.name, ("far",), LINE, "far"),
        sheet.marks.pop(),
        None if pose is None else drawn(pose.name, ("body", "arm"), LINE, "near"),
        transform=f"rotate({-degrees(atan(rise)):.2f} {pivot})",
    )
    (x0, z0), (x1, z1) = data.side.corners
    if pose is not None and data.figure is not None:
        (x2, z2), (x3, z3) = corners(data.figure, pose)
        x0, z0, x1, z1 = min(x0, x2), min(z0, z2), max(x1, x3), max(z1, z3)
    edges = [turned(complex(x, z)) for x in (x0, x1) for z in (z0, z1)]
    low = complex(min(c.real for c in edges), min(c.imag for c in edges))
    high = complex(max(c.real for c in edges), max(c.imag for c in edges))
    centre = turned(rear + complex(at.centre_ahead, at.centre_height))
    foot = complex(centre.real, rear.imag + rise * (centre.real - rear.real))
    ends = [complex(x, rear.imag + rise * (x - rear.real)) for x in (low.real, high.real)]
    sheet.line(_xz(ends[0]), _xz(ends[1]), "ground")
    sheet.marks.append(ridden)
    sheet.line(_xz(centre), _xz(foot), "plumb")
    sheet.marks.append(centre_of_mass(_xz(centre), CENTRE))
    band = at.front_share_percent
    behind = Band(100 - band.high, 100 - band.middle, 100 - band.low)
    loads = (
        (rear, band_text(behind, "%", 0, texts)),
        (turned(front), band_text(band, "%", 0, texts)),
    )
    for contact, said in loads:
        sheet.dot(_xz(contact), 0.24)
        sheet.text((contact.real, contact.imag - 1.3 * SIZE), said)
    sheet.dot(_xz(foot), 0.24)
    margin = 2.2 * SIZE
    top = max(high.imag, centre.imag + CENTRE)
    return sheet.svg(
        (low.real - margin, min(low.imag, ends[0].imag) - margin),
        (high.real + margin, top + margin),
        texts("slopes.picture.label", gradient=texts.quantity(percent, "%", 0)),
        "sheet on-slope",
    )


def _pose(figure: Figure | None, name: str) -> Pose | None:
    """Return the figure's pose of a posture."""
    poses = () if figure is None else figure.poses
    return next((pose for pose in poses if pose.name == name), None)


def _xz(point: complex) -> XZ:
    return (point.real, point.imag)
