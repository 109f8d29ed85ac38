"""Mobility: against Grübler's count, closed forms and scipy's null spaces."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import scipy.linalg
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from frame3d.linkage.mechanism import Mechanism, make
from frame3d.linkage.mobility import RANK, mobility, null_space
from tests.linkage.bikes import four_bar, mechanism


def test_a_parallelogram_at_its_change_point() -> None:
    """Links in one line can go on as parallelogram or crossed; it is not passed by luck."""
    made = make(
        four_bar(60j, 100 + 60j, 100 + 0j, 50 + 60j, 200 - 40j).structure,
        {"o2": 0j, "a": 60 + 0j, "b": 160 + 0j, "o4": 100 + 0j, "rear_axle": 110 + 0j,
         "fix": 200 - 140j},
    )  # fmt: skip
    found = mobility(made)
    assert (found.counted, found.freedoms) == (1, 2)


def parallel(third: complex) -> Mechanism:
    """A parallelogram of 60 x 100 mm with a third crank from (50, 0) to `third`."""
    return mechanism(
        {"o2": 0j, "a": 60j, "b": 100 + 60j, "o4": 100 + 0j, "c": third, "o6": 50 + 0j,
         "rear_axle": -300 + 0j, "fix": 0 + 200j},
        {"frame": ["o2", "o4", "o6", "fix"], "one": ["o2", "a"], "two": ["o4", "b"],
         "three": ["o6", "c"], "coupler": ["a", "b", "c"]},
        "one",
        ("fix", "b"),
    )  # fmt: skip


def test_a_third_parallel_crank_takes_no_freedom() -> None:
    """Counted it locks; by its lengths it moves, and only as long as the third crank is parallel too."""
    found = mobility(parallel(50 + 60j))
    assert (found.counted, found.freedoms, found.held) == (0, 1, 0)
    assert found.loose == found.still == ()
    locked = mobility(parallel(70 + 60j))
    assert (locked.counted, locked.freedoms) == (0, 0)
    assert sorted(locked.still) == ["coupler", "one", "three", "two"]


def test_what_moves_on_its_own_is_loose() -> None:
    """A tail that hangs on the coupler alone has a freedom that the shock does not hold."""
    made = mechanism(
        {"o2": 0j, "a": 60j, "b": 90 + 70j, "o4": 100 + 0j, "tail": 40 + 200j,
         "rear_axle": -300 + 0j, "fix": -100 + 200j},
        {"frame": ["o2", "o4", "fix"], "one": ["o2", "a"], "two": ["o4", "b"],
         "coupler": ["a", "b"], "tail": ["b", "tail"]},
        "one",
        ("fix", "a"),
    )  # fmt: skip
    found = mobility(made)
    assert (found.counted, found.freedoms, found.held) == (2, 2, 1)
    assert found.loose == ("tail",)


def test_mobility_in_another_pose() -> None:
    """A parallelogram with all pivots in one line has a second freedom there, and only there."""
    made = four_bar(60j, 100 + 60j, 100 + 0j, 50 + 60j, 200 - 40j)
    assert mobility(made).freedoms == 1
    turned = np.ones(3, dtype=complex)
    for link in ("crank", "rocker"):
        turned[
            made.structure.links.index(link)
        ] = -1j  # cranks from upright to level, the coupler stays
    assert mobility(made, turned).freedoms == 2


@settings(max_examples=25)
@given(arrays(float, (3, 5), elements=st.integers(-100, 100).map(lambda n: n / 10)))
def test_null_spaces_against_scipy(matrix: np.ndarray[Any, np.dtype[np.float64]]) -> None:
    size = 10.0
    values = np.linalg.svd(matrix, compute_uv=False)
    limit = RANK * max(size, values[0])
    assume((np.abs(values / limit - 1) > 0.1).all())
    ours = null_space(matrix, size)
    theirs = scipy.linalg.null_space(matrix, rcond=limit / values[0] if values[0] else None)
    if values[0] == 0:
        theirs = np.eye(5)
    assert ours.shape == theirs.shape
    assert ours.T @ ours == pytest.approx(np.eye(ours.shape[1]), abs=1e-9)
    assert ours @ ours.T == pytest.approx(theirs @ theirs.T, abs=1e-5)  # the same space


def test_without_equations_everything_is_free() -> None:
    assert null_space(np.empty((0, 4)), 1.0) == pytest.approx(np.eye(4))
