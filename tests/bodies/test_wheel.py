"""Rims, hubs, rotors and the rear caliper: where they stand."""

from __future__ import annotations

import numpy as np
import pytest

from tests.bodies.bike import bodies, body, layout
from tests.bodies.distance import signed


@pytest.mark.parametrize(("end", "width"), [("front", 110), ("rear", 148)])
def test_hubs_end_at_the_dropouts(end: str, width: float) -> None:
    hub = body(f"{end}_hub").shapes[0]
    corners = hub.shape.numbers[1:].reshape(-1, 2)
    assert corners[:, 1].min() == -width / 2
    assert corners[:, 1].max() == width / 2
    assert hub.origin == layout().nodes[f"{end}_axle"]


@pytest.mark.parametrize(
    ("end", "diameter", "y"), [("front", 180, 55 - 10.5), ("rear", 160, 74 - 15.3)]
)
def test_rotors_on_the_left(end: str, diameter: float, y: float) -> None:
    """Insets: common practice, no source."""
    rotor = body(f"{end}_rotor").shapes[0]
    assert rotor.origin[1] == pytest.approx(y)
    assert rotor.shape.numbers[1:].reshape(-1, 2)[:, 0].max() == diameter / 2


def test_the_rim_seats_the_tyre() -> None:
    """The rim reaches over its bead seat, and the tyre's inside lies on that (61-622: 311)."""
    rim, tyre = body("rear_rim").shapes[0], body("rear_tyre").shapes[0]
    corners = rim.shape.numbers[1:].reshape(-1, 2)
    assert corners[:, 0].min() == 311 - 20
    assert corners[:, 0].max() == 311 + 5
    # Inner width of 55 % of the tyre's (secondary summary of ISO 5775-1), and its flanges.
    assert 2 * corners[:, 1].max() == pytest.approx(0.55 * 61 + 5)
    assert tyre.shape.numbers[0] - tyre.shape.numbers[1] == 311


def test_the_rims_own_sizes() -> None:
    change = (
        "hub: 148x12, rotor: 160",
        "hub: 148x12, rotor: 160, rim: {inner_width: 30, depth: 25}",
    )
    corners = body("rear_rim", change).shapes[0].shape.numbers[1:].reshape(-1, 2)
    assert 2 * corners[:, 1].max() == 35
    assert corners[:, 0].min() == 286


def test_the_caliper_holds_the_rotors_edge() -> None:
    """At 35 degrees up from straight ahead the rotor's edge lies within; 14 mm stand out beyond it."""
    caliper = body("rear_caliper").shapes[0]
    x, _, z = layout().nodes["rear_axle"]
    turn = np.radians(35)
    out = np.array([np.cos(turn), 0, np.sin(turn)])
    edge = np.array([x, 58.7, z]) + 80 * out
    assert signed(caliper, edge[None])[0] < -5
    assert signed(caliper, (edge + 14 * out)[None])[0] == pytest.approx(0, abs=1e-9)
    side = edge + np.array([0, 20, 0])  # toward the dropout
    assert signed(caliper, side[None])[0] == pytest.approx(0, abs=1e-9)
    side = edge - np.array([0, 18, 0])
    assert signed(caliper, side[None])[0] == pytest.approx(0, abs=1e-9)


def test_a_rotor_needs_its_hub() -> None:
    absent = {a.name: a.needs for a in bodies(("hub: 110x15, rotor: 180", "rotor: 180")).absent}
    assert absent["front_rotor"] == "build.front_wheel.hub"
    assert absent["front_hub"] == "build.front_wheel.hub"
