"""Pieces by time."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from frame3d.explore.engines.pace import MOST, Pace, Paces
from tests.explore.fakes import STUDY, chunks, designs, with_bike


def test_pieces_grow_to_the_time_that_they_are_to_take() -> None:
    pace = Pace(1, target=0.5)
    sizes = []
    for piece in pace.pieces([designs(2000)]):
        sizes.append(len(piece))
        pace.took(len(piece), 0.005 * len(piece))
    assert sizes[:5] == [1, 4, 16, 64, 100]
    assert sum(sizes) == 2000


def test_the_small_pieces_that_end_a_batch_do_not_hold_up_the_next() -> None:
    pace = Pace(2, target=0.5)
    sizes: list[int] = []
    for piece in pace.pieces([designs(1000), designs(1000)]):
        sizes.append(len(piece))
        pace.took(len(piece), len(piece) / 256)
    end = next(i for i in range(len(sizes)) if sum(sizes[: i + 1]) == 1000)
    assert sizes[:5] == [1, 4, 16, 64, 128]
    assert sizes[end] == 1
    assert sizes[end + 1] == 128


def test_slow_designs_go_one_by_one_and_fast_ones_in_thousands() -> None:
    pace = Pace(2, target=0.5)
    pace.took(10, 60.0)
    assert pace.size == 1
    pace.took(4000, 0.0)
    assert pace.size == MOST


def test_every_worker_has_a_piece_of_a_batch() -> None:
    pace = Pace(4)
    pace.took(1000, 0.001)
    assert [len(piece) for piece in pace.pieces([designs(12)])][:4] == [3, 3, 2, 1]


@given(
    st.integers(0, 300),
    st.integers(1, 40),
    st.integers(1, 5),
    st.lists(st.floats(0, 9), min_size=1),
)
def test_nothing_is_left_out_or_given_twice(
    n: int, size: int, workers: int, times: list[float]
) -> None:
    pace = Pace(workers)
    found = []
    for i, piece in enumerate(pace.pieces(chunks(n, size))):
        assert piece
        found += piece
        pace.took(len(piece), times[i % len(times)])
    assert found == designs(n)
    assert all(a[0] < b[0] for a, b in pairwise(found))


def test_a_later_run_of_a_study_goes_on_at_its_pace() -> None:
    paces = Paces()
    first = paces.of(STUDY, 2)
    first.took(10, 0.1)
    assert paces.of(with_bike(STUDY.bike_text), 3) is first
    assert (first.size, first.workers) == (40, 3)
    assert paces.of(with_bike("other"), 2).size == 1
