"""Where features are measured: from cut ends, around, numbered."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from scipy.special import ellipeinc

from frame3d.bike.bike import Bike
from frame3d.fabrication.on_tubes.marks import Mark, marks_of
from frame3d.fabrication.tube_facts import facts_of
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.featured import featured, one_tube


def marks(bike: Bike) -> list[Mark]:
    bodies = bodies_of(bike.frame)
    return marks_of(bike, [facts_of(t, bodies, Cutting(t, bodies)) for t in bike.tubes])


@cache
def all_marks() -> list[Mark]:
    return marks(featured())


def one(feature: dict[str, Any], **tube: Any) -> Mark:
    (mark,) = marks(one_tube(feature, **tube))
    return mark


def test_left_and_right_share_their_numbers_and_no_others_do() -> None:
    by_number: dict[int, set[str]] = {}
    for mark in all_marks():
        by_number.setdefault(mark.number, set()).add(mark.label)
    assert sorted(by_number) == list(range(1, len(by_number) + 1))
    assert all(len(labels) == 1 for labels in by_number.values())
    rack = [mark for mark in all_marks() if mark.feature.name == "rack"]
    assert [mark.feature.side for mark in rack] == ["left", "right"]
    assert {mark.around_text for mark in rack} == {"90° from top to left", "90° from top to right"}


def test_lengths_are_those_from_the_cut_ends() -> None:
    bike = featured()
    bodies = bodies_of(bike.frame)
    for mark in all_marks():
        cutting = Cutting(mark.tube, bodies)
        assert mark.from_start == pytest.approx(mark.s - cutting.long_point("start"))
        assert mark.from_start + mark.from_end == pytest.approx(cutting.cut_length)
    cage = [mark for mark in all_marks() if mark.feature.name == "cage"]
    assert [mark.s for mark in cage] == [308.0, 372.0]
    assert [mark.name for mark in cage] == ["cage 1", "cage 2"]


@pytest.mark.parametrize("angle", [-135.0, -30.0, 0.0, 60.0, 170.0, 250.0])
def test_around_a_round_tube_it_is_an_arc(angle: float) -> None:
    mark = one({"kind": "vent", "from_start": 150, "angle": angle}, od=38.0)
    turn = (angle + 180.0) % 360.0 - 180.0
    assert mark.angle == pytest.approx(turn)
    assert mark.around == pytest.approx(np.radians(turn) * 19.0, abs=1e-6)


def test_around_an_oval_it_is_the_ellipse_s_arc() -> None:
    """Semi-axes a up, b aside; the parameter at a direction t is atan(a/b tan t), and the arc from the top
    b E(φ | 1 − a²/b²) (Abramowitz and Stegun 17.3.3).
    """
    mark = one({"kind": "vent", "from_start": 150, "angle": 50.0}, od={"height": 46, "width": 30})
    a, b = 23.0, 15.0
    phi = np.arctan(a / b * np.tan(np.radians(50.0)))
    assert mark.around == pytest.approx(b * ellipeinc(phi, 1 - a**2 / b**2), abs=1e-4)
    assert mark.phi == pytest.approx(np.degrees(phi), abs=1e-6)


def test_the_top_and_the_bottom_are_said_plainly() -> None:
    said = {
        a: one({"kind": "vent", "from_start": 150, "angle": a}).around_text for a in (0, 180, -45)
    }
    assert said == {0: "top", 180: "bottom", -45: "45° from top to right"}


def test_a_clamp_slot_s_edge_is_open_where_the_tube_ends_and_has_nothing_within_its_hole() -> None:
    (slot,) = [mark for mark in all_marks() if mark.feature.spec.kind == "clamp_slot"]
    end = slot.tube.axis.length
    assert slot.s == pytest.approx(end - 32.0)  # its hole's middle, 32 mm below the top
    assert slot.angle == 180.0
    assert slot.around_text == "rear"
    edge = np.concatenate([outline.s for outline in slot.cut])
    assert edge.max() <= end
    assert edge.max() > end - 0.2
    assert edge.min() == pytest.approx(slot.s - 3.0, abs=0.02)
    beside = np.concatenate([outline.phi for outline in slot.cut])[edge > slot.s + 4.0]
    r = slot.tube.section.height_at(end) / 2  # sides of a slot of 2.5 mm, 1.25 mm from its middle
    away = np.abs(np.radians(beside - slot.phi + 180.0) % (2 * np.pi) - np.pi)
    np.testing.assert_allclose(r * np.sin(away), 1.25, atol=1e-6)


def test_sizes_are_said_in_words() -> None:
    said = {mark.feature.name: mark.what for mark in all_marks()}
    assert said == {
        "slot": "slot 2.5 to the top, hole 6",
        "cage": "boss M5, hole 9",
        "under": "boss M6, hole 10",
        "hose_in": "port 7 × 14, turned 10°, leaning 30°",
        "guides": "guide for 5.5, 15 long",
        "hose_out": "port 6 × 9",
        "drain": "vent 4",
        "rack": "eye M5, 6 wide",
        "stop": "stop for 5, 14 long",
        **{name: what for name, what in said.items() if name.startswith("bottle_")},
    }


def test_what_stands_on_a_tube_covers_its_length_and_width() -> None:
    mark = one({"kind": "guide", "from_start": 150, "length": 20, "diameter": 9}, od=40.0)
    assert mark.cut == ()
    assert mark.covered is not None
    assert (mark.covered.s.min(), mark.covered.s.max()) == pytest.approx((140.0, 160.0))
    assert np.ptp(mark.covered.phi) == pytest.approx(2 * np.degrees(np.arctan(4.5 / 20.0)))


def test_bosses_that_a_bottle_asks_for_are_marked_as_not_joined() -> None:
    bike = featured({}, bottles=[{"on": "down_tube", "from_start": 290}])
    found = marks(bike)
    assert [mark.name for mark in found] == ["bottle 1 1", "bottle 1 2"]
    assert all(mark.feature.implied and mark.cut for mark in found)
