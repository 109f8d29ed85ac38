"""Sketches of bent tubes: to scale, each bend numbered in each view, nothing over anything else."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from frame3d.fabrication.bend_sketch import BALLOON, bent_tubes
from frame3d.fabrication.bends import bend_sheets, bends_of
from frame3d.geometry.centreline import Arc
from frame3d.paper.page_elements import PAPERS
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import facts_of_all, texts

BIKES = ("trail_hardtail_29", "four links", "trail_full_140")


def test_of_a_pair_the_left_one_is_drawn() -> None:
    bike, _ = facts_of_all("trail_full_140")
    names = [tube.name for tube in bent_tubes(bike.tubes)]
    assert names == ["down_tube", "pivot_strut", "chainstay_left", "seatstay_left"]


@pytest.mark.parametrize("name", BIKES)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_bend_has_its_number(name: str, paper: str) -> None:
    bike, facts = facts_of_all(name)
    bends = [bend for one in facts for bend in bends_of(one)]
    sheets = bend_sheets(bike, bends, PAPERS[paper])
    tubes = bent_tubes(bike.tubes)
    arcs = [sum(isinstance(p, Arc) for p in tube.axis.pieces) for tube in tubes]
    circles = 0
    for sheet in sheets:
        assert crossed(sheet.entities(), through=("CENTRE",)) == []
        circles += sum(
            e.dxftype() == "CIRCLE" and abs(e.dxf.radius - BALLOON) < 1e-9 for e in sheet.entities()
        )
    assert sum(arcs) <= circles <= 2 * sum(arcs)
    said = Counter(text for sheet in sheets for text in texts(sheet))
    assert said["start"] >= len(tubes)


def test_a_sketch_is_to_the_scale_that_it_states() -> None:
    """The down tube lies in a plane, so its ends are as far apart as its axis' ends are."""
    bike, facts = facts_of_all("trail_full_140")
    bends = [bend for one in facts for bend in bends_of(one)]
    (sheet,) = bend_sheets(bike, bends, PAPERS["A4"])
    title = next(text for text in texts(sheet) if text.startswith("down tube, 1:"))
    match = re.fullmatch(r"down tube, 1:([\d.]+)", title)
    assert match is not None
    axis = next(
        e.get_points("xy")
        for e in sheet.entities()
        if e.dxftype() == "LWPOLYLINE" and e.dxf.layer == "CENTRE"
    )
    (x0, y0), (x1, y1) = axis[0], axis[-1]
    tube = bike.tube("down_tube")
    apart = sum((a - b) ** 2 for a, b in zip(tube.axis.start, tube.axis.end, strict=True)) ** 0.5
    assert ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 * float(match[1]) == pytest.approx(
        apart, rel=1e-3
    )
