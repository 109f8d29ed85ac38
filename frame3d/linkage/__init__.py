"""Rear suspension as a planar mechanism: poses, curves, springs and sag; numpy alone."""

from frame3d.linkage.curves import Curves, Forces, Gear, Ride, curves, forces, wheel_load
from frame3d.linkage.motion import Motion
from frame3d.linkage.points import OnTube, beside
from frame3d.linkage.result import Linkage, Pose
from frame3d.linkage.sag import Sag, asked_sag, found_sag, shock_load, sold_coils
from frame3d.linkage.solve import solve_linkage
from frame3d.linkage.springs import Air, Coil, Spring, Table, spring_of

__all__ = [
    "Air",
    "Coil",
    "Curves",
    "Forces",
    "Gear",
    "Linkage",
    "Motion",
    "OnTube",
    "Pose",
    "Ride",
    "Sag",
    "Spring",
    "Table",
    "asked_sag",
    "beside",
    "curves",
    "forces",
    "found_sag",
    "shock_load",
    "sold_coils",
    "solve_linkage",
    "spring_of",
    "wheel_load",
]
