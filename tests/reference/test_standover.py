"""Standover over top tubes of every shape, against OCCT: the top of a cut across the exact solid."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from OCP.Bnd import Bnd_Box
from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
from OCP.BRepBndLib import BRepBndLib
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt

from frame3d.bodies.shapes import Tubular
from frame3d.tubes.standover import upper_edge
from frame3d.tubes.tube import Tube
from tests.frames import bar, context
from tests.reference import occt
from tests.sampling import diagonal

BACK, AHEAD = (-120.0, 0.0, 380.0), (430.0, 0.0, 600.0)
OVAL: dict[str, Any] = {"height": 40.0, "width": 26.0}
TUBES: dict[str, dict[str, Any]] = {
    "straight": bar(31.8, BACK, AHEAD),
    "from the front": bar(31.8, AHEAD, BACK),
    "oval": bar(OVAL, BACK, AHEAD),
    "tapered": bar({"start": 36.0, "end": 28.0}, BACK, AHEAD),
    "bent": bar(31.8, BACK, AHEAD, bends=[{"along": 200, "rise": -40, "radius": 300}]),
    "bent aside": bar(
        31.8, BACK, AHEAD, bends=[{"along": 200, "rise": -40, "y": 25, "radius": 300}]
    ),
    "aside": bar(31.8, (-120.0, 20.0, 380.0), (430.0, -15.0, 600.0)),
    "oval and aside": bar(OVAL, (-120.0, 60.0, 380.0), (430.0, -60.0, 600.0)),
}


def tube_of(name: str) -> Tube:
    return context({"top_tube": TUBES[name]}).tube("top_tube")


def top_of_cut(tube: Tube, ahead: float, pitch: float) -> float:
    """Highest point of the solid's outline in the upright plane across the bike, `ahead` of the origin.

    The bounding box of the section's exact curves, taken in axes that stand upright with the ground.
    """
    turn = np.radians(pitch)
    forward = (float(np.cos(turn)), 0.0, -float(np.sin(turn)))
    plane = gp_Pln(gp_Pnt(*(ahead * x for x in forward)), gp_Dir(*forward))
    best = -np.inf
    for part in occt.tube(Tubular("top_tube", tube.axis, tube.section)):
        cut = occt.turned(BRepAlgoAPI_Section(part, plane).Shape(), pitch)
        box = Bnd_Box()
        BRepBndLib.AddOptimal_s(cut, box, True, False)
        if not box.IsVoid():
            best = max(best, box.CornerMax().Z())
    return float(best)


@pytest.mark.parametrize(
    ("name", "ahead", "pitch"), diagonal(3, list(TUBES), [0.0, 60.0, 155.0], [0.0, 3.0, -2.0])
)
def test_the_upper_edge_is_the_top_of_the_solid(name: str, ahead: float, pitch: float) -> None:
    """Bends are lofted in OCCT: 1e-4 mm; all others agree to 1e-6."""
    tube = tube_of(name)
    found = upper_edge([tube], ahead, pitch)
    assert found == pytest.approx(top_of_cut(tube, ahead, pitch), abs=2e-4)
