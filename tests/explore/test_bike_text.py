"""Designs as parameter files of their own: the same bikes as with --set, comments kept."""

from __future__ import annotations

import pytest

from frame3d.errors import OutputError
from frame3d.explore.bike_text import bike_text
from frame3d.explore.study.read import loads_study
from frame3d.explore.study.study import Study
from frame3d.parameters import loads
from tests.explore.study.faults import FAMILY, FULL, HEAD


def study(vary: str, bike: str = FULL, more: str = "") -> Study:
    text = f"{HEAD}vary: {{{vary}}}\n{more}wishes: {{checks: all}}\n"
    return loads_study(text, "study.yaml", bike, "bike.yaml")


def test_values_change_where_they_stand_and_all_else_stays() -> None:
    one = study(
        "geometry.reach: {from: 440, to: 490}, build.rear_wheel.tyre: [58-622, 61-622], "
        "suspension.sag: {from: 25%, to: 35%}"
    )
    text = bike_text(one, (455.5, "58-622", 27.5))
    spec = loads(text)
    assert spec.geometry.reach == 455.5
    assert spec.build.rear_wheel is not None
    assert spec.build.rear_wheel.tyre == "58-622"
    assert spec.suspension is not None
    assert spec.suspension.sag == pytest.approx(0.275)
    old, new = FULL.splitlines(), text.splitlines()
    assert len(old) == len(new)
    changed = [b for a, b in zip(old, new, strict=True) if a != b]
    assert len(changed) == 3
    assert all("#" in line for line in changed if "sag" in line)


def test_a_comment_says_where_it_comes_from_below_the_line_for_editors() -> None:
    text = bike_text(study("geometry.reach: {from: 440, to: 490}"), (460.0,), ["Found.", "Proved."])
    assert text.splitlines()[:3] == [FULL.splitlines()[0], "# Found.", "# Proved."]
    assert loads(text).geometry.reach == 460


def test_rules_and_single_sizes() -> None:
    one = study(
        "geometry.reach.from: {from: 420, to: 450}, geometry.seat_tube_length.L: {from: 400, to: 440}",
        FAMILY,
        "for: all sizes\n",
    )
    text = bike_text(one, (430.0, 425.0))
    for size, index in (("S", 0), ("L", 2)):
        assert loads(text, size=size).geometry.reach == 430 + 20 * index
    assert loads(text, size="L").geometry.seat_tube_length == 425


def test_a_value_of_one_size_by_rule_moves_the_rule() -> None:
    one = study("geometry.reach: {from: 440, to: 490}", FAMILY, "size: M\n")
    text = bike_text(one, (465.5,))
    assert loads(text, size="M").geometry.reach == 465.5


def test_what_the_file_lacks_is_put_in_with_comments_kept() -> None:
    one = study("tubes.top_tube.start.y: {from: 0, to: 5, start: 1}")
    text = bike_text(one, (2.0,))
    start = loads(text).tubes["top_tube"].start
    assert start is not None
    assert start.y == 2
    assert "# carries the main pivot, behind the seat tube" in text


def test_a_value_that_an_anchor_shares_is_changed_alone_or_told() -> None:
    shared = FULL.replace("wall: 1.6\n", "wall: &thin 1.6\n").replace(
        "wall: 1.4\n", "wall: *thin\n"
    )
    one = study("tubes.top_tube.wall: {from: 1.2, to: 2}", shared)
    spec = loads(bike_text(one, (1.3,)))
    assert (spec.tubes["top_tube"].wall, spec.tubes["down_tube"].wall) == (1.3, 1.6)
    whole = FULL.replace("main_pivot: {od: 33, axle: 15}", "main_pivot: &pivot {od: 33, axle: 15}")
    whole = whole.replace("rocker_rear: {od: 22}", "rocker_rear: *pivot")
    one = study("suspension.pivots.rocker_rear.od: {from: 30, to: 34}", whole)
    with pytest.raises(OutputError, match=r"cannot be written into bike\.yaml"):
        bike_text(one, (31.0,))
