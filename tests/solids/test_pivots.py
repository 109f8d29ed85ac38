"""Housings, lugs and link plates as solids: disjoint, bored, whole, of the volume of their sizes."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from manifold3d import Manifold, Mesh64
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.TopoDS import TopoDS

from frame3d.geometry.disc_hull import Flat
from frame3d.pivots.sockets import socket
from frame3d.solids import FrameModel, make, occ
from frame3d.solids.bodies import bodies as frame_bodies
from frame3d.solids.body import SolidBody
from frame3d.solids.body_meshes import frame_mesh, part_mesh
from frame3d.solids.mesh import Mesh, flat_mesh, solid_mesh
from frame3d.solids.model import FramePart
from frame3d.solids.sweep import straight
from frame3d.tubes.hardware import Housing, LinkPlate, Lug
from tests import linked

MODELS = {"rocker": linked.rocker, "own": linked.own, "through": linked.through}


@pytest.fixture(scope="module", params=MODELS)
def model(request: pytest.FixtureRequest) -> FrameModel:
    return MODELS[request.param]()


def solid_of(mesh: Mesh) -> Manifold:
    vertices = np.ascontiguousarray(mesh.vertices)
    return Manifold(Mesh64(vertices, np.ascontiguousarray(mesh.triangles.astype(np.uint64))))


def bores(part: FramePart, x: float, z: float) -> set[float]:
    """Diameters of the cylinders along y about a point of the side view, from the CAD faces [mm]."""
    found = set()
    for face in occ.faces(part.shape):
        surface = BRepAdaptor_Surface(TopoDS.Face_s(face))
        if surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Cylinder:
            axis = surface.Cylinder().Axis()
            at, along = axis.Location(), axis.Direction()
            if abs(abs(along.Y()) - 1) < 1e-9 and np.hypot(at.X() - x, at.Z() - z) < 1e-6:
                found.add(round(2 * surface.Cylinder().Radius(), 6))
    return found


def rounds(model: FrameModel) -> list[tuple[str, float, float, float]]:
    """Part, x, z and bore of everything that is bored for an axle."""
    found = []
    for item in model.bike.pivots:
        if isinstance(item, Housing):
            found.append((item.name, item.at[0], item.at[2], item.bore))
        elif isinstance(item, Lug):
            found.append((item.name, item.axle[0], item.axle[2], item.bore))
        else:
            found += [(item.name, b.x, b.z, b.bore) for b in item.bosses if b.bore > 0]
    return found


def test_hardware_is_made_and_knows_its_link(model: FrameModel) -> None:
    links = {part.name: part.link for part in model.parts}
    for item in (*model.bike.tubes, *model.bike.dropouts, *model.bike.pivots):
        assert links[item.name] == item.link
    assert {part.material for part in model.parts} == {"6061-T6"}


def test_each_part_is_one_valid_solid(model: FrameModel) -> None:
    for part in model.parts:
        assert len(occ.solids(part.shape)) == 1, part.name
        assert len(occ.shells(part.shape)) == 1, part.name
        assert occ.is_valid(part.shape), part.name


def test_parts_do_not_overlap(model: FrameModel) -> None:
    """By mesh booleans, within 0.01 mm of the surfaces: facets of two parts lie in one another by as much
    as their chords are off. What moves apart overlaps no more than what is joined, where it is drawn.
    """
    solids = {body.name: solid_of(part_mesh(body, 0.01)) for body in frame_bodies(model.bike)}
    assert set(solids) == {part.name for part in model.parts}
    beam = model.bike.tubes[4].name == "beam"  # which runs through the seat tube as drawn
    for a, b in itertools.combinations(solids, 2):
        if not (beam and "seat_tube" in (a, b)):
            assert float((solids[a] ^ solids[b]).volume()) < 0.5, (a, b)


def test_bores_measured_on_the_faces(model: FrameModel) -> None:
    for name, x, z, bore in rounds(model):
        assert bore in bores(model.part(name), x, z), name


def test_axles_go_through(model: FrameModel) -> None:
    """A rod 0.1 mm slimmer than the bore meets nothing that is on its pivot, nor the tubes about it."""
    for name, x, z, bore in rounds(model):
        rod = Manifold.cylinder(400.0, bore / 2 - 0.05, circular_segments=64, center=True)
        plug = rod.rotate((90.0, 0.0, 0.0)).translate((x, 0.0, z))
        of = {name, *(tube.name for tube in model.bike.tubes if name in tube.cut_by)}
        for one in of:
            assert float((plug ^ solid_of(model.meshes[one])).volume()) < 1e-6, (name, one)


def test_each_rigid_body_is_closed_and_in_the_pieces_that_are_meant(model: FrameModel) -> None:
    """Counted by trimesh; left and right plates, and arms without a bridge, are joined by axles only."""
    loose = {"strut": 2, "rocker": 2}
    if not any("bridge" in part.name or "beam" in part.name for part in model.parts):
        loose["swingarm"] = 2
    for link in dict.fromkeys(body.link for body in model.bodies):
        mesh = frame_mesh([body for body in model.bodies if body.link == link])
        other = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
        assert other.is_watertight
        assert len(other.split(only_watertight=False)) == loose.get(str(link), 1), link
        volume = sum(part.volume for part in model.parts if part.link == link)
        assert mesh.volume == pytest.approx(volume, rel=3e-4)


def test_right_is_left_mirrored() -> None:
    """Where both are made by themselves too: their volumes and centres."""
    for model in (linked.rocker(), linked.through()):
        for left in (part for part in model.parts if part.side == "left"):
            right = model.part(left.name.replace("left", "right"))
            bulk = occ.bulk(right.shape)
            x, y, z = left.centre
            assert bulk.volume == pytest.approx(left.volume, rel=1e-6)
            assert bulk.centre == pytest.approx((x, -y, z), abs=1e-4)


def test_a_housing_is_a_bored_cylinder() -> None:
    """π/4 (D² - d²) w, less nothing where tubes make way for it: 32 - 12 by 65."""
    part = linked.rocker().part("housing_main_pivot")
    (item,) = [p for p in linked.rocker().bike.pivots if p.name == part.name]
    assert isinstance(item, Housing)
    expected = np.pi / 4 * (item.od**2 - item.bore**2) * item.width
    assert part.volume == pytest.approx(expected, rel=1e-6)


def test_a_plate_over_two_points() -> None:
    """A stadium of 24, its bosses of 23.5 where they stand out, less two bores of 8."""
    model = linked.rocker()
    (item,) = [p for p in model.bike.pivots if p.name == "plate_strut_left"]
    assert isinstance(item, LinkPlate)
    a, b = item.bosses
    thick = item.plate.thickness
    out = sum((boss.high - boss.low) - thick for boss in item.bosses)
    stadium = np.pi * 12**2 + 2 * 12 * np.hypot(a.x - b.x, a.z - b.z)
    expected = stadium * thick + np.pi / 4 * (23.5**2 * out - 8**2 * (2 * thick + out))
    assert model.part(item.name).volume == pytest.approx(expected, rel=1e-6)


def test_hardware_touches_its_tubes(model: FrameModel) -> None:
    """Grown by 0.05 mm all round, which meshes moved six ways stand for, each meets what holds it."""
    moves = [tuple(0.05 * s * np.eye(3)[i]) for i in range(3) for s in (-1, 1)]
    for item in model.bike.pivots:
        if isinstance(item, LinkPlate):
            continue
        held = [name for name, _ in item.stays] if isinstance(item, Lug) else []
        held += [web.to for web in item.webs]
        held += [tube.name for tube in model.bike.tubes if item.name in tube.cut_by]
        if "shock_rear" in item.name and item.name.endswith("right") and held == ["beam"]:
            continue  # the left one's socket takes the beam, and the right one joins that
        assert held
        body = solid_of(model.meshes[item.name])
        for name in held:
            other = solid_of(model.meshes[name])
            met = max(float((body.translate(move) ^ other).volume()) for move in moves)
            assert met > 0.5, (item.name, name)


def test_a_lug_holds_its_round_and_its_sockets(model: FrameModel) -> None:
    """Each part is one solid, so what has metal all about the axle and about the tube joins both."""
    tubes = {tube.name: tube for tube in model.bike.tubes}
    for item in model.bike.pivots:
        if not isinstance(item, Lug) or model.part(item.name).side == "right":
            continue
        body = solid_of(model.meshes[item.name])
        low, high = item.span
        pipe = Manifold.cylinder(high - low - 2, item.boss / 2 - 0.5, circular_segments=64)
        ring = pipe - Manifold.cylinder(high - low, item.bore / 2 + 0.5, circular_segments=64)
        # Manifold's cylinders stand on z = 0; turned about x they run toward -y.
        ring = ring.rotate((90.0, 0.0, 0.0)).translate((item.axle[0], high - 1, item.axle[2]))
        kept = float((ring ^ body).volume()) / float(ring.volume())
        assert kept > 0.98, item.name  # less what a web of its own may hide in a tube: nothing
        for name, which in item.stays:
            end = socket(item, tubes[name], which)
            around = straight(end.back, end.front, (end.height,) * 2, (end.width,) * 2)
            inner = straight(end.back, end.front, (end.height - 3.0,) * 2, (end.width - 3.0,) * 2)
            sleeve = solid_of(solid_mesh(around)) - solid_of(solid_mesh(inner))
            assert float((sleeve ^ body).volume()) > 0.5 * float(sleeve.volume()), (item.name, name)


def test_one_fused_solid_a_rigid_body() -> None:
    """Front frame, swingarm, and two plates each of strut and rocker."""
    model = linked.rocker()
    solids = occ.solids(model.fused)
    assert len(solids) == 6
    assert len(occ.shells(model.fused)) == 6
    front = sum(part.volume for part in model.parts if part.link is None)
    assert occ.bulk(solids[0]).volume == pytest.approx(front, rel=1e-6)
    total = sum(occ.bulk(solid).volume for solid in solids)
    assert total == pytest.approx(model.volume, rel=1e-6)
    assert model.notes == ()


def test_halves_that_nothing_joins_are_noted() -> None:
    (note,) = linked.through().notes
    assert note.message.startswith("swingarm is in 2 pieces that do not touch: chainstay_left")


def test_a_housing_that_closes_a_tube_is_vented() -> None:
    """Through its axle's bore, or the seat tube's lower half would be a closed void."""
    model = linked.through()
    (body,) = [b for b in model.bodies if b.name == "housing_main_pivot"]
    assert len(body.drills) == 1
    seat = next(b for b in model.bodies if b.name == "seat_tube")
    (shell,) = [b for b in model.bodies if b.name == "bottom_bracket"]
    seat = replace(seat, drills=(), cuts=tuple(c for c in seat.cuts if c.body != "down_tube"))
    assert shells([shell, seat, replace(body, drills=())]) == 2
    assert shells([shell, seat, body]) == 1


def shells(made: list[SolidBody]) -> int:
    mesh = frame_mesh([replace(b, drills=()) if b.name == "bottom_bracket" else b for b in made])
    other = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    return len(other.split(only_watertight=False))


@pytest.mark.parametrize(
    "discs",
    [
        ((3.0, 4.0, 12.0),),
        ((0.0, 0.0, 20.0), (80.0, 0.0, 10.0)),
        ((0.0, 0.0, 15.0), (-97.0, 17.0, 12.0), (-35.0, 44.0, 11.0)),
    ],
    ids=["disc", "belt", "triangle"],
)
def test_flat_plates(discs: tuple[tuple[float, float, float], ...]) -> None:
    """Kernel and mesh both hold the closed form's volume, the mesh at any number of sides."""
    plate = Flat(discs, -9.0, -3.0)
    shape = occ.solid(plate)
    assert occ.is_valid(shape)
    assert occ.bulk(shape).volume == pytest.approx(plate.volume, rel=1e-8)
    for sides in (12, 48):
        mesh = flat_mesh(plate, sides)
        assert mesh.volume == pytest.approx(plate.volume, rel=1e-12)
        other = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
        assert other.is_watertight
        assert other.is_convex


def test_bearing_seats_are_bored_from_both_faces() -> None:
    """Two rings of 24 outside, 12 inside, 9 deep go out of the main pivot's housing; it stays whole."""
    pivots = (
        "{main_pivot: {bearing: {od: 24, width: 9}}, strut_rear: {bearing: {od: 16, width: 12}}}"
    )
    bored = make(linked.layout(linked.ROCKER_TUBES, linked.ROCKER, pivots))
    plain = linked.rocker()
    name = "housing_main_pivot"
    (item,) = (p for p in bored.bike.pivots if p.name == name)
    assert isinstance(item, Housing)
    assert bores(bored.part(name), item.at[0], item.at[2]) == {30.0, 24.0, 12.0}
    rings = np.pi / 4 * (24**2 - 12**2) * 2 * 9
    assert plain.part(name).volume - bored.part(name).volume == pytest.approx(rings, rel=1e-6)
    for part in bored.parts:
        assert len(occ.solids(part.shape)) == 1, part.name
        assert occ.is_valid(part.shape), part.name
    others = {p.name: p.volume for p in plain.parts}
    changed = {p.name for p in bored.parts if abs(p.volume - others[p.name]) > 1e-3}
    owners = {n for n in changed if n.startswith(("lug_strut_rear_swingarm", "plate_strut"))}
    assert changed == {name} | owners
    assert owners
