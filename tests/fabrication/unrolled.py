"""Panels and sheets of a tube's template, for tests."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from frame3d.bike.bike import Bike
from frame3d.fabrication.template import Panel, panels_of
from frame3d.fabrication.template_sheets import sheets_of
from frame3d.fabrication.tube_facts import facts_of
from frame3d.paper.page_elements import PAPERS, Paper
from frame3d.paper.sheet import Sheet
from frame3d.tubes.cuts.edge import Cutting, bodies_of

Array = NDArray[np.float64]


def panels(layout: Bike, name: str) -> list[Panel]:
    bodies = bodies_of(layout.frame)
    tube = layout.tube(name)
    cutting = Cutting(tube, bodies)
    return panels_of(facts_of(tube, bodies, cutting), cutting, bodies)


def sheets(layout: Bike, name: str, paper: Paper = PAPERS["A4"]) -> list[Sheet]:
    bodies = bodies_of(layout.frame)
    tube = layout.tube(name)
    cutting = Cutting(tube, bodies)
    found = facts_of(tube, bodies, cutting)
    return sheets_of(found, panels_of(found, cutting, bodies), layout, paper, bodies)


def paths(sheet: Sheet, layer: str) -> list[Array]:
    return [
        np.array(e.get_points("xy"))
        for e in sheet.entities()
        if e.dxf.layer == layer and e.dxftype() == "LWPOLYLINE"
    ]


def texts(sheet: Sheet) -> str:
    return "\n".join(e.dxf.text for e in sheet.entities() if e.dxftype() == "TEXT")
