"""Diagnosis: what is missing, what leans on what; every statement checked by acting on it."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.chart.diagnosis import Diagnosis, all_variables, diagnose, form, reference_bike
from frame3d.chart.givens import Given, held, key
from frame3d.chart.newton import RESIDUAL, jacobian
from frame3d.chart.relations import Values, chart_relations
from frame3d.chart.solve import solve_chart
from frame3d.chart.top_tube_relations import TopTube, top_tube_relations
from frame3d.parameters.models.figures import FIGURES, STANDOVERS
from tests.charts import MULLET, ROAD, TRAIL, spec, without

RELATIONS = chart_relations()
STATEABLE = [n for n in all_variables(RELATIONS) if key(n) is not None and n != "cup_angle"]
BIKES = {"trail": TRAIL, "mullet": MULLET, "road": ROAD}


def stated(figures: Mapping[str, float]) -> list[Given]:
    return [Given(n, held(n, v), key(n) or "") for n, v in figures.items()]


def look(figures: Mapping[str, float]) -> Diagnosis:
    return diagnose(RELATIONS, stated(figures))


def test_the_usual_set_is_well_posed() -> None:
    diagnosis = look(TRAIL)
    assert diagnosis.gaps == ()
    assert diagnosis.extras == ()
    assert diagnosis.free == ()
    assert {g.variable for g in diagnosis.basis} == {*TRAIL, "cup_angle", "seat_tube_offset"}
    assumed = {g.variable: g.value for g in diagnosis.basis if g.origin == "assumed"}
    assert assumed == {"cup_angle": 0.0, "seat_tube_offset": 0.0}


def test_an_offset_that_is_needed_is_not_assumed() -> None:
    """With both seat angles given the offset follows; assuming it would contradict."""
    figures = TRAIL | {"actual_seat_tube_angle": 72.0}
    diagnosis = look(figures)
    assert diagnosis.gaps == diagnosis.extras == ()
    assert "seat_tube_offset" not in {g.variable for g in diagnosis.basis}


def test_without_an_offset_both_seat_angles_are_one() -> None:
    figures = TRAIL | {"actual_seat_tube_angle": 72.0, "seat_tube_offset": 0.0}
    (extra,) = look(figures).extras
    assert {extra.given.variable, *(g.variable for g in extra.by)} == {
        "effective_seat_tube_angle",
        "actual_seat_tube_angle",
        "seat_tube_offset",
    }


@pytest.mark.parametrize("bike", BIKES)
@pytest.mark.parametrize("left_out", TRAIL)
def test_one_missing_figure(bike: str, left_out: str) -> None:
    """Each figure that is offered settles the bike; each that is not offered does not."""
    figures = without(BIKES[bike], left_out)
    known = solve_chart(spec(BIKES[bike])).values
    diagnosis = look(figures)
    (gap,) = diagnosis.gaps
    assert gap.count == 1
    assert left_out in gap.figures
    assert left_out in diagnosis.free
    for name in STATEABLE:
        if name in figures or name == "saddle_height":
            continue
        more = diagnose(RELATIONS, [*stated(figures), Given(name, known[name], key(name) or "")])
        settled = not more.gaps and not more.extras
        assert settled == (name in gap.figures), name


def test_free_figures_are_those_that_move() -> None:
    assert look(without(TRAIL, "chainstay_length")).free == ("chainstay_length", "wheelbase")
    assert look(without(TRAIL, "seat_tube_length")).free == ("seat_tube_length",)
    assert look(without(TRAIL, "front_wheel_radius")).free == (
        "stack",
        "effective_top_tube",
        "front_centre",
        "front_wheel_radius",
        "trail",
        "mechanical_trail",
        "wheel_flop",
    )


def test_the_parts_own_figures_are_offered_too() -> None:
    (gap,) = look(without(TRAIL, "fork_offset")).gaps
    assert "fork_length_straight" in gap.figures


@pytest.mark.parametrize(
    ("left_out", "groups"),
    [
        (
            ("seat_tube_length", "rear_wheel_radius"),
            [(1, {"seat_tube_length"}), (1, None)],
        ),
        (
            ("chainstay_length", "effective_seat_tube_angle"),
            [(1, {"chainstay_length", "wheelbase"}), (1, None)],
        ),
        (("reach", "chainstay_length"), [(2, None)]),
    ],
    ids=["apart", "one group", "coupled"],  # a set's text would differ from run to run
)
def test_two_missing_figures(
    left_out: tuple[str, ...], groups: list[tuple[int, set[str] | None]]
) -> None:
    """Figures that move independently are asked for apart, coupled ones together."""
    figures = without(TRAIL, *left_out)
    gaps = look(figures).gaps
    assert sorted(g.count for g in gaps) == sorted(count for count, _ in groups)
    for count, names in groups:
        if names is not None:
            assert any(g.count == count and set(g.figures) == names for g in gaps)
    known = solve_chart(spec(TRAIL)).values
    if len(gaps) == 2:
        # Any one of the first with any one of the second settles the bike.
        for a, b in itertools.product(gaps[0].figures, gaps[1].figures):
            more = [Given(n, known[n], "x") for n in (a, b)]
            diagnosis = diagnose(RELATIONS, [*stated(figures), *more])
            assert diagnosis.gaps == diagnosis.extras == (), (a, b)


def test_nothing_given_at_all() -> None:
    diagnosis = look({})
    assert sum(g.count for g in diagnosis.gaps) == len(TRAIL)
    assert set(diagnosis.free) == set(FIGURES) - {*STANDOVERS, "seat_tube_offset"}


EXTRAS = {
    "bb_height": {"bb_height", "bb_drop", "rear_wheel_radius"},
    "trail": {"trail", "head_tube_angle", "fork_offset", "front_wheel_radius"},
    "wheel_flop": {"wheel_flop", "head_tube_angle", "fork_offset", "front_wheel_radius"},
    "fork_length_straight": {"fork_length_straight", "fork_axle_to_crown", "fork_offset"},
    "stack": {
        "stack",
        "head_tube_angle",
        "head_tube_length",
        "lower_headset_stack",
        "fork_axle_to_crown",
        "fork_offset",
        "front_wheel_radius",
        "bb_drop",
        "rear_wheel_radius",
    },
}
"""A figure more than the usual set, and which figures it makes lean on each other (by their formulas:
the head tube angle turns all of the front, etc.)."""


@pytest.mark.parametrize("more", EXTRAS)
def test_one_figure_too_many(more: str) -> None:
    known = solve_chart(spec(TRAIL)).values
    givens = [*stated(TRAIL), Given(more, known[more], key(more) or "")]
    diagnosis = diagnose(RELATIONS, givens)
    (extra,) = diagnosis.extras
    circle = {extra.given.variable, *(g.variable for g in extra.by if g.variable != "cup_angle")}
    assert circle == EXTRAS[more]
    # Smallest: leaving out any one of them leaves a well-posed set, leaving out another does not.
    for one in givens:
        rest = diagnose(RELATIONS, [g for g in givens if g is not one])
        assert (rest.extras == () and rest.gaps == ()) == (one.variable in circle)


def test_the_last_named_is_the_one_in_doubt() -> None:
    order = [*(n for n in TRAIL if n != "bb_drop"), "bb_height", "bb_drop"]
    known = solve_chart(spec(TRAIL)).values
    diagnosis = diagnose(RELATIONS, [Given(n, known[n], "x") for n in order])
    assert [e.given.variable for e in diagnosis.extras] == ["bb_drop"]


@pytest.mark.parametrize("offset", [0.0, 38.0, -20.0])
@pytest.mark.parametrize("saddle", [False, True])
def test_the_reference_bike_meets_all_relations(offset: float, saddle: bool) -> None:
    top = TopTube(16.0, "below_top", 40.0, "below_top", 35.0)
    relations = chart_relations(saddle=saddle, extra=top_tube_relations(top))
    values = reference_bike(relations, [Given("seat_tube_offset", offset, "x")])
    for relation in relations:
        assert abs(relation.residual(values)[0]) <= RESIDUAL


@settings(max_examples=60, deadline=None)
@given(order=st.permutations([n for n in STATEABLE if n != "saddle_height"]))
def test_any_order_gives_a_basis(order: list[str]) -> None:
    """From all figures in any order: as many independent ones as the bike has freedoms, no gap.

    13 freedoms with the seat tube's length; the cups are assumed.
    """
    known = solve_chart(spec(MULLET)).values
    diagnosis = diagnose(RELATIONS, [Given(n, known[n], "x") for n in order])
    assert diagnosis.gaps == ()
    chosen = [g.variable for g in diagnosis.basis if g.variable != "cup_angle"]
    assert len(chosen) == 13
    assert chosen == [n for n in order if n in chosen]
    assert len(diagnosis.extras) == len(order) - 13
    # The rank again, by brute force: the relations' Jacobian in the unknowns left is regular.
    unknowns = [n for n in all_variables(RELATIONS) if n not in chosen and n != "cup_angle"]
    at = Values({n: np.array([v]) for n, v in known.items()})
    matrix = jacobian(RELATIONS, unknowns, at, 1)[0]
    assert matrix.shape == (14, 14)
    assert np.linalg.matrix_rank(matrix, tol=1e-9) == 14


def test_no_offset_of_0_is_assumed_where_seat_angles_differ() -> None:
    """An axis through the bottom bracket has one angle: the offset follows once the stack is known."""
    angles = {"effective_seat_tube_angle": 75.5, "actual_seat_tube_angle": 72.0}
    diagnosis = look(angles)
    assert diagnosis.extras == ()
    assert "seat_tube_offset" in diagnosis.free
    same = look(angles | {"actual_seat_tube_angle": 75.5})
    assert "seat_tube_offset" in {g.variable for g in same.basis}
    assert form(stated(angles)) != form(stated(angles | {"actual_seat_tube_angle": 75.5}))
