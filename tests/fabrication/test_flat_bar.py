"""Flat bars: outlines on the surfaces that they are cut to, the blank, the waste."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.fabrication.flat_bar import FlatBar, flat_bar, flat_sheet, is_flat
from frame3d.fabrication.pack import Maker
from frame3d.fabrication.tube_facts import facts_of
from frame3d.paper.page_elements import PAPERS
from frame3d.paper.sheet import Sheet
from frame3d.parameters.reading.reader import loads
from frame3d.tubes.cuts.edge import Cutting, bodies_of
from tests.fabrication.crossing import crossed
from tests.fabrication.samples import SMALL
from tests.frames import bar, context
from tests.sampling import first


def gusset(long: float = 90.0, paper: str = "A4", **od: Any) -> tuple[Bike, FlatBar, Sheet | None]:
    """A plate of 36 × 6 in the corner of an upright tube of 40 and a sloping one of 32."""
    layout = context(
        {
            "mast": bar(40.0, (0, 0, 0), (0, 0, 700), 1.2),
            "beam": bar(32.0, {"on": "mast", "from_start": 300.0}, (600, 0, 360), 1.0),
            "gusset": bar(
                {"height": 36, "width": 6, **od},
                {"on": "mast", "from_start": 300 - 0.8 * long},
                {"on": "beam", "from_start": long},
            ),
        }
    )
    tube, bodies = layout.tube("gusset"), bodies_of(layout.frame)
    cutting = Cutting(tube, bodies)
    facts = facts_of(tube, bodies, cutting)
    return (
        layout,
        flat_bar(tube, cutting),
        flat_sheet(facts, cutting, layout, PAPERS[paper], bodies),
    )


@pytest.mark.parametrize("corner", first(1, [None, 1.5]))
def test_every_edge_of_the_outline_lies_on_the_tube_that_it_is_cut_to(
    corner: float | None,
) -> None:
    """Of an oval, and of a rectangle with corners."""
    layout, plate, _ = gusset() if corner is None else gusset(corner=corner)
    tube = layout.tube("gusset")
    half = np.sqrt(1 - (plate.across / 18.0) ** 2) * 3.0
    if corner is not None:
        past = np.maximum(np.abs(plate.across) - (18.0 - corner), 0.0)
        half = 3.0 - corner + np.sqrt(corner**2 - past**2)
    for rows, side in ((plate.middle, 0.0), (plate.skins[0], 1.0), (plate.skins[1], -1.0)):
        for i, (name, radius) in enumerate((("mast", 20.0), ("beam", 16.0))):
            centre, up, across = tube.axis.frames(rows[:, i])
            points = centre + plate.across[:, None] * up + (side * half)[:, None] * across
            _, away = layout.tube(name).axis.approach(points)
            np.testing.assert_allclose(away, radius, atol=1e-6)


@pytest.mark.parametrize("long", first(1, [90.0, 76.0, 150.0]))
def test_the_sheet_is_a_plate_and_no_wrapped_tube(long: float) -> None:
    layout, plate, sheet = gusset(long)
    assert sheet is not None
    tube = layout.tube("gusset")
    said = [e.dxf.text for e in sheet.entities() if e.dxftype() == "TEXT"]
    assert "36 × 6" in said
    assert "solid, 36 wide, 6 thick" in said
    assert "glue" not in said
    for end, name in ((tube.start, "mast"), (tube.end, "beam")):
        assert end.angle is not None
        assert f"mitred to {name} at {min(end.angle, 180 - end.angle):.2f}°" in said
    low, high = plate.blank
    assert f"{high - low:.2f}" in said
    assert high - low == pytest.approx(
        tube.axis.length - tube.start.long_point - tube.end.long_point, abs=0.02
    )
    assert crossed(sheet.entities(), through=()) == []
    # The hatching: within the blank, none of it on metal.
    (blank,) = (
        np.array(e.get_points("xy"))
        for e in sheet.entities()
        if e.dxf.layer == "STRIP" and e.dxftype() == "LWPOLYLINE"
    )
    x0, y0 = blank[:, 0].min() - low, blank[:, 1].mean()
    hatched = [e for e in sheet.entities() if e.dxf.layer == "BUTT"]
    assert len(hatched) > 10
    for line in hatched:
        for p in (line.dxf.start, line.dxf.end):
            first, last = (np.interp(p.y - y0, plate.across, plate.middle[:, i]) for i in (0, 1))
            assert p.x - x0 < first + 0.2 or p.x - x0 > last - 0.2


PLATE = (
    "tubes.plate={od: {height: 30, width: 5}, wall: solid, start: {on: down_tube, from_end: 150}, "
    "end: {on: top_tube, from_end: 110}}"
)


def test_the_pack_has_it_and_what_the_paper_cannot_hold_is_wrapped() -> None:
    layout = frame3d.solve(loads(SMALL, "small.yaml", sets=(PLATE,)))
    pack = Maker(layout, "A4", None).make()
    assert not pack.faults
    assert b"30 wide, 5 thick" in pack.files["templates/plate.svg"]
    assert gusset(380.0)[2] is None


def test_only_wide_solid_bars_are_flat() -> None:
    layout = context(
        {
            "round": bar(12.0, (0, 0, 0), (100, 0, 0)),
            "tube": bar({"height": 36, "width": 6}, (0, 50, 0), (100, 50, 0), 1.0),
            "plate": bar({"height": 6, "width": 36}, (0, 90, 0), (100, 90, 0)),
        }
    )
    assert [is_flat(tube) for tube in layout.tubes] == [False, False, True]
