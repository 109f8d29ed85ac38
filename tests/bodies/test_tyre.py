"""Tyres: radius and width of the envelope by hand."""

from __future__ import annotations

import numpy as np
import pytest

from frame3d.bodies.body import Body
from tests.bodies.bike import bodies, body, layout
from tests.bodies.distance import Array, union

FLEX = ("tyre: 61-622, hub: 148x12", "tyre: 61-622, hub: 148x12, flex: 3, growth: 2")


def reach(tyre: Body, direction: Array) -> float:
    """How far a tyre reaches from its axle along a direction [mm], by bisection from outside."""
    centre = np.array(tyre.shapes[0].origin) * (1, 0, 1)
    near, far = 250.0, 600.0
    for _ in range(60):
        middle = (near + far) / 2
        if union(tyre.shapes, (centre + middle * direction)[None])[0] > 0:
            far = middle
        else:
            near = middle
    return far


def width(tyre: Body) -> float:
    """Greatest |y| [mm], over points beside the tyre's whole section."""
    centre = np.array(tyre.shapes[0].origin) * (1, 0, 1)
    y = np.linspace(20, 60, 4001)
    r = np.linspace(300, 380, 161)
    grid = np.array([(a, b, 0.0) for a in r for b in y]) + centre
    inside = union(tyre.shapes, grid) <= 0
    return float(grid[inside, 1].max())


@pytest.mark.parametrize("end", ["front", "rear"])
def test_radius_and_width_of_the_designation(end: str) -> None:
    """61-622: 622/2 + 61 = 372 mm outside (ISO 5775-1, as summarised in secondary sources), 61 wide."""
    tyre = body(f"{end}_tyre")
    for turn in (0.0, 1.0, 2.5):
        out = np.array([np.cos(turn), 0.0, np.sin(turn)])
        assert reach(tyre, out) == pytest.approx(372.0, abs=1e-6)
    assert width(tyre) == pytest.approx(30.5, abs=0.02)
    assert tyre.shapes[0].origin == layout().nodes[f"{end}_axle"]


def test_a_narrow_tyre_is_as_high_as_its_rule() -> None:
    """25-622: H = 27.5, radius 338.5 (reference row of ISO 5775-1); 25 wide."""
    tyre = body("rear_tyre", ("rear_wheel: {tyre: 61-622", "rear_wheel: {tyre: 25-622"))
    assert reach(tyre, np.array([1.0, 0, 0])) == pytest.approx(338.5, abs=1e-6)
    assert tyre.shapes[0].shape.tube_radius == 12.5


def test_the_outline_is_unloaded_where_the_radius_was_measured() -> None:
    tyre = body(
        "rear_tyre", ("rear_wheel: {tyre: 61-622", "rear_wheel: {radius: 365, tyre: 61-622")
    )
    assert reach(tyre, np.array([1.0, 0, 0])) == pytest.approx(372.0, abs=1e-6)


def test_plain_millimetres() -> None:
    tyre = body(
        "rear_tyre", ("rear_wheel: {tyre: 61-622", "rear_wheel: {tyre: {width: 50, diameter: 700}")
    )
    assert reach(tyre, np.array([0.0, 0, 1.0])) == pytest.approx(350.0, abs=1e-6)


def test_growth_and_flex() -> None:
    """2 mm of growth is 1 mm all round the section; 3 mm of flex goes to either side."""
    tyre = body("rear_tyre", FLEX)
    assert reach(tyre, np.array([1.0, 0, 0])) == pytest.approx(373.0, abs=1e-6)
    assert width(tyre) == pytest.approx(30.5 + 1 + 3, abs=0.02)


def test_the_swept_section_is_full_between_both_sides() -> None:
    """The hull of two circles 2·flex apart: every point within it, none outside."""
    tyre = body("rear_tyre", FLEX)
    centre = np.array(tyre.shapes[0].origin) * (1, 0, 1)
    rng = np.random.default_rng(3)
    points = np.stack(
        [rng.uniform(300, 380, 4000), rng.uniform(-45, 45, 4000), np.zeros(4000)], axis=1
    )
    beyond = np.maximum(np.abs(points[:, 1]) - 3, 0)
    hull = np.hypot(points[:, 0] - 341.5, beyond) - 31.5
    found = union(tyre.shapes, points + centre)
    assert ((found > 0) == (hull > 0)).all()
    outside = hull > 0
    assert found[outside] == pytest.approx(hull[outside], abs=1e-9)


def test_shoulder_knobs_stand_out_where_they_are_said_to() -> None:
    tyre = body(
        "rear_tyre",
        ("rear_wheel: {tyre: 61-622", "rear_wheel: {tread: {width: 60, drop: 12}, tyre: 61-622"),
    )
    x, _, z = layout().nodes["rear_axle"]
    corner = np.array([[x + 372 - 12, 30.0, z]])
    assert union(tyre.shapes, corner)[0] == pytest.approx(0, abs=1e-9)
    assert union(tyre.shapes[:1], corner)[0] > 3  # the round section leaves it out
    assert reach(tyre, np.array([1.0, 0, 0])) == pytest.approx(372.0, abs=1e-6)


def test_no_tyre_no_outline() -> None:
    found = bodies(("front_wheel: {tyre: 61-622, ", "front_wheel: {radius: 372, "))
    assert {"front_tyre", "front_rim"} <= {a.name for a in found.absent}
    assert next(a for a in found.absent if a.name == "front_tyre").needs == "build.front_wheel.tyre"
