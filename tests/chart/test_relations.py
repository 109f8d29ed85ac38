"""Relations: exact derivatives, true flags, and formulas that say what the residuals do."""

from __future__ import annotations

import re
from collections.abc import Mapping

import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.chart.relations import ANGLES, Relation, Values, chart_relations, variables
from frame3d.chart.rigid_relations import RigidFrame, rigid_relations
from frame3d.chart.top_tube_relations import TopTube, top_tube_relations
from tests.chart.dual import Dual, derivative

FRAME = RigidFrame(
    reach=451.0,
    stack=630.0,
    tube_angle=1.13,
    seat_angle=1.28,
    rear_axle_setback=428.0,
    bb_drop=55.0,
)
TOP_TUBES = [
    TopTube(15.9, "below_top", 40.0, "below_top", 35.0),
    TopTube(17.5, "above_bottom", 380.0, "above_bottom", 80.0),
    TopTube(14.3, "angle", 1.1, "below_top", 35.0),
    TopTube(14.3, "below_top", 40.0, "angle", 1.35),
]


def every_relation() -> dict[str, Relation]:
    groups: dict[str, tuple[Relation, ...]] = {
        "chart": chart_relations(),
        "saddle": tuple(r for r in chart_relations(saddle=True) if "saddle" in r.name),
        "rigid": rigid_relations(FRAME),
    }
    for i, top in enumerate(TOP_TUBES):
        groups[f"top tube {i}"] = top_tube_relations(top)
    return {f"{group}: {r.name}": r for group, rs in groups.items() for r in rs}


RELATIONS = every_relation()
NAMES = variables(RELATIONS.values())
each = pytest.mark.parametrize("name", RELATIONS)

lengths = st.floats(20, 900)
angles = st.floats(0.7, 1.7)
values_of = st.fixed_dictionaries({n: angles if n in ANGLES else lengths for n in NAMES})


def at(values: Mapping[str, float], relation: Relation) -> Values:
    """Values as the solver holds them; the top tube's ends kept well apart."""
    v = dict(values)
    v["reach"] = v["reach"] + 400  # the head tube lies ahead of the seat tube
    return Values({n: np.array([v[n]]) for n in relation.partials})


@each
@settings(max_examples=15, deadline=None)
@given(values=values_of)
def test_derivatives_are_exact(name: str, values: dict[str, float]) -> None:
    """By dual numbers: arithmetic that carries the derivative along, exact to rounding."""
    relation = RELATIONS[name]
    v = at(values, relation)
    for variable, partial in relation.partials.items():
        exact = derivative(relation.residual, v, variable)
        stated = float(np.broadcast_to(partial(v), (1,))[0])
        assert stated == pytest.approx(exact, rel=1e-11, abs=1e-11), variable


@each
def test_a_variable_that_is_not_listed_does_not_matter(name: str) -> None:
    """The residual reads its listed variables only: others are not even there."""
    relation = RELATIONS[name]
    random = np.random.default_rng(1)
    v = at({n: random.uniform(0.8, 1.6) * (1 if n in ANGLES else 400) for n in NAMES}, relation)
    assert set(relation.partials) == {n for n, _ in v.items()}
    assert np.isfinite(relation.residual(v)).all()
    for partial in relation.partials.values():
        assert np.isfinite(partial(v)).all()


def second_difference(relation: Relation, v: Values, variable: str) -> float:
    """Of the residual over a step as large as the variable's usual range."""
    step = 0.2 if variable in ANGLES else 50.0
    ends = []
    for way in (-1, 0, 1):
        moved = v.copy()
        moved[variable] = v[variable] + way * step
        ends.append(float(relation.residual(moved)[0]))
    return ends[0] - 2 * ends[1] + ends[2]


@each
def test_linear_flags_are_true(name: str) -> None:
    relation = RELATIONS[name]
    assert relation.linear <= set(relation.partials)
    random = np.random.default_rng(2)
    for _ in range(5):
        v = at({n: random.uniform(0.8, 1.6) * (1 if n in ANGLES else 400) for n in NAMES}, relation)
        for variable in relation.linear:
            assert abs(second_difference(relation, v, variable)) < 1e-9, variable


@each
def test_what_is_not_flagged_is_not_linear(name: str) -> None:
    """A flag forgotten costs time: Newton would take two rounds for one."""
    relation = RELATIONS[name]
    random = np.random.default_rng(3)
    v = at({n: random.uniform(0.9, 1.3) * (1 if n in ANGLES else 400) for n in NAMES}, relation)
    for variable in set(relation.partials) - relation.linear:
        assert abs(second_difference(relation, v, variable)) > 1e-9, variable


def test_a_tube_that_does_not_turn() -> None:
    """The head tube's own angle is the head tube angle less the cups'; its sine follows a change."""
    v = Values({"head_tube_angle": np.array([1.2]), "cup_angle": np.array([0.02])})
    assert v.sin("tube") == pytest.approx(np.sin(1.18))
    assert v.cos("tube") == pytest.approx(np.cos(1.18))
    v["cup_angle"] = np.array([-0.01])
    assert v.sin("tube") == pytest.approx(np.sin(1.21))
    v["head_tube_angle"] = np.array([1.1])
    assert v.cos("tube") == pytest.approx(np.cos(1.11))
    other = v.copy()
    other["head_tube_angle"] = np.array([1.0])
    assert v.sin("head_tube_angle") == pytest.approx(np.sin(1.1))
    assert other.sin("head_tube_angle") == pytest.approx(np.sin(1.0))


# --- formulas as people read them ------------------------------------------------------------------

SHORT = {
    "H": sympy.Symbol("head_tube_angle"),
    "T": sympy.Symbol("head_tube_angle") - sympy.Symbol("cup_angle"),
    "B": sympy.Symbol("actual_seat_tube_angle"),
    "E": sympy.Symbol("effective_seat_tube_angle"),
    "S": sympy.Symbol("effective_seat_tube_angle_at_stack"),
    "L": sympy.Symbol("head_tube_length"),
}
FORMULAS = {n: r for n, r in RELATIONS.items() if n.startswith(("chart", "saddle"))}


def equation(formula: str) -> sympy.Expr:
    """Left side less right side of a formula as messages print it."""
    text = re.sub(r" \(= .*\)", "", formula).replace(", L = head_tube_length", "")
    text = re.sub(r"(sin|cos) ([HTBES])", r"\1(\2)", text.replace("·", "*").replace("²", "**2"))
    text = re.sub(r"(sin|cos)([HTBES])\b", r"\1(\2)", text)
    left, right = text.split(" = ")
    names = {n: sympy.Symbol(n) for n in NAMES} | SHORT
    return sympy.sympify(left, locals=names) - sympy.sympify(right, locals=names)


@pytest.mark.parametrize("name", FORMULAS)
def test_the_printed_formula_is_the_residual(name: str) -> None:
    """Where the formula holds (sympy), the residual is nothing; beside it, it is not."""
    relation = RELATIONS[name]
    expression = equation(relation.formula)
    assert {str(s) for s in expression.free_symbols} == set(relation.partials)
    variable = sorted(relation.linear)[0]
    random = np.random.default_rng(4)
    for _ in range(3):
        v = {n: random.uniform(0.8, 1.6) * (1 if n in ANGLES else 400) for n in relation.partials}
        rest = expression.subs({sympy.Symbol(n): x for n, x in v.items() if n != variable})
        root = max(float(x) for x in sympy.solve(rest, sympy.Symbol(variable)))
        v[variable] = root
        arrays = {n: np.array([x]) for n, x in v.items()}
        assert relation.residual(Values(arrays))[0] == pytest.approx(0, abs=1e-9)
        arrays[variable] = arrays[variable] + 1.0
        assert abs(relation.residual(Values(arrays))[0]) > 1e-3


def test_dual_numbers() -> None:
    """The test's own tool: d/dx of √(x² + 9)·sin x / x at x = 4."""

    def f(v: Values) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.asarray(np.hypot(v["x"], 3.0) * v.sin("x") / v["x"])

    # (x/5·sin x + 5·cos x)/x - 5·sin x/x²
    expected = (0.8 * np.sin(4.0) + 5 * np.cos(4.0)) / 4 - 5 * np.sin(4.0) / 16
    assert derivative(f, Values({"x": np.array([4.0])}), "x") == pytest.approx(expected, rel=1e-14)
    assert Dual(2.0, 1.0) ** 2 == Dual(4.0, 4.0)
