"""Values that a range allows."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from frame3d.explore.rounding import nearest, steps_in


def test_multiples_of_a_step_begin_at_the_least_value() -> None:
    values = nearest(np.array([-9.0, 1.04, 1.06, 1.26, 9.0]), 1.0, 1.38, 0.1)
    assert values.tolist() == [1.0, 1.0, 1.1, 1.3, 1.3]
    assert steps_in(1.0, 1.38, 0.1) == 3
    assert steps_in(0.0, 0.3, 0.1) == 3  # 0.3 / 0.1 is less than 3 to a computer


def test_without_a_step_to_a_hundred_millionth_of_the_range() -> None:
    assert nearest(np.array(60.123456789123), 55.0, 95.0, None) == 60.1234568
    assert nearest(np.array([1.0, 3.0]), 2.0, 2.0, None).tolist() == [2.0, 2.0]


@given(
    st.floats(-1e4, 1e4), st.floats(1e-6, 1e4), st.floats(0, 1), st.none() | st.floats(0.01, 100)
)
def test_allowed_values_stay_and_keep_within(
    low: float, span: float, share: float, step: float | None
) -> None:
    high = low + span
    once = nearest(np.array([low + share * span]), low, high, step)
    assert low - 1e-12 <= once[0] <= high + 1e-9 * (1 if step is None else step) + 1e-12
    np.testing.assert_array_equal(nearest(once, low, high, step), once)
