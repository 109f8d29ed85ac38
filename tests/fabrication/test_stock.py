"""Bars and what is cut from them: kerf and trim by hand, nothing lost, first-fit decreasing."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from frame3d.fabrication.ordering.fewest_bars import Stock
from frame3d.fabrication.ordering.stock import Piece, Plan, StockLength, cut_stock, first_fit


def pieces(*lengths: float) -> list[Piece]:
    return [Piece(length, f"{i}") for i, length in enumerate(lengths)]


def bars(*lengths: float) -> list[StockLength]:
    return [StockLength(length) for length in lengths]


def cut(plan: Plan[Piece]) -> list[tuple[float, list[float], float]]:
    return [(b.length, [p.length for p in b.pieces], round(b.offcut, 6)) for b in plan.bars]


def test_kerf_and_trim_by_hand() -> None:
    # 3 × 300 + 3 cuts of 2 = 906; the last cut parts the offcut of 94 mm.
    assert cut(cut_stock(pieces(300, 300, 300), bars(1000), kerf=2)) == [(1000, [300] * 3, 94)]
    # 10 mm off at either end: 980 usable, 74 left.
    (plan,) = cut(cut_stock(pieces(300, 300, 300), bars(1000), kerf=2, trim=10))
    assert plan == (1000, [300] * 3, 74)
    # 498 + 2 + 500 = 1000: the second piece ends with the bar and needs no cut.
    assert cut(cut_stock(pieces(498, 500), bars(1000), kerf=2)) == [(1000, [500, 498], 0)]
    # A hundredth more, and it takes a second bar.
    assert len(cut_stock(pieces(498.01, 500), bars(1000), kerf=2).bars) == 2
    # 1 mm is left, less than the saw takes: no offcut.
    assert cut(cut_stock(pieces(497, 500), bars(1000), kerf=2)) == [(1000, [500, 497], 0)]


def test_a_piece_as_long_as_the_bar_fits_and_a_longer_one_is_left() -> None:
    plan = cut_stock(pieces(1000, 1000.01, 200), bars(1000), kerf=2)
    assert [p.length for p in plan.left] == [1000.01]
    assert [p.length for bar in plan.bars for p in bar.pieces] == [1000, 200]
    assert [p.length for p in cut_stock(pieces(990), bars(1000), trim=6).left] == [990]


NEAT = (38, 35, 35, 30, 30, 14, 14)
"""38 + 30 + 30 and 35 + 35 + 14 + 14: two bars of 100, where first-fit decreasing takes three."""


def test_where_first_fit_decreasing_takes_too_many_fewer_are_found() -> None:
    assert first_fit(NEAT, [Stock(100, 1)]) == ([(0, (0, 1, 5)), (0, (2, 3, 4)), (0, (6,))], ())
    plan = cut_stock(pieces(*NEAT), bars(100))
    assert cut(plan) == [(100, [38, 30, 30], 2), (100, [35, 35, 14, 14], 2)]
    assert (plan.method, plan.claim) == ("search", "the fewest, proven")


def test_of_several_lengths_the_least_is_bought_with_fewest_bars() -> None:
    plan = cut_stock(pieces(900, 900, 900), bars(1000, 2000, 3000), kerf=2)
    assert plan.total == 3000
    assert cut(plan) == [(3000, [900] * 3, 294)]
    assert plan.claim == "the least length, proven"
    assert cut(cut_stock(pieces(900, 400), bars(1000, 1500), kerf=2)) == [(1500, [900, 400], 196)]


def test_bars_that_run_out() -> None:
    stock = [StockLength(2000, 1), StockLength(1000)]
    plan = cut_stock(pieces(1500, 900, 900), stock, kerf=2)
    assert cut(plan) == [(2000, [1500], 498), (1000, [900], 98), (1000, [900], 98)]
    assert plan.is_proven
    plan = cut_stock(pieces(900, 900, 900), [StockLength(1000, 2)], kerf=2)
    assert (len(plan.bars), len(plan.left)) == (2, 1)


def test_few_bars_that_suffice_are_found_where_first_fit_leaves_a_piece() -> None:
    assert first_fit(NEAT, [Stock(100, 1, 2)])[1] == (6,)
    plan = cut_stock(pieces(*NEAT), [StockLength(100, 2)])
    assert (len(plan.bars), plan.left) == (2, ())


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(50, 1990).map(lambda n: n / 2), min_size=1, max_size=40),
    st.sampled_from([[1000.0], [2000.0], [1000.0, 1500.0]]),
    st.sampled_from([0.0, 1.6, 2.0, 3.0]),
)
def test_every_piece_is_in_one_bar_that_holds_it(
    lengths: list[float], stock: list[float], kerf: float
) -> None:
    wanted = pieces(*lengths)
    plan = cut_stock(wanted, bars(*stock), kerf=kerf)
    held = [piece for bar in plan.bars for piece in bar.pieces]
    assert sorted((*held, *plan.left), key=lambda p: int(p.label)) == wanted
    assert plan.left == ()
    for bar in plan.bars:
        used = math.fsum(p.length for p in bar.pieces) + kerf * (len(bar.pieces) - 1)
        assert used <= bar.length + 1e-9
        assert bar.offcut == pytest.approx(max(0.0, bar.length - used - kerf), abs=1e-6)


def test_large_orders_keep_to_the_bound_of_first_fit_decreasing() -> None:
    """At most 11/9 of the fewest and 6/9 (Dósa 2007, from memory); here of the pieces' length in all."""
    lengths = [250.0 + 7 * (i * 37 % 71) for i in range(600)]
    plan = cut_stock(pieces(*lengths), bars(2000), kerf=2)
    least = math.ceil(sum(n + 2 for n in lengths) / 2002)
    assert least <= len(plan.bars) <= 11 / 9 * least + 6 / 9
    assert len(plan.bars) - plan.over >= least
    assert plan == cut_stock(pieces(*lengths), bars(2000), kerf=2)


@pytest.mark.parametrize(
    ("stock", "kerf", "trim", "length"),
    [
        ([], 2, 0, 100),
        (bars(1000, 1000), 2, 0, 100),
        (bars(1000), -1, 0, 100),
        (bars(1000), 2, math.nan, 100),
        (bars(1000), 2, 500, 100),
        (bars(math.inf), 2, 0, 100),
        (bars(1000), 2, 0, 0),
        ([StockLength(1000, -1)], 2, 0, 100),
    ],
)
def test_what_cannot_be_is_refused(
    stock: list[StockLength], kerf: float, trim: float, length: float
) -> None:
    with pytest.raises(ValueError, match=r"\w+"):
        cut_stock(pieces(length), stock, kerf=kerf, trim=trim)
