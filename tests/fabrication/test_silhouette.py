"""Visible lines against hidden-line removal by a CAD kernel, and by hand."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from frame3d.bike.bike import Bike
from frame3d.fabrication.drawing import outlines
from frame3d.fabrication.silhouette import REAR, SIDE, TOP, View, visible
from tests.frames import bar, context

Array = NDArray[np.float64]
VIEWS = {"side": SIDE, "top": TOP, "rear": REAR}


def two_bars() -> Bike:
    """A thick bar across, a thin one behind it (y to the left, so away from the side view) and a branch."""
    return context(
        {
            "front": bar(40.0, (0, -60, -100), (0, -60, 100)),
            "behind": bar(20.0, (-80, 0, 10), (80, 0, 10)),
            "branch": bar(24.0, {"on": "front", "from_start": 100}, (120, -60, 40), 1.0),
        }
    )


def length(lines: list[Array]) -> float:
    return float(sum(np.linalg.norm(np.diff(line, axis=0), axis=1).sum() for line in lines))


def by_kernel(layout: Bike, view: View) -> float:
    """Total length of the visible edges and outlines of the parts, by OCCT's exact algorithm."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepLib import BRepLib
    from OCP.GCPnts import GCPnts_AbscissaPoint
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector
    from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    from frame3d.solids import occ
    from frame3d.solids.bodies import bodies

    toward = np.cross(view.right, view.up)
    algo = HLRBRep_Algo()
    for body in bodies(layout):
        whole = occ.fuse([occ.solid(s) for s in body.metal])
        tools = [occ.solid(s) for cut in body.cuts for s in cut.tool]
        algo.Add(occ.largest(occ.cut(whole, tools)), 0)
    axes = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*toward.tolist()), gp_Dir(*view.right))
    algo.Projector(HLRAlgo_Projector(axes))
    algo.Update()
    algo.Hide()
    shapes = HLRBRep_HLRToShape(algo)
    total = 0.0
    compounds: list[Any] = [shapes.VCompound(), shapes.OutLineVCompound()]
    for compound in compounds:
        if compound is None or compound.IsNull():
            continue
        BRepLib.BuildCurves3d_s(compound)
        explorer = TopExp_Explorer(compound, TopAbs_EDGE)
        while explorer.More():
            curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
            total += GCPnts_AbscissaPoint.Length_s(curve)
            explorer.Next()
    return total


@pytest.mark.parametrize("name", list(VIEWS))
def test_as_much_is_seen_as_the_kernel_says(name: str) -> None:
    layout = two_bars()
    ours = length(visible(outlines(layout), VIEWS[name]))
    assert ours == pytest.approx(by_kernel(layout, VIEWS[name]), rel=0.01)


def test_what_lies_behind_is_hidden_and_nothing_else() -> None:
    lines = visible(outlines(two_bars()), SIDE)
    points = np.vstack([np.linspace(a, b, 30) for line in lines
                        for a, b in pairwise(line)])  # fmt: skip
    inside = (np.abs(points[:, 0]) < 19.0) & (np.abs(points[:, 1] - 10) < 10.5)
    branch = points[:, 0] > 12.0  # the branch's mitre is drawn over the thick bar
    assert not (inside & ~branch).any()
    # Left of the thick bar the thin one's two outlines run from its end to the bar.
    left = points[(points[:, 0] < -25.0)]
    assert np.isclose(np.abs(left[:, 1] - 10), 10.0, atol=0.06).any()
    assert left[:, 0].min() == pytest.approx(-80.0, abs=1e-6)


def test_the_outline_of_a_cylinder_is_as_wide_as_it() -> None:
    layout = context({"one": bar(40.0, (0, 0, -100), (0, 0, 100))})
    points = np.vstack(visible(outlines(layout), SIDE))
    assert np.ptp(points[:, 0]) == pytest.approx(40.0, abs=0.1)
    assert np.ptp(points[:, 1]) == pytest.approx(200.0, abs=1e-6)
    around = np.vstack(visible(outlines(layout), TOP))
    np.testing.assert_allclose(np.hypot(*around.T), 20.0, atol=0.05)
