"""Outlines of dropouts, by hand: boss, arms beyond it, sockets and hoods at the stays' ends."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.bodies import Body, bodies_of
from frame3d.bodies.parts.brake import rear_brake
from frame3d.bodies.placement import Placement
from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import scene_of
from frame3d.clearance.table import kind_of
from frame3d.parameters.models.frame import FrameSpec
from frame3d.pivots.sockets import socket
from frame3d.tubes.on_dropout import Block
from tests.bikes import hardtail_data
from tests.bodies.distance import signed
from tests.with_mount import POST, RACK, with_mount


def made(dropout: dict[str, Any]) -> tuple[Bike, Body]:
    data = hardtail_data()
    data["build"]["dropout"] = dropout
    bike = solve(FrameSpec.model_validate(data))
    (body,) = [one for one in bodies_of(bike).bodies if one.name == "rear_dropout_left"]
    return bike, body


def depth(body: Body, at: np.ndarray) -> float:
    """How deep a point lies in any of a body's shapes, negative outside [mm]."""
    return max(-float(signed(shape, at[None])[0]) for shape in (*body.shapes, *body.hull))


@pytest.mark.parametrize("kind", ["plain", "hooded"])
def test_metal_at_axle_and_stays_and_none_where_hub_and_axle_are(kind: str) -> None:
    bike, body = made({"kind": kind, "thickness": 7, "boss": 30})
    dropout = next(one for one in bike.dropouts if one.name == body.name)
    axle = np.array(dropout.axle)
    out = np.array([0.0, 1.0, 0.0])
    if kind == "plain":
        # In the middle of the boss the faces are the nearest: half its thickness away.
        assert depth(body, axle + 3.5 * out) == pytest.approx(3.5, abs=0.01)
    for off in (-1.0, 8.0):
        for turn in np.radians([0, 90, 180, 270]):
            beside = axle + off * out + 6.0 * np.array([np.cos(turn), 0.0, np.sin(turn)])
            assert depth(body, beside) == pytest.approx(-1.0, abs=0.01)
    tubes = {tube.name: tube for tube in bike.tubes}
    for name, which in dropout.stays:
        end = socket(dropout, tubes[name], which)
        middle = (np.array(end.back) + np.array(end.front)) / 2
        half = min(end.height, end.width, np.linalg.norm(np.subtract(end.front, end.back))) / 2
        assert depth(body, middle) >= half - 0.01
        if end.arm is not None and kind == "plain":
            assert depth(body, (np.array(end.arm.start) + np.array(end.arm.end)) / 2) > 2.0


def test_they_are_the_frames_own_and_joined_to_the_hub() -> None:
    bike, body = made({})
    assert body.name in Placement(bike).frame_names
    assert body.family == "frame"
    assert "rear_hub" in body.touches


def test_a_brake_mount_on_a_dropout_is_checked_with_rotor_and_caliper() -> None:
    """Its blocks stand inside of the plate: to the rotor, 2 thick, 12.5 - 14 / 2 less half of that.

    The rotor's middle is 74 - 17.9, as `sizes.rotors` derives it.
    """
    bike = solve(with_mount(POST))
    place = Placement(bike)
    bodies = {body.name: body for body in bodies_of(bike).bodies}
    names = {"rear_dropout-brake-1_left", "rear_dropout-brake-2_left"}
    assert names <= place.frame_names
    assert names <= set(bodies["rear_caliper"].touches)
    assert "rear_dropout_left" not in bodies["rear_caliper"].touches
    report = run_checks(scene_of(bike), names=frozenset({"rotor_to_frame", "caliper_to_frame"}))
    found = {one.between: one for one in report.results if one.between is not None}
    for name in names:
        gap = found["rear_rotor", name].gap
        assert gap is not None
        assert 4.4 < gap < 5.5
    assert ("rear_caliper", "rear_dropout_left") in found
    (caliper,) = (body for body in rear_brake(place) if isinstance(body, Body))
    mount = bike.dropouts[0].mount
    assert mount is not None
    middle = np.mean([block.face for block in mount.blocks], axis=0)
    away = np.array(caliper.shapes[0].origin) - middle
    assert float(away @ np.array(mount.blocks[0].way)) == pytest.approx(18.0)  # half its depth


@pytest.mark.parametrize("kind", ["plain", "hooded"])
def test_blocks_and_ears_are_metal(kind: str) -> None:
    """A point in the middle of a block, and one 3 mm under its foot within the plate or ear."""
    bike = solve(with_mount(POST | RACK, kind))
    bodies = {body.name: body for body in bodies_of(bike).bodies}
    left = bike.dropouts[0]
    assert left.mount is not None
    for block in left.mount.blocks:
        face, way = np.array(block.face), np.array(block.way)
        assert depth(bodies[block.name], face - 5.0 * way) == pytest.approx(5.0, abs=0.05)
        under = face - 17.0 * way
        under[1] = 77.5
        assert depth(bodies["rear_dropout_left"], under) == pytest.approx(3.0, abs=0.1)
    at = np.array(left.eyes[0].at) + np.array([-4.0, 3.5, 0.0])
    assert depth(bodies["rear_dropout_left"], at) > 0.3


def test_the_heads_of_bolts_from_below_are_fittings() -> None:
    bike = solve(with_mount({"brake": {"kind": "flat_mount", "outward": 12}}))
    heads = [body for body in bodies_of(bike).bodies if body.name.startswith("bolt_rear_dropout")]
    assert [kind_of(one) for one in heads] == ["fitting", "fitting"]
    (shape,) = heads[0].shapes
    assert left_blocks(bike)[0].through
    assert shape.origin[1] == pytest.approx(74 - 17.9 + 12)


def left_blocks(bike: Bike) -> tuple[Block, ...]:
    mount = bike.dropouts[0].mount
    assert mount is not None
    return mount.blocks
