"""Bodies on the rear links: tables of their motion, and certified gaps over the rear travel."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import bodies_of
from frame3d.bodies.drivetrain import tangent
from frame3d.bodies.motion.linked import chain_swing, link_swing, longest_run, shock_swings
from frame3d.bodies.motion.mounts import FRAME, Mount, fork_mounts, link_mount
from frame3d.bodies.motion.pose import Pose, matrix
from frame3d.bodies.motion.swing import Swing, tabled
from frame3d.bodies.shapes import PlacedShape, Shape, bar, box, capsule, cylinder, torus
from frame3d.clearance.certify.distance import Gap, nearest
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.check import check
from frame3d.parameters.reading.reader import load
from tests.bike.single import MINIMAL, SINGLE

TRAVEL = 150.0


def rows(pivot: complex, arm: float, rise: float):
    """A made-up link: about a pivot that itself rises."""

    def at(t: np.ndarray) -> np.ndarray:
        turn = -0.9 * np.arcsin(t / arm) - 5e-4 * t
        rate = -0.9 / np.sqrt(arm**2 - t**2) - 5e-4
        c = pivot - np.exp(1j * turn) * pivot + 1j * rise * t**2
        dc = -1j * rate * np.exp(1j * turn) * pivot + 2j * rise * t
        return np.stack(
            (c.real, c.imag, np.degrees(turn), dc.real, dc.imag, np.degrees(rate)), axis=1
        )

    return at


@pytest.fixture(scope="module")
def mounts() -> dict[str, Mount]:
    up = np.array([-np.cos(1.14), 0.0, np.sin(1.14)])
    return {
        "a": link_mount("a", tabled(TRAVEL, rows(complex(10, 60), 430.0, 7e-4))),
        "b": link_mount("b", tabled(TRAVEL, rows(complex(-30, 250), 300.0, -4e-4))),
        "fork": fork_mounts(np.array([420.0, 0.0, 600.0]), up)[1],
        "frame": FRAME,
    }


@pytest.fixture(scope="module")
def layout(tmp_path_factory: pytest.TempPathFactory) -> Bike:
    file = tmp_path_factory.mktemp("rear") / "bike.yaml"
    file.write_text(MINIMAL + SINGLE)
    return solve(load(file))


def test_a_table_is_as_fine_as_it_needs_to_be() -> None:
    exact = rows(complex(10, 60), 430.0, 7e-4)
    swing = tabled(TRAVEL, exact)
    t = np.random.default_rng(0).uniform(0, TRAVEL, 500)
    off = np.abs(swing.over(t) - exact(t))
    assert off[:, :2].max() < 1e-6
    assert off[:, 2].max() < np.degrees(1e-9)
    assert off[:, 3:].max() < 1e-5  # slopes, less well


SHAPES: dict[str, Shape] = {
    "torus": torus(320, 30),
    "box": box(60, 40, 90, 5),
    "capsule": capsule(120, 20, 10),
    "cylinder": cylinder(60, -5, 5),
}


@pytest.mark.parametrize("shape", list(SHAPES))
@pytest.mark.parametrize(
    ("on_tube", "on_shape"), [("a", "frame"), ("frame", "a"), ("a", "b"), ("b", "a"), ("fork", "b")]
)
def test_no_position_comes_nearer_than_the_certificate(
    mounts: dict[str, Mount], shape: str, on_tube: str, on_shape: str
) -> None:
    """Held at each of many travels the same two are never nearer than over all of them; and at the
    travel that it names, the gap is what `matrix` moves the two points to.
    """
    rng = np.random.default_rng(len(shape) + 10 * ord(on_tube[0]) + ord(on_shape[0]))
    a = rng.uniform(-250, 80, 3) * [1, 0.2, 1] + [0, 0, 150]
    b = a + rng.uniform(-250, 250, 3) * [1, 0.3, 1]
    tube = bar("t", tuple(a), tuple(b), 12.0, mounts[on_tube], 7.0)
    origin = (float(rng.uniform(-500, -250)), 5.0, float(rng.uniform(-200, 500)))
    placed = PlacedShape("s", SHAPES[shape], origin, mounts[on_shape])
    whole = nearest(tube, placed, [Range("rear", 0.0, TRAVEL)])
    assert isinstance(whole, Gap)
    held = []
    for t in np.linspace(0, TRAVEL, 61):
        one = nearest(tube, placed, [Range("rear", float(t), float(t))], tolerance=1e-3)
        assert isinstance(one, Gap)
        held.append(one.gap)
    least = min(held)
    if whole.gap > 0:
        assert whole.gap - whole.error - 1e-3 <= least
        assert whole.error <= 0.01
        # Between two of 61 travels, 2.5 mm apart, a gap can fall by no more than the bodies move.
        assert least - whole.gap < 2.5 * 2
        apart = np.linalg.norm(np.subtract(whole.tube_point, whole.shape_point))
        assert apart == pytest.approx(whole.gap, abs=1e-9)
        there = nearest(tube, placed, [Range("rear", whole.at["rear"], whole.at["rear"])])
        assert isinstance(there, Gap)
        assert there.gap <= whole.gap + 1e-9
    else:
        assert least < 0.01


def test_links_move_as_the_linkage_says(layout: Bike) -> None:
    linkage = layout.linkage
    assert linkage is not None
    for name in linkage.links:
        mount = link_mount(name, link_swing(linkage, name))
        for travel in np.linspace(0, linkage.full_travel, 13):
            pose = linkage.pose_at(travel=float(travel))
            moved = matrix(mount, Pose(rear=float(travel)))
            for point in linkage.bodies[name]:
                x, z = linkage.drawn[point]
                at = moved @ [x, 3.0, z, 1.0]
                assert at[[0, 2]] == pytest.approx(pose.points[point], abs=2e-6)
                assert at[1] == 3.0


def test_the_shock_keeps_its_eyes_and_shortens_by_its_stroke(layout: Bike) -> None:
    linkage = layout.linkage
    assert linkage is not None
    halves = [link_mount(str(i), s) for i, s in enumerate(shock_swings(linkage))]
    for travel in np.linspace(0, linkage.full_travel, 9):
        pose = linkage.pose_at(travel=float(travel))
        eyes = []
        for mount, name in zip(halves, linkage.shock, strict=True):
            x, z = linkage.drawn[name]
            at = matrix(mount, Pose(rear=float(travel))) @ [x, 0.0, z, 1.0]
            assert at[[0, 2]] == pytest.approx(pose.points[name], abs=2e-6)
            eyes.append(at)
        length = float(np.linalg.norm(eyes[1] - eyes[0]))
        assert length == pytest.approx(linkage.eye_to_eye - pose.stroke, abs=1e-5)
        # Both halves keep pointing at each other.
        turned = [s.at(float(travel))[2] for s in shock_swings(linkage)]
        assert turned[0] == pytest.approx(turned[1], abs=1e-9)


@pytest.mark.parametrize("up", [1.0, -1.0])
def test_the_chain_stays_on_ring_and_cog(layout: Bike, up: float) -> None:
    """The moved run lies on the tangent that `tangent` draws anew for the moved axle."""
    linkage = layout.linkage
    assert linkage is not None
    ring, cog = 65.0, 103.0
    mount = link_mount("chain", chain_swing(linkage, ring, cog, up))
    axle = (linkage.drawn["rear_axle"][0], 0.0, linkage.drawn["rear_axle"][1])
    a, b = tangent((0.0, 0.0, 0.0), ring, axle, cog, up)
    for travel in np.linspace(0, linkage.full_travel, 7):
        x, z = linkage.axle_at(float(travel))
        c, d = tangent((0.0, 0.0, 0.0), ring, (x, 0.0, z), cog, up)
        moved = matrix(mount, Pose(rear=float(travel)))
        assert (moved @ [*a, 1.0])[:3] == pytest.approx(c, abs=1e-5)
        direction = np.subtract(d, c) / np.linalg.norm(np.subtract(d, c))
        along = (moved[:3, :3] @ np.subtract(b, a)) / np.linalg.norm(np.subtract(b, a))
        assert along == pytest.approx(direction, abs=1e-7)
        assert np.linalg.norm(np.subtract(d, c)) <= longest_run(linkage, ring, cog) + 0.05


def test_bodies_on_links_stand_where_they_are_drawn_at_no_travel(layout: Bike) -> None:
    for body in bodies_of(layout).bodies:
        for solid in (*body.shapes, *body.tubes):
            if all(step.name == "rear" for step in solid.mount.steps):
                assert matrix(solid.mount, Pose()) == pytest.approx(np.eye(4), abs=1e-9)


def test_checks_name_the_rear_travel(layout: Bike, tmp_path: Path) -> None:
    file = tmp_path / "bike.yaml"
    text = MINIMAL + SINGLE
    assert "build:" in text
    file.write_text(
        text.replace("build:", "build:\n  rear_wheel: {tyre: {width: 55, diameter: 736}}", 1)
    )
    moved = solve(load(file))
    assert moved.linkage is not None
    shock = next(r for r in check(moved).results if r.name == "shock_to_rear_tyre")
    assert set(shock.at) == {"rear"}
    assert 0 <= shock.at["rear"] <= moved.linkage.full_travel


def test_a_swing_is_told_apart_by_itself(mounts: dict[str, Mount]) -> None:
    """Equal tables of two links are still two motions."""
    step = mounts["a"].steps[0]
    assert isinstance(step.swing, Swing)
    again = Swing(step.swing.travel, step.swing.knots)
    assert again != step.swing
