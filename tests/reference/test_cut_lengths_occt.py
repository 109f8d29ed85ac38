"""A tube's cut length is one figure in every output, and that of its solid.

The outside reference is the CAD kernel's solid (Open CASCADE): the parts of ``frame3d.build``, cut by
boolean operations, and its bounding box along the tube's axis.
"""

from __future__ import annotations

import csv
import io

import pytest
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Ax3, gp_Dir, gp_Pnt, gp_Trsf
from OCP.TopoDS import TopoDS_Shape

import frame3d
from frame3d.bike.bike import Bike
from frame3d.bodies.body import Bodies
from frame3d.fabrication.cut_list import cut_list_csv
from frame3d.fabrication.pack import Maker
from frame3d.formats.geometry_json import geometry_document
from frame3d.parameters.starters.starter import SUSPENSIONS
from frame3d.report.meshes import meshes_of
from frame3d.tubes.tube import Tube
from tests.frames import CONFIGS, bar, context, demo, demo_solids
from tests.sampling import everyday

DEMOS = tuple(sorted(path.stem for path in CONFIGS.glob("*.yaml")))
TWICE = ("four-bar", "single-pivot-rocker")
"""Starters that are demos under another name, see `tests/parameters/test_starter.py`."""
STARTERS = ("starter", *(name for name in SUSPENSIONS if name not in TWICE))
NAMES = (*DEMOS, *STARTERS, "late cuts")
EVERYDAY = ("minimal", "trail_full_140", "trail_hardtail_29", "late cuts")


def bike_of(name: str) -> Bike:
    """A demo or a starter by its name, or a frame whose tubes are cut after their mitres."""
    return late_cuts() if name == "late cuts" else demo(name)


def late_cuts() -> Bike:
    """A branch whose start two bars cope and whose long end a third one cuts off, and a brace that
    the branch crosses just before its mitre, so that the mitre's tip falls off, and a bar that
    the brace severs.
    """
    return context(
        {
            "stop": bar(60.0, (160, 0, -100), (160, 0, 100)),
            "one": bar(40.0, (0, 0, -200), (0, 0, 200)),
            "two": bar(30.0, {"on": "one", "from_start": 200}, (141, 0, 141)),
            "branch": bar(24.0, {"on": "one", "from_start": 200}, (170, 0, 0), 1.0),
            "brace": bar(
                16.0, {"on": "one", "from_start": 40}, {"on": "stop", "from_start": 140}, 1.0
            ),
            "severed": bar(12.0, (70, -60, -70), (72, 90, -70), 1.0),
        }
    )


def extent(shape: TopoDS_Shape, tube: Tube) -> float:
    """How long the kernel's solid is along a straight tube's axis [mm]."""
    at, along = tube.axis.at(0.0), tube.axis.tangent(0.0)
    turned = gp_Trsf()
    turned.SetTransformation(gp_Ax3(gp_Pnt(*at.tolist()), gp_Dir(*along.tolist())))
    box = Bnd_Box()
    moved = BRepBuilderAPI_Transform(shape, turned, True).Shape()
    BRepBndLib.AddOptimal_s(moved, box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    return float(high.Z() - low.Z())


@pytest.mark.parametrize("name", everyday(EVERYDAY, NAMES))
def test_every_output_says_the_same_length(name: str) -> None:
    bike = bike_of(name)
    lengths = {row["name"]: row["cut_length"] for row in geometry_document(bike)["tubes"]}
    assert list(lengths) == [tube.name for tube in bike.tubes]
    if not bike.tubes:
        return
    maker = Maker(bike, "A4", None)
    grams = dict.fromkeys(lengths, 0.0)
    table = io.StringIO(cut_list_csv(maker.facts, maker.cuttings, grams).decode())
    rows = {row["tube"]: row["cut_length_mm"] for row in csv.DictReader(table)}
    for tube, length in lengths.items():
        assert float(rows[tube]) == pytest.approx(length, abs=0.00501), tube  # as rounded there
    assert {one.tube.name: one.long_to_long for one in maker.facts} == pytest.approx(
        lengths, abs=1e-9
    )
    assert meshes_of(bike, Bodies((), ())).lengths == pytest.approx(lengths, abs=1e-9)


@pytest.mark.parametrize("name", everyday(EVERYDAY, NAMES))
def test_the_length_is_that_of_the_solid(name: str) -> None:
    bike = bike_of(name)
    if not bike.tubes:
        return
    made = frame3d.build(bike) if name == "late cuts" else demo_solids(name)
    parts = {part.name: part.shape for part in made.parts}
    document = geometry_document(bike)
    lengths = {row["name"]: row["cut_length"] for row in document["tubes"]}
    for tube in bike.tubes:
        if tube.axis.is_straight:
            found = extent(parts[tube.name], tube)
            assert lengths[tube.name] == pytest.approx(found, abs=0.05), tube.name


def test_a_tube_is_shorter_by_what_another_cuts_off_its_end() -> None:
    """The stop's near side is at 160 − √(30² − 12²) beside the branch, the start's long point at
    √(20² − 12²), by Pythagoras.
    """
    bike = late_cuts()
    (row,) = (row for row in geometry_document(bike)["tubes"] if row["name"] == "branch")
    exact = 160 - (30**2 - 12**2) ** 0.5 - (20**2 - 12**2) ** 0.5
    assert row["cut_length"] == pytest.approx(exact, abs=0.005)
    tube = bike.tube("branch")
    assert tube.axis.length - tube.start.long_point - tube.end.long_point > exact + 20
