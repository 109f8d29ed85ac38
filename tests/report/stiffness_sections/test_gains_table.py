"""Where a gram does most, as a table."""

from __future__ import annotations

from frame3d.report.stiffness_sections.gains_table import gains_table
from frame3d.report.texts import texts
from frame3d.stiffness.gains import gains_of
from tests.report.samples import rows
from tests.stiffness.test_of_bike import result


def test_the_best_three_of_each_case_with_bridges_marked() -> None:
    beam = result("hardtail")
    gains = gains_of(beam)
    found = rows(gains_table(beam, gains, texts()))
    assert [row[0] for row in found] == [one.case.title for one in beam.cases]
    for row, one in zip(found, beam.cases, strict=True):
        best = sorted(gains, key=lambda gain: -gain.per_gram(one.case.key))[:3]
        for cell, gain in zip(row[1:], best, strict=True):
            assert cell.startswith(texts().part(gain.tube))
            assert ("outside" if gain.size == "od" else "wall") in cell
            assert cell.endswith("*") == (gain.tube in beam.model.bridges)
            assert texts().number(gain.percent[one.case.key], 1, sign=True) in cell
