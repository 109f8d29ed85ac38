"""Numbers that bear on a check."""

from __future__ import annotations

import pytest

from frame3d.bike.solve import solve
from frame3d.bodies.parts.brake import caliper_angle
from frame3d.bodies.placement import Placement
from frame3d.clearance.advice.ways import bottles, ways
from frame3d.clearance.check import run_checks
from frame3d.clearance.result import Result
from frame3d.clearance.scene import Scene, scene_of
from frame3d.parameters.reading.change import value_at
from frame3d.parameters.reading.reader import load
from tests.built_forks import fork_bike
from tests.clearance.test_check import DEMO


def test_the_suspensions_points_bear_on_a_plate() -> None:
    file = DEMO.with_name("enduro_170_mixed.yaml")
    scene = scene_of(solve(load(file, sets=("clearance.links_to_frame=5",))))
    worst = run_checks(scene, names=frozenset({"links_to_frame"})).results[0]
    assert worst.between == ("plate_push_link_left", "seat_tube")
    assert not worst.ok
    paths = {path for way in ways(scene, worst) for path in way.paths}
    assert any(path.startswith("suspension.points.rocker") for path in paths)
    assert not any("shock_front" in path for path in paths)


def near(*names: str) -> Result:
    """A result between two bodies; ways look at nothing else of it."""
    return Result("x", "x", (names[0], names[1]), 1.0, 0.0, 2.0, "mm", "", {}, None)


def test_every_way_starts_at_the_files_own_value(scene: Scene) -> None:
    found = list(ways(scene, near("chainstay_left", "rear_tyre")))
    assert len(found) > 10
    for way in found:
        values = {value_at(scene.spec, path) for path in way.paths}
        assert values == {way.start}, way.paths
        assert way.largest > 0
        assert (way.unit, way.cost) in (("mm", 1.0), ("degrees", 10.0))
    paths = [path for way in found for path in way.paths]
    assert len(paths) == len(set(paths))


def test_tubes_of_a_check_bear_on_it_and_others_do_not(scene: Scene) -> None:
    paths = {p for way in ways(scene, near("chainstay_left", "rear_tyre")) for p in way.paths}
    assert any(p.startswith("tubes.chainstay.bends.") for p in paths)
    assert not any(p.startswith(("tubes.down_tube", "tubes.seatstay")) for p in paths)
    assert "geometry.chainstay_length" in paths
    assert "build.fork.travel" in paths


def test_a_bridge_is_one_way_for_both_of_its_ends(scene: Scene) -> None:
    found = [
        w for w in ways(scene, near("chainstay_bridge", "rear_tyre")) if "bridge" in w.paths[0]
    ]
    along = [w.paths for w in found if w.paths[0].endswith("from_start")]
    assert along == [
        ("tubes.chainstay_bridge.start.from_start", "tubes.chainstay_bridge.end.from_start")
    ]


def test_parts_of_a_check_bear_on_it(scene: Scene) -> None:
    """The caliper by its angle, which the file may leave to the stays; the arch by its radius."""
    (caliper,) = [
        w for w in ways(scene, near("rear_caliper", "seatstay_left")) if "rear_brake" in w.paths[0]
    ]
    brake = scene.spec.build.rear_brake
    assert brake is not None
    assert caliper.start == pytest.approx(caliper_angle(Placement(scene.bike), brake))
    assert caliper.unit == "degrees"
    arch = [w for w in ways(scene, near("front_tyre", "fork_arch")) if "arch" in w.paths[0]]
    assert [w.paths for w in arch] == [("build.fork.arch.radius",)]
    crown = {w.paths[0] for w in ways(scene, near("fork_crown", "down_tube"))}
    assert {p for p in crown if "crown." in p} == {
        f"build.fork.crown.{key}"
        for key in ("height", "back", "front", "width")
        if isinstance(value_at(scene.spec, f"build.fork.crown.{key}"), int | float)
    }
    bottle = {w.paths[0] for w in ways(scene, near("bottle_1", "top_tube"))}
    assert "build.bottles.0.from_start" in bottle
    assert list(bottles(scene.spec, ["bottle_1", "bottle_10"])) == [0]
    assert list(bottles(scene.spec, ["down_tube"])) == []


def test_a_check_without_bodies_has_the_charts_ways(scene: Scene) -> None:
    figure = Result("standover_room", "x", None, 1.0, 0.0, 2.0, "mm", "", {}, None)
    paths = {p for way in ways(scene, figure) for p in way.paths}
    assert paths
    assert all(p.startswith(("geometry.", "build.")) for p in paths)


def test_the_layout_of_a_built_fork_bears_on_it() -> None:
    built = scene_of(fork_bike("segmented"))
    paths = {p for way in ways(built, near("fork_segment_left", "down_tube")) for p in way.paths}
    assert "build.fork.built.crown.drop" in paths
    assert "build.fork.built.blades.bend.above_axle" in paths
    assert "build.fork.built.crown.spacing" not in paths  # the file does not give it
    others = {p for way in ways(built, near("crank", "down_tube")) for p in way.paths}
    assert not any(path.startswith("build.fork.built") for path in others)
