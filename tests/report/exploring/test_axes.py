"""Axes: their names, digits, and values of designs on them."""

from __future__ import annotations

from frame3d.explore.study.quantities import gap_of, quantity, ride_figure, stiffness_in
from frame3d.report.exploring.axes import Axis, axes_of, columns_of, quantity_title, stop_title
from frame3d.report.texts import texts
from tests.report.exploring.samples import evaluation, study

SAY = texts("en")


def axes() -> dict[str, Axis]:
    return {axis.key: axis for axis in axes_of(study(), [evaluation(i) for i in range(30)], SAY)}


def test_values_come_first_then_preferences_then_wishes() -> None:
    assert [(axis.key, axis.role) for axis in axes().values()] == [
        ("geometry.reach", "varied"),
        ("geometry.head_tube_angle", "varied"),
        ("build.fork.offset", "varied"),
        ("build.rear_wheel.tyre", "varied"),
        ("wheelbase", "preference"),
        ("mass", "preference"),
        ("trail", "wish"),
    ]


def test_a_preference_keeps_the_limits_of_a_wish_for_the_same() -> None:
    assert (axes()["wheelbase"].low, axes()["wheelbase"].high) == (None, 1240)
    assert (axes()["trail"].low, axes()["trail"].high) == (115, 130)


def test_titles_and_units() -> None:
    found = axes()
    assert (found["geometry.reach"].title, found["geometry.reach"].unit) == ("Reach", "mm")
    assert found["build.rear_wheel.tyre"].title == "Build, rear wheel, tyre"
    assert found["build.rear_wheel.tyre"].short == "Rear wheel, tyre"
    assert found["mass"].short == "Frame mass"


def test_digits_suit_the_range_and_the_list() -> None:
    found = axes()
    assert found["geometry.head_tube_angle"].with_unit(65.1234, SAY) == "65.12°"
    assert found["build.fork.offset"].shown(44.0, SAY) == "44"
    assert found["mass"].with_unit(None, SAY) == "–"


def test_names_of_a_list_stand_at_their_places() -> None:
    tyre = axes()["build.rear_wheel.tyre"]
    assert tyre.names == ("58-622", "61-622")
    assert tyre.number("61-622") == 1.0
    assert tyre.shown(1.0, SAY) == "61-622"
    assert tyre.number("40-622") is None
    columns = columns_of(tuple(axes().values()), [evaluation(0), evaluation(1)])
    assert columns[3] == (0.0, 1.0)
    assert columns[0] == (430.0, 467.082)


def test_what_is_not_known_is_none() -> None:
    some = [evaluation(i) for i in range(80)]
    without = next(i for i, one in enumerate(some) if "mass" not in one.values)
    assert columns_of(tuple(axes().values()), some)[5][without] is None


def test_quantities_in_words() -> None:
    said = quantity_title(quantity("anti_squat", at="sag", gear=(32, 24)), SAY)
    assert said == "Anti-squat, at sag, in 32/24"
    assert quantity_title(quantity("leverage", at=60.0), SAY).endswith(", at 60 mm of travel")
    assert quantity_title(quantity("trail", stance="sag"), SAY) == "Trail, at sag"
    gap = quantity_title(gap_of("rear_tyre_to_frame"), SAY)
    assert gap == SAY("check.rear_tyre_to_frame")
    assert quantity_title(ride_figure("springs.sag_share"), SAY) == "Springs, sag share"
    assert quantity_title(stiffness_in("head_twist"), SAY) == "Stiffness (Head tube, twist)"


def test_what_stops_designs_in_words() -> None:
    assert stop_title("trail", study(), SAY) == "Trail"
    known = SAY("check.rear_tyre_to_frame")
    assert stop_title("checks.rear_tyre_to_frame", study(), SAY) == known
    assert stop_title("no-solution", study(), SAY) == "No solution"
