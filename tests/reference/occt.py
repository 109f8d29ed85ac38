"""Exact solids of tubes and shapes by OCCT, and its distances and common volumes: a referee only."""

from __future__ import annotations

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Fuse
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Transform,
)
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
from OCP.BRepGProp import BRepGProp
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCone,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
    BRepPrimAPI_MakeSphere,
    BRepPrimAPI_MakeTorus,
)
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Elips, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from frame3d.bodies.shapes import (
    Box,
    Capsule,
    Disc,
    PlacedShape,
    Prism,
    Ring,
    Shape,
    Torus,
    Tubular,
)
from frame3d.geometry.centreline import Arc, Line


def distance(a: list[TopoDS_Shape], b: TopoDS_Shape) -> float:
    """Smallest distance of a solid in parts to another; 0 where they overlap."""
    found = []
    for part in a:
        extrema = BRepExtrema_DistShapeShape(part, b)
        assert extrema.IsDone()
        found.append(float(extrema.Value()))
        if found[-1] == 0:
            break
    return min(found)


def common(a: list[TopoDS_Shape], b: TopoDS_Shape) -> float:
    """Volume of what a solid in parts has in common with another [mm³]."""
    return sum(volume(BRepAlgoAPI_Common(part, b).Shape()) for part in a)


def volume(shape: TopoDS_Shape) -> float:
    """[mm³]"""
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, 1e-4)
    return float(props.Mass())


def tube(body: Tubular) -> list[TopoDS_Shape]:
    """A tube's outside, a solid a piece: cylinders, cones and tori, ruled ellipses, lofts along bends."""
    parts = []
    for at, piece in zip(body.axis.starts, body.axis.pieces, strict=False):
        ends = (float(at), min(float(at) + piece.length, body.axis.length))
        sizes = [(float(body.section.height_at(s)), float(body.section.width_at(s))) for s in ends]
        round_ = all(abs(h - w) < 1e-12 for h, w in sizes)
        a, b = sizes[0][0] / 2, sizes[1][0] / 2
        if isinstance(piece, Line) and round_:
            along = np.subtract(piece.end, piece.start)
            frame = gp_Ax2(gp_Pnt(*piece.start), gp_Dir(*along))
            if abs(a - b) < 1e-12:
                parts.append(BRepPrimAPI_MakeCylinder(frame, a, piece.length).Shape())
            else:
                parts.append(BRepPrimAPI_MakeCone(frame, a, b, piece.length).Shape())
        elif isinstance(piece, Arc) and round_ and abs(a - b) < 1e-12:
            out = np.subtract(piece.start, piece.centre)
            normal = np.cross(out, np.subtract(piece.end, piece.start))
            frame = gp_Ax2(gp_Pnt(*piece.centre), gp_Dir(*normal), gp_Dir(*out))
            turn = float(np.radians(piece.angle))
            parts.append(BRepPrimAPI_MakeTorus(frame, piece.radius, a, turn).Shape())
        else:
            straight = isinstance(piece, Line)
            count = 2 if straight else max(12, int(piece.angle / 4))  # type: ignore[union-attr]
            parts.append(_loft(body, np.linspace(*ends, count), straight))
    return parts


def _loft(body: Tubular, stations: np.ndarray, ruled: bool) -> TopoDS_Shape:
    loft = BRepOffsetAPI_ThruSections(True, ruled, 1e-7)
    loft.SetMaxDegree(8)
    points, height, width = body.axis.frames(stations)
    # Seams in line: all sections start at the same of the two directions, whichever is larger there.
    upright = float(body.section.height_at(stations[0])) >= float(
        body.section.width_at(stations[0])
    )
    for s, p, h, w in zip(stations, points, height, width, strict=True):
        large, small = float(body.section.height_at(s)) / 2, float(body.section.width_at(s)) / 2
        x = h
        if not upright:
            large, small, x = small, large, w
        place = gp_Ax2(gp_Pnt(*p), gp_Dir(*np.cross(w, h)), gp_Dir(*x))
        curve = gp_Circ(place, large) if large - small < 1e-12 else gp_Elips(place, large, small)
        loft.AddWire(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire())
    loft.Build()
    made = loft.Shape()
    if volume(made) < 0:
        made.Reverse()
    return made


def shape(solid: Shape) -> TopoDS_Shape:
    """A shape in its own axes."""
    match solid:
        case Torus(centre, radius):
            y = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0))
            return BRepPrimAPI_MakeTorus(y, float(centre), float(radius)).Shape()
        case Box():
            return _box(solid)
        case Capsule(length, a, b):
            return _capsule(float(length), float(a), float(b))
        case Prism(profile, half):
            return _prism(np.array(profile), float(half))
        case Ring(profile):
            return _revolved(np.array(profile))
        case Disc(profile):
            return _revolved(_half(np.array(profile)))


def _prism(profile: np.ndarray, half: float) -> TopoDS_Shape:
    outline = BRepBuilderAPI_MakePolygon()
    for x, y in profile:
        outline.Add(gp_Pnt(float(x), float(y), -half))
    outline.Close()
    face = BRepBuilderAPI_MakeFace(outline.Wire(), True).Face()
    return BRepPrimAPI_MakePrism(face, gp_Vec(0, 0, 2 * half)).Shape()


def _box(solid: Box) -> TopoDS_Shape:
    x, y, z = (2 * float(half) for half in solid.half)
    block = BRepPrimAPI_MakeBox(gp_Pnt(-x / 2, -y / 2, -z / 2), x, y, z).Shape()
    if solid.rounding == 0:
        return block
    fillet = BRepFilletAPI_MakeFillet(block)
    edges = TopExp_Explorer(block, TopAbs_EDGE)
    seen: list[TopoDS_Shape] = []
    while edges.More():
        edge = edges.Current()
        if not any(edge.IsSame(e) for e in seen):
            seen.append(edge)
            fillet.Add(float(solid.rounding), TopoDS.Edge_s(edge))
        edges.Next()
    return fillet.Shape()


def _half(corners: np.ndarray) -> np.ndarray:
    """A mirrored profile's half at positive radius, from axis to axis."""
    tops = corners[corners[:, 0] > 1e-12]
    low, high = _at_axis(corners)
    half = np.array(
        [[0.0, low], *tops[np.argsort(np.arctan2(tops[:, 1], tops[:, 0]))], [0.0, high]]
    )
    if len(half) < 3:
        raise ValueError("no profile")
    return half


def _at_axis(corners: np.ndarray) -> tuple[float, float]:
    """Where a mirrored profile crosses its axis."""
    ys = []
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if (a[0] <= 0 <= b[0] or b[0] <= 0 <= a[0]) and abs(a[0] - b[0]) > 1e-12:
            ys.append(a[1] + (b[1] - a[1]) * (0 - a[0]) / (b[0] - a[0]))
    return min(ys), max(ys)


def _revolved(corners: np.ndarray) -> TopoDS_Shape:
    outline = BRepBuilderAPI_MakePolygon()
    for r, y in corners:
        outline.Add(gp_Pnt(float(r), float(y), 0.0))
    outline.Close()
    face = BRepBuilderAPI_MakeFace(outline.Wire()).Face()
    return BRepPrimAPI_MakeRevol(face, gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0))).Shape()


def _capsule(length: float, a: float, b: float) -> TopoDS_Shape:
    """Two balls and the cone that touches both."""
    rise = (a - b) / length
    lean = float(np.sqrt(1 - rise**2))
    low, high = a * rise, length + b * rise
    solid = BRepPrimAPI_MakeSphere(gp_Pnt(0, 0, 0), a).Shape()
    frame = gp_Ax2(gp_Pnt(0, 0, low), gp_Dir(0, 0, 1))
    if a == b:
        middle = BRepPrimAPI_MakeCylinder(frame, a, high - low).Shape()
    else:
        middle = BRepPrimAPI_MakeCone(frame, a * lean, b * lean, high - low).Shape()
    ball = BRepPrimAPI_MakeSphere(gp_Pnt(0, 0, length), b).Shape()
    return BRepAlgoAPI_Fuse(BRepAlgoAPI_Fuse(solid, middle).Shape(), ball).Shape()


def placed(solid: TopoDS_Shape, body: PlacedShape) -> TopoDS_Shape:
    """A shape where it is drawn."""
    (a, b, c), o = np.array(body.axes).T, body.origin
    move = gp_Trsf()
    move.SetValues(*a, o[0], *b, o[1], *c, o[2])
    return BRepBuilderAPI_Transform(solid, move, True).Shape()


def turned(shape: TopoDS_Shape, pitch: float) -> TopoDS_Shape:
    """A shape turned about the lateral axis through the origin, nose up by `pitch` [degrees]."""
    c, s = float(np.cos(np.radians(pitch))), float(np.sin(np.radians(pitch)))
    move = gp_Trsf()
    move.SetValues(c, 0.0, -s, 0.0, 0.0, 1.0, 0.0, 0.0, s, 0.0, c, 0.0)
    return BRepBuilderAPI_Transform(shape, move, True).Shape()
