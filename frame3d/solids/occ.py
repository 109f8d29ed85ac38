"""The CAD kernel (OCP) behind a few plain functions: solids of sweeps, booleans, volumes.

OCP is used directly, as importing cadquery takes 1.5 s more than its kernel alone. To go on in
cadquery, wrap a shape: ``cadquery.Shape.cast(part.shape)``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.BOPAlgo import BOPAlgo_GlueEnum
from OCP.BRep import BRep_Builder
from OCP.BRepAlgoAPI import (
    BRepAlgoAPI_BooleanOperation,
    BRepAlgoAPI_Common,
    BRepAlgoAPI_Cut,
    BRepAlgoAPI_Fuse,
)
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_NurbsConvert,
    BRepBuilderAPI_Sewing,
    BRepBuilderAPI_Transform,
)
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.BRepLib import BRepLib
from OCP.BRepOffsetAPI import BRepOffsetAPI_MakePipeShell, BRepOffsetAPI_ThruSections
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.GC import GC_MakeArcOfCircle
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Elips, gp_Pnt, gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Shape, TopoDS_Wire
from OCP.TopTools import TopTools_ListOfShape

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.extrusion import Extrusion
from frame3d.geometry.rounded import arc_marks, place
from frame3d.geometry.vector import Point, Vector, unit, vector
from frame3d.solids.slot import Slot
from frame3d.solids.sweep import Solid, Sweep

PRECISION = 1e-6
"""Relative precision of volumes. The kernel's default integration is 1 % off on fused hollow frames."""

TWIST = 4e-3
"""How far the surface along a bend may lie beside the tube, as sections turn about its axis [mm]."""
MOST_LEGS = 24
"""Into how many legs a bend is divided at most, for that."""
SEAM = 1e-5
"""Tolerance for sewing the faces of one tube together [mm]; they meet far more closely."""


class KernelError(RuntimeError):
    """Fault of the kernel, which could not do what was asked."""


@dataclass(frozen=True, slots=True)
class MassProperties:
    """Volume of a solid and its centre."""

    volume: float
    """[mm³]"""
    centre: Point
    """Centre of the volume [mm]."""


def bulk(shape: TopoDS_Shape) -> MassProperties:
    """Return volume and centre of a shape."""
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, PRECISION)
    c = props.CentreOfMass()
    return MassProperties(float(props.Mass()), (c.X() + 0.0, c.Y() + 0.0, c.Z() + 0.0))


def is_valid(shape: TopoDS_Shape) -> bool:
    """Return the kernel's own check; necessary, not sufficient."""
    return bool(BRepCheck_Analyzer(shape).IsValid())


def solids(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    """Return the solids within a shape."""
    return [TopoDS.Solid_s(s) for s in _within(shape, TopAbs_ShapeEnum.TopAbs_SOLID)]


def shells(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    """Return the closed surfaces that bound a shape: one for each solid, and one for each cavity."""
    return _within(shape, TopAbs_ShapeEnum.TopAbs_SHELL)


def faces(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    """Return the faces of a shape."""
    return _within(shape, TopAbs_ShapeEnum.TopAbs_FACE)


def _within(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> list[TopoDS_Shape]:
    found = []
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        found.append(explorer.Current())
        explorer.Next()
    return found


def largest(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Return the solid of greatest volume within a shape.

    Raises:
        KernelError: there is none.
    """
    found = solids(shape)
    if not found:
        raise KernelError("nothing is left")
    if len(found) == 1:
        return found[0]
    return max(found, key=lambda solid: bulk(solid).volume)


def cut(shape: TopoDS_Shape, tools: Sequence[TopoDS_Shape], slack: float = 0.0) -> TopoDS_Shape:
    """Return `shape` without `tools`; surfaces within `slack` of each other count as touching [mm]."""
    return _boolean(BRepAlgoAPI_Cut(), [shape], tools, slack) if tools else shape


def fuse(shapes: Sequence[TopoDS_Shape], *, touching: bool = False) -> TopoDS_Shape:
    """Return the union of `shapes`, in one operation; `touching` says that none overlaps another."""
    if len(shapes) == 1:
        return shapes[0]
    operation = BRepAlgoAPI_Fuse()
    if touching:
        operation.SetGlue(BOPAlgo_GlueEnum.BOPAlgo_GlueShift)
    return _boolean(operation, shapes[:1], shapes[1:])


def common(a: TopoDS_Shape, b: TopoDS_Shape) -> TopoDS_Shape:
    """Return what two shapes share; possibly empty."""
    return _boolean(BRepAlgoAPI_Common(), [a], [b])


def compound(shapes: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    """Return separate shapes as one shape."""
    whole = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(whole)
    for shape in shapes:
        builder.Add(whole, shape)
    return whole


def mirrored(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Return a copy on the other side of the centre plane."""
    turn = gp_Trsf()
    turn.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
    return BRepBuilderAPI_Transform(shape, turn, True).Shape()


def as_splines(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Return a copy whose surfaces are B-splines (exact, rational): the kernel cuts by other means."""
    return BRepBuilderAPI_NurbsConvert(shape, True).Shape()


def solid(sweep: Solid) -> TopoDS_Shape:
    """Return a filled solid: turned, lofted between ellipses, swept along its bends, a flat plate, or
    an extruded path.

    Raises:
        KernelError: it cannot be made.
    """
    if isinstance(sweep, Flat):
        return _plate(sweep)
    if isinstance(sweep, Slot):
        return _turned_to(_plate(sweep.flat), sweep)
    if isinstance(sweep, Extrusion):
        return _extruded(sweep)
    if sweep.is_turned:
        inner = [(sweep.s[-1], 0.0), (0.0, 0.0)]
        outer = [(s, d / 2) for s, d in zip(sweep.s, sweep.height, strict=True)]
        return _turned(sweep.axis, outer + inner)
    if sweep.box:
        return _block(sweep)
    faces, first, last = _side(sweep)
    return _sewn([*faces, _face(first), _face(last)])


def hollow(outer: Sweep, bore: Sweep) -> TopoDS_Shape:
    """Return `outer` without `bore`, both on the same axis: a tube made at once, without a boolean.

    Raises:
        KernelError: it cannot be made.
    """
    if outer.is_turned and bore.is_turned:
        profile, inside = (
            [(s, d / 2) for s, d in zip(sweep.s, sweep.height, strict=True)]
            for sweep in (outer, bore)
        )
        return _turned(outer.axis, profile + inside[::-1])
    sides, first, last = _side(outer)
    inner, first_hole, last_hole = _side(bore)
    return _sewn([*sides, *inner, _face(first, first_hole), _face(last, last_hole)])


def _block(sweep: Sweep) -> TopoDS_Shape:
    """Return a straight tapering block: two rectangular ends and four side faces."""
    rings = []
    for i in (0, -1):
        up, side = sweep.axis.frame(sweep.s[i])
        at, w, h = sweep.axis.at(sweep.s[i]), sweep.width[i] / 2, sweep.height[i] / 2
        signs = ((1, 1), (-1, 1), (-1, -1), (1, -1))
        rings.append([_pnt(at + x * w * side + y * h * up) for x, y in signs])
    first, last = rings
    quads = [first[::-1], last]
    quads += [[first[i], first[j], last[j], last[i]] for i, j in ((0, 1), (1, 2), (2, 3), (3, 0))]
    faces = []
    for quad in quads:
        outline = BRepBuilderAPI_MakePolygon()
        for corner in quad:
            outline.Add(corner)
        outline.Close()
        faces.append(_face(outline.Wire()))
    return _sewn(faces)


def _turned_to(plate: TopoDS_Shape, slot: Slot) -> TopoDS_Shape:
    """Return a slot's plate where the slot is."""
    turn, axes = gp_Trsf(), slot.axes
    rows = [[*(float(axes[j, i]) for j in range(3)), slot.at[i]] for i in range(3)]
    turn.SetValues(*rows[0], *rows[1], *rows[2])
    return BRepBuilderAPI_Transform(plate, turn, True).Shape()


def _plate(flat: Flat) -> TopoDS_Shape:
    """Return a flat plate: its outline of arcs and straight edges, extruded from face to face."""

    def pnt(at: tuple[float, float]) -> gp_Pnt:
        return gp_Pnt(at[0], flat.low, at[1])

    outline = BRepBuilderAPI_MakeWire()
    if len(flat.rims) == 1:
        (rim,) = flat.rims
        across = gp_Ax2(gp_Pnt(rim.x, flat.low, rim.z), gp_Dir(0, 1, 0))
        outline.Add(BRepBuilderAPI_MakeEdge(gp_Circ(across, rim.radius)).Edge())
    for rim, (a, b) in zip(flat.rims, flat.edges, strict=False):
        places = [pnt(rim.at(turn)) for turn in (rim.start, (rim.start + rim.end) / 2, rim.end)]
        outline.Add(BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(*places).Value()).Edge())
        outline.Add(BRepBuilderAPI_MakeEdge(pnt(a), pnt(b)).Edge())
    if not outline.IsDone():
        raise KernelError("its outline does not close")
    prism = BRepPrimAPI_MakePrism(_face(outline.Wire()), gp_Vec(0, flat.thickness, 0)).Shape()
    whole = largest(prism)
    if not BRepLib.OrientClosedSolid_s(TopoDS.Solid_s(whole)):
        raise KernelError("its surface is not closed")
    return whole


def _extruded(body: Extrusion) -> TopoDS_Shape:
    """Return an extruded path: its lines and arcs in its plane, extruded from face to face."""
    plane = body.plane
    outline = BRepBuilderAPI_MakeWire()
    for edge in body.path.edges:
        shares = (0.0, 0.5, 1.0) if edge.is_arc else (0.0, 1.0)
        pnts = [gp_Pnt(*plane.at(edge.at(share), body.low)) for share in shares]
        if edge.is_arc:
            made = BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(*pnts).Value())
        else:
            made = BRepBuilderAPI_MakeEdge(*pnts)
        outline.Add(made.Edge())
    if not outline.IsDone():
        raise KernelError("its outline does not close")
    way = gp_Vec(*(float(v) * body.thickness for v in plane.normal))
    whole = largest(BRepPrimAPI_MakePrism(_face(outline.Wire()), way).Shape())
    if not BRepLib.OrientClosedSolid_s(TopoDS.Solid_s(whole)):
        raise KernelError("its surface is not closed")
    return whole


def _side(sweep: Sweep) -> tuple[list[TopoDS_Shape], TopoDS_Wire, TopoDS_Wire]:
    """Return the faces of a sweep without its ends, and the edges of the ends."""
    marks = _marks(sweep)
    rings = [_ring(sweep, s) for s, _ in marks]
    faces = [
        _bent_leg(sweep, s0, s1, first, last)
        if bent
        else _even_leg(sweep, s0, s1, first)
        if _is_even(sweep, s0, s1)
        else _straight_leg(first, last)
        for (s0, bent), (s1, _), first, last in zip(
            marks[:-1], marks[1:], rings[:-1], rings[1:], strict=True
        )
    ]
    return faces, rings[0], rings[-1]


def _face(ring: TopoDS_Wire, hole: TopoDS_Wire | None = None) -> TopoDS_Shape:
    """Return a flat end, with a hole where the tube is hollow."""
    maker = BRepBuilderAPI_MakeFace(ring, True)
    if hole is not None:
        maker.Add(TopoDS.Wire_s(hole.Reversed()))
    return maker.Face()


def _sewn(faces: Sequence[TopoDS_Shape]) -> TopoDS_Shape:
    """Return faces that enclose one volume as a solid."""
    sewing = BRepBuilderAPI_Sewing(SEAM)
    for face in faces:
        sewing.Add(face)
    sewing.Perform()
    shell = sewing.SewedShape()
    if shell.IsNull() or shell.ShapeType() != TopAbs_ShapeEnum.TopAbs_SHELL:
        raise KernelError("the faces along its axis do not join")
    whole = BRepBuilderAPI_MakeSolid(TopoDS.Shell_s(shell)).Solid()
    if not BRepLib.OrientClosedSolid_s(whole):
        raise KernelError("its surface is not closed")
    return whole


def _turned(axis: Centreline, profile: list[tuple[float, float]]) -> TopoDS_Shape:
    """Return a full turn of a closed profile of (s, radius) about a straight axis."""
    up, _ = axis.frame(0.0)
    start, along = vector(axis.start), axis.tangent(0.0)
    polygon = BRepBuilderAPI_MakePolygon()
    for s, radius in profile:
        polygon.Add(_pnt(start + s * along + radius * up))
    polygon.Close()
    face = BRepBuilderAPI_MakeFace(polygon.Wire(), True).Face()
    return largest(BRepPrimAPI_MakeRevol(face, gp_Ax1(_pnt(start), _dir(along))).Shape())


def _marks(sweep: Sweep) -> list[tuple[float, bool]]:
    """Return where legs begin, each with whether a bend follows: section stations and ends of bends.

    Of ovals and rounded outlines also places within bends, where they turn about the axis.
    """
    spans = []
    here = 0.0
    wanted = set(sweep.s)
    for piece in sweep.axis.pieces:
        spans.append((here, here + piece.length, isinstance(piece, Arc)))
        if isinstance(piece, Arc) and not sweep.is_round:
            count = _even_turns(sweep, here, piece)
            wanted |= {here + piece.length * i / count for i in range(1, count)}
        here += piece.length
    places: list[float] = []
    for s in sorted({*wanted, *(span[0] for span in spans), here}):
        if not places or s - places[-1] > 1e-6:
            places.append(s)
    marks = []
    for a, b in zip(places, [*places[1:], here], strict=True):
        middle = (a + b) / 2
        marks.append((a, any(bent and low <= middle <= high for low, high, bent in spans)))
    return marks


def _turns(sweep: Sweep, s0: float, arc: Arc, length: float, count: int) -> Array:
    """Return by how much the section has turned about the axis at `count` places of an arc [radians].

    Against a section that is carried along the arc as a rigid body.
    """
    s = np.linspace(s0, s0 + length, count)
    _, up, _ = sweep.axis.frames(s)
    tangents = sweep.axis.tangents(s)
    binormal = unit(np.cross(vector(arc.start) - vector(arc.centre), tangents[0]))
    aside = np.cross(binormal, tangents)
    angle = np.unwrap(np.arctan2(np.sum(up * binormal, axis=1), np.sum(up * aside, axis=1)))
    return np.asarray(angle - angle[0])


def _even_turns(sweep: Sweep, s0: float, arc: Arc) -> int:
    """Return into how many equal legs a bend is divided, so that sections turn evenly along each.

    As the kernel takes them to between its two ends: what it then makes is within `TWIST` of the tube.
    A turn moves an ellipse's outside by at most the difference of its half axes for each radian (its
    support, hypot(a cos, b sin), changes by (b² - a²) sin cos / support, at most |a - b|).
    """
    if sweep.rounds or sweep.box:
        reach = float(np.hypot(max(sweep.height), max(sweep.width))) / 2
    else:
        reach = max(abs(h - w) for h, w in zip(sweep.height, sweep.width, strict=True)) / 2
    count = 1
    while count < MOST_LEGS:
        each = 8
        angle = _turns(sweep, s0, arc, arc.length, each * count + 1)
        legs = np.stack([angle[i : i + each * (count - 1) + 1 : each] for i in range(each + 1)])
        even = legs[0] + np.linspace(0.0, 1.0, each + 1)[:, None] * (legs[-1] - legs[0])
        if float(np.abs(legs - even).max()) * reach <= TWIST:
            break
        count += 1
    return count


def _ring(sweep: Sweep, s: float) -> TopoDS_Wire:
    """Return the section at `s`."""
    height = float(np.interp(s, sweep.s, sweep.height))
    width = float(np.interp(s, sweep.s, sweep.width))
    up, side = sweep.axis.frame(s)
    if sweep.rounds:
        return _rounded(sweep, s)
    at, along = _pnt(sweep.axis.at(s)), _dir(sweep.axis.tangent(s))
    if abs(height - width) < 1e-9:
        edge = BRepBuilderAPI_MakeEdge(gp_Circ(gp_Ax2(at, along, _dir(up)), height / 2)).Edge()
    else:
        # The seam is on top whichever half axis is longer, so that faces do not twist.
        tall = height > width
        lead, turn = (up, 0.0) if tall else (side, np.pi / 2)
        major, minor = max(height, width) / 2, min(height, width) / 2
        ellipse = gp_Elips(gp_Ax2(at, along, _dir(lead)), major, minor)
        edge = BRepBuilderAPI_MakeEdge(ellipse, turn, turn + 2 * np.pi).Edge()
    return BRepBuilderAPI_MakeWire(edge).Wire()


def _rounded(sweep: Sweep, s: float) -> TopoDS_Wire:
    """Return a rounded outline at `s`: its arcs and sides, from the middle of the side above.

    A side of no length is left out, so that the two arcs that meet there are two edges.
    """
    outline = sweep.outline(np.array([s]))
    up, side = sweep.axis.frame(s)
    at = sweep.axis.at(s)
    wire = BRepBuilderAPI_MakeWire()

    def pnt(phi: float) -> gp_Pnt:
        ((u, v),) = place(np.array([phi]), *outline)[0]
        return _pnt(at + u * up + v * side)

    for k in range(4):
        # From the end of one arc to the end of the next: a side, then the arc behind it.
        marks = arc_marks(*outline)
        before, (first, last) = marks[k - 1][1] - (360.0 if k == 0 else 0.0), marks[k]
        start, corner = pnt(before), pnt(first)
        if start.Distance(corner) > 1e-9:
            wire.Add(BRepBuilderAPI_MakeEdge(start, corner).Edge())
        arc = GC_MakeArcOfCircle(corner, pnt((first + last) / 2), pnt(last)).Value()
        wire.Add(BRepBuilderAPI_MakeEdge(arc).Edge())
    if not wire.IsDone():
        raise KernelError("a section does not close")
    return wire.Wire()


def _is_even(sweep: Sweep, s0: float, s1: float) -> bool:
    """Return whether a rounded sweep stays the same between two places."""
    rows = (sweep.height, sweep.width, *zip(*sweep.rounds, strict=True))
    ends = [np.interp((s0, s1), sweep.s, row) for row in rows]
    return bool(sweep.rounds) and float(np.ptp(ends, axis=1).max()) < 1e-9


def _even_leg(sweep: Sweep, s0: float, s1: float, first: TopoDS_Wire) -> TopoDS_Shape:
    """Return the planes and cylinders of a rounded outline along a line; booleans do better on them."""
    way = sweep.axis.at(s1) - sweep.axis.at(s0)
    return BRepPrimAPI_MakePrism(first, gp_Vec(*(float(x) for x in way))).Shape()


def _straight_leg(first: TopoDS_Wire, last: TopoDS_Wire) -> TopoDS_Shape:
    """Return the ruled surface between two sections: exact, as sizes are linear."""
    loft = BRepOffsetAPI_ThruSections(False, True, SEAM / 10)
    loft.CheckCompatibility(False)
    loft.AddWire(first)
    loft.AddWire(last)
    loft.Build()
    return loft.Shape()


def _bent_leg(
    sweep: Sweep, s0: float, s1: float, first: TopoDS_Wire, last: TopoDS_Wire
) -> TopoDS_Shape:
    """Return the surface along one arc.

    Only two sections, as between three or more the kernel does not keep to straight lines (measured:
    10 % too much volume).
    """
    ends = [_pnt(sweep.axis.at(s)) for s in (s0, (s0 + s1) / 2, s1)]
    arc = BRepBuilderAPI_MakeEdge(GC_MakeArcOfCircle(*ends).Value()).Edge()
    if _is_even(sweep, s0, s1) and _is_carried(sweep, s0, s1):
        return _turned_leg(sweep, s0, s1, first)
    pipe = BRepOffsetAPI_MakePipeShell(BRepBuilderAPI_MakeWire(arc).Wire())
    pipe.SetMode(False)
    pipe.Add(first)
    (h0, h1), (w0, w1) = (np.interp((s0, s1), sweep.s, v) for v in (sweep.height, sweep.width))
    # A constant circle needs no second section. An oval turns with the arc where the arc leaves the
    # upright plane, so that its end would not meet the next leg.
    if sweep.rounds or max(abs(h0 - h1), abs(w0 - w1), abs(h0 - w0)) > 1e-9:
        pipe.Add(last)
    pipe.Build()
    if not pipe.IsDone():
        raise KernelError("the sweep along a bend failed")
    return pipe.Shape()


def _is_carried(sweep: Sweep, s0: float, s1: float) -> bool:
    """Return whether sections of a leg along an arc keep their place toward its centre."""
    arc, start = _arc_at(sweep, (s0 + s1) / 2)
    turned = _turns(sweep, start, arc, arc.length, 9)
    return float(np.abs(turned).max()) * max(*sweep.height, *sweep.width) < 1e-9


def _turned_leg(sweep: Sweep, s0: float, s1: float, first: TopoDS_Wire) -> TopoDS_Shape:
    """Return the tori, cones and planes of a rounded outline that is carried along an arc."""
    arc, _ = _arc_at(sweep, (s0 + s1) / 2)
    centre = vector(arc.centre)
    axis = unit(np.cross(sweep.axis.at(s0) - centre, sweep.axis.tangent(s0)))
    about = gp_Ax1(_pnt(centre), _dir(axis))
    return BRepPrimAPI_MakeRevol(first, about, (s1 - s0) / arc.radius).Shape()


def _arc_at(sweep: Sweep, s: float) -> tuple[Arc, float]:
    """Return the bend of an axis at s, and where along the axis it begins [mm]."""
    for start, piece in zip(sweep.axis.starts.tolist(), sweep.axis.pieces, strict=False):
        if isinstance(piece, Arc) and start <= s <= start + piece.length:
            return piece, start
    raise KernelError("there is no bend where one was")


def _boolean(
    operation: BRepAlgoAPI_BooleanOperation,
    arguments: Sequence[TopoDS_Shape],
    tools: Sequence[TopoDS_Shape],
    slack: float = 0.0,
) -> TopoDS_Shape:
    operation.SetFuzzyValue(slack)
    for shapes, give in ((arguments, operation.SetArguments), (tools, operation.SetTools)):
        given = TopTools_ListOfShape()
        for shape in shapes:
            given.Append(shape)
        give(given)
    operation.SetNonDestructive(True)
    operation.Build()
    if not operation.IsDone():
        raise KernelError("a boolean operation failed")
    return operation.Shape()


def _pnt(v: Vector) -> gp_Pnt:
    return gp_Pnt(float(v[0]), float(v[1]), float(v[2]))


def _dir(v: Vector) -> gp_Dir:
    u = unit(v)
    return gp_Dir(float(u[0]), float(u[1]), float(u[2]))
