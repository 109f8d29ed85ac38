"""Which designs a study allows, and their keys and order."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from frame3d.explore.store.question import allows, key_of, order_of, question_of
from frame3d.explore.study.study import Varied
from tests.explore.fakes import STUDY


def test_a_key_is_the_changes_of_the_file_sorted() -> None:
    design = (455.0, "58-622")
    assert key_of(STUDY, design) == "build.rear_wheel.tyre=58-622\ngeometry.reach=455"
    turned = replace(STUDY, varied=STUDY.varied[::-1])
    assert key_of(turned, design[::-1]) == key_of(STUDY, design)
    assert question_of(turned) == question_of(STUDY)
    assert key_of(STUDY, (-0.0, "a")) == key_of(STUDY, (0, "a"))


@given(st.floats(allow_nan=False, allow_infinity=False), st.floats(-1e3, 1e3))
def test_equal_keys_are_equal_numbers(one: float, other: float) -> None:
    same = key_of(STUDY, (one, "x")) == key_of(STUDY, (other, "x"))
    assert same == (one == other)


def test_numbers_are_sorted_by_size_and_names_as_listed() -> None:
    some = [(100.0, "58-622"), (20.0, "58-622"), (20.0, "61-622"), (100.0, "61-622")]
    assert sorted(some, key=lambda design: order_of(STUDY, design)) == [
        (20.0, "61-622"),
        (20.0, "58-622"),
        (100.0, "61-622"),
        (100.0, "58-622"),
    ]


def test_what_a_study_allows() -> None:
    def allowed(varied: Varied, value: float | str) -> bool:
        return allows(replace(STUDY, varied=(varied,)), (value,))

    stepped = Varied("a", 1.0, 2.05, 0.1, start=5.0)
    assert [v for v in (0.9, 1.0, 1.3, 1.35, 2.0, 2.05, 2.1, 5.0) if allowed(stepped, v)] == [
        1.0,
        1.3,
        2.0,
        5.0,
    ]
    assert allowed(stepped, 1.0 + 3 * 0.1)
    assert allowed(Varied("a", 1.0, 2.0), 1.35)
    assert not allowed(Varied("a", 1.0, 2.0), "1.35")
    assert allowed(Varied("a", values=(1.0, 2.0)), 2.0)
    assert not allowed(Varied("a", values=("x", "y")), "z")
