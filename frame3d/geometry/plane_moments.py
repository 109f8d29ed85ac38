"""Area, first and second moments of figures in a plane, in closed form."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Moments:
    """Integrals over a figure, about the origin."""

    area: float
    """[mm²]"""
    x: float
    """Of x [mm³]."""
    y: float
    """Of y [mm³]."""
    xx: float
    """Of x² [mm⁴]."""
    yy: float
    """Of y² [mm⁴]."""
    xy: float
    """Of x y [mm⁴]."""

    def __add__(self, other: Moments) -> Moments:
        return Moments(
            self.area + other.area,
            self.x + other.x,
            self.y + other.y,
            self.xx + other.xx,
            self.yy + other.yy,
            self.xy + other.xy,
        )

    def times(self, share: float) -> Moments:
        """Return the moments times a number; -1 takes a figure away."""
        return Moments(
            share * self.area,
            share * self.x,
            share * self.y,
            share * self.xx,
            share * self.yy,
            share * self.xy,
        )

    @property
    def centroid(self) -> XY:
        """Centre of the area [mm]."""
        return self.x / self.area, self.y / self.area

    @property
    def central(self) -> tuple[float, float, float]:
        """Second moments about the centroid: of x², of y², of x y [mm⁴]."""
        x, y = self.centroid
        return (
            self.xx - self.area * x * x,
            self.yy - self.area * y * y,
            self.xy - self.area * x * y,
        )


def of_polygon(points: Sequence[XY]) -> Moments:
    """Return the moments of a polygon, by Green's theorem; negative for a clockwise one."""
    area = x = y = xx = yy = xy = 0.0
    ox, oy = points[0]
    for (x0, y0), (x1, y1) in zip(points, (*points[1:], points[0]), strict=True):
        a0, b0, a1, b1 = x0 - ox, y0 - oy, x1 - ox, y1 - oy
        cross = a0 * b1 - a1 * b0
        area += cross / 2
        x += cross * (a0 + a1) / 6
        y += cross * (b0 + b1) / 6
        xx += cross * (a0 * a0 + a0 * a1 + a1 * a1) / 12
        yy += cross * (b0 * b0 + b0 * b1 + b1 * b1) / 12
        xy += cross * (a0 * b1 + 2 * a0 * b0 + 2 * a1 * b1 + a1 * b0) / 24
    return _shifted(Moments(area, x, y, xx, yy, xy), (ox, oy))


def of_circular_segment(centre: XY, start: XY, sweep: float) -> Moments:
    """Return the moments of the piece between an arc and its chord; negative for a clockwise arc.

    With half the arc's angle α and u along the middle of the arc, v across: area r² (α - sin α cos α),
    of u 2/3 r³ sin³ α, of u² r⁴/4 (α - sin α cos α + 2 sin³ α cos α), of v² r⁴/12 (3 α - 3 sin α cos α -
    2 sin³ α cos α), by integration over chords.

    Args:
        centre: of the arc.
        start: first end of the arc.
        sweep: angle that it turns through, anticlockwise positive [rad].
    """
    r, half = math.dist(centre, start), abs(sweep) / 2
    s, c = math.sin(half), math.cos(half)
    middle = math.atan2(start[1] - centre[1], start[0] - centre[0]) + sweep / 2
    ux, uy = math.cos(middle), math.sin(middle)
    u = 2 / 3 * r**3 * s**3
    uu = r**4 / 4 * (half - s * c + 2 * s**3 * c)
    vv = r**4 / 12 * (3 * half - 3 * s * c - 2 * s**3 * c)
    about = Moments(
        r * r * (half - s * c),
        u * ux,
        u * uy,
        uu * ux * ux + vv * uy * uy,
        uu * uy * uy + vv * ux * ux,
        (uu - vv) * ux * uy,
    )
    return _shifted(about, centre).times(1.0 if sweep >= 0 else -1.0)


def _shifted(m: Moments, by: XY) -> Moments:
    """Return the moments of a figure that is moved [mm]."""
    x, y = by
    return Moments(
        m.area,
        m.x + m.area * x,
        m.y + m.area * y,
        m.xx + 2 * m.x * x + m.area * x * x,
        m.yy + 2 * m.y * y + m.area * y * y,
        m.xy + m.x * y + m.y * x + m.area * x * y,
    )
