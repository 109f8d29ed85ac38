"""Find the rigid motion that takes a left part to its right counterpart, if there is one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from OCP.BRepGProp import BRepGProp
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.GProp import GProp_GProps
from OCP.TopoDS import TopoDS_Shape

from frame3d.solids import occ

ROUGH, PRECISE = 1e-3, 1e-6
"""Relative precisions of integrals: for a first test, a hundred times quicker, and for the final one."""
CLOSE = {ROUGH: 0.1, PRECISE: 1e-3}
"""Tolerance in matching faces, by precision [mm, mm²]."""


def motion_to_right(left: TopoDS_Shape, right: TopoDS_Shape) -> gp_Trsf | None:
    """Return the rigid motion that takes `left` to its mirror image `right`; None where there is none.

    A shape with a plane of symmetry equals its mirror image in that plane. The reflections in that plane
    and in the centre plane together are a rigid motion. A plane of symmetry contains the centre of mass
    and is normal to a principal axis of inertia, so there are three candidates. Each is tested by the
    areas and centres of all faces.
    """
    motions = _motions(left, right, ROUGH)
    return next(iter(_motions(left, right, PRECISE)), None) if motions else None


def _motions(left: TopoDS_Shape, right: TopoDS_Shape, precision: float) -> list[gp_Trsf]:
    props = _properties(left, BRepGProp.VolumeProperties_s, precision)
    centre, principal = props.CentreOfMass(), props.PrincipalProperties()
    faces, goal = _faces(left, precision), _faces(right, precision)
    found = []
    for axis in (
        principal.FirstAxisOfInertia(),
        principal.SecondAxisOfInertia(),
        principal.ThirdAxisOfInertia(),
    ):
        motion, first = gp_Trsf(), gp_Trsf()
        motion.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
        first.SetMirror(gp_Ax2(centre, gp_Dir(axis)))
        motion.Multiply(first)
        if _match(_moved(faces, motion), goal, CLOSE[precision]):
            found.append(motion)
    return found


def _properties(
    shape: TopoDS_Shape, integrate: Callable[..., Any], precision: float
) -> GProp_GProps:
    props = GProp_GProps()
    if precision < ROUGH:
        integrate(shape, props, precision)
    else:
        integrate(shape, props)
    return props


def _faces(shape: TopoDS_Shape, precision: float) -> NDArray[np.float64]:
    """Return area and centre of every face: (n, 4) float [mm², mm]."""
    rows = []
    for face in occ.faces(shape):
        props = _properties(face, BRepGProp.SurfaceProperties_s, precision)
        c = props.CentreOfMass()
        rows.append((props.Mass(), c.X(), c.Y(), c.Z()))
    return np.array(rows)


def _moved(faces: NDArray[np.float64], motion: gp_Trsf) -> NDArray[np.float64]:
    rows = []
    for area, x, y, z in faces:
        p = gp_Pnt(float(x), float(y), float(z)).Transformed(motion)
        rows.append((area, p.X(), p.Y(), p.Z()))
    return np.array(rows)


def _match(a: NDArray[np.float64], b: NDArray[np.float64], close: float) -> bool:
    """Return whether each face of `a` matches one of `b`; (n, 4) each, as `_faces` returns them.

    Centres may differ by `close` [mm], areas by `close` times their square root.
    """
    if len(a) != len(b):
        return False
    gaps = np.abs(a[:, None, :] - b[None, :, :])
    gaps[:, :, 0] /= np.sqrt(a[:, None, 0])
    widest = gaps.max(axis=2)
    return bool((widest.min(axis=1) < close).all() and (widest.min(axis=0) < close).all())
