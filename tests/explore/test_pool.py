"""Designs evaluated each once, in order; what is better; the trade-off by a closed form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Self

from frame3d.explore.engines.engine import LeftOut
from frame3d.explore.engines.serial import Serial
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.pool import DEFECT, LOST, Pool, Standing, front_of, liked, merit
from frame3d.explore.store.store import Store
from frame3d.explore.study.study import Design, Preference, Quantity, Study
from tests.explore.fakes import MASS, STUDY, Broken, Formula, designs, result


class Counting:
    """An engine by formula that counts what it evaluates."""

    def __init__(self) -> None:
        self.asked: list[Design] = []
        self.left_out: list[LeftOut] = []

    def run(self, study: Study, designs: Iterable[Sequence[Design]]) -> Iterator[list[Evaluation]]:
        for batch in designs:
            self.asked += batch
            yield [result(design) for design in batch]

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        """Nothing is to be ended."""


def test_each_design_is_evaluated_once_and_told_in_order() -> None:
    engine = Counting()
    told: list[Standing] = []
    pool = Pool(STUDY, engine, told=told.append)
    some = designs(4)
    assert pool.of([*some, some[1]]) == [result(d) for d in (*some, some[1])]
    assert pool.of(some[2:]) == [result(d) for d in some[2:]]
    assert engine.asked == some
    assert (pool.evaluated, list(pool.kept)) == (4, some)
    assert (told[-1].done, told[-1].evaluated) == (4, 4)


def test_what_a_store_knows_is_not_evaluated_again(tmp_path: Path) -> None:
    some = designs(10)
    with Store.open(tmp_path / "s.sqlite", STUDY) as store:
        Pool(STUDY, Counting(), store).of(some[:6])
    engine = Counting()
    with Store.open(tmp_path / "s.sqlite", STUDY) as store:
        pool = Pool(STUDY, engine, store)
        assert pool.of(some) == [result(d) for d in some]
    assert engine.asked == some[6:]
    assert list(pool.kept) == some


def test_a_sweep_ends_when_told_and_keeps_what_it_has() -> None:
    pool = Pool(STUDY, Counting())
    assert pool.sweep(designs(1000), stop=lambda: True) is False
    assert 0 < len(pool.kept) < 1000
    assert pool.sweep(iter(designs(1000))) is True
    assert list(pool.kept) == designs(1000)


def test_the_best_and_what_blocks() -> None:
    pool = Pool(STUDY, Serial(Formula))
    pool.of([(0.0, "58-622"), (30.0, "58-622"), (60.0, "58-622"), (75.0, "58-622")])
    assert pool.best is not None
    assert pool.best.design == (60.0, "58-622")  # the trail is met from 54 on, the mass least at 60
    assert (pool.feasible, dict(pool.blocking)) == (2, {"trail": 2})


def test_a_design_without_a_result_is_the_worst_and_not_stored(tmp_path: Path) -> None:
    bad = (1.1, "61-622")
    with Store.open(tmp_path / "s.sqlite", STUDY) as store:
        pool = Pool(STUDY, Serial(Broken), store)
        found = pool.of([(1.0, "58-622"), bad])
        assert len(store) == 1
    assert (found[1].total, found[1].rejected_by, found[1].feasible) == (LOST, DEFECT, False)
    assert "a defect" in (found[1].fault or "")


def with_values(design: Design, **values: float) -> Evaluation:
    return replace(result(design), values=values, feasible=True, total=0.0)


TWO = replace(
    STUDY,
    preferences=(MASS, Preference("travel", Quantity("linkage", "travel", unit="mm"), least=False)),
)


def test_preferences_are_smaller_the_better() -> None:
    one = with_values((1.0, "61-622"), mass=3000.0, travel=140.0)
    assert liked(TWO, one) == (3000.0, -140.0)
    assert merit(TWO, one) == (0.0, 3000.0, -140.0)
    assert liked(TWO, with_values((1.0, "61-622"), mass=3000.0)) == (3000.0, float("inf"))


def test_the_trade_off_on_a_quarter_circle() -> None:
    """Points of x² + y² = 1 are a front of least x and least y; those farther out are not."""
    from math import cos, pi, sin

    on = [(cos(a), sin(a)) for a in [pi + i * pi / 20 for i in range(11)]]
    off = [(0.9 * x, 0.9 * y) for x, y in on]
    every = [
        with_values((float(i), "61-622"), mass=x, travel=-y) for i, (x, y) in enumerate([*off, *on])
    ]
    front = front_of(TWO, every)
    assert [(e.values["mass"], -e.values["travel"]) for e in front] == sorted(on)
    assert front_of(STUDY, every) == ()
    assert front_of(TWO, [replace(e, feasible=False) for e in every]) == ()
