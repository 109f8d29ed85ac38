"""Whether a right part is its left part moved, and how."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS_Shape

CLOSE = 1e-4
"""How well faces must match [mm, mm²]."""


def motion_to_right(left: TopoDS_Shape, right: TopoDS_Shape) -> gp_Trsf | None:
    """The motion that takes `left` to its mirror image `right`; None where there is none.

    A shape with a plane of symmetry is its own mirror image in that plane; two mirrorings, in it and
    in the centre plane, make a motion. A plane of symmetry holds the centre of mass and is square to
    a principal axis of inertia, so there are three candidates. Each is tried by the areas and centres
    of all faces.
    """
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(left, props, 1e-6)
    centre, principal = props.CentreOfMass(), props.PrincipalProperties()
    goal = _faces(right)
    faces = _faces(left)
    if len(goal) != len(faces):
        return None
    for axis in (
        principal.FirstAxisOfInertia(),
        principal.SecondAxisOfInertia(),
        principal.ThirdAxisOfInertia(),
    ):
        motion = gp_Trsf()
        motion.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
        first = gp_Trsf()
        first.SetMirror(gp_Ax2(centre, gp_Dir(axis)))
        motion.Multiply(first)
        if _match(_moved(faces, motion), goal):
            return motion
    return None


def _faces(shape: TopoDS_Shape) -> NDArray[np.float64]:
    """Area and centre of every face: (n, 4) float [mm², mm]."""
    rows = []
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_FACE)
    while explorer.More():
        props = GProp_GProps()
        BRepGProp.SurfaceProperties_s(explorer.Current(), props, 1e-6)
        c = props.CentreOfMass()
        rows.append((props.Mass(), c.X(), c.Y(), c.Z()))
        explorer.Next()
    return np.array(rows)


def _moved(faces: NDArray[np.float64], motion: gp_Trsf) -> NDArray[np.float64]:
    rows = []
    for area, x, y, z in faces:
        p = gp_Pnt(float(x), float(y), float(z)).Transformed(motion)
        rows.append((area, p.X(), p.Y(), p.Z()))
    return np.array(rows)


def _match(a: NDArray[np.float64], b: NDArray[np.float64]) -> bool:
    """Whether each face of `a` is one of `b`."""
    gaps = np.abs(a[:, None, :] - b[None, :, :]).max(axis=2)
    return bool((gaps.min(axis=1) < CLOSE).all() and (gaps.min(axis=0) < CLOSE).all())
