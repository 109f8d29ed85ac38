"""The bike on its springs on a slope against free bodies set up here, part by part."""

from __future__ import annotations

from dataclasses import replace
from math import atan, cos, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from frame3d.linkage import Air, Coil, Linkage, solve_linkage
from frame3d.linkage.curves.springs import Chamber
from frame3d.ride.slopes.dynamic import (
    Chassis,
    Lumps,
    front_carries,
    held,
    rear_lifts,
    settle,
    steady,
)
from frame3d.ride.slopes.statics import (
    balance,
    front_share,
    gradient_at,
    rear_lifts_at,
    rear_spring_load,
)
from tests.linkage.bikes import AXLE, SWINGARM, spec_of

G = 9.80665
RADIUS = 370.0
HEAD_ANGLE = 65.0
FRONT = complex(790.0, 30.0)
BODY = complex(20.0, 720.0)


@pytest.fixture(scope="module")
def linkage() -> Linkage:
    """A single pivot that drives the shock itself."""
    return solve_linkage(spec_of(SWINGARM), AXLE)


@pytest.fixture(scope="module")
def full(linkage: Linkage) -> Chassis:
    """A bike with springs at both ends, both wheels of one size."""
    return Chassis(
        rear_axle=complex(*AXLE),
        front_axle=FRONT,
        rear_radius=RADIUS,
        front_radius=RADIUS,
        head_angle=HEAD_ANGLE,
        linkage=linkage,
        rear_spring=Coil(75.0, 2.0),
        fork_travel=150.0,
        fork_spring=Coil(10.0),
        gear=(32, 50),
    )


RIGID = Chassis(complex(*AXLE), FRONT, RADIUS, RADIUS, HEAD_ANGLE)


def lumps(count: int = 1, rear_kg: float = 3.5, front_kg: float = 4.0) -> Lumps:
    """A rider on the bike, and what moves with the wheels."""
    return Lumps(87.0, np.full(count, BODY), rear_kg, complex(*AXLE), front_kg, FRONT)


def _moment(force: complex, at: complex, about: complex) -> float:
    """Return the moment of a force in the plane, x + i·z."""
    return float(((at - about).conjugate() * force).imag)


class FreeBodies:
    """The bike's parts at one state, in the frame's axes, with every force on them [N]."""

    def __init__(
        self,
        bike: Linkage,
        load: Lumps,
        stroke: float,
        fork: float,
        gradient: float,
        slowing: float,
    ) -> None:
        points = bike.pose_at(stroke=stroke).points
        self.points = {name: complex(*at) for name, at in points.items()}
        self.axle = self.points["rear_axle"]
        turn = HEAD_ANGLE * pi / 180
        self.up = complex(-cos(turn), sin(turn))
        self.front_axle = FRONT + fork * self.up
        # Wheels of one size: the ground is parallel to the line of the axles.
        self.t = (self.front_axle - self.axle) / abs(self.front_axle - self.axle)
        self.n = self.t * 1j
        self.rear_contact = self.axle - RADIUS * self.n
        self.front_contact = self.front_axle - RADIUS * self.n
        theta = atan(gradient)
        # Gravity, and d'Alembert's force where the bike slows down.
        field = -G * (sin(theta) * self.t + cos(theta) * self.n) + slowing * G * self.t
        self.field = field
        lumps_ = [
            (load.frame_kg, complex(load.frame[0])),
            (load.rear_kg, self.axle),
            (load.front_kg, self.front_axle),
        ]
        mass = sum(kg for kg, _ in lumps_)
        about_rear = sum(_moment(kg * field, at, self.rear_contact) for kg, at in lumps_)
        span = abs(self.front_contact - self.rear_contact)
        self.front_n = -about_rear / span
        about_front = sum(_moment(kg * field, at, self.front_contact) for kg, at in lumps_)
        self.rear_n = about_front / span
        self.along = -float((mass * field * self.t.conjugate()).real)
        """Force along the ground that holds all that: drive where positive, else brake."""
        self.load = load

    def shock(self, ring: float, cog: float) -> float:
        """Return the shock's force from moments of swingarm and wheel about the pivot."""
        pivot, drive = self.points["main_pivot"], max(self.along, 0.0)
        away = -self.axle  # the chainring turns about the bottom bracket, the origin
        run = away / abs(away) * np.exp(1j * np.arcsin((ring - cog) / abs(away)))
        # The wheel alone: drive times the wheel's radius is the chain's pull times the cog's.
        pull = drive * RADIUS / cog
        total = (
            _moment(self.rear_n * self.n + drive * self.t, self.rear_contact, pivot)
            + _moment(pull * run, self.axle + cog * 1j * run, pivot)
            + _moment(self.load.rear_kg * self.field, self.axle, pivot)
        )
        front, rear = self.points["shock_front"], self.points["shock_rear"]
        push = (rear - front) / abs(rear - front)
        return -total / _moment(push, rear, pivot)

    def fork(self) -> float:
        """Return the fork's force from all forces on front wheel and sliding legs along their axis."""
        brake = min(self.along, 0.0)
        force = self.front_n * self.n + brake * self.t + self.load.front_kg * self.field
        return float((force * self.up.conjugate()).real)


def pitch_circle(teeth: int) -> float:
    """Return its radius: half an inch is a chord of it."""
    return 12.7 / 2 / sin(pi / teeth)


@pytest.mark.parametrize("gradient", [-0.3, -0.1, 0.0, 0.1, 0.25])
def test_springs_carry_what_free_bodies_ask(full: Chassis, gradient: float) -> None:
    found = settle(full, lumps(), steady(np.array([gradient])))
    assert full.linkage is not None
    assert full.rear_spring is not None
    assert full.fork_spring is not None
    assert found.found.all()
    bodies = FreeBodies(
        full.linkage, lumps(), found.stroke[0], found.fork_travel[0], gradient, slowing=0.0
    )
    shock = bodies.shock(pitch_circle(32), pitch_circle(50))
    assert full.rear_spring.force(found.stroke)[0] == pytest.approx(shock, abs=1e-4)
    assert full.fork_spring.force(found.fork_travel)[0] == pytest.approx(bodies.fork(), abs=1e-4)
    assert found.front_n[0] == pytest.approx(bodies.front_n, abs=1e-6)
    assert found.rear_n[0] == pytest.approx(bodies.rear_n, abs=1e-6)


@pytest.mark.parametrize("gradient", [0.0, -0.2])
def test_a_stop_that_lifts_the_rear_dives_on_the_fork(full: Chassis, gradient: float) -> None:
    found = settle(full, lumps(), rear_lifts(np.array([gradient])))
    assert full.linkage is not None
    assert full.fork_spring is not None
    stop = float(found.acting.slowing_g[0])
    # The wheel hangs at full extension, and nothing of the weight is left on it.
    assert found.stroke[0] == 0
    bodies = FreeBodies(full.linkage, lumps(), 0.0, found.fork_travel[0], gradient, stop)
    assert bodies.rear_n == pytest.approx(0.0, abs=1e-6)
    assert full.fork_spring.force(found.fork_travel)[0] == pytest.approx(bodies.fork(), abs=1e-4)
    # Dive brings the centre of mass forward over the front wheel: the rear lifts sooner.
    still = held(full, lumps(), rear_lifts(np.array([gradient])), np.zeros(1), np.zeros(1))
    assert stop < still.acting.slowing_g[0]


def test_rigid_bikes_are_the_statics() -> None:
    gradients = np.linspace(-0.4, 0.4, 9)
    found = settle(RIGID, lumps(9), steady(gradients))
    rear = complex(*AXLE)
    # Level axles of one size: all can be read off the drawing.
    mass = 87.0 + 3.5 + 4.0
    x = (87.0 * (BODY - rear).real + 4.0 * (FRONT - rear).real) / mass
    h = (87.0 * (BODY - rear).imag) / mass + RADIUS
    bike = balance(x, h, (FRONT - rear).real)
    share = found.front_n / (found.front_n + found.rear_n)
    assert share == pytest.approx(np.clip(front_share(bike, gradients), 0, 1), abs=1e-12)
    lifts = settle(RIGID, lumps(), front_carries(0.0))
    assert lifts.acting.gradient[0] == pytest.approx(float(gradient_at(bike)), abs=1e-12)
    stops = settle(RIGID, lumps(), rear_lifts(np.array([-0.1])))
    assert stops.acting.slowing_g[0] == pytest.approx(float(rear_lifts_at(bike, -0.1)), abs=1e-12)
    assert (found.stroke == 0).all()
    assert (found.fork_travel == 0).all()
    assert (found.pitch == 0).all()


def test_light_and_lift_are_roots_of_the_share_at_that_gradient(full: Chassis) -> None:
    for share in (0.1, 0.0):
        steep = settle(full, lumps(), front_carries(share)).acting.gradient
        there = settle(full, lumps(), steady(steep))
        assert there.front_n / (there.front_n + there.rear_n) == pytest.approx([share], abs=1e-9)


def test_pushes_of_twice_the_mean_lift_at_half_the_gradient(full: Chassis) -> None:
    once = settle(full, lumps(), front_carries(0.0)).acting.gradient[0]
    twice = settle(full, lumps(), front_carries(0.0, 2.0)).acting.gradient[0]
    # Not exactly half: at half the gradient the springs stand elsewhere.
    assert twice == pytest.approx(once / 2, rel=0.05)


def test_share_falls_steadily_with_the_gradient(full: Chassis) -> None:
    gradients = np.linspace(-0.35, 0.35, 15)
    found = settle(full, lumps(15), steady(gradients))
    share = found.front_n / (found.front_n + found.rear_n)
    assert (np.diff(share) < 0).all()


def test_anti_squat_holds_the_rear_up(full: Chassis) -> None:
    # A big cog and no chain at all on 25 %: the more anti-squat, the less sag.
    steep = steady(np.array([0.25]))
    low = settle(full, lumps(), steep)
    high = settle(replace(full, gear=(32, 10)), lumps(), steep)
    none = settle(replace(full, gear=None), lumps(), steep)
    assert low.anti_squat is not None
    assert high.anti_squat is not None
    assert none.anti_squat is None
    more, less = (low, high) if low.anti_squat[0] > high.anti_squat[0] else (high, low)
    assert more.rear_travel[0] < less.rear_travel[0] < none.rear_travel[0]


def test_load_on_the_shock_is_that_of_statics_with_its_anti_squat(full: Chassis) -> None:
    # In one pose all of shock and links stays, so the shock's force goes as the load that the spring
    # carries at the wheel: at 100 % of anti-squat it would stay at the level one times cos θ.
    load, still = lumps(2, rear_kg=0.0), np.array([20.0, 20.0])
    found = held(full, load, steady(np.array([0.0, 0.3])), still, still)
    assert found.shock_n is not None
    assert found.anti_squat is not None
    wheel = rear_spring_load(
        found.balance, load.total_kg * G, found.acting.gradient, found.anti_squat
    )
    assert found.shock_n[1] / found.shock_n[0] == pytest.approx(wheel[1] / wheel[0], abs=1e-12)


@given(
    st.floats(4.0, 30.0),
    st.floats(60.0, 76.0),
    st.floats(-250.0, 150.0),
    st.floats(500.0, 900.0),
)
def test_share_falls_and_lift_is_its_root_on_any_hardtail(
    rate: float, angle: float, x: float, z: float
) -> None:
    hardtail = replace(RIGID, head_angle=angle, fork_travel=140.0, fork_spring=Coil(rate))
    body = replace(lumps(), frame=np.array([complex(x, z)]))
    gradients = np.linspace(-0.3, 0.3, 7)
    found = settle(hardtail, replace(body, frame=np.full(7, complex(x, z))), steady(gradients))
    assert found.found.all()
    share = found.front_n / (found.front_n + found.rear_n)
    within = (share > 0) & (share < 1)
    assert (np.diff(share[within]) < 0).all()
    lifts = settle(hardtail, body, front_carries(0.0)).acting.gradient
    just = settle(hardtail, body, steady(lifts - 1e-6))
    assert 0 < just.front_n[0] < 1e-2
    assert settle(hardtail, body, steady(lifts + 1e-6)).front_n[0] == 0


def test_springs_stop_at_the_ends_of_their_travel(full: Chassis) -> None:
    soft = replace(full, rear_spring=Coil(5.0), fork_spring=Coil(0.5))
    bottomed = settle(soft, lumps(), steady(np.zeros(1)))
    assert full.linkage is not None
    assert bottomed.stroke[0] == full.linkage.full_stroke
    assert bottomed.fork_travel[0] == full.fork_travel
    assert bottomed.found.all()
    lifted = settle(full, lumps(front_kg=0.0), steady(np.array([0.9])))
    assert lifted.front_n[0] == 0
    assert lifted.fork_travel[0] == 0


def test_an_air_spring_that_pulls_at_first_settles_too(full: Chassis) -> None:
    area = pi / 4 * 40.0**2
    air = Air(
        (
            Chamber(area, 120_000.0, 1.6, 1.0, -1),
            Chamber(area, 12_000.0, 1.8, 1.0, 1),
        )
    )
    assert air.starts > 0
    found = settle(replace(full, rear_spring=air), lumps(), steady(np.zeros(1)))
    assert found.found.all()
    assert air.force(found.stroke)[0] > 0


def test_wheels_that_cannot_stand_are_not_found() -> None:
    impossible = replace(RIGID, front_radius=5000.0)
    with np.errstate(all="ignore"):
        found = settle(impossible, lumps(), steady(np.zeros(1)))
    assert not found.found.any()
