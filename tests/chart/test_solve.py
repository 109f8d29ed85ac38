"""The chart solver: what it refuses, how it says so, what it notes, and that any base gives one bike."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.chart.diagnosis import all_variables, diagnose
from frame3d.chart.givens import Given, relations_for, shown
from frame3d.chart.nodes import nodes_of
from frame3d.chart.relations import Values
from frame3d.chart.solve import Solved, solve_chart
from frame3d.errors import Fault, GeometryError, SourceLocation
from frame3d.parameters.models.figures import FIGURES, STANDOVERS
from tests.charts import MULLET, ROAD, TRAIL, spec, without

BIKES = {"trail": TRAIL, "mullet": MULLET, "road": ROAD}
STRAIGHT_TOP_TUBE = {
    "top_tube": {
        "start": {"on": "seat_tube", "below_top": 40},
        "end": {"on": "head_tube", "below_top": 35},
        "od": 31.8,
        "wall": 0.8,
    }
}


def faults(
    figures: Mapping[str, float],
    build: Mapping[str, Any] | None = None,
    tubes: Mapping[str, Any] | None = None,
) -> list[Fault]:
    with pytest.raises(GeometryError) as caught:
        solve_chart(spec(figures, build, tubes))
    return list(caught.value.faults)


def codes(solved: Solved) -> list[str]:
    return [n.code for n in solved.notes]


# --- any base, one bike ---------------------------------------------------------------------------


def test_the_chart_lists_every_figure_in_order() -> None:
    chart = solve_chart(spec(TRAIL)).figures()
    assert tuple(chart) == FIGURES
    assert tuple(f for f, v in chart.items() if v is None) == STANDOVERS
    for figure, value in TRAIL.items():
        assert chart[figure] == pytest.approx(value, abs=1e-12)


def test_residuals_are_below_a_millionth_of_a_millimetre() -> None:
    for figures in BIKES.values():
        solved = solve_chart(spec(figures, {}, STRAIGHT_TOP_TUBE))
        values = Values({n: np.array([v]) for n, v in solved.values.items()})
        for relation in solved.relations:
            assert abs(relation.residual(values)[0]) <= 1e-9, relation.name


@pytest.mark.parametrize("saddle_height", [None, 735.0])
@pytest.mark.parametrize("bike", BIKES)
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_any_base_gives_the_same_bike(
    bike: str, saddle_height: float | None, data: st.DataObject
) -> None:
    """Solve, take another well-posed set of the result's figures at random, solve again."""
    build: dict[str, Any] = (
        {} if saddle_height is None else {"seatpost": {"saddle_height": saddle_height}}
    )
    first = solve_chart(spec(BIKES[bike], build, STRAIGHT_TOP_TUBE))
    names = [n for n in FIGURES if n in first.values]
    order = data.draw(st.permutations(names))
    known = [Given(n, first.values[n], f"geometry.{n}") for n in order]
    if saddle_height is not None:
        known = [Given("saddle_height", saddle_height, "build.seatpost.saddle_height"), *known]
    basis = diagnose(first.relations, known).basis
    figures = {g.variable: g.shown for g in basis if g.variable in FIGURES}
    assert len(figures) >= 12
    again = solve_chart(spec(figures, build, STRAIGHT_TOP_TUBE))
    if "other-solution" in codes(again):
        # Several bikes have these figures; all the others tell which is meant.
        chart = {f: shown(f, first.values[f]) for f in names}
        again = solve_chart(spec(figures | chart, build, STRAIGHT_TOP_TUBE))
    before, after = nodes_of(first.values, saddle_height), nodes_of(again.values, saddle_height)
    for node, p in before.items():
        assert after[node] == pytest.approx(p, abs=1e-6), (node, sorted(figures))


# --- several solutions ----------------------------------------------------------------------------


def drop_open() -> dict[str, float]:
    """Chainstay and wheelbase tell how far back the rear axle is, but not whether above or below."""
    chart = solve_chart(spec(TRAIL)).values
    return without(
        TRAIL, "bb_drop", "rear_wheel_radius", stack=chart["stack"], wheelbase=chart["wheelbase"]
    )


def test_a_second_solution_is_noted_and_the_usual_one_taken() -> None:
    solved = solve_chart(spec(drop_open()))
    assert solved.values["bb_drop"] == pytest.approx(62, abs=1e-9)
    (note,) = (n for n in solved.notes if n.code == "other-solution")
    assert "bb_drop -62.00" in note.message
    assert "rear_wheel_radius 248.00" in note.message
    assert "looks like a bicycle too" in note.message


def test_one_more_figure_tells_which_solution_is_meant() -> None:
    solved = solve_chart(spec(drop_open() | {"rear_wheel_radius": 248.0}))
    assert solved.values["bb_drop"] == pytest.approx(-62, abs=1e-9)
    assert "other-solution" not in codes(solved)
    assert "redundant" in codes(solved)


def test_one_more_figure_that_no_solution_has() -> None:
    """It is compared with the solution that comes nearest to it."""
    (fault,) = faults(drop_open() | {"rear_wheel_radius": 258.0})
    assert (fault.code, fault.path) == ("contradictory", "geometry.wheelbase")
    assert "geometry.rear_wheel_radius is 258 mm; the others ask for 248.0000 mm" in fault.hint


def test_a_solution_that_few_starts_find() -> None:
    """Standover with the seat's line given tells seat tube angle and offset together, in two ways.

    A hunt with random bases found this one: few starts lead to the bike that the figures came from.
    """
    first = solve_chart(spec(ROAD, {}, STRAIGHT_TOP_TUBE))
    read_off = ("standover_mid_tube", "effective_top_tube", "front_centre")
    figures = without(ROAD, "reach", "lower_headset_stack") | {
        f: shown(f, first.values[f]) for f in read_off
    }
    solved = solve_chart(spec(figures, {}, STRAIGHT_TOP_TUBE))
    assert solved.values["seat_tube_offset"] == pytest.approx(0, abs=1e-6)
    assert "seat_tube_offset -57.44" in solved.notes[0].message


def test_an_unlikely_second_solution() -> None:
    """Wheel flop has two head angles; the other one leans the steering axis forward."""
    solved = solve_chart(spec(without(TRAIL, "head_tube_angle", wheel_flop=45.0)))
    assert 60 < solved.figures()["head_tube_angle"] < 70  # type: ignore[operator]
    (note,) = (n for n in solved.notes if n.code == "other-solution")
    assert "looks like a bicycle" not in note.message


def test_no_second_solution_where_there_is_none() -> None:
    for figures in BIKES.values():
        assert "other-solution" not in codes(solve_chart(spec(figures)))


# --- given more than needed -----------------------------------------------------------------------


def test_what_agrees_is_noted() -> None:
    solved = solve_chart(spec(TRAIL | {"bb_height": 310.0}))
    (note,) = (n for n in solved.notes if n.code == "redundant")
    assert note.path == "geometry.bb_height"
    assert "Bottom bracket drop" in note.message
    assert "Bottom bracket height" in note.message
    assert "agrees" in note.message


def test_the_offset_that_is_assumed_is_noted() -> None:
    assert codes(solve_chart(spec(TRAIL))) == ["assumed"]
    assert codes(solve_chart(spec(MULLET))) == []


INSTEAD = re.compile(
    r"geometry\.(?P<figure>\w+) is (?P<stated>[-\d.]+)(?: mm|°); the others ask for "
    r"(?P<implied>[-\d.]+)(?: mm|°) \((?P<by>[-+][\d.]+)\)"
)

CONTRADICTIONS: dict[str, tuple[dict[str, float], set[str]]] = {
    "height": (TRAIL | {"bb_height": 300.0}, {"bb_height", "bb_drop", "rear_wheel_radius"}),
    "trail": (
        TRAIL | {"trail": 110.0},
        {"trail", "head_tube_angle", "fork_offset", "front_wheel_radius"},
    ),
    "wheelbase": (
        TRAIL | {"wheelbase": 1195.0},
        {
            "wheelbase",
            "reach",
            "head_tube_angle",
            "head_tube_length",
            "chainstay_length",
            "bb_drop",
            "fork_axle_to_crown",
            "fork_offset",
            "lower_headset_stack",
        },
    ),
    "seat angles": (
        MULLET | {"actual_seat_tube_angle": 72.6},
        {
            "actual_seat_tube_angle",
            "effective_seat_tube_angle",
            "seat_tube_offset",
            "head_tube_angle",
            "head_tube_length",
            "lower_headset_stack",
            "fork_axle_to_crown",
            "fork_offset",
            "front_wheel_radius",
            "rear_wheel_radius",
            "bb_drop",
        },
    ),
    "stack": (
        TRAIL | {"stack": 640.0},
        {
            "stack",
            "head_tube_angle",
            "head_tube_length",
            "lower_headset_stack",
            "fork_axle_to_crown",
            "fork_offset",
            "front_wheel_radius",
            "rear_wheel_radius",
            "bb_drop",
        },
    ),
}


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_a_contradiction_names_the_smallest_set(name: str) -> None:
    figures, circle = CONTRADICTIONS[name]
    (fault,) = faults(figures)
    assert fault.code == "contradictory"
    named = set(re.findall(r"geometry\.(\w+) is", fault.hint))
    assert named == circle
    assert f"disagrees with {len(circle) - 1} other figures" in fault.message
    assert fault.path.removeprefix("geometry.") in circle


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_each_value_that_is_asked_for_settles_it(name: str) -> None:
    """Take the report at its word: each implied value, put in, leaves no disagreement worth naming."""
    figures, _ = CONTRADICTIONS[name]
    (fault,) = faults(figures)
    asked = {m["figure"]: m for m in INSTEAD.finditer(fault.hint)}
    assert fault.path.removeprefix("geometry.") in asked
    assert len(asked) >= 3
    for figure, m in asked.items():
        value = float(m["implied"])
        assert value - figures[figure] == pytest.approx(float(m["by"]), abs=1.01e-4)
        # Exactly: leave the figure out and see what comes.
        alone = solve_chart(spec(without(figures, figure)))
        assert shown(figure, alone.values[figure]) == pytest.approx(value, abs=0.51e-4)
        # As rounded: what is left of the disagreement is rounding.
        try:
            solve_chart(spec(figures | {figure: value}))
        except GeometryError as error:
            (rest,) = error.faults
            by = re.search(r"figures by ([\d.]+)", rest.message)
            assert by is not None
            assert float(by[1]) < 0.01


def test_a_contradiction_by_how_much() -> None:
    (fault,) = faults(TRAIL | {"bb_height": 303.0})
    assert "by 7.0000 mm" in fault.message


def test_two_contradictions_at_once() -> None:
    both = faults(TRAIL | {"bb_height": 300.0, "trail": 110.0})
    assert [f.code for f in both] == ["contradictory", "contradictory"]
    assert {f.path for f in both} == {"geometry.bb_height", "geometry.trail"}


@pytest.mark.parametrize(
    "extra",
    [
        {"bb_height": 300.0},
        {"wheelbase": 1250.0},  # beyond what the chainstay reaches, were it believed
        {"wheelbase": 900.0},
        {"front_centre": 900.0},
        {"trail": 60.0},
        {"stack": 700.0},
    ],
    ids=lambda extra: "-".join(f"{k}{v:g}" for k, v in extra.items()),
)
def test_a_contradiction_says_the_same_whatever_the_order_of_keys(extra: dict[str, float]) -> None:
    """Every place for the extra figure among the others; what is doubted is what usually follows."""
    (name,) = extra
    said = set()
    for at in range(len(TRAIL) + 1):
        keys = [*list(TRAIL)[:at], name, *list(TRAIL)[at:]]
        bike = spec(TRAIL | extra)
        lines = {f"geometry.{key}": i + 5 for i, key in enumerate(keys)}
        traced = bike.traced(
            {p: SourceLocation("bike.yaml", line, 3, "") for p, line in lines.items()}
        )
        with pytest.raises(GeometryError) as caught:
            solve_chart(traced)
        (fault,) = caught.value.faults
        assert fault.code == "contradictory"
        assert fault.place is not None
        assert fault.place.line == lines[fault.path]
        assert (
            f"geometry.{name} (line {lines[f'geometry.{name}']}) is {extra[name]:g} mm"
            in fault.hint
        )
        said.add((fault.path, fault.message, re.sub(r" \(line \d+\)", "", fault.hint)))
    assert len(said) == 1
    assert name == "stack" or fault.path == f"geometry.{name}"


def test_figures_that_no_bike_has_together_are_told_as_a_contradiction() -> None:
    """Where what is doubted last fits nothing, another figure makes way for it."""
    bike = without(TRAIL, "reach", front_centre=700.0, wheelbase=1250.0)
    (fault,) = faults(bike)
    assert fault.code == "contradictory"
    for key in ("wheelbase", "front_centre", "chainstay_length", "bb_drop"):
        assert f"geometry.{key} is" in fault.hint


# --- given less than needed -----------------------------------------------------------------------


def test_one_missing_says_what_would_settle_it() -> None:
    (fault,) = faults(without(TRAIL, "chainstay_length"))
    assert fault.code == "under-determined"
    assert fault.path == "geometry"
    assert fault.message == "1 figure missing; still open: chainstay_length, wheelbase"
    assert fault.hint == "give one of geometry.chainstay_length, geometry.wheelbase"


def test_a_figure_that_only_itself_settles() -> None:
    (fault,) = faults(without(TRAIL, "seat_tube_length"))
    assert fault.hint == "give geometry.seat_tube_length"


def test_missing_in_two_places() -> None:
    (fault,) = faults(without(TRAIL, "chainstay_length", "seat_tube_length"))
    assert fault.message.startswith("2 figures missing")
    assert "give geometry.seat_tube_length" in fault.hint
    assert "give one of geometry.chainstay_length, geometry.wheelbase" in fault.hint


def test_missing_and_contradictory_at_once() -> None:
    found = faults(without(TRAIL, "chainstay_length", bb_height=300.0))
    assert [f.code for f in found] == ["under-determined", "contradictory"]
    assert "by 10.0000 mm" in found[1].message


def test_missing_and_agreeing() -> None:
    assert len(faults(without(TRAIL, "chainstay_length", bb_height=310.0))) == 1


def test_only_a_name() -> None:
    (fault,) = faults({})
    assert fault.code == "under-determined"
    assert fault.message.startswith("12 figures missing")


# --- impossible -----------------------------------------------------------------------------------


def test_a_chainstay_shorter_than_the_drop() -> None:
    (fault,) = faults(TRAIL | {"chainstay_length": 55.0})
    assert (fault.code, fault.path) == ("impossible", "geometry.chainstay_length")
    assert "55" in fault.message
    assert "62" in fault.message


def test_a_front_centre_shorter_than_the_axle_is_high() -> None:
    figures = without(TRAIL, "reach", front_centre=200.0) | {"bb_drop": 372.0 - 150.0}
    (fault,) = faults(figures | {"chainstay_length": 432.0})
    assert (fault.code, fault.path) == ("impossible", "geometry.front_centre")


def test_a_fork_through_the_ground() -> None:
    """The head tube alone reaches below the axle."""
    figures = without(TRAIL, "fork_axle_to_crown", stack=400.0, head_tube_length=390.0)
    found = faults(figures)
    assert found[0].code == "impossible"
    assert found[0].path == "geometry.fork_axle_to_crown"
    assert "through the ground" in found[0].message


def test_a_negative_length() -> None:
    (fault,) = faults(without(TRAIL, "head_tube_length", stack=500.0))
    assert (fault.code, fault.path) == ("impossible", "geometry.head_tube_length")
    assert "negative length" in fault.message


def test_wheels_that_overlap() -> None:
    figures = TRAIL | {"reach": 150.0, "chainstay_length": 200.0}
    found = faults(figures)
    assert found[0].code == "impossible"
    assert "run into each other" in found[0].message
    wheelbase = solve_chart(spec(TRAIL)).values["wheelbase"] - 305
    assert wheelbase > 744  # so far it is still a bicycle; the chainstay took the rest


def test_a_rear_axle_ahead_of_the_bottom_bracket() -> None:
    figures = without(TRAIL, "chainstay_length", wheelbase=700.0)
    figures |= {"front_wheel_radius": 200.0, "rear_wheel_radius": 200.0}
    (fault,) = faults(figures)
    assert (fault.code, fault.path) == ("impossible", "geometry.chainstay_length")
    assert "ahead of the bottom bracket" in fault.message


def test_an_angle_out_of_range() -> None:
    found = faults(without(TRAIL, "head_tube_angle", stack=480.0))
    assert found[0].code == "impossible"
    assert any("head_tube_angle" in f.path for f in found)


def test_several_impossible_at_once() -> None:
    figures = without(TRAIL, "fork_axle_to_crown", "effective_seat_tube_angle")
    found = faults(figures | {"stack": 150.0, "effective_top_tube": 100.0})
    assert {f.code for f in found} == {"impossible"}
    assert len(found) >= 2


def test_no_head_tube_angle_at_all() -> None:
    """Upright, 648 mm of head tube, headset and fork over a drop of 62 reach no stack of 800."""
    (fault,) = faults(without(TRAIL, "head_tube_angle", stack=800.0))
    assert fault.code == "no-convergence"
    assert "no value of head_tube_angle" in fault.message
    assert "stack is 800 mm" in fault.message


def test_no_bike_in_a_large_block() -> None:
    """Standover hardly depends on the drop; then the figures are named, not ten formulas."""
    tubes = {
        "top_tube": STRAIGHT_TOP_TUBE["top_tube"] | {"start": {"on": "seat_tube", "angle": 62.0}}
    }
    (fault,) = faults(without(MULLET, "bb_drop", standover=760.0), {}, tubes)
    assert fault.code == "no-convergence"
    assert fault.message.startswith("no bicycle has these together: ")
    assert "standover is 760 mm" in fault.message
    assert "cos" not in fault.message


# --- standover ------------------------------------------------------------------------------------


# --- parts ----------------------------------------------------------------------------------------


def test_all_variables_are_solved() -> None:
    bike = spec(TRAIL, {}, STRAIGHT_TOP_TUBE)
    solved = solve_chart(bike)
    assert set(solved.values) == set(all_variables(relations_for(bike)))
