"""Wishes for chart figures that cannot be met, against closed forms."""

from __future__ import annotations

from math import cos, radians, sin, tan

import pytest

from tests.explore.study.faults import FAMILY, FULL, HEAD, REACH, Row, faults, hold, read, row_name

ANGLES = (
    HEAD
    + "vary: {geometry.reach: {from: 440, to: 490}, geometry.head_tube_angle: {from: 63, to: 67}}\n"
)


def both(body: str) -> str:
    """A study in which reach and head tube angle vary."""
    return f"{ANGLES}wishes: {{{body}}}\n"


ROWS: list[Row] = [
    (
        REACH + "wishes: {head_tube_angle: {from: 66}}\n", "contradictory", "wishes.head_tube_angle",
        "{from: 66", "is 65°, whatever varies, and at least 66", "vary geometry.head_tube_angle",
    ),
    (
        REACH + "wishes: {bb_height: {to: 300}}\n", "contradictory", "wishes.bb_height", "{to: 300",
        "is 336 mm, whatever varies, and at most 300",
        "vary geometry.bb_drop or build.rear_wheel.tyre",
    ),
    (
        REACH + "wishes: {wheelbase: {from: 1400}}\n", "contradictory", "wishes.wheelbase",
        "{from: 1400", "within what may vary, and at least 1400", "a wider range for geometry.reach",
    ),
    (
        both("trail: {from: 118, to: 120}, head_tube_angle: {from: 66, to: 67}"), "contradictory",
        "wishes.head_tube_angle", "{from: 66", "contradicts wishes.trail", "build.fork.offset",
    ),
    (
        REACH + "wishes: {travel: {from: 150}}\n", "contradictory", "wishes.travel", "{from: 150",
        "is 140 mm and met by solve_for, line", "vary suspension.travel",
    ),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


def trail(angle: float) -> float:
    """Trail of a wheel's radius, an offset and a head tube angle: the triangle at the front wheel."""
    radius, offset = 372.0, 44.0
    return radius / tan(radians(angle)) - offset / sin(radians(angle))


def test_the_reach_of_a_figure_is_that_of_its_closed_form() -> None:
    low, high = trail(67), trail(63)
    assert read(both(f"trail: {{from: {high - 1:.2f}}}")).wishes
    assert read(both(f"trail: {{to: {low + 1:.2f}}}")).wishes
    message = faults(both(f"trail: {{from: {high + 10:.2f}}}"))[0].message
    assert f"{low:.4g} to {high:.4g} mm" in message


def test_two_wishes_that_agree_are_none_that_contradict() -> None:
    angle = 65.5
    asked = f"trail: {{from: {trail(angle) - 1:.2f}, to: {trail(angle) + 1:.2f}}}"
    assert len(read(both(f"{asked}, head_tube_angle: {{from: 65, to: 66}}")).wishes) == 2


def test_three_wishes_that_contradict_by_the_front_centre() -> None:
    found = faults(
        both(
            "reach: {from: 450, to: 452}, front_centre: {from: 800, to: 801}, "
            "head_tube_angle: {from: 65, to: 65.1}"
        )
    )
    assert [f.code for f in found] == ["contradictory"]
    told = found[0].path + found[0].message
    assert all(name in told for name in ("reach", "front_centre", "head_tube_angle"))


def test_wheel_flop_within_its_closed_form_is_no_contradiction() -> None:
    flop = trail(65) * sin(radians(65)) * cos(radians(65))
    assert read(both(f"wheel_flop: {{from: {flop - 0.5:.2f}, to: {flop + 0.5:.2f}}}")).wishes


def test_a_figure_that_others_settle_cannot_vary() -> None:
    bike = FULL.replace("  reach: 480\n", "  reach: 480\n  effective_top_tube: 618.27\n")
    fault = faults(REACH + "wishes: {checks: all}\n", bike)[0]
    assert (fault.code, fault.path) == ("contradictory", "vary.geometry.reach")
    assert "geometry.effective_top_tube" in fault.message
    assert "leave one" in fault.hint


def test_a_start_beside_what_settles_it_is_told_at_its_line() -> None:
    text = (
        HEAD
        + "vary: {geometry.bb_height: {from: 320, to: 340, start: 330}}\nprefer: {least: mass}\n"
    )
    fault = faults(text)[0]
    assert (fault.code, fault.path) == ("contradictory", "vary.geometry.bb_height")
    assert "with its start put in" in fault.message
    assert fault.place is not None
    assert fault.place.line == 3


def test_a_varied_travel_may_be_wished_within_its_range() -> None:
    text = HEAD + "vary: {suspension.travel: {from: 135, to: 150}}\nwishes: {travel: {from: 145}}\n"
    assert read(text).wishes[0].low == 145
    assert faults(text.replace("from: 145", "from: 155"))[0].path == "wishes.travel"


def test_the_size_is_named_once() -> None:
    text = (
        HEAD
        + "vary: {suspension.points.main_pivot.from_start: {from: 55, to: 95}}\nfor: all sizes\n"
        + "wishes: {trail: {from: 150}}\n"
    )
    found = faults(text, FAMILY)
    assert [f.message.partition(":")[0] for f in found] == ["in size S"]


def test_what_varies_the_top_tube_leaves_the_standover_open() -> None:
    text = HEAD + "vary: {tubes.top_tube.start.below_top: {from: 40, to: 120}}\n"
    assert read(text + "wishes: {standover_mid_tube: {to: 705}}\n").wishes
