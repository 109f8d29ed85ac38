"""Where parts sit: wheels, hubs, pedals and the steering's own axes, by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from frame3d.bike.exchange import exchange_values
from frame3d.bike.solve import solve
from frame3d.bodies.motion.mounts import FRAME
from frame3d.bodies.placement import Placement
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE
from tests.bodies.bike import layout, place

HEAD = np.radians(65.5)


def test_the_axle_stands_where_the_steerings_own_axes_say() -> None:
    """531 mm straight between race and axle, 44 mm ahead: the rest is along the axis."""
    here = place()
    assert here.axle_offset == pytest.approx(44)
    assert here.axle_drop == pytest.approx(np.sqrt(531**2 - 44**2))
    at = here.steered(here.axle_offset, 0.0, -here.axle_drop)
    assert at == pytest.approx(here.bike.nodes["front_axle"], abs=1e-9)
    assert here.steered(0.0, 25.0, 0.0)[1] == 25.0
    assert here.up == pytest.approx([-np.cos(HEAD), 0, np.sin(HEAD)])
    assert np.array(here.steering_axes) @ np.array(here.steering_axes).T == pytest.approx(np.eye(3))
    assert here.steering_axes[1] == pytest.approx((0.0, 1.0, 0.0))


@pytest.mark.parametrize(
    ("tyre", "width", "radius", "bead", "designated"),
    [
        ("61-622", 61, 622 / 2 + 61, 622, True),
        ("{width: 58, diameter: 738}", 58, 369, 738 - 116, False),
    ],
)
def test_tyres(tyre: str, width: float, radius: float, bead: float, designated: bool) -> None:
    size = place(("rear_wheel: {tyre: 61-622", f"rear_wheel: {{tyre: {tyre}")).tyre("rear")
    assert size is not None
    assert (size.width, size.bead_seat, size.designated) == (width, bead, designated)
    assert size.radius == pytest.approx(radius)


def test_hubs_by_name_and_in_millimetres() -> None:
    assert place().hub("rear") == (148, 12)
    own = place(("hub: 148x12, rotor: 160", "hub: {width: 146, axle: 10}, rotor: 160"))
    assert own.hub("rear") == (146, 10)


def test_what_the_file_leaves_out_is_none() -> None:
    bare = place(
        (
            "  front_wheel: {tyre: 61-622, hub: 110x15, rotor: 180}\n",
            "  front_wheel: {radius: 372}\n",
        ),
        (", q_factor: 172", ""),
    )
    assert bare.tyre("front") is None
    assert bare.hub("front") is None
    assert not bare.has_q_factor
    assert bare.pedal_lateral is None
    chart_only = Placement(replace(layout(), chart=dict(layout().chart) | {"reach": None}))
    with pytest.raises(ValueError, match="the chart has no reach"):
        chart_only.figure("reach")


def test_pedals_stand_half_the_q_factor_and_their_axle_aside() -> None:
    here = place()
    assert here.build.pedal is not None
    assert here.pedal_lateral == pytest.approx(172 / 2 + here.build.pedal.axle)
    (left, _), (right, _) = here.pedal_mounts("left", 141), here.pedal_mounts("right", 141)
    assert left.steps[0].point[0] == -right.steps[0].point[0] == 170


def test_wheels_move_with_fork_and_axles_link() -> None:
    rigid = place()
    assert rigid.wheel_mount("rear") is FRAME
    assert rigid.brake is FRAME
    assert rigid.wheel_mount("front") is rigid.fork
    sprung = Placement(solve(loads(MINIMAL + SINGLE)))
    assert sprung.rear.name == sprung.brake.name == "swingarm"
    assert sprung.link("swingarm") is sprung.rear
    assert sprung.link(None) is FRAME
    assert [mount.name for mount in sprung.shock] == ["shock body", "shock shaft"]


def test_points_that_the_file_gives_stay_on_what_carries_them() -> None:
    """A fork 30 mm longer: frame points turn nose up, those of bar and wheel keep their places there."""
    before = layout()
    longer = exchange_values(before, {"build.fork.axle_to_crown": 561.0})
    here, there = Placement(before), Placement(longer)
    p = (500.0, 30.0, 640.0)
    assert here.framed(p) == pytest.approx(p)
    assert here.steered_along(p, fork=True) == p
    turn = np.exp(1j * np.radians(longer.frame.pitch))
    x, _, z = there.framed(p)
    assert x + 1j * z == pytest.approx((p[0] + 1j * p[2]) * turn)
    for fork, node in ((False, "crown_race"), (True, "front_axle")):
        moved = there.steered_along(p, fork=fork)
        ways = [
            np.array(one.steering_axes) @ (np.array(at) - one.node(node))
            for one, at in ((here, p), (there, moved))
        ]
        assert ways[1] == pytest.approx(ways[0], abs=1e-9)
