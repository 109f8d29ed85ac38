"""Derivatives by sizes of tubes against differences of whole frames."""

from __future__ import annotations

import dataclasses

import pytest

from frame3d.stiffness.gains import Gain, gains_of
from frame3d.stiffness.of_bike import Stiffness, stiffness_of
from tests.stiffness.test_from_bike import demo
from tests.stiffness.test_of_bike import result


def changed(key: str, outside: float, wall: float) -> Stiffness:
    """The full demo with one tube's sizes changed by hand, all else as it is [mm]."""
    bike = demo("trail_full_140")
    tubes = tuple(
        dataclasses.replace(
            tube,
            section=dataclasses.replace(
                tube.section,
                height=tuple(v + outside for v in tube.section.height),
                width=tuple(v + outside for v in tube.section.width),
                wall=tuple(v + wall for v in tube.section.wall),
            ),
        )
        if tube.key == key
        else tube
        for tube in bike.tubes
    )
    frame = dataclasses.replace(bike.frame, tubes=tubes)
    return stiffness_of(dataclasses.replace(bike, frame=frame))


@pytest.mark.parametrize("key", ["down_tube", "pivot_strut", "top_tube"])
def test_gains_are_derivatives(key: str) -> None:
    gains = {
        (gain.tube, gain.size): gain for gain in gains_of(stiffness_of(demo("trail_full_140")))
    }
    step = 1e-4
    for size, sides in (
        ("od", (changed(key, step, 0.0), changed(key, -step, 0.0))),
        ("wall", (changed(key, 0.0, step), changed(key, 0.0, -step))),
    ):
        gain = gains[key, size]
        up, down = sides
        for a, b in zip(up.cases, down.cases, strict=True):
            slope = 100 * gain.more * (a.stiffness - b.stiffness) / (2 * step) / a.stiffness
            assert gain.percent[a.case.key] == pytest.approx(slope, rel=1e-3, abs=1e-5)
    thick = changed(key, 0.0, 0.1).model.bike.frame.masses.parts[key]
    plain = demo("trail_full_140").frame.masses.parts[key]
    assert gains[key, "wall"].grams == pytest.approx(thick - plain, rel=0.1)


def test_a_seatposts_bore_stays_where_the_tube_grows() -> None:
    """So +1 mm of outside thickens the wall by 0.5 mm around the post, and +0.1 of wall does nothing."""
    gains = {
        (gain.tube, gain.size): gain for gain in gains_of(stiffness_of(demo("trail_full_140")))
    }
    assert gains["seat_tube", "od"].grams > 15
    assert gains["seat_tube", "wall"].grams < 6


def test_solid_bars_have_no_wall_and_a_gram_costs_what_it_gives() -> None:
    gains = gains_of(result("hardtail"))
    assert all(gain.grams > 0 for gain in gains)
    one = Gain("t", "od", 1.0, 5.0, {"c": 10.0})
    assert one.per_gram("c") == 2.0
    assert dataclasses.replace(one, grams=0.0).per_gram("c") == 0.0
    down = next(g for g in gains if (g.tube, g.size) == ("down_tube", "od"))
    assert down.percent["head_sideways"] == pytest.approx(5.6, abs=0.3)


SENSITIVE = (
    ("head_sideways", {"down_tube": (5.6, 9.3), "top_tube": (1.6, 2.6), "seat_tube": (1.0, 0.9)}),
    ("head_twist", {"down_tube": (4.4, 7.2), "top_tube": (3.2, 4.9)}),
    ("bottom_bracket_sideways", {"chainstay": (11.1, 5.8), "seatstay": (2.5, 1.2)}),
    ("rear_sideways", {"chainstay": (12.4, 5.2), "seatstay": (3.5, 1.8)}),
    ("front_sideways", {"down_tube": (4.6, 7.5), "top_tube": (3.1, 4.8)}),
)
"""Per cent for +1 mm of outside and for +0.1 mm of wall of the hardtail, by whole frames of another beam
model (stiffer dropouts' arms), made once; its differences are not slopes, ours are."""


@pytest.mark.parametrize(("case", "tubes"), SENSITIVE, ids=[one[0] for one in SENSITIVE])
def test_gains_of_the_hardtail(case: str, tubes: dict[str, tuple[float, float]]) -> None:
    found = {(gain.tube, gain.size): gain for gain in gains_of(result("hardtail"))}
    for key, (outside, wall) in tubes.items():
        assert found[key, "od"].percent[case] == pytest.approx(outside, rel=0.12, abs=0.06)
        assert found[key, "wall"].percent[case] == pytest.approx(wall, rel=0.12, abs=0.06)
    if case == "head_sideways":
        for key in ("chainstay", "seatstay"):
            assert found[key, "od"].percent[case] < 0.4
            assert found[key, "wall"].percent[case] < 0.4
