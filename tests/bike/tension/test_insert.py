"""What the turn of an eccentric insert does: closed forms of the side view, and exchange against file."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from ruamel.yaml import YAML

import frame3d
from frame3d.bike.bike import Bike
from frame3d.bike.exchange import exchange_values
from frame3d.bike.solve import solve
from frame3d.bike.tension.insert import at_angle, insert_at, other_angles, turning_of
from frame3d.chart.as_built import INSERT
from frame3d.errors import SpecError
from frame3d.parameters.models.frame import FrameSpec
from tests.bike.same_bike import file_of
from tests.bike.tension.bikes import OFFSET, RIGID, eccentric


@pytest.fixture(scope="module")
def bike() -> Bike:
    return eccentric()


def side(bike: Bike, node: str) -> complex:
    x, _, z = bike.nodes[node]
    return complex(x, z)


def middle(bike: Bike) -> complex:
    assert bike.shell is not None
    return complex(*bike.shell.at)


def test_the_bottom_bracket_stands_beside_the_shell(bike: Bike) -> None:
    assert middle(bike) == pytest.approx(6j)
    for angle in (-180.0, -137.0, 0.0):
        turned = at_angle(bike, angle)
        assert middle(turned) == pytest.approx(-OFFSET * cmath.exp(1j * math.radians(angle)))
        assert insert_at(turned, angle)


@pytest.mark.parametrize("angle", [-180.0, -37.0])
def test_the_frame_keeps_its_shape_and_the_wheels_their_places(bike: Bike, angle: float) -> None:
    """Everything but the bottom bracket is where it was: seen from the shell nothing moves."""
    turned = at_angle(bike, angle)
    shift = middle(turned) - middle(bike)
    assert turned.frame.pitch == pytest.approx(0.0, abs=1e-9)
    for node in ("rear_axle", "front_axle", "head_tube_top", "seat_tube_top", "rear_contact"):
        assert side(turned, node) - shift == pytest.approx(side(bike, node), abs=1e-6), node
    for now, before in zip(turned.tubes, bike.tubes, strict=True):
        assert np.array(now.axis.end) - [shift.real, 0.0, shift.imag] == pytest.approx(
            np.array(before.axis.end), abs=1e-6
        )
        assert now.start.long_point == before.start.long_point
    height = turned.chart["bb_height"]
    assert height == pytest.approx(bike.chart["bb_height"] - shift.imag, abs=1e-6)


def test_the_range_by_closed_forms(bike: Bike) -> None:
    """Law of cosines for the chainstay; the sine of the angle for the height."""
    found = turning_of(bike)
    assert found is not None
    to_axle = side(bike, "rear_axle") - middle(bike)
    far, toward = abs(to_axle), math.degrees(cmath.phase(to_axle))
    for place in (found.now, found.shortest, found.longest, found.lowest, found.highest):
        turn = math.radians(place.angle - toward)
        length = math.sqrt(far**2 + OFFSET**2 - 2 * far * OFFSET * math.cos(turn))
        assert place.chainstay_length == pytest.approx(length, abs=1e-6)
        rise = OFFSET * (math.sin(math.radians(place.angle)) + 1)
        assert place.bb_height == pytest.approx(found.now.bb_height + rise, abs=1e-6)
        assert place.bb_drop == pytest.approx(found.now.bb_drop - rise, abs=1e-6)
    # Straight away from the axle the chainstay is longest; toward it, beyond the range, shortest.
    assert found.longest.angle == pytest.approx(toward - 180)
    assert found.longest.chainstay_length == pytest.approx(far + OFFSET)
    assert found.shortest.angle == -180.0
    assert found.tension == pytest.approx(
        found.longest.chainstay_length - found.shortest.chainstay_length
    )
    assert found.half_links == pytest.approx(found.tension / 6.35)
    assert found.lowest.angle == -90.0
    assert found.highest.angle in (0.0, -180.0)


def test_effective_seat_angle_by_the_turned_bike(bike: Bike) -> None:
    """From the bottom bracket to the seatpost's axis at the head tube's top."""
    found = turning_of(bike)
    assert found is not None
    turned = at_angle(bike, found.shortest.angle)
    top, low = side(turned, "seat_tube_top"), turned.chart["actual_seat_tube_angle"]
    stack = turned.chart["stack"]
    assert low is not None
    assert stack is not None
    back = -top.real + (stack - top.imag) / math.tan(math.radians(low))
    effective = math.degrees(math.atan2(stack, back))
    assert found.shortest.effective_seat_tube_angle == pytest.approx(effective, abs=1e-6)


def test_all_the_way_round_the_range_is_twice_the_offset() -> None:
    found = turning_of(eccentric("build.bottom_bracket.eccentric.between=[-180, 180]"))
    assert found is not None
    assert found.tension == pytest.approx(2 * OFFSET, abs=1e-6)
    assert found.highest.angle == pytest.approx(90.0)


def test_it_is_the_bike_of_a_file_that_draws_the_insert_there(bike: Bike) -> None:
    """Same metal, same gaps of the shell: tubes on it are placed from its middle in both."""
    angle = -20.0
    turned = exchange_values(bike, {INSERT: angle, "build.fork.axle_to_crown": 430.0})
    data = YAML(typ="safe", pure=True).load(RIGID.read_text())
    # The file draws it as it stands: turned with the frame's pitch.
    stands = {"offset": OFFSET, "angle": angle + turned.frame.pitch}
    shell = {"shell": "eccentric-68", "eccentric": stands}
    changes = {"build.fork.axle_to_crown": 430.0, "build.bottom_bracket": shell}
    same = solve(FrameSpec.model_validate(file_of(turned, data, changes)))
    assert abs(turned.frame.pitch) > 0.1
    assert middle(same) == pytest.approx(middle(turned), abs=1e-6)
    for now, then in zip(turned.tubes, same.tubes, strict=True):
        assert np.array(now.axis.start) == pytest.approx(np.array(then.axis.start), abs=1e-4)
        assert now.start.short_point == pytest.approx(then.start.short_point, abs=1e-4)


def test_the_order_of_exchanges_does_not_matter(bike: Bike) -> None:
    wheel = {"build.rear_wheel.tyre": "57-584"}
    one = exchange_values(at_angle(bike, -30.0), wheel)
    other = at_angle(exchange_values(bike, wheel), -30.0)
    assert one.chart == pytest.approx(dict(other.chart))
    assert middle(one) == pytest.approx(middle(other))
    back = at_angle(one, -90.0)
    assert middle(back) == pytest.approx(6j * cmath.exp(1j * math.radians(back.frame.pitch)))


def test_angles_at_which_figures_are_checked(bike: Bike) -> None:
    assert other_angles(bike) == (-180.0, 0.0)
    assert other_angles(at_angle(bike, -30.0)) == (-180.0, -90.0, 0.0)
    whole = eccentric("build.bottom_bracket.eccentric.between=[-180, 180]")
    assert other_angles(whole) == (-180.0, 0.0, 90.0)
    assert other_angles(frame3d.solve(frame3d.load(RIGID))) == ()
    assert turning_of(frame3d.solve(frame3d.load(RIGID))) is None


def test_beyond_the_range_and_anything_else_is_refused(bike: Bike) -> None:
    with pytest.raises(SpecError, match="outside of its range"):
        at_angle(eccentric("build.bottom_bracket.eccentric.between=[-170, -10]"), 20.0)
    with pytest.raises(SpecError, match="no part that can be exchanged"):
        exchange_values(bike, {"build.bottom_bracket.eccentric.offset": 5.0})
