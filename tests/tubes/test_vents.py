"""Vents: every hollow tube's inside is connected to the outside, and no hole goes elsewhere."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.tubes.cuts.vents import INSIDE, VENT, Hole, vents
from frame3d.tubes.frame import Frame
from frame3d.tubes.hardware import Housing
from frame3d.tubes.tube import Tube
from tests.bikes import hardtail_layout
from tests.frames import bar, context
from tests.linked import CHAINSTAY, ROCKER, ROCKER_TUBES, SEATSTAY, SINGLE, layout

BIKES = {
    "hardtail": hardtail_layout,
    "rocker": lambda: layout(ROCKER_TUBES, ROCKER),
    "housing in the seat tube": lambda: layout(
        CHAINSTAY + SEATSTAY, SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}")
    ),
}


def in_bore(tube: Tube, points: np.ndarray) -> np.ndarray:
    """Whether points lie in a tube's inside, between its axis's ends."""
    s, _ = tube.axis.approach(points)
    at, up, side = tube.axis.frames(s)
    a, b = tube.section.radii_at(s, 1.0)
    d = points - at
    ring = (np.sum(d * up, axis=1) / a) ** 2 + (np.sum(d * side, axis=1) / b) ** 2
    return (ring < 1) & (s > 0) & (s < tube.axis.length)


def along(hole: Hole, count: int = 400) -> np.ndarray:
    return np.asarray(hole.axis.points(np.linspace(0.0, hole.axis.length, count)))


def opened(frame: Frame) -> set[str]:
    """Tubes whose inside is joined to the outside, through holes and through each other.

    An end that is square and sits on nothing is open; a hole joins the insides that it runs through,
    and an end of it that is in no inside is outside. The shell and housings are open at their faces.
    """
    hollow = [tube for tube in frame.tubes if not tube.section.is_solid]
    links: list[set[str]] = []
    for vent in vents(frame):
        points = along(vent.hole)
        joined = {tube.name for tube in hollow if in_bore(tube, points).any()}
        ends = points[[0, -1]]
        free = ~np.any([in_bore(tube, ends) for tube in hollow], axis=0)
        if free.any():
            joined.add("outside")
        links.append(joined)
    found = {"outside"}
    for tube in hollow:
        if any(end.cut == "square" and end.target is None for end in (tube.start, tube.end)):
            found.add(tube.name)
    grown = True
    while grown:
        more = found.union(*(joined for joined in links if joined & found))
        grown = more != found
        found = more
    return found


@pytest.mark.parametrize("name", BIKES)
def test_no_tube_is_closed(name: str) -> None:
    frame = BIKES[name]().frame
    hollow = {tube.name for tube in frame.tubes if not tube.section.is_solid}
    assert hollow <= opened(frame)


@pytest.mark.parametrize("name", BIKES)
def test_holes_are_small_and_named_after_what_they_go_through(name: str) -> None:
    frame = BIKES[name]().frame
    known = {tube.name: tube for tube in frame.tubes}
    housings = {part.name for part in frame.pivots if isinstance(part, Housing)}
    for vent in vents(frame):
        assert 1 <= vent.hole.diameter <= VENT
        assert vent.hole.axis.is_straight
        for body in vent.bodies:
            assert body in known or body in housings or body == "bottom_bracket"
            if body in known:
                tube = known[body]
                _, far = tube.axis.approach(along(vent.hole))
                assert far.min() < max(*tube.section.height, *tube.section.width) / 2


def test_left_and_right_are_vented_alike() -> None:
    frame = hardtail_layout().frame
    holes = [along(vent.hole, 2) for vent in vents(frame)]
    flip = np.array([1.0, -1.0, 1.0])
    for hole in holes:
        image = hole * flip
        off = [
            min(np.abs(other - image).max(), np.abs(other - image[::-1]).max()) for other in holes
        ]
        assert min(off) < 1e-6


def test_open_ends_and_bars_need_none() -> None:
    frame = context(
        {
            "mast": bar(40.0, (0, 0, 0), (0, 0, 400), 2.0),
            "beam": bar(25.0, {"on": "mast", "from_start": 200.0}, (300, 0, 260), 1.5),
            "rod": bar(
                10.0,
                {"on": "mast", "from_start": 80.0},
                {"on": "beam", "from_start": 100.0},
                "solid",
            ),
        }
    ).frame
    assert vents(frame) == ()


def test_a_hole_by_hand() -> None:
    hole = Hole.through((10.0, 0.0, 5.0), (0.0, 0.0, 3.0), 2.0, 7.0, 4.0)
    assert hole.axis.start == (10.0, 0.0, 3.0)
    assert hole.axis.end == (10.0, 0.0, 12.0)
    with pytest.raises(ValueError, match="no direction"):
        Hole.through((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), 1.0, 1.0, 4.0)


@pytest.mark.parametrize(("od", "closes"), [(32.0, True), (20.0, False)])
def test_a_housing_that_closes_its_tube_has_a_hole_along_it(od: float, closes: bool) -> None:
    """The seat tube is 31.7 mm wide inside; a housing of 32 leaves nothing open, one of 20 does."""
    section = SINGLE.replace("[10, 75]", "{on: seat_tube, from_start: 90}")
    bike = layout(CHAINSTAY + SEATSTAY, section, f"{{main_pivot: {{od: {od:g}}}}}")
    found = [v for v in vents(bike.frame) if v.bodies == ("housing_main_pivot",)]
    assert len(found) == closes
    seat = bike.tube("seat_tube").axis
    for vent in found:
        s, far = seat.approach(along(vent.hole, 2))
        assert far == pytest.approx([0, 0], abs=1e-6)
        assert sorted(s) == pytest.approx([90 - od / 2 - INSIDE, 90 + od / 2 + INSIDE])
