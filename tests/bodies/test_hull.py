"""Bars that contain a tube: all of its outside, and hardly more."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bodies.frame.hull import RISE, hull_of
from frame3d.bodies.motion.mounts import FRAME, Mount
from frame3d.tubes.tube import Tube
from tests.bikes import hardtail_layout
from tests.bodies.distance import Array
from tests.clearance.brute import signed
from tests.frames import bar, context


def tube(od: Any, **more: Any) -> Tube:
    return context({"one": bar(od, (0, 0, 0), (300, 40, 120), 1.0, **more)}).tube("one")


def outside(of: Tube, count: int = 1200) -> Array:
    """Random points of the side between first and last metal."""
    rng = np.random.default_rng(4)
    low, high = of.start.long_point, of.axis.length - of.end.long_point
    s, turn = rng.uniform(low, high, count), rng.uniform(0, 2 * np.pi, count)
    at, up, side = of.axis.frames(s)
    y, x = of.section.place(np.degrees(turn), s)
    return np.asarray(at + y[:, None] * up + x[:, None] * side)


def depth(of: Tube, points: Array) -> Array:
    """Signed distance to the nearest of the tube's bars; flat-ended, tapering evenly."""
    found = []
    for shape in hull_of(of, FRAME):
        local = (points - np.array(shape.origin)) @ np.array(shape.axes).T
        found.append(signed(shape.shape, local))
    return np.min(found, axis=0)


BEND = {"bends": [{"along": 150, "y": 60, "rise": 20, "radius": 120}]}
TUBES: dict[str, tuple[Any, dict[str, Any]]] = {
    "round": (30.0, {}),
    "tapered": ({"start": 34.0, "end": 22.0}, {}),
    "bent": (24.0, BEND),
    "oval": ({"height": 30.0, "width": 20.0}, {}),
    "wide oval": ({"height": 14.0, "width": 34.0}, {}),
    "oval to round": ({"start": {"height": 30.0, "width": 17.0}, "end": 16.0}, {}),
    "upright oval to level": (
        {"start": {"height": 30.0, "width": 20.0}, "end": {"height": 18.0, "width": 26.0}}, {},
    ),
    "bent oval": ({"height": 30.0, "width": 20.0}, BEND),
    "bent rectangle": ({"height": 30.0, "width": 18.0, "corner": 4.0}, BEND),
    "tapered D": (
        {"start": {"height": 40.0, "width": 30.0, "corner": 5.0, "flat": "below"},
         "end": {"height": 36.0, "width": 28.0, "corner": 4.0, "flat": "below"}}, {},
    ),
    "bent and tapered rectangle": (
        {"start": {"height": 30.0, "width": 18.0, "corner": 4.0},
         "end": {"height": 20.0, "width": 20.0, "corner": 9.0}}, BEND,
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", TUBES)
def test_no_metal_is_outside_of_its_bars(kind: str) -> None:
    od, more = TUBES[kind]
    assert depth(tube(od, **more), outside(tube(od, **more))).max() <= 1e-6


EVEN = ("round", "tapered", "bent")
"""Ovals may need more than `MOST` bars, so that theirs stand out further."""


@pytest.mark.parametrize("kind", EVEN)
def test_bars_stand_out_by_no_more_than_is_allowed(kind: str) -> None:
    """Points a little further out than `RISE` on either count, along and around, are outside."""
    od, more = TUBES[kind]
    one = tube(od, **more)
    rng = np.random.default_rng(5)
    s = rng.uniform(10.0, one.axis.length - 10.0, 600)
    turn = rng.uniform(0, 2 * np.pi, 600)
    at, up, side = one.axis.frames(s)
    a, b = one.section.radii_at(s)
    normal = (np.cos(turn) / a)[:, None] * up + (np.sin(turn) / b)[:, None] * side
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    points = at + (a * np.cos(turn))[:, None] * up + (b * np.sin(turn))[:, None] * side
    assert depth(one, points + 2.5 * RISE * normal).min() > 0


@pytest.mark.parametrize("kind", ["bent rectangle", "tapered D", "bent and tapered rectangle"])
def test_prisms_stand_out_by_no_more_than_is_allowed(kind: str) -> None:
    """Points that lie further out than a taper's `RISE` twice, and a bend's once, are outside."""
    one = tube(TUBES[kind][0], **TUBES[kind][1])
    points = outside(one, 600)
    centre, up, side = one.axis.frames(one.axis.nearest(points))
    u, v = np.sum((points - centre) * up, axis=1), np.sum((points - centre) * side, axis=1)
    s, step = one.axis.nearest(points), 1e-4
    level = one.section.level(u, v, s)
    rise = np.stack([one.section.level(u + step, v, s), one.section.level(u, v + step, s)])
    slope = (rise - level) / step
    out = points + 3.5 * RISE * (slope[0][:, None] * up + slope[1][:, None] * side)
    inner = (s > 10.0) & (s < one.axis.length - 10.0)
    assert depth(one, out[inner]).min() > 0


def test_stays_of_a_bike() -> None:
    for stay in hardtail_layout().tubes:
        assert depth(stay, outside(stay, 200)).max() <= 1e-6, stay.name


def test_one_bar_is_enough_for_a_straight_round_tube() -> None:
    mount = Mount("link")
    (one,) = hull_of(tube(30.0), mount)
    assert one.mount is mount
    assert len(hull_of(tube(24.0, **BEND), mount)) > 5
