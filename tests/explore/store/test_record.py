"""Results as text: digit for digit the same when read back."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.store.record import design_read, design_written, read, written
from tests.explore.fakes import STUDY

NUMBERS = st.floats(allow_nan=False)


@given(st.dictionaries(st.text(), NUMBERS), NUMBERS, st.none() | st.text(), st.booleans())
def test_a_result_reads_back_as_itself(
    values: dict[str, float], total: float, fault: str | None, feasible: bool
) -> None:
    one = Evaluation((455.0, "é"), values, values, "chart", fault, fault, feasible, total)
    text = written(one)
    assert read(text, one.design) == one
    assert "\n" not in text
    other = Evaluation(
        one.design, dict(reversed(values.items())), values, "chart", fault, fault, feasible, total
    )
    assert written(other) == text


def test_what_is_no_number_stays_so() -> None:
    one = Evaluation((1.0,), {"trail": math.nan}, {}, "chart", None, None, False, math.inf)
    back = read(written(one), one.design)
    assert math.isnan(back.values["trail"])
    assert back.total == math.inf


@given(NUMBERS, st.text())
def test_a_design_reads_back_in_the_order_of_the_study(reach: float, tyre: str) -> None:
    assert design_read(STUDY, design_written(STUDY, (reach, tyre))) == (reach, tyre)
