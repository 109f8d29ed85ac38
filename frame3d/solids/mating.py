"""Each outline of `frame3d.bodies` as a solid with the kernel's own surfaces (OCP)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Transform,
)
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape

from frame3d.bodies.body import Body
from frame3d.bodies.motion.pose import Matrix, Pose, matrix, own_matrix
from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Disc,
    PlacedShape,
    Prism,
    Profile,
    Ring,
    Shape,
    Torus,
    Tubular,
)
from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion, Plane
from frame3d.solids import occ
from frame3d.solids.outline_mesh import body_mesh
from frame3d.solids.sweep import Sweep

AS_DRAWN = Pose()
AGREEMENT = 0.02
"""Greatest relative difference between the volume of fused outlines and of their mesh."""
SLIMMER = 1e-4
"""Each of several joined capsules is slimmer than the one before by this fraction of its radius."""
SLACK = 0.999
"""Fraction of a rounding that the kernel can fillet where nothing flat would be left."""


def solid_of(solid: PlacedShape | Tubular, pose: Pose = AS_DRAWN) -> TopoDS_Shape:
    """Return an outline as a solid, at a pose.

    Raises:
        KernelError: it cannot be made.
    """
    return _moved(_drawn(solid), matrix(solid.mount, pose))


def solids_of(body: Body, pose: Pose = AS_DRAWN) -> list[TopoDS_Shape]:
    """Return a body as solids, at a pose: one where its outlines join and the kernel can fuse them.

    They are fused as drawn and then moved, so that the pose makes no difference.

    Raises:
        KernelError: an outline cannot be made.
    """
    outlines: tuple[PlacedShape | Tubular, ...] = body.shapes or body.tubes
    if len(outlines) == 1:
        return [solid_of(outlines[0], pose)]
    made = [_drawn(_slimmer(outline, i)) for i, outline in enumerate(outlines)]
    motion = matrix(outlines[0].mount, pose)
    return [_moved(shape, motion) for shape in _joined(body, made)]


def _slimmer(outline: PlacedShape | Tubular, index: int) -> PlacedShape | Tubular:
    """Return a capsule a little slimmer than the one before it; another outline as it is.

    The kernel fuses bars that share a sphere at their corner wrongly (measured: a third of a
    handlebar's volume lost); at slightly different radii it does it right.
    """
    if not isinstance(outline, PlacedShape) or not isinstance(outline.shape, Capsule):
        return outline
    shape, share = outline.shape, 1 - SLIMMER * index
    slim = Capsule(shape.length, shape.radius * share, shape.end_radius * share)
    return replace(outline, shape=slim)


def _joined(body: Body, made: list[TopoDS_Shape]) -> list[TopoDS_Shape]:
    """Return the fused outlines if their volume is that of the mesh; else the outlines one by one."""
    expected = body_mesh(body).volume
    try:
        fused = occ.fuse(made)
    except occ.KernelError:
        return made
    found = occ.bulk(fused).volume
    good = occ.is_valid(fused) and abs(found - expected) <= AGREEMENT * expected
    return occ.solids(fused) if good else made


def _drawn(solid: PlacedShape | Tubular) -> TopoDS_Shape:
    """Return an outline where its mount draws it."""
    if isinstance(solid, Tubular):
        return _tube(solid)
    return _moved(_shape(solid.shape), own_matrix(solid))


def _shape(shape: Shape) -> TopoDS_Shape:
    """Return a shape in its own axes."""
    match shape:
        case Torus(centre, radius):
            about = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0))
            return BRepPrimAPI_MakeTorus(about, centre, radius).Solid()
        case Box():
            return _box(shape)
        case Capsule(length, start, end):
            return _capsule(length, start, end)
        case Prism(profile, half):
            return occ.solid(
                Extrusion(
                    Path.polygon(profile),
                    Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
                    -half,
                    half,
                )
            )
        case Ring(profile) | Disc(profile):
            return _revolved(profile)


def _revolved(profile: Profile) -> TopoDS_Shape:
    """Return a convex profile (radius, y) turned about y; points at negative radius do not count."""
    polygon = BRepBuilderAPI_MakePolygon()
    for radius, y in profile:
        if radius > -1e-9:
            polygon.Add(gp_Pnt(max(radius, 0.0), y, 0.0))
    polygon.Close()
    return _turned(BRepBuilderAPI_MakeFace(polygon.Wire(), True).Face(), gp_Dir(0, 1, 0))


def _turned(face: TopoDS_Face, axis: gp_Dir) -> TopoDS_Shape:
    """Return a face turned about an axis through the origin."""
    return occ.largest(BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), axis)).Shape())


def _box(shape: Box) -> TopoDS_Shape:
    (x, y, z), rounding = shape.half, shape.rounding
    block = BRepPrimAPI_MakeBox(gp_Pnt(-x, -y, -z), gp_Pnt(x, y, z)).Solid()
    if rounding < 1e-6:
        return block
    flat = min(shape.core) > (1 - SLACK) * rounding
    fillet = BRepFilletAPI_MakeFillet(block)
    seen = TopExp_Explorer(block, TopAbs_ShapeEnum.TopAbs_EDGE)
    while seen.More():
        fillet.Add(rounding if flat else SLACK * rounding, TopoDS.Edge_s(seen.Current()))
        seen.Next()
    fillet.Build()
    if not fillet.IsDone():
        raise occ.KernelError("a box could not be rounded")
    return occ.largest(fillet.Shape())


def _capsule(length: float, r0: float, r1: float) -> TopoDS_Shape:
    """Return the hull of two spheres on z: arcs and their common tangent, turned about z."""
    if length <= abs(r0 - r1) + 1e-9:
        centre = gp_Pnt(0, 0, 0 if r0 >= r1 else length)
        return BRepPrimAPI_MakeSphere(centre, max(r0, r1)).Solid()
    sine = (r0 - r1) / length
    cosine = float(np.sqrt(1 - sine * sine))

    def at(radius: float, along: float, out: float, up: float) -> gp_Pnt:
        return gp_Pnt(radius * out, 0.0, along + radius * up)

    bottom, top = at(r0, 0, 0, -1), at(r1, length, 0, 1)
    low, high = at(r0, 0, cosine, sine), at(r1, length, cosine, sine)
    turn = float(np.arcsin(sine))
    mid_low, mid_high = (turn - np.pi / 2) / 2, (turn + np.pi / 2) / 2
    wire = BRepBuilderAPI_MakeWire()
    for edge in (
        GC_MakeArcOfCircle(
            bottom, at(r0, 0, float(np.cos(mid_low)), float(np.sin(mid_low))), low
        ).Value(),
        (low, high),
        GC_MakeArcOfCircle(
            high, at(r1, length, float(np.cos(mid_high)), float(np.sin(mid_high))), top
        ).Value(),
        (top, bottom),
    ):
        made = BRepBuilderAPI_MakeEdge(*edge) if isinstance(edge, tuple) else None
        wire.Add((BRepBuilderAPI_MakeEdge(edge) if made is None else made).Edge())
    return _turned(BRepBuilderAPI_MakeFace(wire.Wire(), True).Face(), gp_Dir(0, 0, 1))


def _tube(tube: Tubular) -> TopoDS_Shape:
    """Return a filled tube, with spheres at the ends that are not cut flat."""
    section = tube.section
    whole = occ.solid(Sweep.of(tube.axis, section))
    bounding_spheres = []
    for flat, s, end in ((tube.flat[0], 0.0, 0), (tube.flat[1], tube.axis.length, -1)):
        if not flat:
            p = tube.axis.at(s)
            size = min(section.height[end], section.width[end])
            bounding_spheres.append(
                BRepPrimAPI_MakeSphere(gp_Pnt(*(float(x) for x in p)), size / 2).Solid()
            )
    return occ.largest(occ.fuse([whole, *bounding_spheres]))


def _moved(shape: TopoDS_Shape, motion: Matrix) -> TopoDS_Shape:
    turn = gp_Trsf()
    turn.SetValues(*(float(x) for x in motion[:3].ravel()))
    return BRepBuilderAPI_Transform(shape, turn, True).Shape()
