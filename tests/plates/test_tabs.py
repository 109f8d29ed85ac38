"""Tabs: where they stand, their hole, and their round end."""

from __future__ import annotations

import math

import numpy as np
import pytest

from frame3d.errors import TubeError
from tests.plates.parts import TAB, bike, plate


def test_a_tab_along_a_round_tube_has_the_outline_that_is_drawn_by_hand() -> None:
    """A plain tube of radius R: the base is straight, where both faces touch it; sides are tangents."""
    tab = plate(TAB, on="top_tube", from_start=200)
    tube = bike(x=TAB).tube("top_tube")
    radius = tube.section.height[0] / 2
    assert len(set(tube.section.height)) == 1
    low = math.sqrt(radius**2 - 2.5**2)
    left, right = tab.outline.outer.vertices[:2]
    assert (left[0], left[1]) == pytest.approx((-20.0, low), abs=1e-6)
    assert (right[0], right[1]) == pytest.approx((20.0, low), abs=1e-6)
    (hole,) = tab.outline.holes
    assert (hole.x, hole.y, hole.diameter) == pytest.approx((0.0, radius + 22, 8.0))
    assert tab.outline.bounds[3] == pytest.approx(radius + 22 + 10)
    assert tab.outline.outer.distance(hole.at) == pytest.approx(10.0)


def test_the_hole_stands_above_the_tubes_surface() -> None:
    tab = plate(TAB)
    tube = bike(x=TAB).tube("down_tube")
    (hole,) = tab.outline.holes
    at = np.array(tab.plane.at(hole.at))
    s = float(tube.axis.nearest(at[None])[0])
    assert s == pytest.approx(260, abs=1e-6)
    far = float(np.linalg.norm(at - tube.axis.at(s)))
    assert far == pytest.approx(float(tube.section.radii_at(s)[0]) + 22, abs=1e-6)
    assert at[2] < tube.axis.at(s)[2], "180 degrees around is below the tube"


def test_a_pair_leaves_its_gap() -> None:
    left, right = bike(brace=TAB | {"gap": 20}).plates
    sides = [
        sorted(p.plane.at((0.0, 0.0), height)[1] for height in (p.low, p.high))
        for p in (left, right)
    ]
    assert sides[0] == pytest.approx([10.0, 15.0])
    assert sides[1] == pytest.approx([-15.0, -10.0])
    assert left.outline == right.outline


def test_tabs_on_a_pair_of_tubes_are_mirror_images() -> None:
    left, right = bike(brace=TAB | {"on": "seatstay", "base": 20, "from_start": 120}).plates
    assert (left.on, right.on) == (("seatstay_left",), ("seatstay_right",))
    (hole,) = left.outline.holes
    x, y, z = left.plane.at(hole.at, left.low)
    assert right.plane.at(hole.at, right.high) == pytest.approx((x, -y, z))


def test_a_tab_across_the_shell_stands_on_an_arc() -> None:
    """The shell's radius from standards; at 90 degrees around the tab points ahead."""
    made = bike(
        brace=TAB
        | {"on": "bottom_bracket", "from_start": 4, "across": True, "angle": 90, "base": 24}
    )
    (tab,), shell = made.plates, made.shell
    assert shell is not None
    assert tab.on == ("bottom_bracket",)
    base = tab.outline.outer.edges[0]
    assert base.is_arc
    assert base.radius == pytest.approx(shell.od / 2, abs=1e-6)
    (hole,) = tab.outline.holes
    assert tab.plane.at(hole.at) == pytest.approx((shell.od / 2 + 22, shell.faces[0] + 4, 0.0))


@pytest.mark.parametrize(
    ("changes", "path", "said"),
    [
        ({"from_start": 5000 / 4}, "from_start", "mm long"),
        ({"gap": 40}, "gap", "beside down_tube"),
        ({"angle": 90, "gap": 10}, "gap", "no mirror images"),
        ({"across": True, "base": 80}, "base", "beside down_tube"),
        ({"base": 4, "height": 1}, "radius", "past the base's corner"),
    ],
)
def test_what_does_not_fit_says_where(changes: dict[str, object], path: str, said: str) -> None:
    with pytest.raises(TubeError) as raised:
        plate(TAB, **changes)
    (fault,) = raised.value.faults
    assert fault.path == f"plates.brace.{path}"
    assert said in fault.message
    assert fault.hint
