"""Texts solved, and how two of them differ."""

from __future__ import annotations

import pytest

from frame3d.errors import FrameError
from frame3d.live.solved_text import (
    InputChange,
    SolvedText,
    Solver,
    difference,
    good,
    value_changes,
)
from frame3d.parameters.reading.number_places import resolved_scalars
from tests.live.serving import SMALL

TEXT = SMALL.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def small() -> SolvedText:
    return good(TEXT, "bike.yaml")


def test_difference_of_two_bikes(small: SolvedText) -> None:
    longer = good(TEXT.replace("reach: 455", "reach: 465").replace("material: 4130\n", ""), "x")
    found = difference(small, longer)
    inputs = {c.path: (c.before, c.after) for c in found.inputs}
    assert inputs == {"geometry.reach": ("455", "465"), "material": ("4130", None)}
    figures = {c.name: c.after - c.before for c in found.figures if c.before and c.after}
    # On one head tube, 10 mm more reach move the front axle, and the wheelbase with it, by 10 mm.
    assert figures["reach"] == pytest.approx(10)
    assert figures["wheelbase"] == pytest.approx(10)
    assert "trail" not in figures
    assert difference(small, small) == type(found)((), (), (), ())


def test_one_text_after_the_other_is_solved_as_each_alone(small: SolvedText) -> None:
    """Whatever the solver keeps from one text to the next."""
    solver = Solver("bike.yaml")
    texts = [
        TEXT,
        TEXT.replace("reach: 455", "reach: 462"),
        TEXT.replace("od: 38.1", "od: 40"),
        TEXT,
    ]
    for text in texts:
        found, alone = solver(text), good(text, "bike.yaml")
        assert found.bike.chart == alone.bike.chart
        assert found.bike.nodes == alone.bike.nodes
        assert [t.section for t in found.bike.tubes] == [t.section for t in alone.bike.tubes]
    with pytest.raises(FrameError):
        solver(TEXT.replace("reach: 455", "reach: far"))
    assert solver(TEXT).bike.chart == small.bike.chart
    assert solver(TEXT).name == "Small bike"


@pytest.mark.parametrize(
    ("before", "after", "changes"),
    [
        ("a: 1\n", "a: 1\n", []),
        ("a: 1\n", "a:   1   # a note\n", []),
        ("a: 1\nb: 2\n", "b: 3\na: 1\n", [("b", "2", "3")]),
        ("a: 1\nb: {c: 2}\n", "a: 1\n", [("b.c", "2", None)]),
        ("a: 1\n", "a: 1\nb: [4, 5]\n", [("b.0", None, "4"), ("b.1", None, "5")]),
        ("a: 1\nz: 9\n", "y: 8\na: 2\n", [("y", None, "8"), ("a", "1", "2"), ("z", "9", None)]),
    ],
)
def test_values_that_differ_in_the_order_of_the_later_text_then_the_removed_ones(
    before: str, after: str, changes: list[tuple[str, str | None, str | None]]
) -> None:
    old, new = resolved_scalars(before), resolved_scalars(after)
    assert value_changes(old, new) == tuple(InputChange(*change) for change in changes)
