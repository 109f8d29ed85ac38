"""The demo frame's parts: disjoint, whole, bored clear, mirrored, of the mass that their sizes give."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from manifold3d import Manifold, Mesh64

from frame3d.geometry.vector import Point, vector
from frame3d.solids import FrameModel, make, occ
from frame3d.solids.mesh import Mesh
from frame3d.solids.sweep import Sweep, rod
from frame3d.tubes.mass import masses_of
from tests.frames import bar, context, hardtail


@pytest.fixture(scope="module")
def model() -> FrameModel:
    return hardtail()


def solid_of(mesh: Mesh, move: Point = (0.0, 0.0, 0.0)) -> Manifold:
    vertices = np.ascontiguousarray(mesh.vertices + np.array(move))
    return Manifold(Mesh64(vertices, np.ascontiguousarray(mesh.triangles.astype(np.uint64))))


def shared(a: Manifold, b: Manifold) -> float:
    return float((a ^ b).volume())


def test_names_in_build_order(model: FrameModel) -> None:
    names = [part.name for part in model.parts]
    assert names[0] == "bottom_bracket"
    assert names[1:-2] == [tube.name for tube in model.bike.tubes]
    assert names[-2:] == ["rear_dropout_left", "rear_dropout_right"]


def test_a_lopsided_shell_is_cut_where_its_faces_are() -> None:
    """79 mm: 34 mm to the right and 45 to the left; the volume is the ring's."""
    frame = make(context({}, bottom_bracket={"shell": "pressfit-46-79"}))
    (shell,) = frame.parts
    y = frame.meshes["bottom_bracket"].vertices[:, 1]
    assert (y.min(), y.max()) == pytest.approx((-34.0, 45.0), abs=1e-9)
    assert shell.volume == pytest.approx(79 * np.pi / 4 * (50.8**2 - 46**2), rel=1e-6)


def test_each_part_is_one_valid_solid(model: FrameModel) -> None:
    for part in model.parts:
        assert len(occ.solids(part.shape)) == 1, part.name
        assert len(occ.shells(part.shape)) == 1, part.name
        assert occ.is_valid(part.shape), part.name
        assert part.volume > 0


def test_parts_touch_but_do_not_overlap(model: FrameModel) -> None:
    """By mesh booleans, as the CAD kernel's own common volume of touching shapes says 0 too readily."""
    solids = {part.name: solid_of(model.meshes[part.name]) for part in model.parts}
    for a, b in itertools.combinations(solids, 2):
        assert shared(solids[a], solids[b]) < 0.5, (a, b)  # mm³; facets of one curve on another
    # The same measure sees an overlap of a tenth of a millimetre.
    moved = solid_of(model.meshes["top_tube"], (0.1, 0.0, 0.0))
    assert shared(moved, solids["head_tube"]) > 5


def plugs(model: FrameModel) -> dict[str, Sweep]:
    """What must pass through the finished frame, slimmer by 0.1 mm across."""
    bike = model.bike
    head, seat = bike.tube("head_tube"), bike.tube("seat_tube")
    up, along = head.axis.tangent(0), seat.axis.tangent(0)
    top, bottom = head.axis.end, head.axis.start
    left = bike.dropouts[0]
    return {
        "upper cup": rod(top, tuple(up), 19.9, 5.0, 43.9),
        "lower cup": rod(bottom, tuple(up), 5.0, 19.9, 55.9),
        "steerer": rod(bottom, tuple(up), 30.0, 150.0, 40.0),
        "seatpost": rod(seat.axis.end, tuple(along), 90.0, 100.0, 31.5),
        "bottom bracket": rod((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 60.0, 60.0, 33.55),
        "axle": rod((left.axle[0], 0.0, left.axle[2]), (0.0, 1.0, 0.0), 120.0, 120.0, 11.9),
        "hub": rod((left.axle[0], 0.0, left.axle[2]), (0.0, 1.0, 0.0), 73.9, 73.9, 29.0),
    }


def test_bores_are_clear(model: FrameModel) -> None:
    for name, plug in plugs(model).items():
        tool = occ.solid(plug)
        for part in model.parts:
            left = occ.bulk(occ.cut(part.shape, [tool])).volume
            assert left == pytest.approx(part.volume, rel=1e-7), (name, part.name)


def test_bores_are_no_larger_than_they_should_be(model: FrameModel) -> None:
    for name, plug in plugs(model).items():
        if name in ("steerer", "hub"):
            continue
        tool = occ.solid(plug.resized(0.2))
        taken = sum(
            part.volume - occ.bulk(occ.cut(part.shape, [tool])).volume for part in model.parts
        )
        assert taken > 10, name


def test_no_tube_holds_another_tubes_metal(model: FrameModel) -> None:
    bores = {body.name: body.bore for body in model.bodies if body.bore is not None}
    assert len(bores) == len(model.bike.tubes) + 1
    for name, bore in bores.items():
        for part in model.parts:
            # A tube's bore runs on into what it sits on, as far as the axis; that wall is not in it.
            body = next(b for b in model.bodies if b.name == name)
            if part.name == name or part.name in [cut.body for cut in body.cuts]:
                continue
            if name in [s for d in model.bike.dropouts for s, _ in d.stays] and (
                part.name.startswith("rear_dropout")
            ):
                continue  # closes the stay at its end
            inside = shared(solid_of(model.meshes[part.name]), solid_of(_mesh(bore.resized(-0.1))))
            assert inside < 0.5, (name, part.name)


def _mesh(sweep: Sweep) -> Mesh:
    from frame3d.solids.mesh import facets, sweep_mesh

    return sweep_mesh(sweep, facets(sweep.size, 0.05), 0.05)


def test_volume_lies_between_long_and_short_points(model: FrameModel) -> None:
    """A tube cut at both ends: metal area integrated between its long points, and its short points."""
    holes = 60.0  # mm³: vents, and where a third tube bites into its side
    for tube in model.bike.tubes:
        s = np.linspace(0.0, tube.axis.length, 20001)
        area = tube.section.area_at(s)
        cut = {}
        for which in ("long_point", "short_point"):
            a, b = getattr(tube.start, which), getattr(tube.end, which)
            inside = (s >= a) & (s <= tube.axis.length - b)
            cut[which] = float(np.trapezoid(np.where(inside, area, 0.0), s))
        part = model.part(tube.name)
        bored = tube.name in {bore.tube for bore in model.bike.bores}
        assert part.volume <= cut["long_point"] + 1.0, tube.name
        if not bored and tube.name != "down_tube":  # the seat tube takes its share of that one
            assert part.volume >= cut["short_point"] - holes, tube.name


def test_masses_agree_with_those_worked_out_without_solids(model: FrameModel) -> None:
    """`tubes.mass` integrates along the axes and knows nothing of the kernel; vents are left out."""
    for name, grams in masses_of(model.bike.frame).parts.items():
        assert model.part(name).mass == pytest.approx(grams, rel=6e-3), name


def test_centre_of_mass(model: FrameModel) -> None:
    grams = np.array([part.mass for part in model.parts])
    centres = np.array([part.centre for part in model.parts])
    assert model.mass == pytest.approx(float(grams.sum()))
    assert model.centre == pytest.approx(tuple(grams @ centres / grams.sum()))
    assert model.centre[1] == pytest.approx(0.0, abs=1e-3)  # the frame is symmetric
    assert model.part("head_tube").centre == pytest.approx(
        tuple(vector(model.bike.tube("head_tube").axis.start) * 0.5
              + vector(model.bike.tube("head_tube").axis.end) * 0.5),
        abs=6.0,
    )  # fmt: skip


def test_right_is_left_mirrored(model: FrameModel) -> None:
    pairs = [p for p in model.parts if p.side == "left"]
    assert {p.key for p in pairs} == {"chainstay", "seatstay", "rear_dropout"}
    for left in pairs:
        right = model.part(left.name.replace("left", "right"))
        bulk = occ.bulk(right.shape)
        assert bulk.volume == pytest.approx(left.volume, rel=1e-6)
        x, y, z = left.centre
        assert bulk.centre == pytest.approx((x, -y, z), abs=1e-4)
        assert right.centre == pytest.approx(bulk.centre, abs=1e-4)


def test_unknown_part(model: FrameModel) -> None:
    with pytest.raises(KeyError):
        model.part("mudguard")


MAST = bar(40.0, (0, 0, 0), (0, 0, 400), 2.0)


def test_model_is_frozen() -> None:
    model: FrameModel = make(context({"mast": MAST}))
    with pytest.raises(AttributeError):
        model.parts = ()  # type: ignore[misc]
