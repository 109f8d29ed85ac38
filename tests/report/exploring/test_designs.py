"""Which designs are on the page, in which order."""

from __future__ import annotations

from frame3d.report.exploring.designs import shown
from tests.report.exploring.samples import exploration


def test_kept_ones_come_first_then_the_front_then_what_misses_least() -> None:
    found = exploration(200)
    rows = shown(found).rows
    assert len(rows) == len({one.design for one in rows}) == 200
    assert [one.design for one in rows[:2]] == [k.evaluation.design for k in found.best]
    front = {one.design for one in found.front}
    assert front <= {one.design for one in rows[: 2 + len(front)]}
    totals = [one.total for one in rows[2 + len(front) :]]
    assert totals == sorted(totals)


def test_the_front_is_in_the_order_of_the_first_preference() -> None:
    page = shown(exploration(200))
    lengths = [page.rows[row].values["wheelbase"] for row in page.front]
    masses = [page.rows[row].values["mass"] for row in page.front]
    assert len(lengths) > 3
    assert lengths == sorted(lengths)
    assert masses == sorted(masses, reverse=True)


def test_of_many_some_are_shown_the_good_ones_first() -> None:
    found = exploration(400)
    rows = shown(found, most=200).rows
    assert len(rows) == 200
    assert sum(one.feasible for one in rows) == found.feasible
    missing = [one.total for one in rows if not one.feasible]
    assert max(missing) > 0.8 * max(one.total for one in found.evaluations)
    few = shown(found, most=30).rows
    assert len(few) == 30
    assert all(one.feasible for one in few)
