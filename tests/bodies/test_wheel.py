"""Rims, hubs and rotors: where they stand."""

from __future__ import annotations

import numpy as np
import pytest

from tests.bodies.bike import bodies, body, layout


@pytest.mark.parametrize(("end", "width"), [("front", 110), ("rear", 148)])
def test_hubs_end_at_the_dropouts(end: str, width: float) -> None:
    hub = body(f"{end}_hub").shapes[0]
    corners = np.array(hub.shape.profile)
    assert corners[:, 1].min() == -width / 2
    assert corners[:, 1].max() == width / 2
    assert hub.origin == layout().nodes[f"{end}_axle"]


@pytest.mark.parametrize(
    ("end", "diameter", "y"), [("front", 180, 55 - 9.6), ("rear", 160, 55.2 + 0.9)]
)
def test_rotors_on_the_left(end: str, diameter: float, y: float) -> None:
    """Faces 10.5 and 15.3 mm from the hub's shoulder: common practice, no source."""
    rotor = body(f"{end}_rotor").shapes[0]
    assert rotor.origin[1] == pytest.approx(y)
    assert max(r for r, _ in rotor.shape.profile) == diameter / 2


@pytest.mark.parametrize(
    ("hub", "face"),
    [
        # Face of 135: 67.5 - 15.3 (common practice, no source). 142 is the hub of 135 with ends
        # 3.5 mm longer (trade pages), so its face stands at the same place.
        ("135x10", 52.2),
        ("142x12", 52.2),
        # Flanges and rotor 3 mm further out on either side than 142 (trade pages).
        ("141x10", 55.2),
        ("148x12", 55.2),
        # 157 is the hub of 150 with ends 3.5 mm longer (trade pages); 75 - 15.3 (derived).
        ("150x12", 59.7),
        ("157x12", 59.7),
        ("{width: 148, axle: 12}", 55.2),
        ("{width: 146, axle: 12}", 57.7),
    ],
)
def test_the_rotor_follows_the_hubs_shoulder(hub: str, face: float) -> None:
    """A rotor of 1.8 mm lies on the outer side of its face."""
    rotor = body("rear_rotor", ("hub: 148x12, rotor: 160", f"hub: {hub}, rotor: 160")).shapes[0]
    assert rotor.origin[1] == pytest.approx(face + 0.9)


@pytest.mark.parametrize(("hub", "face"), [("100x15", 39.5), ("110x15", 44.5)])
def test_the_front_rotor_follows_the_hubs_end(hub: str, face: float) -> None:
    """10.5 mm from the end; ends and rotor of 110 stand 5 mm further out (common practice)."""
    rotor = body("front_rotor", ("hub: 110x15, rotor: 180", f"hub: {hub}, rotor: 180")).shapes[0]
    assert rotor.origin[1] == pytest.approx(face + 0.9)


def test_the_files_own_inset_counts() -> None:
    change = ("hub: 148x12, rotor: 160", "hub: 148x12, rotor: 160, rotor_inset: 15.3")
    assert body("rear_rotor", change).shapes[0].origin[1] == pytest.approx(58.7)


def test_the_rim_seats_the_tyre() -> None:
    """The rim reaches over its bead seat, and the tyre's inside lies on that (61-622: 311)."""
    rim, tyre = body("rear_rim").shapes[0], body("rear_tyre").shapes[0]
    corners = np.array(rim.shape.profile)
    assert corners[:, 0].min() == 311 - 20
    assert corners[:, 0].max() == 311 + 5
    # Inner width of 55 % of the tyre's (secondary summary of ISO 5775-1), and its flanges.
    assert 2 * corners[:, 1].max() == pytest.approx(0.55 * 61 + 5)
    assert tyre.shape.centre_radius - tyre.shape.tube_radius == 311


def test_the_rims_own_sizes() -> None:
    change = (
        "hub: 148x12, rotor: 160",
        "hub: 148x12, rotor: 160, rim: {inner_width: 30, depth: 25}",
    )
    corners = np.array(body("rear_rim", change).shapes[0].shape.profile)
    assert 2 * corners[:, 1].max() == 35
    assert corners[:, 0].min() == 286


def test_a_rotor_needs_its_hub() -> None:
    absent = {a.name: a.needs for a in bodies(("hub: 110x15, rotor: 180", "rotor: 180")).absent}
    assert absent["front_rotor"] == "build.front_wheel.hub"
    assert absent["front_hub"] == "build.front_wheel.hub"
