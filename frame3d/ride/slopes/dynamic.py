r"""How the bike stands on a slope: its springs under the loads that they themselves decide.

On a slope, weight moves to the other wheel, the chain holds the rear suspension up or pulls it down,
and the brake pushes the fork in. So the frame pitches, the centre of mass moves with it, and the loads
change again. What is looked for is the state in which both springs carry their loads:

    shock's force          = virtual work on the rear wheel for each mm of its stroke
    force along the fork   = virtual work on the front wheel for each mm of its travel

With ground axes t (forward) and n (up), loads N and forces T on the wheels at their contacts, the rear
axle's velocity v by the stroke, the velocity u of the front axle along the steering axis, and m g the
weight of what moves with each wheel, tilted by q = T / N of both wheels together:

    shock = N v_n - T · slope · v_n - m g cos θ · (v_n + q v_t)      slope: of the line of anti-squat
    fork  = N u_n - T u_t           - m g cos θ · (u_n + q u_t)      T: brake's, backward, so T < 0

(Derived: virtual work of all forces on wheel and links with the frame held, the chain taut, the front
caliper on the fork; no friction, nothing that swings.) Uphill the rear wheel drives, downhill the front
brake alone holds the speed or slows the bike. Each spring is solved with the other held, in
turns until neither moves; that converges fast, for a wheel's load hardly depends on the other's travel.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from frame3d.geometry.arrays import Array, Complex, Mask
from frame3d.linkage import Linkage, Spring
from frame3d.linkage.curves.anti_squat import anti_squat
from frame3d.linkage.curves.chain import upper_run
from frame3d.linkage.curves.curves import GRAVITY
from frame3d.linkage.curves.ground import ground
from frame3d.ride.slopes.statics import Balance, cosine, gradient_at, rear_lifts_at

TURNS: Final = 60
"""Most turns between both springs."""
MOST_STEPS: Final = 150
"""Most steps of a root: with a bisection each third time, 2^-50 of a travel is left."""
EXACT: Final = 1e-9
"""A force known as well [N], or a travel as a share of the whole, is exact."""
SETTLED: Final = 1e-6
"""Springs that move less in a turn have settled [mm]."""


@dataclass(frozen=True, eq=False)
class Chassis:
    """Wheels, springs and chain of a bike; points as drawn, x + i·z from the bottom bracket [mm]."""

    rear_axle: complex
    front_axle: complex
    rear_radius: float
    front_radius: float
    head_angle: float
    """Of the steering axis as drawn [degrees]."""
    linkage: Linkage | None = None
    """The rear suspension; None on a frame without."""
    rear_spring: Spring | None = None
    """The shock's; None holds it at full extension."""
    fork_travel: float = 0.0
    """Along the stanchions [mm]."""
    fork_spring: Spring | None = None
    """Over the stanchions' travel; None holds it at full extension."""
    gear: tuple[int, int] | None = None
    """Teeth of chainring and cog; None without a chain, then it carries nothing."""


@dataclass(frozen=True, eq=False)
class Lumps:
    """Masses by what they move with, their centres as drawn, x + i·z from the bottom bracket [mm]."""

    frame_kg: float
    """Rider and all that the springs carry."""
    frame: Complex
    """(k,)"""
    rear_kg: float = 0.0
    """What moves with the rear wheel."""
    rear: complex = 0j
    front_kg: float = 0.0
    """What moves with the front wheel."""
    front: complex = 0j

    @property
    def total_kg(self) -> float:
        """All together."""
        return self.frame_kg + self.rear_kg + self.front_kg


@dataclass(frozen=True, eq=False)
class Acting:
    """What acts on the bike, each (k,)."""

    gradient: Array
    """Rise over run."""
    slowing_g: Array
    """Deceleration [g]."""

    @property
    def pull(self) -> Array:
        """Force along the ground over the weight square to it: drive positive, brake negative, (k,)."""
        out: Array = self.gradient - self.slowing_g / cosine(self.gradient)
        return out


Law: TypeAlias = Callable[[Balance], Acting]
"""Return what acts on a bike with this balance."""


def steady(gradient: Array) -> Law:
    """Return the law of riding at a steady speed on gradients, (k,)."""
    return lambda bike: Acting(gradient, np.zeros_like(gradient))


def front_carries(share: ArrayLike, pull: ArrayLike = 1.0) -> Law:
    """Return the law of climbing so steeply that the front wheel carries only a share of the weight.

    With a pull of other than 1, in a push of the pedals that is so many times the mean; springs stand as
    under the mean, for they are slower than that.
    """

    def law(bike: Balance) -> Acting:
        gradient = gradient_at(bike, share, pull)
        return Acting(gradient, np.zeros_like(gradient))

    return law


def rear_lifts(gradient: Array) -> Law:
    """Return the law of braking so hard on gradients, (k,), that the rear wheel just lifts."""
    return lambda bike: Acting(gradient, rear_lifts_at(bike, gradient))


@dataclass(frozen=True, eq=False)
class Settled:
    """A bike on slopes; every array is (k,)."""

    stroke: Array
    """Of the shock [mm]."""
    rear_travel: Array
    """Vertical travel of the rear wheel [mm]."""
    fork_travel: Array
    """Along the stanchions [mm]."""
    pitch: Array
    """Of the frame against the ground, from as drawn, nose up positive [degrees]."""
    balance: Balance
    acting: Acting
    front_n: Array
    """Load on the front wheel, square to the ground [N]."""
    rear_n: Array
    """Load on the rear wheel, likewise [N]."""
    shock_n: Array | None
    """Force that the shock has to carry [N]; None without a rear suspension."""
    fork_n: Array
    """Force along the steering axis that the fork has to carry [N]."""
    anti_squat: Array | None
    """Of the gear [%]; None without a chain or a rear suspension."""
    moved: Array
    """How far the springs moved in the last turn [mm]."""

    @property
    def found(self) -> Mask:
        """Whether the springs settled and both wheels stand on the ground."""
        out: Mask = (self.moved < SETTLED) & np.isfinite(self.balance.height)
        return out

    def part(self, which: slice) -> Settled:
        """Return some of these states."""
        shock, squat, at = self.shock_n, self.anti_squat, self.balance
        return Settled(
            stroke=self.stroke[which],
            rear_travel=self.rear_travel[which],
            fork_travel=self.fork_travel[which],
            pitch=self.pitch[which],
            balance=Balance(at.ahead[which], at.height[which], at.wheelbase[which]),
            acting=Acting(self.acting.gradient[which], self.acting.slowing_g[which]),
            front_n=self.front_n[which],
            rear_n=self.rear_n[which],
            shock_n=None if shock is None else shock[which],
            fork_n=self.fork_n[which],
            anti_squat=None if squat is None else squat[which],
            moved=self.moved[which],
        )


def settle(chassis: Chassis, lumps: Lumps, law: Law) -> Settled:
    """Return how the bike stands under what acts on it.

    Args:
        chassis: wheels, springs and chain.
        lumps: masses, at k places.
        law: what acts on the bike, given where its centre of mass is.
    """
    count = len(lumps.frame)
    stroke, fork, moved = np.zeros(count), np.zeros(count), np.zeros(count)
    for _ in range(TURNS):
        before = stroke, fork
        stroke = _shock_settles(chassis, lumps, law, before[0], before[1])
        fork = _fork_settles(chassis, lumps, law, stroke, before[1])
        moved = np.maximum(np.abs(stroke - before[0]), np.abs(fork - before[1]))
        if not (moved > SETTLED / 100).any():
            break
    return _Pose(chassis, lumps, law, stroke, fork).settled(moved)


def _shock_settles(chassis: Chassis, lumps: Lumps, law: Law, stroke: Array, fork: Array) -> Array:
    """Return the stroke at which the shock carries its load, with the fork held."""
    linkage, spring = chassis.linkage, chassis.rear_spring
    if linkage is None or spring is None:
        return stroke

    def excess(at: Array) -> Array:
        return spring.force(at) - _Pose(chassis, lumps, law, at, fork).shock_n

    return _root(excess, linkage.full_stroke, len(stroke))


def _fork_settles(chassis: Chassis, lumps: Lumps, law: Law, stroke: Array, fork: Array) -> Array:
    """Return the travel at which the fork carries its load, with the shock held."""
    spring = chassis.fork_spring
    if spring is None or chassis.fork_travel == 0:
        return fork

    def excess(at: Array) -> Array:
        return spring.force(at) - _Pose(chassis, lumps, law, stroke, at).fork_n

    return _root(excess, chassis.fork_travel, len(fork))


def held(chassis: Chassis, lumps: Lumps, law: Law, stroke: Array, fork: Array) -> Settled:
    """Return the bike held at strokes of the shock and travels of the fork, each (k,) [mm]."""
    return _Pose(chassis, lumps, law, stroke, fork).settled(np.zeros(len(lumps.frame)))


def _root(excess: Callable[[Array], Array], full: float, count: int) -> Array:
    """Return where increasing functions pass 0, between 0 and `full`, (count,); else the nearer end.

    By regula falsi with halved weights (Illinois), and a bisection each third time, so that no bracket
    stays long.
    """
    low, high = np.zeros(count), np.full(count, full)
    below, above = excess(low), excess(high)
    at_low, at_high = below >= 0, above <= 0
    found = (low + high) / 2
    for turn in range(MOST_STEPS):
        span = np.where(above > below, above - below, 1.0)
        falsi = high - above * (high - low) / span
        inside = (falsi > low) & (falsi < high) & (turn % 3 < 2)
        found = np.where(inside, falsi, (low + high) / 2)
        value = excess(found)
        over = value > 0
        # The end that stays for a second time counts half.
        above = np.where(over, value, above / 2)
        below = np.where(over, below / 2, value)
        low, high = np.where(over, low, found), np.where(over, found, high)
        near = (np.abs(value) < EXACT) | (high - low < EXACT * full) | at_low | at_high
        if near.all():
            break
    out: Array = np.where(at_low, 0.0, np.where(at_high, full, found))
    return out


class _Pose:
    """The bike at k strokes of the shock and travels of the fork [mm], and the loads on it there."""

    def __init__(
        self, chassis: Chassis, lumps: Lumps, law: Law, stroke: Array, fork: Array
    ) -> None:
        self._chassis, self._lumps, self._stroke, self._fork = chassis, lumps, stroke, fork
        self._wheel = None if chassis.linkage is None else chassis.linkage.at_strokes(stroke).wheel
        drawn = np.full(len(stroke), chassis.rear_axle)
        axle = drawn if self._wheel is None else self._wheel.at
        turn = np.radians(chassis.head_angle)
        self._up = complex(-np.cos(turn), np.sin(turn))
        front = chassis.front_axle + fork * self._up
        self.axle = axle
        at = np.stack((front.real, front.imag), axis=-1)
        self.under = ground(axle, chassis.rear_radius, at, chassis.front_radius)
        moment = (
            lumps.frame_kg * lumps.frame
            + lumps.rear_kg * (lumps.rear + axle - chassis.rear_axle)
            + lumps.front_kg * (lumps.front + fork * self._up)
        )
        local = self.under.local(np.asarray(moment / lumps.total_kg, complex))
        self.balance = Balance(local.real, local.imag, self.under.wheelbase)
        self.acting = law(self.balance)
        self.pull = self.acting.pull
        self.pressed = lumps.total_kg * GRAVITY * cosine(self.acting.gradient)
        """Weight square to the ground."""
        moved = self.balance.ahead - self.balance.height * self.pull
        share = np.clip(moved / self.balance.wheelbase, 0.0, 1.0)
        self.front_n = share * self.pressed
        self.rear_n = self.pressed - self.front_n

    @property
    def slope(self) -> Array | None:
        """Slope of the line of anti-squat; None without a chain or a rear suspension."""
        gear, wheel = self._chassis.gear, self._wheel
        if gear is None or wheel is None:
            return None
        run = upper_run(self.axle, gear[0], gear[1])
        return anti_squat(run, wheel, self.under, np.ones(len(self._stroke))) / 100

    @property
    def shock_n(self) -> Array:
        """Force on the shock [N]."""
        assert self._wheel is not None
        v = self.under.directed(self._wheel.rate)
        drive, slope = np.maximum(self.pull, 0.0) * self.pressed, self.slope
        held = 0.0 if slope is None else drive * slope
        return (self.rear_n - held) * v.imag - self._hanging(self._lumps.rear_kg, v)

    @property
    def fork_n(self) -> Array:
        """Force on the fork along the steering axis [N]."""
        u = self.under.directed(np.full(len(self._fork), self._up))
        brake = np.maximum(-self.pull, 0.0) * self.pressed
        return self.front_n * u.imag - brake * u.real - self._hanging(self._lumps.front_kg, u)

    def _hanging(self, mass_kg: float, v: Complex) -> Array:
        """Return the work of weight and inertia of what moves with a wheel, against its velocity v."""
        out: Array = mass_kg / self._lumps.total_kg * self.pressed * (v.imag + self.pull * v.real)
        return out

    def settled(self, moved: Array) -> Settled:
        slope = self.slope
        height = self._chassis.rear_axle.imag
        return Settled(
            stroke=self._stroke,
            rear_travel=np.maximum(self.axle.imag - height, 0.0),
            fork_travel=self._fork,
            pitch=0.0 - self.under.tilt,
            balance=self.balance,
            acting=self.acting,
            front_n=self.front_n,
            rear_n=self.rear_n,
            shock_n=None if self._wheel is None else self.shock_n,
            fork_n=self.fork_n,
            anti_squat=None
            if slope is None
            else 100 * slope * self.balance.wheelbase / self.balance.height,
            moved=moved,
        )
