"""Plates and towers that reach into a dropout weigh what they do as solids, and so does that."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import frame3d
from frame3d.bike.bike import Bike
from frame3d.geometry.closed_path import Path
from frame3d.geometry.extrusion import Extrusion
from frame3d.parameters.models.frame import FrameSpec
from frame3d.plates.dropout_metal import SIDE_VIEW, Filled, Slab
from frame3d.solids.bodies import bodies
from frame3d.solids.build_parts import WAYS, PartBuilder
from tests.bikes import hardtail_data
from tests.with_mount import POST

BRACE: dict[str, Any] = {
    "kind": "path",
    "thickness": 6,
    "at": "rear_axle",
    "pair": True,
    "y": 72,
    "path": [[-10, 10], [70, 10], [70, 60], [-10, 60]],
}


def braced(kind: str, brace: dict[str, Any], features: dict[str, Any] | None = None) -> Bike:
    data = hardtail_data()
    data["build"]["rear_wheel"]["rotor"] = 180
    data["build"]["rear_brake"] = {"angle": 104}
    data["build"]["dropout"] = {"kind": kind, "features": features or {}}
    data["plates"] = {"brace": brace}
    return frame3d.solve(FrameSpec.model_validate(data))


def differences(bike: Bike, of: str) -> dict[str, float]:
    """By how much masses without the CAD kernel differ from the solids', as a share."""
    shop, masses = PartBuilder(), {one.name: one.volume for one in bike.frame.masses.bodies}
    return {
        body.name: masses[body.name] / shop.part(body, WAYS[0]).volume - 1
        for body in bodies(bike)
        if of in body.name
    }


@pytest.mark.parametrize(
    ("kind", "brace", "features"),
    [
        ("plain", BRACE, {}),
        ("hooded", BRACE | {"y": 77.5, "path": [[-30, 20], [40, 20], [40, 75], [-30, 75]]}, POST),
    ],
)
def test_a_plate_that_reaches_into_a_dropout(
    kind: str, brace: dict[str, Any], features: dict[str, Any]
) -> None:
    """Against OCCT, within 0.2 %; on the right one too, where no mount stands."""
    bike = braced(kind, brace, features)
    found = differences(bike, "brace")
    assert set(found) == {"brace_left", "brace_right"}
    assert max(map(abs, found.values())) < 2e-3
    left, right = bike.plates
    assert {"rear_dropout_left", "seatstay_left"} <= set(left.on)
    assert {"rear_dropout_right", "seatstay_right"} <= set(right.on)
    assert left.volume < 0.9 * left.outline.area * left.thickness
    assert (left.volume < 0.9 * right.volume) == bool(features)


def test_a_dropout_that_a_tower_goes_through() -> None:
    """Against OCCT, within 0.2 %: it was 1.7 % too heavy."""
    data = hardtail_data()
    data["build"]["rear_wheel"]["rotor"] = 180
    data["build"] |= {"rear_brake": {}, "dropout": {"kind": "hooded"}}
    data["tubes"]["chainstay"]["features"] = {"b": {"kind": "post_mount", "height": 18, "depth": 8}}
    bike = frame3d.solve(FrameSpec.model_validate(data))
    found = differences(bike, "rear_dropout")
    assert max(map(abs, found.values())) < 2e-3
    left, right = (one.plate for one in bike.dropouts)
    assert left is not None
    assert right is not None
    assert left.volume < right.volume - 100


def test_depth_in_a_slab_by_hand() -> None:
    """A square of 20 in the side view, 7 thick: faces, edges and corners are the nearest."""
    slab = Slab(
        Extrusion(Path.polygon([(0, 0), (20, 0), (20, 20), (0, 20)]), SIDE_VIEW, -81.0, -74.0)
    )
    points = np.array([(10, 77, 10), (2, 77.5, 9), (-3, 77, -4), (10, 82, 10)], dtype=float)
    assert slab.depth(points) == pytest.approx([3, 2, -5, -1])
    assert slab.box[0] == pytest.approx((0, 74, 0))
    assert slab.box[1] == pytest.approx((20, 81, 20))


def test_a_plain_dropout_is_boss_arms_and_sockets() -> None:
    bike = braced("plain", BRACE)
    tubes = {tube.name: tube for tube in bike.tubes}
    left = bike.dropouts[0]
    filled = Filled.of(left, tubes)
    assert len(filled.parts) == 1 + 2 * len(left.stays)
    middle = np.array(left.axle) + np.array([0.0, 3.5, 0.0])
    assert float(filled.depth(middle[None])[0]) == pytest.approx(3.5)
    assert not filled.near(middle[None] + 500.0).any()
    far = Extrusion(Path.circle(0.0, 0.0, 20.0), SIDE_VIEW, -81.0, -74.0)
    assert not filled.meets(far)
