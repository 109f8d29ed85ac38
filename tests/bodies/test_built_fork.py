"""A built fork's own tubes as bodies: where they are, that they turn, and their gaps to the tyre."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from frame3d.bodies import bodies_of
from frame3d.bodies.body import Body
from frame3d.bodies.placement import Placement
from frame3d.clearance.check import check
from frame3d.clearance.result import Report
from frame3d.clearance.table import kind_of
from frame3d.geometry.vector import vector
from frame3d.solids.bodies import bodies as solid_bodies
from frame3d.solids.body_meshes import mesh_of_part
from tests.built_forks import BUILT, fork_bike


def fork_bodies(kind: str) -> dict[str, Body]:
    return {b.name: b for b in bodies_of(fork_bike(kind)).bodies if b.family == "fork"}


@pytest.mark.parametrize("kind", BUILT)
def test_every_tube_and_plate_is_a_body_that_turns(kind: str) -> None:
    bike, found = fork_bike(kind), fork_bodies(kind)
    assert bike.fork is not None
    own = {part.name for part in (*bike.fork.tubes, *bike.fork.plates)}
    assert set(found) == own | {"fork_axle"}
    place = Placement(bike)
    for name in own:
        assert found[name].mount == place.steering
        assert found[name].part.startswith("build.fork.built")
        assert kind_of(found[name]) == "fork_tube"
        assert found[name].tubes[0].section.height
    names = {one.name for one in bodies_of(bike).absent}
    assert not any(name.startswith("fork") for name in names)


def test_steerer_and_seat_end_at_the_crown_race() -> None:
    place, found = Placement(fork_bike("unicrown")), fork_bodies("unicrown")
    for name in ("fork_steerer", "fork_race_seat"):
        tube = found[name].tubes[0]
        top = vector(tube.axis.at(tube.axis.length))
        assert top == pytest.approx(place.node("crown_race"), abs=1e-9)
        assert found[name].touches == ("head_tube",)
    assert found["fork_blade_left"].touches == ()


@pytest.fixture(scope="module")
def report() -> Report:
    return check(fork_bike("segmented"))


def test_gaps_to_tyre_and_rotor_are_those_of_the_metal(report: Report) -> None:
    """Held to the nearest corner of the solids' own meshes, by the torus and disc of the wheel."""
    bike = fork_bike("segmented")
    assert bike.fork is not None
    place = Placement(bike)
    tyre = place.tyre("front")
    assert tyre is not None
    axle = vector(place.axle("front"))
    corners = {}
    for body in solid_bodies(bike.fork):
        mesh = mesh_of_part(bike.fork, body, 0.05)
        whole = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
        corners[body.name] = whole.subdivide_to_size(4.0).vertices - axle
    centre = tyre.radius - tyre.width / 2

    def to_torus(p: np.ndarray) -> float:
        around = np.hypot(np.hypot(p[:, 0], p[:, 2]) - centre, p[:, 1])
        return float(around.min()) - tyre.width / 2

    def to_rotor(p: np.ndarray) -> float:
        radial = np.maximum(np.hypot(p[:, 0], p[:, 2]) - 80.0, 0.0)
        beside = np.maximum(np.abs(p[:, 1] - 40.4) - 0.9, 0.0)  # 9.6 in from 50, 1.8 thick
        return float(np.hypot(radial, beside).min())

    gaps = {(r.name, r.between[1]): r for r in report.results if r.between is not None}
    for name, gap in (("front_tyre_to_fork", to_torus), ("rotor_to_fork", to_rotor)):
        for part in ("fork_blade_left", "fork_post_lower", "fork_segment_left"):
            if (name, part) not in gaps:
                continue
            found, seen = gaps[name, part], gap(corners[part])
            assert found.gap - found.error <= seen + 0.01, (name, part)
            assert found.gap == pytest.approx(seen, abs=0.3), (name, part)  # corners lie apart
    assert ("rotor_to_fork", "fork_blade_left") in gaps
    assert ("front_tyre_to_fork", "fork_blade_left") in gaps


def test_what_turns_is_checked_against_the_frame(report: Report) -> None:
    found = {r.between for r in report.results if r.name == "fork_to_frame"}
    assert ("fork_segment_left", "down_tube") in found
    assert ("fork_steerer", "down_tube") in found
    hub = {r.between for r in report.results if r.name == "parts_to_parts"}
    assert ("front_hub", "fork_blade_left") in hub


def test_a_bought_fork_has_no_such_check() -> None:
    every = check(fork_bike("bought"))
    names = {r.name for r in every.results} | {u.name for u in every.unchecked}
    assert "rotor_to_fork" not in names
