"""Draw each chart figure as a dimension on the side view."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.side import Side

LEVEL: Final = (1.0, 0.0)
UPRIGHT: Final = (0.0, 1.0)

Window = tuple[XZ, XZ]
"""Lower rear and upper front corner [mm]."""


@dataclass(frozen=True)
class _Draw:
    """Draws one figure's dimension; each figure has a method of its name."""

    sheet: SvgDrawing
    side: Side
    shown: str
    away: float | None
    """Distance of the dimension line [mm]; None takes the figure's usual one."""

    def _off(self, usual: float) -> float:
        return usual * self.sheet.size if self.away is None else self.away

    def _level_at(self, a: XZ, b: XZ, off: float, **how: float) -> None:
        self.sheet.length(a, b, self.shown, LEVEL, off, **how)

    def reach(self) -> None:
        top = self.side.at("head_tube_top")
        self._level_at((0.0, top[1]), top, self._off(1.6))
        self._axis((0.0, 0.0), (0.0, top[1]))
        self._ends((0.0, 0.0), top)

    def stack(self) -> None:
        top = self.side.at("head_tube_top")
        self.sheet.length((0.0, 0.0), (0.0, top[1]), self.shown, UPRIGHT, self._off(0.0))
        self._axis((0.0, top[1]), top)
        self._ends((0.0, 0.0), top)

    def effective_top_tube(self) -> None:
        a, b = self.side.seat_at_stack, self.side.at("head_tube_top")
        self._level_at(a, b, self._off(0.0))
        self._axis(self.side.seat_foot, a)
        self._ends(a, b)

    def head_tube_angle(self) -> None:
        foot = self.side.steer_foot
        self._steering()
        self._ground()
        radius = self._off(6.0)
        self.sheet.angle(foot, 180 - self.side.known("head_tube_angle"), 180.0, radius, self.shown)

    def head_tube_length(self) -> None:
        a, b = self.side.at("head_tube_bottom"), self.side.at("head_tube_top")
        self.sheet.length(a, b, self.shown, (b[0] - a[0], b[1] - a[1]), self._off(-3.5))
        self._ends(a, b)

    def effective_seat_tube_angle(self) -> None:
        self._effective_angle("effective_seat_tube_angle", self.side.at("saddle"))

    def effective_seat_tube_angle_at_stack(self) -> None:
        at = self.side.seat_at_stack
        self._axis(at, self.side.at("head_tube_top"))
        self._effective_angle("effective_seat_tube_angle_at_stack", at)

    def _effective_angle(self, figure: str, seat: XZ) -> None:
        self._axis((0.0, 0.0), seat)
        self._axis((-9 * self.sheet.size, 0.0), (0.0, 0.0))
        self.sheet.angle(
            (0.0, 0.0), 180 - self.side.known(figure), 180.0, self._off(6.5), self.shown
        )
        self._ends((0.0, 0.0), seat)

    def actual_seat_tube_angle(self) -> None:
        angle = self.side.known("actual_seat_tube_angle")
        foot, up, low = self.side.seat_foot, self.side.seat_up, self.side.ground
        t = (low - foot[1]) / up[1]
        crossing = (foot[0] + t * up[0], low)
        self._axis(crossing, self.side.at("saddle"))
        self._ground()
        self.sheet.angle(crossing, 180 - angle, 180.0, self._off(6.0), self.shown)

    def seat_tube_length(self) -> None:
        a, up = self.side.seat_foot, self.side.seat_up
        length = self.side.known("seat_tube_length")
        b = (a[0] + length * up[0], a[1] + length * up[1])
        self.sheet.length(a, b, self.shown, up, self._off(2.6))
        self._ends(a, b)

    def seat_tube_offset(self) -> None:
        a, b, up = (0.0, 0.0), self.side.seat_foot, self.side.seat_up
        self._axis(b, self.side.at("saddle"))
        ahead = (up[1], -up[0])
        self.sheet.length(a, b, self.shown, ahead, self._off(-2.0), beside=2.2 * self.sheet.size)
        self._ends(a, b)

    def chainstay_length(self) -> None:
        self._aligned((0.0, 0.0), self.side.at("rear_axle"), self._off(3.0))

    def front_centre(self) -> None:
        self._aligned((0.0, 0.0), self.side.at("front_axle"), self._off(-3.0))

    def wheelbase(self) -> None:
        a, b = self.side.at("rear_contact"), self.side.at("front_contact")
        self._ground()
        self._level_at(a, b, self._off(-2.2))
        self._ends(a, b)

    def bb_drop(self) -> None:
        axle = self.side.at("rear_axle")
        front = (self.side.at("front_axle")[0], axle[1])
        self._axis(axle, front)
        x = self._off(2.5)
        self.sheet.length(
            (x, 0.0), (x, axle[1]), self.shown, UPRIGHT, 0.0, beside=self._room(axle[1])
        )
        self._axis((0.0, 0.0), (x, 0.0))
        self._ends(axle, (0.0, 0.0))

    def bb_height(self) -> None:
        self._ground()
        self.sheet.length((0.0, self.side.ground), (0.0, 0.0), self.shown, UPRIGHT, self._off(0.0))
        self._ends((0.0, 0.0))

    def fork_axle_to_crown(self) -> None:
        a, b = self.side.at("crown_race"), self.side.axle_foot
        self.sheet.length(a, b, self.shown, self.side.down, self._off(4.0))
        self._axis(b, self.side.at("front_axle"))
        self._ends(a, b)

    def fork_offset(self) -> None:
        a, b = self.side.axle_foot, self.side.at("front_axle")
        self._steering()
        self.sheet.length(
            a, b, self.shown, self.side.ahead, self._off(-2.0), beside=self._room(_apart(a, b))
        )
        self._ends(b)

    def lower_headset_stack(self) -> None:
        a, b = self.side.at("head_tube_bottom"), self.side.at("crown_race")
        self._steering()
        self.sheet.length(
            a, b, self.shown, self.side.down, self._off(2.5), beside=self._room(_apart(a, b))
        )

    def front_wheel_radius(self) -> None:
        self._radius("front", 0.0)

    def rear_wheel_radius(self) -> None:
        self._radius("rear", 0.0)

    def trail(self) -> None:
        a, b = self.side.at("front_contact"), self.side.steer_foot
        self._steering()
        self._ground()
        self._level_at(a, b, self._off(-2.2), beside=self._room(b[0] - a[0]))
        self._ends(a, b)

    def mechanical_trail(self) -> None:
        a, b = self.side.at("front_contact"), self.side.contact_foot
        self._steering()
        self._ground()
        self.sheet.length(a, b, self.shown, self.side.ahead, self._off(0.0))
        self._ends(a, b)

    def wheel_flop(self) -> None:
        a, b = self.side.at("front_contact"), self.side.contact_foot
        self._steering()
        self._ground()
        self._axis(a, b)
        x = b[0] + self._off(2.5)
        self._axis(b, (x, b[1]))
        self.sheet.length(
            (x, a[1]), (x, b[1]), self.shown, UPRIGHT, 0.0, beside=self._room(b[1] - a[1])
        )
        self._ends(a, b)

    def standover(self) -> None:
        self._over_the_top_tube("standover")

    def standover_mid_tube(self) -> None:
        self._over_the_top_tube("standover_mid_tube")

    # What several share

    def _over_the_top_tube(self, figure: str) -> None:
        edge = self.side.top_tube_edge(figure)
        if edge is None:
            return
        self._ground()
        low = (edge[0], self.side.ground)
        self.sheet.length(low, edge, self.shown, UPRIGHT, self._off(0.0))
        self._ends(edge)

    def _radius(self, end: str, away: float) -> None:
        axle = self.side.at(f"{end}_axle")
        low = (axle[0], self.side.ground)
        self._ground()
        self.sheet.length(low, axle, self.shown, UPRIGHT, self._off(away))
        self._ends(axle)

    def _aligned(self, a: XZ, b: XZ, away: float) -> None:
        self.sheet.length(a, b, self.shown, (b[0] - a[0], b[1] - a[1]), away)
        self._ends(a, b)

    def _ends(self, *points: XZ) -> None:
        for point in points:
            self.sheet.dot(point)

    def _axis(self, a: XZ, b: XZ) -> None:
        self.sheet.line(a, b, "axis")

    def _steering(self) -> None:
        top, foot = self.side.at("head_tube_top"), self.side.steer_foot
        past = 3 * self.sheet.size
        down = self.side.down
        self._axis((top[0] - past * down[0], top[1] - past * down[1]), foot)

    def _ground(self) -> None:
        (low, _), (high, _) = self.side.corners
        self.sheet.line((low, self.side.ground), (high, self.side.ground), "ground")

    def _room(self, span: float) -> float:
        """Return how far beyond its span a text is placed that does not fit in; 0 where it fits."""
        return 0.0 if abs(span) > 3.2 * self.sheet.size else 2.2 * self.sheet.size


def dimension(
    sheet: SvgDrawing, side: Side, figure: str, shown: str, away: float | None = None
) -> None:
    """Draw a chart figure's dimension.

    Args:
        sheet: to draw on.
        side: the bike.
        figure: its name.
        shown: the text at the dimension line.
        away: how far the line stands off, or an angle's radius [mm]; the figure's usual where None.
    """
    getattr(_Draw(sheet, side, shown, away), figure)()


def window(side: Side, figure: str) -> Window:
    """Return the part of the side view that shows a figure best, with the aspect ratio `SHAPE`."""
    (x0, z0), (x1, z1) = side.corners
    if figure in ("fork_offset", "trail", "mechanical_trail", "wheel_flop"):
        foot, axle = side.steer_foot, side.at("front_axle")
        return _framed((foot[0] + axle[0]) / 2, side.ground + 170.0, 700.0)
    if figure in ("head_tube_length", "lower_headset_stack"):
        bottom = side.at("head_tube_bottom")
        wide = 560.0 if figure == "head_tube_length" else 260.0
        return _framed(bottom[0] + 0.05 * wide, bottom[1] + 0.05 * wide, wide)
    if figure == "seat_tube_offset":
        return _framed(0.0, 30.0, 420.0)
    wide = 1.16 * (x1 - x0)
    return _framed((x0 + x1) / 2, (z0 + z1) / 2, max(wide, 1.3 * (z1 - z0) / SHAPE))


SHAPE: Final = 0.74
"""Height over width of a definition's window."""


def _framed(x: float, z: float, wide: float) -> Window:
    half, tall = wide / 2, wide / 2 * SHAPE
    return (x - half, z - tall), (x + half, z + tall)


def _apart(a: XZ, b: XZ) -> float:
    return float(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5)
