"""Evaluation in this process."""

from __future__ import annotations

from frame3d.explore.engines.serial import Serial
from tests.explore.fakes import STUDY, Broken, Formula, chunks, designs, result


def test_results_come_in_order_whatever_the_batches() -> None:
    for size in (1, 7, 200):
        with Serial(Formula) as engine:
            found = [one for some in engine.run(STUDY, chunks(100, size)) for one in some]
        assert found == [result(design) for design in designs(100)]


def test_a_defect_is_told_and_left_out() -> None:
    engine = Serial(Broken)
    found = [one for some in engine.run(STUDY, chunks(20, 20)) for one in some]
    assert len(found) == 19
    assert [one.design[0] for one in engine.left_out] == [1.1]
