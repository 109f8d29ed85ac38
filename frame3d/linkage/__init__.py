"""Rear suspension as a planar mechanism: poses, curves, springs and sag. Needs only numpy."""

from frame3d.linkage.curves.curves import Curves, Forces, Gear, SuspensionInputs, forces, wheel_load
from frame3d.linkage.curves.sag import Sag, equilibrium_sag, shock_load, sold_coils, target_sag
from frame3d.linkage.curves.springs import Air, Coil, Spring, Table, spring_of
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.points import OnTube, beside
from frame3d.linkage.result import Linkage, LinkagePose
from frame3d.linkage.solve import solve_linkage

__all__ = [
    "Air",
    "Coil",
    "Curves",
    "Forces",
    "Gear",
    "Linkage",
    "LinkageMotion",
    "LinkagePose",
    "OnTube",
    "Sag",
    "Spring",
    "SuspensionInputs",
    "Table",
    "beside",
    "equilibrium_sag",
    "forces",
    "shock_load",
    "sold_coils",
    "solve_linkage",
    "spring_of",
    "target_sag",
    "wheel_load",
]
