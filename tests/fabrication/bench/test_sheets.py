"""The bench order on paper: every step with its number and box, the cautions, nothing crossed."""

from __future__ import annotations

import csv
import io

import pytest

from frame3d.fabrication.bench.joints import joints_of
from frame3d.fabrication.bench.sheets import BOX, bench_csv, bench_sheets
from frame3d.fabrication.bench.steps import steps_of
from frame3d.fabrication.bench.words import CAUTIONS
from frame3d.paper.page_elements import PAPERS
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import facts_of_all, texts


@pytest.mark.parametrize("name", ["trail_hardtail_29", "four links"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_step_has_its_box(name: str, paper: str) -> None:
    bike, facts = facts_of_all(name)
    steps = steps_of(bike, facts, joints_of(bike))
    sheets = bench_sheets(bike, steps, PAPERS[paper])
    said = [text for sheet in sheets for text in texts(sheet)]
    assert {str(i) for i in range(1, len(steps) + 1)} <= set(said)
    boxes = 0
    for sheet in sheets:
        assert crossed(sheet.entities(), through=()) == []
        for entity in sheet.entities():
            if entity.dxftype() == "LWPOLYLINE" and len(entity) == 4:
                xs = [point[0] for point in entity.get_points()]
                boxes += abs(max(xs) - min(xs) - BOX) < 1e-6
    assert boxes == len(steps)
    words = " ".join(texts(sheets[0]))
    assert all(text.split()[0] in words for text in CAUTIONS)
    *rows, _ = csv.DictReader(io.StringIO(bench_csv(steps).decode()))
    assert [int(row["step"]) for row in rows] == list(range(1, len(steps) + 1))
    assert not any(row["signed"] for row in rows)
