"""Bikes for tests: complete, plausible layouts from hand-made nodes; all invented."""

from __future__ import annotations

import math
from typing import Any, Literal

import numpy as np

from frame3d.geometry.centreline import Centreline
from frame3d.geometry.layout import Bore, Dropout, End, Layout, Shell, Tube
from frame3d.geometry.mitre import mitre_curve
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point, mirrored, point
from frame3d.spec.figures import FIGURES
from frame3d.spec.models import FrameSpec

HARDTAIL: dict[str, Any] = {
    "format": 1,
    "name": "Trail hardtail 29",
    "geometry": {"reach": 455.0, "head_tube_angle": 65.5, "head_tube_length": 115.0},
}

HEAD, SEAT = 65.5, 75.5


def hardtail_nodes() -> dict[str, Point]:
    """Nodes of a trail hardtail with 29 inch wheels, computed by hand from its figures."""
    c, s = math.cos(math.radians(HEAD)), math.sin(math.radians(HEAD))
    drop, radius, offset = 62.0, 372.0, 44.0
    fork = math.sqrt(531.0**2 - offset**2)
    crown_z = drop + fork * s - offset * c
    bottom_z = crown_z + 4 * s
    top_z = bottom_z + 115 * s
    bottom_x = 455 + 115 * c
    crown_x = bottom_x + 4 * c
    axle_x = crown_x + fork * c + offset * s
    rear_x = -math.sqrt(432.0**2 - drop**2)
    cs, ss = math.cos(math.radians(SEAT)), math.sin(math.radians(SEAT))
    return {
        "bottom_bracket": (0.0, 0.0, 0.0),
        "rear_axle": (rear_x, 0.0, drop),
        "front_axle": (axle_x, 0.0, drop),
        "head_tube_top": (455.0, 0.0, top_z),
        "head_tube_bottom": (bottom_x, 0.0, bottom_z),
        "crown_race": (crown_x, 0.0, crown_z),
        "seat_tube_top": (-430 * cs, 0.0, 430 * ss),
        "rear_contact": (rear_x, 0.0, drop - radius),
        "front_contact": (axle_x, 0.0, drop - radius),
        "saddle": (-720 * cs, 0.0, 720 * ss),
    }


def _free(point: Point, target: str | None = None) -> End:
    return End(point, "square", target, None, 0.0, 0.0, 0.0)


def _mitre(point: Point, target: str, r: float, R: float, angle: float) -> End:
    z = mitre_curve(r, R, angle, 0.0, np.arange(0.0, 360.0, 0.25))
    return End(point, "mitre", target, angle, 0.0, float(np.nanmin(z)), float(np.nanmax(z)))


def _angle(away: Any, axis: Any) -> float:
    away, axis = np.asarray(away, float), np.asarray(axis, float)
    cos = away @ axis / np.linalg.norm(away) / np.linalg.norm(axis)
    return math.degrees(math.acos(cos))


def _tube(
    name: str,
    key: str,
    side: Literal["left", "right"] | None,
    axis: Centreline,
    section: Section,
    start: End,
    end: End,
    cut_by: tuple[str, ...],
) -> Tube:
    return Tube(name, key, side, axis, section, start, end, cut_by, 7.85, "4130", "#4a6b57")


def hardtail_layout() -> Layout:
    """A trail hardtail: threaded-73 shell, 148x12 hub, tapered head tube, butted tubes, bent stays."""
    spec = FrameSpec.model_validate(HARDTAIL)
    n = hardtail_nodes()
    bb: Point = (0.0, 0.0, 0.0)
    tubes: list[Tube] = []

    head = Centreline.through((n["head_tube_bottom"], n["head_tube_top"]), ())
    section = Section((0.0, 115.0), (62.0, 50.0), (62.0, 50.0), (3.2, 3.2))
    tubes.append(
        _tube("head_tube", "head_tube", None, head, section, _free(head.start), _free(head.end), ())
    )
    up = head.tangent(0)

    seat = Centreline.through((bb, n["seat_tube_top"]), ())
    section = Section((0.0, 250.0, 290.0, 430.0), (34.9,) * 4, (34.9,) * 4, (1.0, 1.0, 1.65, 1.65))
    tubes.append(
        _tube(
            "seat_tube", "seat_tube", None, seat, section,
            _mitre(bb, "bottom_bracket", 17.45, 20.0, 90.0), _free(seat.end), ("bottom_bracket",),
        )
    )  # fmt: skip

    top = head.at(32.0)
    down = Centreline.through((bb, point(top)), ())
    s = (0.0, 105.0, 155.0, down.length - 190, down.length - 140, down.length)
    section = Section(s, (38.1,) * 6, (38.1,) * 6, (0.9, 0.9, 0.6, 0.6, 0.9, 0.9))
    tubes.append(
        _tube(
            "down_tube", "down_tube", None, down, section,
            _mitre(bb, "bottom_bracket", 19.05, 20.0, 90.0),
            _mitre(down.end, "head_tube", 19.05, 29.5, _angle(-down.tangent(0), up)),
            ("bottom_bracket", "head_tube", "seat_tube"),
        )
    )  # fmt: skip

    a, b = seat.at(390.0), head.at(82.0)
    axis = Centreline.through((point(a), point(b)), ())
    section = Section((0.0, axis.length), (31.8, 31.8), (31.8, 31.8), (0.8, 0.8))
    tubes.append(
        _tube(
            "top_tube", "top_tube", None, axis, section,
            _mitre(axis.start, "seat_tube", 15.9, 17.45, _angle(axis.tangent(0), seat.tangent(0))),
            _mitre(axis.end, "head_tube", 15.9, 26.7, _angle(-axis.tangent(0), up)),
            ("seat_tube", "head_tube", "down_tube"),
        )
    )  # fmt: skip

    rear = n["rear_axle"]
    start: Point = (0.0, 26.0, 0.0)
    finish: Point = (rear[0] + 26.0, 77.5, rear[2] - 3.0)
    corners: tuple[Point, ...] = (start, (-110.0, 37.0, 15.0), (-300.0, 69.0, 43.0), finish)
    axis = Centreline.through(corners, (180.0, 200.0))
    length = axis.length
    section = Section(
        (0.0, 18.0, length), (30.0, 30.0, 16.0), (17.0, 17.0, 16.0), (1.0, 1.0, 1.0)
    )
    pair = _tube(
        "chainstay_left", "chainstay", "left", axis, section,
        _mitre(start, "bottom_bracket", 8.5, 20.0, 84.3), _free(axis.end, "rear_dropout_left"),
        ("bottom_bracket", "seat_tube"),
    )  # fmt: skip
    tubes += [pair, _right(pair)]

    a = seat.at(360.0)
    start = (float(a[0]), 10.0, float(a[2]))
    finish = (rear[0] + 8.0, 77.5, rear[2] + 26.0)
    axis = Centreline.through((start, (-180.0, 46.0, 320.0), finish), (250.0,))
    section = Section((0.0, axis.length), (16.0, 16.0), (16.0, 16.0), (0.8, 0.8))
    theta = _angle(axis.tangent(0), seat.tangent(0))
    pair = _tube(
        "seatstay_left", "seatstay", "left", axis, section,
        End(start, "mitre", "seat_tube", theta, 7.5, 5.0, 30.0),
        _free(axis.end, "rear_dropout_left"), ("seat_tube",),
    )  # fmt: skip
    tubes += [pair, _right(pair)]

    for key, host, at in (("seatstay_bridge", "seatstay", 150.0), ("chainstay_bridge", "chainstay", 75.0)):
        left = next(t for t in tubes if t.name == f"{host}_left")
        p = left.axis.at(at)
        q = point(p)
        axis = Centreline.through((q, mirrored(q)), ())
        theta = _angle((0, -1, 0), left.axis.tangent(at))
        r = 6.0
        section = Section((0.0, axis.length), (12.0, 12.0), (12.0, 12.0), (1.0, 1.0))
        end = _mitre(q, f"{host}_left", r, 8.0, theta)
        other = End(mirrored(q), "mitre", f"{host}_right", theta, 0.0, end.long_point, end.short_point)
        tubes.append(
            _tube(key, key, None, axis, section, end, other, (f"{host}_left", f"{host}_right"))
        )

    dropouts = tuple(
        Dropout(
            f"rear_dropout_{side}", side, (rear[0], y, rear[2]), 7.0, 30.0, 12.0,
            ((f"chainstay_{side}", "end"), (f"seatstay_{side}", "end")),
        )
        for side, y in (("left", 74.0), ("right", -74.0))
    )  # fmt: skip
    bores = (
        Bore("head_tube", "end", 44.0, 20.0, "ZS44"),
        Bore("head_tube", "start", 56.0, 20.0, "ZS56"),
        Bore("seat_tube", "end", 31.6, 95.0, "31.6 mm"),
    )
    chart = dict.fromkeys(FIGURES)
    shell = Shell("threaded-73", 73.0, 40.0, 33.65)
    return Layout(spec, chart, n, tuple(tubes), shell, dropouts, bores, ())


def _right(tube: Tube) -> Tube:
    """The mirror image of a left tube."""

    def flip(end: End) -> End:
        target = end.target.replace("_left", "_right") if end.target else None
        return End(
            mirrored(end.point), end.cut, target, end.angle, end.offset, end.long_point, end.short_point
        )

    return _tube(
        tube.name.replace("_left", "_right"), tube.key, "right", tube.axis.mirrored(), tube.section,
        flip(tube.start), flip(tube.end),
        tuple(name.replace("_left", "_right") for name in tube.cut_by),
    )  # fmt: skip
