"""What varies: ranges, steps, lists, percentages, and the faults of each."""

from __future__ import annotations

import pytest

from frame3d.explore.study.study import Varied
from tests.explore.study.faults import FAMILY, FULL, Row, faults, hold, read, row_name, vary

ROWS: list[Row] = [
    (
        vary("geometry.raech: {from: 440, to: 490}"), "unknown-key", "vary.geometry.raech",
        "geometry.raech", "nor can it", "did you mean geometry.reach?",
    ),
    (
        vary("suspension.points.main_pivot.from_strat: {from: 55, to: 95}"), "unknown-key",
        "vary.suspension.points.main_pivot.from_strat", "suspension.points", "nor can it",
        "did you mean suspension.points.main_pivot.from_start",
    ),
    (
        vary("build.rear_wheel.teeth: {from: 28, to: 36}"), "unknown-key",
        "vary.build.rear_wheel.teeth", "build.rear_wheel.teeth", "nor can it",
        "build.chainring.teeth",
    ),
    (
        vary("geometry.stack: {from: 600, to: 640}"), "missing-key", "vary.geometry.stack",
        "geometry.stack", "has nothing at geometry.stack", "say with start",
    ),
    (
        vary("geometry: {from: 440, to: 490}"), "wrong-type", "vary.geometry", "geometry",
        "a block of keys", "vary geometry.reach",
    ),
    (
        vary("build.cassette.cogs: [10, 12]"), "wrong-type", "vary.build.cassette.cogs",
        "build.cassette.cogs", "a list", "vary build.cassette.cogs.0",
    ),
    (
        vary("material: {from: 440, to: 490}"), "wrong-type", "vary.material", "{from",
        '"6061-T6" in the bike\'s file, which is no number', "a list of names",
    ),
    (
        vary("geometry.reach: {from: 490, to: 440}"), "inconsistent", "vary.geometry.reach", "{from",
        "is empty", "{from: 440, to: 490}",
    ),
    (
        vary("geometry.reach: {from: 440, to: 440}"), "inconsistent", "vary.geometry.reach", "{from",
        "is empty", "a greater to",
    ),
    (
        vary("geometry.reach: {from: 440, to: 490, step: 60}"), "out-of-range",
        "vary.geometry.reach.step", "60}", "steps of 60", "up to 50",
    ),
    (
        vary("geometry.reach: {from: 440, to: 490, step: -5}"), "out-of-range",
        "vary.geometry.reach.step", "-5}", "steps of -5", "above 0",
    ),
    (
        vary("geometry.reach: {from: 440}"), "missing-key", "vary.geometry.reach.to", "{from",
        "missing", "give from and to",
    ),
    (
        vary("geometry.reach: {from: 440mm, to: 490}"), "wrong-unit", "vary.geometry.reach.from",
        "440mm", "has a unit", "a number",
    ),
    (
        vary("geometry.reach: {from: 4, to: 490}"), "out-of-range", "vary.geometry.reach.from",
        "4, to", "4 cannot stand at geometry.reach: 4 is below 50 mm", "from 50 to 800 mm",
    ),
    (
        vary("geometry.reach: 440"), "wrong-type", "vary.geometry.reach", "440}",
        "440 stands where", "{from: 430, to: 450}",
    ),
    (
        vary("geometry.reach: {form: 440, to: 490}"), "unknown-key", "vary.geometry.reach.form",
        "form: 440", "unknown key", "did you mean from",
    ),
    (
        vary("geometry.reach: []"), "wrong-type", "vary.geometry.reach.values", "[]", "is empty",
        "a list of values",
    ),
    (
        vary("geometry.reach: {values: [1], from: 2}"), "inconsistent", "vary.geometry.reach.from",
        "2}", "beside a list", "a list of values",
    ),
    (
        vary("build.rear_wheel.tyre: [58-622, 61]"), "wrong-type", "vary.build.rear_wheel.tyre",
        "[58", "numbers stand beside names", "a list of numbers, or a list of names",
    ),
    (
        vary("build.rear_wheel.tyre: [58-622, 58-622]"), "duplicate-key",
        "vary.build.rear_wheel.tyre.values.1", "58-622]", "twice", "take one out",
    ),
    (
        vary("build.rear_wheel.tyre: [58-622, 61-621]"), "unknown-size",
        "vary.build.rear_wheel.tyre.values.1", "61-621", "no tyre has a bead seat", "61-622",
    ),
    (
        vary("build.rear_wheel.tyre: [true]"), "wrong-type", "vary.build.rear_wheel.tyre.values.0",
        "true", "neither a number nor a name", "e.g. [58-622",
    ),
    (
        vary("suspension.sag: {from: 25, to: 35}"), "wrong-type", "vary.suspension.sag", "{from",
        "percentages are wanted", "{from: 25%, to: 35%}",
    ),
    (
        vary("geometry.reach: {from: 25%, to: 35%}"), "wrong-type", "vary.geometry.reach", "{from",
        "plain numbers are wanted", "without %",
    ),
    (
        vary("suspension.sag: {from: 25%, to: 35}"), "inconsistent", "vary.suspension.sag", "{from",
        "mixed", "all of them",
    ),
    (
        vary("build.chainring.teeth: {from: 28, to: 36}"), "wrong-type",
        "vary.build.chainring.teeth", "{from", "no whole number", "step: 1",
    ),
    (
        vary("settings.low.geometry.reach: {from: 28, to: 36}"), "not-allowed",
        "vary.settings.low.geometry.reach", "settings", "finished frame", "under setting",
    ),
]  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=row_name)
def test_fault(row: Row) -> None:
    hold(row)


def only(body: str, bike: str = FULL, more: str = "wishes: {checks: all}\n") -> Varied:
    return read(vary(body, more), bike).varied[0]


def test_a_range_starts_at_the_files_own_value() -> None:
    found = only("suspension.points.main_pivot.from_start: {from: 55, to: 95, step: 5}")
    assert found == Varied("suspension.points.main_pivot.from_start", 55, 95, 5, (), 73)


def test_a_list_of_names_and_one_of_numbers() -> None:
    names = only("build.rear_wheel.tyre: [58-622, 61-622]")
    assert (names.values, names.start) == (("58-622", "61-622"), "61-622")
    numbers = only("build.crank.length: [165, 170, 175]")
    assert (numbers.values, numbers.start) == ((165.0, 170.0, 175.0), 170.0)


def test_percentages_stay_percentages() -> None:
    found = only("suspension.sag: {from: 25%, to: 35%, step: 2.5%}")
    assert (found.low, found.high, found.step, found.start) == (25, 35, 2.5, 30)
    assert found.text(27.5) == "27.5%"


def test_whole_numbers_by_steps() -> None:
    assert only("build.chainring.teeth: {from: 28, to: 36, step: 2}").start == 32


def test_what_the_file_lacks_is_put_in_where_a_start_is_given() -> None:
    study = read(vary("tubes.top_tube.start.y: {from: 0, to: 5, start: 1}"))
    assert study.start == (1.0,)


def test_a_path_into_a_list_of_the_file() -> None:
    assert only("build.bottles.0.from_start: {from: 300, to: 400}").start == 350
    assert only("tubes.chainstay.bends.1.y: {from: 66, to: 70}").start == 68.5


def test_paths_of_rules_and_of_single_sizes() -> None:
    text = vary(
        "geometry.reach.from: {from: 420, to: 450}, geometry.seat_tube_length.L: {from: 400, to: 440}",
        "for: all sizes\nwishes: {checks: all}\n",
    )
    study = read(text, FAMILY)
    assert study.start == (440.0, 420.0)
    assert study.sizes == ("S", "M", "L", "XL", "XXL")


def test_a_value_that_differs_by_size_is_told_with_what_moves_all() -> None:
    text = vary("geometry.reach: {from: 440, to: 490}", "for: all sizes\nwishes: {checks: all}\n")
    fault = faults(text, FAMILY)[0]
    assert "differs by size in the bike's file (440, 460, 480, 500, 520)" in fault.message
    assert "geometry.reach.from" in fault.hint
    one = vary("geometry.reach: {from: 440, to: 490}", "size: M\nwishes: {checks: all}\n")
    assert read(one, FAMILY).start == (460.0,)
    meant = text.replace("to: 490", "to: 490, start: 470")
    assert read(meant, FAMILY).start == (470.0,)


def test_all_faults_at_once_in_the_order_of_the_text() -> None:
    text = vary(
        "geometry.reach: {from: 490, to: 440}, build.crank.length: [170, x]",
        "wishes: {trial: {}}\n",
    )
    assert [f.path for f in faults(text)] == [
        "vary.geometry.reach",
        "vary.build.crank.length",
        "wishes.trial",
    ]
