"""The rear caliper at its rotor's edge."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bike.exchange import exchange_values
from frame3d.bodies import bodies_of
from frame3d.bodies.body import Absent
from frame3d.bodies.parts.brake import caliper_angle, rear_brake
from frame3d.bodies.placement import Placement
from frame3d.parameters.models.mating import RearBrakeSpec
from tests.bodies.bike import bodies, body, layout
from tests.bodies.distance import signed

BRAKE = ("rear_brake: {}", "rear_brake: {angle: 35}")


@pytest.mark.parametrize(("change", "angle"), [((), 20.0), ((BRAKE,), 35.0)])
def test_the_caliper_holds_the_rotors_edge(
    change: tuple[tuple[str, str], ...], angle: float
) -> None:
    """The rotor's edge lies within; 12 mm stand out beyond it, 14 outward and 16 inward."""
    caliper = body("rear_caliper", *change).shapes[0]
    x, _, z = layout().nodes["rear_axle"]
    turn = np.radians(angle)
    out = np.array([np.cos(turn), 0, np.sin(turn)])
    edge = np.array([x, 56.1, z]) + 80 * out
    assert signed(caliper, edge[None])[0] < -5
    beyond = [edge + 12 * out, edge + np.array([0, 14, 0]), edge - np.array([0, 16, 0])]
    assert signed(caliper, np.array(beyond)) == pytest.approx(0, abs=1e-9)


def test_without_its_angle_the_caliper_stands_midway_between_the_stays() -> None:
    """A straight seatstay at 50 degrees from the axle: the caliper halves the angle to the chainstay."""
    x, _, z = layout().nodes["rear_axle"]
    turn = np.radians(50)
    top = [x + 200 * np.cos(turn), 60.0, z + 200 * np.sin(turn)]
    stay = (
        f"  seatstay: {{pair: true, start: {{at: [{top[0]}, {top[1]}, {top[2]}]}}, "
        f"end: {{at: [{x}, 60, {z}]}}, od: 16, wall: 1}}\n  chainstay:"
    )
    change = ("  chainstay:", stay)
    found = np.array(body("rear_caliper", change).shapes[0].axes[2])
    chainstay = layout(change).tube("chainstay_left").axis
    arms = chainstay.points(np.linspace(0, chainstay.length, 5000)) - np.array([x, 0, z])
    at = arms[np.abs(np.hypot(arms[:, 0], arms[:, 2]) - 120).argmin()]
    low = np.degrees(np.arctan2(at[2], at[0]))
    assert np.degrees(np.arctan2(found[2], found[0])) == pytest.approx((50 + low) / 2, abs=0.2)


def test_the_files_own_sizes() -> None:
    """60 long around the rotor, 30 deep, 8 beyond its edge, 11 outward and 13 inward."""
    own = "rear_brake: {angle: 35, length: 60, depth: 30, overhang: 8, outer: 11, inner: 13}"
    caliper = body("rear_caliper", ("rear_brake: {}", own)).shapes[0]
    half = np.array(caliper.shape.half)
    assert 2 * half == pytest.approx([60, 24, 30])
    x, _, z = layout().nodes["rear_axle"]
    out = np.array([np.cos(np.radians(35)), 0, np.sin(np.radians(35))])
    edge = np.array([x, 56.1, z]) + 80 * out
    beyond = [
        edge + 8 * out,
        edge + np.array([0, 11, 0]),
        edge - np.array([0, 13, 0]),
        edge - 22 * out,
    ]
    assert signed(caliper, np.array(beyond)) == pytest.approx(0, abs=1e-9)


def test_what_a_caliper_needs_is_named() -> None:
    """A caliper without a rotor is refused by the reader; a bike as a library may have one."""
    none = bodies(("  rear_brake: {}\n", ""))
    assert {a.name: a.needs for a in none.absent}["rear_caliper"] == "build.rear_brake"
    bike = layout()
    wheel = bike.spec.build.rear_wheel
    assert wheel is not None
    for change, needs in (({"rotor": None}, "rotor"), ({"hub": None}, "hub")):
        parts = {"rear_wheel": wheel.model_copy(update=change)}
        build = bike.spec.build.model_copy(update=parts)
        spec = bike.spec.model_copy(update={"build": build})
        (absent,) = rear_brake(Placement(replace(bike, spec=spec)))
        assert isinstance(absent, Absent)
        assert absent.needs == f"build.rear_wheel.{needs}"


def test_on_a_frame_that_pitched_the_caliper_turns_with_it() -> None:
    """A longer fork: the frame's own angle stays, the place on the ground turns nose up."""
    swap = {"build.fork.axle_to_crown": 560.0}
    before = layout(BRAKE)
    after = exchange_values(before, swap)
    pitch = after.frame.pitch
    assert pitch > 1
    angles = []
    for bike in (before, after):
        out = bodies_of(bike).body("rear_caliper").shapes[0].axes[2]
        angles.append(np.degrees(np.arctan2(out[2], out[0])))
    assert angles[1] - angles[0] == pytest.approx(pitch)
    assert caliper_angle(Placement(after), RearBrakeSpec(angle=35.0)) == 35.0
    stays = [caliper_angle(Placement(bike), RearBrakeSpec()) for bike in (before, after)]
    assert stays[0] == 20.0  # chainstays alone do not say
    assert stays[1] == pytest.approx(20.0 - pitch)
