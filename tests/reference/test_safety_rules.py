"""Toe clearance and lean angle against rows worked by hand from the rules' own definitions."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from frame3d.bike.solve import solve
from frame3d.bodies.shapes import Box, Torus
from frame3d.clearance import scalar_checks
from frame3d.clearance.result import Result
from frame3d.clearance.scene import Scene, scene_of
from frame3d.clearance.toe import FrontEnd, toe_clearance
from frame3d.parameters.reading.reader import load

DEMO = Path(__file__).parents[2] / "configs" / "trail_hardtail_29.yaml"


@pytest.mark.parametrize(
    ("axle", "pedal", "front", "distance", "steer"),
    [
        # Derived from 16 CFR 1512.17(d), thin-disc wheel: front centre (horizontal) 780, pedal height
        # 335, crank 170, pedal centre 90 from the centre plane, wheel 368, head angle 65, offset 44.
        ((780, 368), (170, 90, 335), (65, 44, 368), 256.40, 17.22),
        ((560, 340), (172.5, 90, 268), (72, 45, 340), 69.63, 17.85),
    ],
)
def test_toe_clearance_rows(
    axle: tuple[float, float],
    pedal: tuple[float, float, float],
    front: tuple[float, float, float],
    distance: float,
    steer: float,
) -> None:
    found = toe_clearance(FrontEnd(axle, *front), pedal, limit=60)
    assert found.distance == pytest.approx(distance, abs=0.005)
    # The wheel's rear edge comes to the left pedal when the bar turns right.
    assert found.steer == pytest.approx(-steer, abs=0.006)
    mirrored = toe_clearance(FrontEnd(axle, *front), (pedal[0], -pedal[1], pedal[2]), limit=60)
    assert mirrored.distance == pytest.approx(found.distance, abs=1e-9)
    assert mirrored.steer == pytest.approx(-found.steer, abs=1e-9)


@pytest.fixture(scope="module")
def scene() -> Scene:
    return scene_of(solve(load(DEMO)))


def _lean(scene: Scene, y: float, z: float, rho: float) -> float:
    """Lean angle of the demo with its pedal's outer lower corner put to (y, z), tyre radius rho."""
    pedal, tyre = scene.body("pedal_left"), scene.body("rear_tyre")
    assert pedal is not None
    assert tyre is not None
    crank = scene.spec.build.crank
    stance = scene.bike.sagged
    assert crank is not None
    assert stance is not None
    height = stance.chart["bb_height"]
    assert height is not None
    half = height - crank.length - z
    shape = pedal.shapes[0]
    flat = Box((50.0, 0.0, half), 0.0)
    thin = replace(pedal, shapes=(replace(shape, origin=(0.0, y, 0.0), shape=flat),))
    ring = tyre.shapes[0]
    round_tyre = replace(tyre, shapes=(replace(ring, shape=Torus(372.0 - rho, rho)),))
    changed = {"pedal_left": thin, "rear_tyre": round_tyre}
    bodies = tuple(changed.get(b.name, b) for b in scene.bodies)
    parts = replace(scene.parts, bodies=bodies)
    (result,) = scalar_checks.pedal_to_ground(replace(scene, make=lambda _: parts))
    assert isinstance(result, Result)
    return result.gap


def test_lean_angle_rows(scene: Scene) -> None:
    # Derived: r + (z - r)·cos a - y·sin a = 0 at y 192, z 156.
    assert _lean(scene, 192, 156, 0) == pytest.approx(39.094, abs=5e-4)
    assert _lean(scene, 192, 156, 30) == pytest.approx(40.781, abs=5e-4)
    # 16 CFR 1512.17(c) and JIS D 9301 ask for 25 degrees: at y 192 a corner 89.53 mm high, thin tyre.
    assert _lean(scene, 192, 89.53, 0) == pytest.approx(25, abs=2e-3)
