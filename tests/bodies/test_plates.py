"""Outlines of plates for clearances: prisms that hold them, fine bars along their edges."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.body import Body
from frame3d.bodies.frame.plates import plates
from frame3d.bodies.placement import Placement
from frame3d.bodies.shapes import Prism
from tests.bodies.distance import signed
from tests.plates.parts import GUSSET, OWN, TAB, bike

PLATES = {
    "gusset": GUSSET | {"edge_radius": 60, "hole": 6},
    "tab": TAB | {"gap": 18},
    "own": OWN | {"turn": 30, "y": 60, "pair": True},
}
BIKE = bike(**PLATES)
BODIES = {body.name: body for body in plates(Placement(BIKE))}
NAMES = [plate.name for plate in BIKE.plates]


def least(body: Body, points: np.ndarray) -> np.ndarray:
    return np.min([signed(shape, points) for shape in body.shapes], axis=0)


@pytest.mark.parametrize("name", NAMES)
def test_prisms_hold_the_plate_and_little_more(name: str) -> None:
    """Points of the edge lie on or in them; points a little outside of it do not."""
    plate = next(one for one in BIKE.plates if one.name == name)
    body = BODIES[name]
    assert all(isinstance(shape.shape, Prism) for shape in body.shapes)
    edge = plate.outline.outer.points(1e-4)
    for height in (plate.low, plate.high):
        places = plate.plane.place(np.column_stack([edge, np.full(len(edge), height)]))
        deep = least(body, places)
        assert deep.max() < 1e-3
        assert deep.min() > -0.05
    above = plate.plane.place(np.array([[*plate.outline.centroid, plate.high + 1.0]]))
    assert least(body, above) == pytest.approx(1.0, abs=1e-6)


@pytest.mark.parametrize("name", NAMES)
def test_bars_lie_in_the_plate_along_its_edges(name: str) -> None:
    plate = next(one for one in BIKE.plates if one.name == name)
    body = BODIES[name]
    assert len(body.tubes) >= 2 * 3
    for tube in body.tubes:
        s = np.linspace(0.0, tube.axis.length, 9)
        radius = tube.section.height[0] / 2
        local = plate.plane.of(tube.axis.points(s))
        assert local[:, 2].min() - radius > plate.low - 1e-9
        assert local[:, 2].max() + radius < plate.high + 1e-9
        for x, y, _ in local:
            assert plate.outline.outer.contains((float(x), float(y)))
            assert plate.outline.outer.distance((float(x), float(y))) == pytest.approx(
                radius, abs=radius
            )


def test_left_and_right_are_mirror_images() -> None:
    left, right = BODIES["own_left"], BODIES["own_right"]
    random = np.random.default_rng(2)
    points = random.uniform(-100, 300, (200, 3))
    assert least(left, points) == pytest.approx(least(right, points * [1, -1, 1]), abs=1e-6)


def test_plates_say_where_they_are_in_the_file() -> None:
    body = BODIES["tab_left"]
    assert (body.part, body.family) == ("plates.tab", "frame")
    assert "holes" in body.note
