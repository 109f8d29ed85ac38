"""Newton in blocks: plans that never depend on chance, roots to 1e-9 mm, and failures that are said."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.chart.diagnosis import all_variables, start_values
from frame3d.chart.givens import held
from frame3d.chart.newton import RESIDUAL, jacobian, plan, run
from frame3d.chart.relations import ANGLES, Relation, Values, chart_relations
from tests.charts import MULLET, ROAD, TRAIL, without

RELATIONS = chart_relations()
ASSUMED = {"cup_angle", "seat_tube_offset"}
SETS = {
    "usual": set(TRAIL),
    "wheelbase for head tube angle": set(without(TRAIL, "head_tube_angle")) | {"wheelbase"},
    "trail and wheelbase": set(without(TRAIL, "head_tube_angle", "reach")) | {"trail", "wheelbase"},
    "coupled front": set(without(TRAIL, "head_tube_angle", "fork_axle_to_crown"))
    | {"stack", "front_centre"},
}


def planned(names: set[str]) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    blocks = plan(RELATIONS, frozenset(names | ASSUMED))
    return [(tuple(r.name for r in b.relations), b.unknowns) for b in blocks]


@pytest.mark.parametrize("name", SETS)
def test_a_plan_settles_each_unknown_once(name: str) -> None:
    known = SETS[name] | ASSUMED
    blocks = plan(RELATIONS, frozenset(known))
    used = [r.name for b in blocks for r in b.relations]
    assert sorted(used) == sorted(r.name for r in RELATIONS)
    unknowns = [u for b in blocks for u in b.unknowns]
    assert len(unknowns) == len(set(unknowns)) == len(RELATIONS)
    assert set(unknowns) == set(all_variables(RELATIONS)) - known
    settled = set(known)
    for block in blocks:
        assert len(block.relations) == len(block.unknowns)
        settled |= set(block.unknowns)
        assert all(set(r.partials) <= settled for r in block.relations)


def test_the_usual_set_goes_one_by_one() -> None:
    """And all but the seat angle by one exact step each."""
    blocks = plan(RELATIONS, frozenset(SETS["usual"] | ASSUMED))
    assert all(len(b.unknowns) == 1 for b in blocks)
    nonlinear = [b.unknowns[0] for b in blocks if not b.is_linear]
    assert nonlinear == ["rear_axle_setback", "actual_seat_tube_angle"]


def test_a_coupled_set_goes_together() -> None:
    sizes = {name: max(len(u) for _, u in planned(s)) for name, s in SETS.items()}
    assert sizes["usual"] == 1
    assert sizes["coupled front"] > 1


def test_plans_do_not_depend_on_hashing() -> None:
    code = """
import json, sys
from frame3d.chart.newton import plan
from frame3d.chart.relations import chart_relations
for names in json.loads(sys.argv[1]):
    blocks = plan(chart_relations(), frozenset(names))
    print([(tuple(r.name for r in b.relations), b.unknowns) for b in blocks])
"""
    sets = json.dumps([sorted(names | ASSUMED) for names in SETS.values()])
    outputs = {
        subprocess.run(
            [sys.executable, "-c", code, sets],
            env=os.environ | {"PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "77")
    }
    assert outputs == {"".join(f"{planned(names)}\n" for names in SETS.values())}


def test_a_plan_without_enough_relations() -> None:
    with pytest.raises(ValueError, match=r"relations for . unknowns"):
        plan(RELATIONS, frozenset((SETS["usual"] | ASSUMED) - {"reach"}))


def test_a_plan_with_a_relation_too_many() -> None:
    with pytest.raises(ValueError, match="nothing left"):
        plan(RELATIONS, frozenset(SETS["usual"] | ASSUMED | {"trail"}))


def solved(figures: dict[str, float], count: int = 1) -> tuple[Values, np.ndarray]:
    values = start_values(all_variables(RELATIONS), count)
    given = figures | dict.fromkeys(ASSUMED - set(figures), 0.0)
    for name, value in given.items():
        values[name] = np.full(count, held(name, value))
    good = run(plan(RELATIONS, frozenset(given)), values, count)
    return values, good


bikes = st.fixed_dictionaries(
    {
        "reach": st.floats(330, 540),
        "head_tube_angle": st.floats(60, 76),
        "head_tube_length": st.floats(80, 250),
        "effective_seat_tube_angle": st.floats(70, 80),
        "seat_tube_length": st.floats(350, 600),
        "seat_tube_offset": st.floats(-40, 80),
        "chainstay_length": st.floats(390, 480),
        "bb_drop": st.floats(-20, 85),
        "fork_axle_to_crown": st.floats(360, 600),
        "fork_offset": st.floats(30, 60),
        "lower_headset_stack": st.floats(0, 15),
        "front_wheel_radius": st.floats(300, 380),
        "rear_wheel_radius": st.floats(300, 380),
    }
)


@settings(max_examples=100, deadline=None)
@given(figures=bikes)
def test_every_usual_bike_converges(figures: dict[str, float]) -> None:
    values, good = solved(figures)
    assert good.all()
    for relation in RELATIONS:
        assert abs(relation.residual(values)[0]) <= RESIDUAL, relation.name


def test_many_bikes_at_once_are_the_same_as_one_by_one() -> None:
    random = np.random.default_rng(5)
    known = without(MULLET, "reach") | {"wheelbase": 1210.0}
    rows = {n: v * random.uniform(0.98, 1.02, 50) for n, v in known.items()}
    values = start_values(all_variables(RELATIONS), 50)
    for name in (*rows, "cup_angle"):
        values[name] = (
            np.radians(rows[name])
            if name in ANGLES and name in rows
            else (rows.get(name, np.zeros(50)))
        )
    blocks = plan(RELATIONS, frozenset((*rows, "cup_angle")))
    assert run(blocks, values, 50).all()
    for k in range(0, 50, 7):
        one, good = solved({n: float(a[k]) for n, a in rows.items()})
        assert good.all()
        for name in all_variables(RELATIONS):
            assert one[name][0] == pytest.approx(values[name][k], abs=1e-9), name


def test_bikes_without_a_solution_do_not_disturb_the_others() -> None:
    values = start_values(all_variables(RELATIONS), 4)
    for name, value in (TRAIL | dict.fromkeys(ASSUMED, 0.0)).items():
        values[name] = np.full(4, held(name, value))
    values["chainstay_length"] = np.array([432.0, 40.0, np.nan, 432.0])
    good = run(plan(RELATIONS, frozenset(set(TRAIL) | ASSUMED)), values, 4)
    assert good.tolist() == [True, False, False, True]
    alone, _ = solved(TRAIL)
    for name in all_variables(RELATIONS):
        assert values[name][0] == alone[name][0] == values[name][3], name


def coupled(a: float, b: float) -> tuple[Relation, Relation]:
    """Two relations: x + y = a and x·y = b."""
    return (
        Relation(
            "sum",
            "",
            lambda v: v["x"] + v["y"] - a,
            {"x": lambda v: 1.0, "y": lambda v: 1.0},
            frozenset({"x", "y"}),
        ),
        Relation(
            "product",
            "",
            lambda v: v["x"] * v["y"] - b,
            {"x": lambda v: v["y"], "y": lambda v: v["x"]},
            frozenset({"x", "y"}),
        ),
    )


def test_a_coupled_block_finds_its_roots() -> None:
    """With x + y = 5 and x·y = 6: 2 and 3, by either start."""
    blocks = plan(coupled(5, 6), frozenset())
    assert [b.unknowns for b in blocks] == [("x", "y")]
    assert not blocks[0].is_linear
    values = Values({"x": np.array([0.0, 9.0]), "y": np.array([4.0, 1.0])})
    assert run(blocks, values, 2).all()
    assert values["x"] == pytest.approx([2, 3], abs=1e-12)
    assert values["y"] == pytest.approx([3, 2], abs=1e-12)


def test_a_singular_start_is_no_exception() -> None:
    """At x = y the Jacobian is singular: that bike is lost, the other one is not."""
    values = Values({"x": np.array([1.0, 0.0]), "y": np.array([1.0, 4.0])})
    good = run(plan(coupled(5, 6), frozenset()), values, 2)
    assert good.tolist() == [False, True]
    assert values["x"][1] == pytest.approx(2, abs=1e-12)


def test_no_root_is_not_converged() -> None:
    values = Values({"x": np.array([0.0]), "y": np.array([4.0])})
    assert not run(plan(coupled(5, 7), frozenset()), values, 1).any()


def test_jacobian_by_name() -> None:
    values = Values({"x": np.array([2.0, 3.0]), "y": np.array([5.0, 7.0])})
    matrix = jacobian(coupled(5, 6), ["y", "z", "x"], values, 2)
    assert matrix.tolist() == [[[1, 0, 1], [2, 0, 5]], [[1, 0, 1], [3, 0, 7]]]


@pytest.mark.parametrize("start", [20.0, 45.0, 66.0, 89.0, 110.0])
def test_an_angle_from_far_away(start: float) -> None:
    """A road frame by its wheelbase, head tube angle open: steps of an angle are held back."""
    figures = without(ROAD, "head_tube_angle") | {"wheelbase": 1000.0}
    values = start_values(all_variables(RELATIONS))
    for name, value in (figures | dict.fromkeys(ASSUMED, 0.0)).items():
        values[name] = np.array([held(name, value)])
    values["head_tube_angle"] = np.radians([start])
    assert run(plan(RELATIONS, frozenset(set(figures) | ASSUMED)), values, 1).all()
    assert 70 < np.degrees(values["head_tube_angle"][0]) < 75
