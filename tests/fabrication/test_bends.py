"""A bend table against the tube bent again from it."""

from __future__ import annotations

import csv
import io
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from frame3d.bike.bike import Bike
from frame3d.fabrication.bends import Bend, bends_csv, bends_of
from frame3d.fabrication.tube_facts import facts_of
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from frame3d.tubes.tube import Tube
from tests.fabrication.bikes import demo
from tests.frames import bar, context

Array = NDArray[np.float64]


def bends(layout: Bike, name: str) -> tuple[Tube, float, list[Bend]]:
    bodies = bodies_of(layout.frame)
    tube = layout.tube(name)
    found = facts_of(tube, bodies, Cutting(tube, bodies))
    return tube, found.middle, bends_of(found)


def turned(v: Array, axis: Array, degrees: float) -> Array:
    a = np.radians(degrees)
    out: Array = v * np.cos(a) + np.cross(axis, v) * np.sin(a) + axis * (axis @ v) * (1 - np.cos(a))
    return out


def bent_again(tube: Tube, middle: float, table: list[Bend]) -> Array:
    """Feed, turn the tube in the tool, bend: the axis' end, from its start and the scribed line."""
    p = np.array(tube.axis.start)
    t = tube.axis.tangent(0.0)
    up, across = tube.axis.frame(0.0)
    long = tube.start.long_point
    s = 0.0
    for bend in table:
        p = p + t * (bend.start + long - s)
        phi = np.radians(bend.plane + middle)
        inward = np.cos(phi) * up + np.sin(phi) * across
        axis = np.cross(t, inward)
        centre = p + bend.radius * inward
        p = centre + turned(p - centre, axis, bend.angle)
        t, up, across = (turned(v, axis, bend.angle) for v in (t, up, across))
        s = bend.end + long
    return np.asarray(p + t * (tube.axis.length - s))


CASES: dict[str, Any] = {
    "flat": [{"along": 150, "y": 60, "radius": 100}],
    "s-shaped": [{"along": 100, "y": 40, "radius": 90}, {"along": 300, "y": 60, "radius": 80}],
    "in space": [
        {"along": 100, "y": 40, "rise": 30, "radius": 90},
        {"along": 250, "y": 50, "rise": -40, "radius": 70},
    ],
}


@pytest.mark.parametrize("case", list(CASES))
def test_a_tube_bent_by_the_table_ends_where_it_should(case: str) -> None:
    layout = context({"bow": bar(20.0, (0, 10, 0), (-500, 70, 90), 1.0, bends=CASES[case])})
    tube, middle, table = bends(layout, "bow")
    np.testing.assert_allclose(bent_again(tube, middle, table), tube.axis.end, atol=1e-6)


@pytest.mark.parametrize(
    "name", ["down_tube", "chainstay_left", "chainstay_right", "seatstay_left"]
)
def test_so_does_every_bent_tube_of_the_demo(name: str) -> None:
    tube, middle, table = bends(demo(), name)
    assert table
    np.testing.assert_allclose(bent_again(tube, middle, table), tube.axis.end, atol=1e-6)


def test_one_bend_by_hand() -> None:
    # A corner at (−150, 60) between (0, 0) and (−400, 0): the legs lean by atan(60/150) and
    # atan(60/250), the arc of radius 100 takes 100 tan(angle / 2) of each.
    bow = bar(20.0, (0, 0, 0), (-400, 0, 0), 1.0, bends=[{"along": 150, "y": 60, "radius": 100}])
    layout = context({"bow": bow})
    _, _, (bend,) = bends(layout, "bow")
    first, second = np.degrees(np.arctan2(60, 150)), np.degrees(np.arctan2(60, 250))
    assert bend.angle == pytest.approx(first + second)
    reach = 100 * np.tan(np.radians(bend.angle / 2))
    assert bend.start == pytest.approx(np.hypot(150, 60) - reach)
    assert bend.end - bend.start == pytest.approx(100 * np.radians(bend.angle))
    assert abs(bend.plane) == pytest.approx(90.0)  # sideways, from the top line
    assert bend.inside == "right"  # it bows to the left


def test_the_table_as_csv() -> None:
    _, _, table = bends(demo(), "chainstay_left")
    rows = list(csv.DictReader(io.StringIO(bends_csv(table).decode())))
    assert [row["bend"] for row in rows[:-1]] == ["1", "2"]
    assert rows[1]["radius_mm"] == "180.00"
    assert float(rows[1]["plane_from_bend_before_deg"]) == pytest.approx(180.0, abs=2.0)
