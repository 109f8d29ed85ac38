"""Outlines of housings, lugs and link plates against their own solids, and in the checks."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bodies import Body, bodies_of
from frame3d.bodies.frame.pivots import outline
from frame3d.bodies.motion.mounts import FRAME
from frame3d.bodies.motion.pose import Pose
from frame3d.clearance.lines import between
from frame3d.clearance.pairs import PAIRS, run
from frame3d.clearance.result import Result
from frame3d.clearance.scene import Scene, scene_of
from frame3d.geometry.disc_hull import Flat
from frame3d.solids.bodies import bodies as solid_bodies
from frame3d.solids.body_meshes import part_mesh
from frame3d.tubes.hardware import Housing, LinkPlate, Lug
from tests.bodies.distance import surface, union
from tests.linked import OWN, OWN_TUBES, ROCKER, ROCKER_TUBES, layout

OWNER = "{main_pivot: {housing: swingarm, width: 80, od: 36, axle: 15}}"
LAYOUTS = {
    "rocker": lambda: layout(ROCKER_TUBES, ROCKER),
    "own": lambda: layout(OWN_TUBES, OWN, OWNER),
}


@pytest.fixture(scope="module", params=LAYOUTS)
def bike(request: pytest.FixtureRequest) -> Bike:
    return LAYOUTS[request.param]()


@pytest.fixture(scope="module")
def scene() -> Scene:
    return scene_of(LAYOUTS["rocker"]())


def hardware(bike: Bike) -> list[Body]:
    names = {item.name for item in bike.pivots}
    return [body for body in bodies_of(bike).bodies if body.name in names]


def test_all_of_it_is_there_and_on_its_link(bike: Bike) -> None:
    links = {item.name: item.link for item in bike.pivots}
    found = hardware(bike)
    assert [body.name for body in found] == list(links)
    for body in found:
        assert body.family == "frame"
        mounts = {part.mount.name for part in (*body.shapes, *body.tubes)}
        assert mounts == {links[body.name] or "frame"}


@pytest.mark.parametrize("pose", [Pose(), Pose(rear=60)], ids=["drawn", "moved"])
def test_tubes_lie_on_the_outside_of_their_shapes(bike: Bike, pose: Pose) -> None:
    """Every point of every tube's side is on or in the shapes."""
    for body in hardware(bike):
        for tube in body.tubes:
            d = union(body.shapes, surface(tube, pose=pose), pose)
            assert d.max() <= 1e-6, body.name


def test_outlines_hold_the_solids(bike: Bike) -> None:
    """No vertex of a part's mesh is further out of its outline than sharp corners are rounded, by
    0.02 mm, with what meshes are off.
    """
    meshes = {body.name: part_mesh(body) for body in solid_bodies(bike)}
    for body in hardware(bike):
        outside = union(body.shapes, meshes[body.name].vertices)
        assert outside.max() < 0.05, body.name


FLATS = {
    "one round": Flat(((3.0, 4.0, 9.0),), 2.0, 8.0),
    "level": Flat(((0.0, 0.0, 9.0), (70.0, 20.0, 9.0)), -3.0, 3.0),
    "tapering": Flat(((0.0, 0.0, 16.0), (70.0, 20.0, 4.0)), -3.0, 3.0),
    "three": Flat(((175.0, 264.0, 11.0), (199.6, 221.0, 7.7), (220.3, 243.9, 7.7)), 15.5, 21.5),
    "wide": Flat(((0.0, 0.0, 12.0), (120.0, 0.0, 5.0), (60.0, 90.0, 8.0), (0.0, 90.0, 4.0)), 0, 5),
}


@pytest.mark.parametrize("flat", FLATS.values(), ids=FLATS)
def test_a_plates_outline_is_solid_and_no_larger(flat: Flat) -> None:
    """Points all over a plate, by its rounds' support function, which is up to 0.06 mm too deep where
    it is tried for every twentieth of a degree: those within are in its outline, at the faces as well
    as between them, and those without are not.
    """
    discs = np.array(flat.discs)
    low = (discs[:, :2] - discs[:, 2:]).min(axis=0)
    high = (discs[:, :2] + discs[:, 2:]).max(axis=0)
    rng = np.random.default_rng(4)
    x, z = rng.uniform(low[:, None] - 5, high[:, None] + 5, (2, 4000))
    turn = np.radians(np.arange(0, 360, 0.05))
    u = np.stack((np.cos(turn), np.sin(turn)))
    reach = (discs[:, :2] @ u + discs[:, 2:]).max(axis=0)
    depth = (reach - np.stack((x, z), axis=1) @ u).min(axis=1)
    shapes = outline("plate", flat, FRAME).shapes
    for y in (flat.low, (flat.low + flat.high) / 2, flat.high):
        off = union(shapes, np.stack((x, np.full_like(x, y), z), axis=1))
        assert off[depth > 0.1].max() < 0.02
        assert off[depth < -0.02].min() > 0
    assert len(shapes) < 25


def test_outlines_are_no_larger_than_they_need_be(bike: Bike) -> None:
    """The rounds are where the layout has them: their shapes reach its faces and edges, no further."""
    for item, body in zip(bike.pivots, hardware(bike), strict=True):
        if isinstance(item, Housing):
            x, z, r, low, high = *item.at[::2], item.od / 2, -item.width / 2, item.width / 2
        elif isinstance(item, Lug):
            x, z, r = *item.axle[::2], item.boss / 2
            low, high = item.span
        else:
            boss = item.bosses[0]
            x, z, r, low, high = boss.x, boss.z, boss.od / 2, boss.low, boss.high
        faces = np.array([[x, low - 1, z], [x, high + 1, z]])
        assert union(body.shapes, faces) == pytest.approx([1.0, 1.0], abs=1e-6), body.name
        turn = np.linspace(0, 2 * np.pi, 24)
        middle = (low + high) / 2
        ring = np.stack([x + r * np.cos(turn), 0 * turn + middle, z + r * np.sin(turn)], axis=1)
        on_edge = np.abs(union(body.shapes, ring)) < 1e-6
        assert on_edge.sum() >= 8, body.name  # the rest is where webs and plates go on


def test_hardware_says_which_axles_it_sits_on(bike: Bike) -> None:
    def points(name: str) -> set[str]:
        item = next(i for i in bike.pivots if i.name == name)
        if isinstance(item, LinkPlate):
            return {boss.pivot for boss in item.bosses}
        return {item.pivot}

    names = [item.name for item in bike.pivots]
    for body in hardware(bike):
        assert set(body.axles) == points(body.name)
        assert body.name in names


def test_a_tyre_to_a_housing(scene: Scene) -> None:
    """A ring of round section about the axle against a cylinder along y: d - R - r - D/2 in the
    centre plane, where both are thickest.
    """
    tyre, housing = scene.body("rear_tyre"), scene.body("housing_rocker_pivot")
    assert tyre is not None
    assert housing is not None
    (item,) = [i for i in scene.bike.pivots if i.name == "housing_rocker_pivot"]
    assert isinstance(item, Housing)
    # The web alone comes nearer: measure the cylinder.
    plain = Body(
        housing.name, housing.part, "frame", housing.shapes[:1], housing.tubes[:1], housing.colour
    )
    gap = between(tyre, plain, scene, ())
    assert gap is not None
    casing = tyre.shapes[0].shape
    x, _, z = scene.bike.nodes["rear_axle"]
    distance = float(np.hypot(item.at[0] - x, item.at[2] - z))
    expected = distance - casing.centre_radius - casing.tube_radius - item.od / 2
    assert gap.gap == pytest.approx(expected, abs=2e-3)


def test_checks_see_hardware(scene: Scene) -> None:
    found = {}
    for check in PAIRS:
        if check.name in ("rear_tyre_to_frame", "shock_to_frame", "links_to_frame"):
            results = [r for r in run(check, scene) if isinstance(r, Result)]
            found[check.name] = [r.between for r in results if r.between is not None]
    assert ("rear_tyre", "housing_rocker_pivot") in found["rear_tyre_to_frame"]
    firsts = {a for a, _ in found["links_to_frame"]}
    assert any(name.startswith("plate_rocker") for name in firsts)
    assert any(name.startswith("chainstay") for name in firsts)
    # What stands still is no link, and what turns on one axle is not measured.
    for a, b in found["links_to_frame"]:
        assert not a.startswith("lug_shock_front")
        assert (a, b) != ("plate_rocker_left", "housing_rocker_pivot")
    assert not any("lug_shock_front" in b and a == "shock_body" for a, b in found["shock_to_frame"])
