"""Pictures of the steering: trail as a lever from the side, and lever against lever down the axis."""

from __future__ import annotations

import math

from frame3d.report.data import ReportData
from frame3d.report.drawing.sheet import XZ, SvgDrawing
from frame3d.report.drawing.side_view import BIKE
from frame3d.report.markup import Markup, el
from frame3d.report.side import Side
from frame3d.report.texts import Texts
from frame3d.ride.steering.of_bike import SteeringFigures

SIZE = 46.0
"""Height of figures [mm]."""
ARROW = 120.0
"""Length of an arrow of a force [mm]."""


def lever(side: Side, figures: SteeringFigures, texts: Texts) -> Markup:
    """Return the front wheel from the side, with the steering axis and mechanical trail, as drawn."""
    axle, contact, foot = side.at("front_axle"), side.at("front_contact"), side.contact_foot
    radius = axle[1] - contact[1]
    top, down = side.at("head_tube_top"), side.down
    sheet = SvgDrawing(SIZE)
    sheet.use(BIKE, 2.4)
    low = (axle[0] - 1.25 * radius, side.ground - 4.2 * SIZE)
    high = (axle[0] + 1.15 * radius, axle[1] + 1.3 * radius)
    sheet.line((low[0], side.ground), (high[0], side.ground), "ground")
    start = (top[0] - 0.5 * radius * down[0], top[1] - 0.5 * radius * down[1])
    under = min(side.steer_foot[1], foot[1]) - SIZE
    along = (start[1] - under) / -down[1]
    sheet.line(start, (start[0] + along * down[0], under), "axis")
    sheet.line(contact, foot, "lever")
    _into_the_page(sheet, contact)
    trail = figures.drawn.mechanical_trail
    shown = texts.quantity(trail, "mm", 0)
    if abs(trail) >= 0.5:
        sheet.length(
            contact, foot, shown, side.ahead if trail > 0 else _back(side.ahead), -SIZE * 1.7
        )
    return sheet.svg(low, high, texts("steers.picture.side", trail=shown), "sheet seat-view steer")


def _back(way: XZ) -> XZ:
    return (-way[0], -way[1])


def _into_the_page(sheet: SvgDrawing, at: XZ) -> None:
    """Draw the usual symbol of a force into the page: a circle with a cross."""
    r = 0.5 * SIZE
    d = r * math.sqrt(0.5)
    x, y = at[0], -at[1]
    sheet.marks.append(el("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=f"{r:g}", class_="force into"))
    cross = "".join(
        f"M{x - d:.1f} {y - way * d:.1f}L{x + d:.1f} {y + way * d:.1f}" for way in (1.0, -1.0)
    )
    sheet.marks.append(el("path", d=cross, class_="force"))


def from_above(data: ReportData, figures: SteeringFigures, texts: Texts) -> Markup | None:
    """Return the view down the steering axis: push and hand, each with its lever; None without a bar.

    Forward is up, the rider's left is left; to scale.
    """
    own, hand = figures.drawn, figures.grip_lever
    if hand is None or own.grip_force_n is None:
        return None
    build = data.bike.spec.build
    bar = build.handlebar
    assert bar is not None
    assert bar.width is not None
    side, trail = data.side, own.mechanical_trail
    ahead = _ahead_of_axis(data)
    radius, offset = side.known("front_wheel_radius"), side.known("fork_offset")
    half = max(figures.tyre_radius, 8.0)
    sheet = SvgDrawing(SIZE)
    wheel = _rounded(half, offset - radius, offset + radius)
    sheet.path([wheel], "part", closed=True)
    stem = 0.0 if build.stem is None else build.stem.length
    sheet.path(
        [
            [(0.0, 0.0), (0.0, stem)],
            [(-bar.width / 2, ahead), (-60.0, stem), (60.0, stem), (bar.width / 2, ahead)],
        ],
        "bar",
        closed=False,
    )
    contact = (0.0, -trail)
    sheet.line((0.0, 0.0), contact, "lever")
    sheet.line((0.0, 0.0), (hand, 0.0), "lever")
    sheet.line((hand, 0.0), (hand, ahead), "ext")
    way = 1.0 if trail >= 0 else -1.0
    # The push to the left behind the axis turns the bars to the right; a push of the right hand holds.
    _arrow(sheet, (ARROW, -trail), contact)
    _arrow(sheet, (hand, ahead - way * ARROW), (hand, ahead))
    for dot in ((0.0, 0.0), contact):
        sheet.dot(dot, 0.3)
    sheet.text((ARROW + 1.9 * SIZE, -trail), texts.quantity(figures.push_n, "N", 0))
    sheet.text((hand, ahead - way * (ARROW + 0.7 * SIZE)), texts.quantity(own.grip_force_n, "N", 0))
    sheet.text((-half - 1.9 * SIZE, -trail / 2), texts.quantity(abs(trail), "mm", 0))
    sheet.text((hand / 2 + 0.3 * SIZE, -0.8 * SIZE), texts.quantity(hand, "mm", 0))
    edge = max(bar.width / 2 + SIZE, hand + 2.5 * SIZE)
    label = texts(
        "steers.picture.axis",
        trail=texts.quantity(abs(trail), "mm", 0),
        hand=texts.quantity(hand, "mm", 0),
    )
    low = (-edge, offset - radius - SIZE)
    high = (edge, max(offset + radius, stem, ahead) + SIZE)
    return sheet.svg(low, high, label, "sheet seat-view steer")


def _ahead_of_axis(data: ReportData) -> float:
    """Return how far the grips are ahead of the steering axis, square to it [mm]."""
    rider = data.bike.rider
    hands = None if rider is None else rider.contacts.get("hands")
    if hands is None:
        return 0.0
    side = data.side
    top = side.at("crown_race")
    return (hands[0] - top[0]) * side.ahead[0] + (hands[2] - top[1]) * side.ahead[1]


def _rounded(half: float, rear: float, front: float) -> list[XZ]:
    """Return the outline of a wheel from above, with round ends."""
    turns = [math.radians(15 * i) for i in range(13)]
    ahead = [(half * math.cos(t), front - half + half * math.sin(t)) for t in turns]
    behind = [(-half * math.cos(t), rear + half - half * math.sin(t)) for t in turns]
    return ahead + behind


def _arrow(sheet: SvgDrawing, start: XZ, tip: XZ) -> None:
    """Draw a force."""
    dx, dz = tip[0] - start[0], tip[1] - start[1]
    length = math.hypot(dx, dz)
    u, n = (dx / length, dz / length), (-dz / length, dx / length)
    neck = (tip[0] - SIZE * u[0], tip[1] - SIZE * u[1])
    sheet.line(start, neck, "force")
    head = [
        tip,
        (neck[0] + 0.35 * SIZE * n[0], neck[1] + 0.35 * SIZE * n[1]),
        (neck[0] - 0.35 * SIZE * n[0], neck[1] - 0.35 * SIZE * n[1]),
    ]
    sheet.path([head], "force tip", closed=True)
