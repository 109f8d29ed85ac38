"""How the bike steers: torques at the bar, and the front that drops."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.bike.mass_model import mass_model
from frame3d.geometry.vector import Point
from frame3d.parameters.models.steering import steering_of as stop_of
from frame3d.ride.steering.bar_torque import (
    Carried,
    Weights,
    bar_angle_for,
    push_torque_nm,
)
from frame3d.ride.steering.front_end import FrontEnd
from frame3d.ride.steering.linear import LinearBicycle, linear_bicycle, whipple_of
from frame3d.ride.steering.mass_properties import combined
from frame3d.ride.steering.rigid_bodies import (
    GRIP,
    RigidBodies,
    grip_lever,
    rigid_bodies_of,
    tyre_size,
)

PUSH: Final = 100.0
"""Sideways push at the front contact [N]."""
RADII: Final = (2500.0, 4000.0, 8000.0)
"""Radii of turns [mm]."""
LEAST: Final = 0.01
"""Smaller drops count as none [mm]."""
STEP: Final = 5.0
"""Between bar angles [degrees]."""
MOST: Final = 90.0
"""Largest bar angle for which the front's drop is given [degrees]."""


@dataclass(frozen=True, slots=True)
class TurnedBars:
    """The bike held upright at rest with its bars turned."""

    bar_angle: float
    drop: float
    """How far the bottom of the head tube goes down."""
    falling_in_nm: float | None
    """Torque with which the bars want to turn on; negative back; None without a rider."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A turn at walking pace, without lean."""

    radius: float
    """Of the rear wheel's track."""
    bar_angle: float
    within_stop: bool
    """Whether the bars turn so far."""


@dataclass(frozen=True, slots=True)
class Steered:
    """How the bike steers as it stands."""

    mechanical_trail: float
    """Lever of a sideways force at the front contact about the steering axis."""
    push_torque_nm: float
    """Torque at the bar of a sideways push of `PUSH` there."""
    grip_force_n: float | None
    """The same at one grip, fore and aft; None without the bar's width."""
    front_load_n: float | None
    """On the front wheel, rider seated, at rest on level ground; None without a rider."""
    falling_in_nm_per_degree: float | None
    """Torque with which bars turned a little want to turn on, for each degree."""
    falling_in_thin_tyre_nm_per_degree: float | None
    """The same, were the tyre thin: g·SA·sin(tilt) of the linearised bicycle."""
    turns: tuple[Turn, ...]
    turned: tuple[TurnedBars, ...]
    """From straight to the stop, 90° at most."""
    lowest_angle: float | None
    """Bar angle at which the front is lowest; None where it goes down up to the last, or never."""
    lowest_drop: float | None
    """Drop there."""
    _front_end: FrontEnd
    _bottom: tuple[float, float]
    _weights: Weights | None

    def at(self, bar_angle: float) -> TurnedBars:
        """Return the bike with its bars turned by any angle [degrees]."""
        weights = self._weights
        return TurnedBars(
            bar_angle,
            self._front_end.turned(bar_angle).drop(self._bottom),
            None if weights is None else weights.falling_in_nm(self._front_end, bar_angle),
        )

    def turn_of(self, radius: float) -> Turn:
        """Return the turn of one of `RADII` [mm]."""
        return next(turn for turn in self.turns if turn.radius == radius)


@dataclass(frozen=True, slots=True)
class SteeringFigures:
    """How the bike steers: torques at the bar, and the front that drops."""

    drawn: Steered
    """As drawn: fork extended."""
    sagged: Steered | None
    """Under the rider; None where nothing is sprung, or no sag is given."""
    stop_angle: float
    """Angle to which the bars turn: their stop, 180° where nothing stops them."""
    push_n: float
    grip_lever: float | None
    """Middle of a grip beside the steering axis; None without the bar's width."""
    tyre_radius: float
    """Of the front tyre's round section; 0 where no tyre is given."""
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    """What the file does not give, and the key that would give it."""

    @property
    def ridden(self) -> Steered:
        """At sag where it is known, else as drawn."""
        return self.drawn if self.sagged is None else self.sagged


def steering_of(bike: Bike) -> SteeringFigures:
    """Return how a solved bike steers."""
    stop = stop_of(bike.spec).turns
    tyre = tyre_size(bike.spec.build.front_wheel)
    radius = 0.0 if tyre is None else tyre[0] / 2
    lever = grip_lever(bike)
    drawn, sagged = bodies_in_stances(bike)
    return SteeringFigures(
        drawn=_steered(drawn, bike.nodes, bike.chart, radius, lever, stop),
        sagged=None
        if bike.sagged is None
        else _steered(sagged, bike.sagged.nodes, bike.sagged.chart, radius, lever, stop),
        stop_angle=stop,
        push_n=PUSH,
        grip_lever=lever,
        tyre_radius=radius,
        assumptions=tuple(_assumptions(bike, drawn)),
        left_out=tuple(_left_out(bike, drawn)),
    )


def bodies_in_stances(bike: Bike) -> tuple[RigidBodies | None, RigidBodies | None]:
    """Return the bike's rigid bodies as drawn and at sag; None without a seated rider or sag."""
    model = mass_model(bike)
    return (
        rigid_bodies_of(bike, model, None),
        None if bike.sagged is None else rigid_bodies_of(bike, model, bike.sagged),
    )


def linear_of(bike: Bike) -> LinearBicycle | None:
    """Return the linearised bicycle under its rider, at sag where it is known.

    None where `linear_left_out` says what is lacking.
    """
    if linear_left_out(bike):
        return None
    drawn, sagged = bodies_in_stances(bike)
    if bike.sagged is not None and sagged is not None:
        parameters = whipple_of(sagged, bike.sagged.nodes, bike.sagged.chart)
        return linear_bicycle(parameters, sagged.rider, at_sag=True)
    if drawn is None:
        return None
    parameters = whipple_of(drawn, bike.nodes, bike.chart)
    return linear_bicycle(parameters, drawn.rider, at_sag=False)


def linear_left_out(bike: Bike) -> tuple[str, ...]:
    """Return what the file does not give for the linearised bicycle, and the keys that would give it."""
    bodies, _ = bodies_in_stances(bike)
    build = bike.spec.build
    wheels = {"rear_wheel": build.rear_wheel, "front_wheel": build.front_wheel}
    found = [] if bodies is not None else [f"linearised bicycle, its rider ({_missing(bike)})"]
    found += [
        f"linearised bicycle, its wheel (build.{key}.tyre or build.{key}.mass_kg)"
        for key, wheel in wheels.items()
        if wheel is None or (wheel.tyre is None and wheel.mass_kg is None)
    ]
    return tuple(found)


def front_end_of(
    nodes: Mapping[str, Point], chart: Mapping[str, float | None], tyre_radius: float
) -> FrontEnd:
    """Return the front end of a bike on level ground.

    Args:
        nodes: named points [mm].
        chart: figures [mm, degrees].
        tyre_radius: of the front tyre's round section [mm].
    """
    angle, offset = chart["head_tube_angle"], chart["fork_offset"]
    assert angle is not None
    assert offset is not None
    rear, front = nodes["rear_axle"], nodes["front_axle"]
    return FrontEnd(
        head_angle=angle,
        offset=offset,
        wheelbase=front[0] - rear[0],
        rear_radius=rear[2] - nodes["rear_contact"][2],
        front_radius=front[2] - nodes["front_contact"][2],
        tyre_radius=tyre_radius,
    )


def _steered(
    bodies: RigidBodies | None,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    tyre_radius: float,
    lever: float | None,
    stop: float,
) -> Steered:
    front_end = front_end_of(nodes, chart, tyre_radius)
    weights = None if bodies is None else weights_of(bodies, nodes, front_end.head_angle)
    push = push_torque_nm(front_end, PUSH)
    at, rear = nodes["head_tube_bottom"], nodes["rear_axle"]
    most = min(stop, MOST)
    bottom = (at[0] - rear[0], at[2] - rear[2])
    lowest = front_end.lowest_at(most)
    if lowest is not None and front_end.turned(lowest).drop(bottom) < LEAST:
        lowest = None
    own = Steered(
        mechanical_trail=front_end.mechanical_trail,
        push_torque_nm=push,
        grip_force_n=None if lever is None else abs(push) / lever * 1000,
        front_load_n=None if weights is None else weights.front_load_n(front_end),
        falling_in_nm_per_degree=None
        if weights is None
        else weights.falling_in_nm_per_degree(front_end),
        falling_in_thin_tyre_nm_per_degree=None
        if bodies is None
        else math.radians(whipple_of(bodies, nodes, chart).falling_in_nm_per_rad),
        turns=tuple(
            Turn(radius, angle, angle <= stop)
            for radius in RADII
            for angle in (bar_angle_for(front_end, radius),)
        ),
        turned=(),
        lowest_angle=lowest,
        lowest_drop=None if lowest is None else front_end.turned(lowest).drop(bottom),
        _front_end=front_end,
        _bottom=bottom,
        _weights=weights,
    )
    return replace(own, turned=tuple(own.at(angle) for angle in _angles(most)))


def _angles(most: float) -> Iterator[float]:
    """Yield bar angles from straight on, and the last [degrees]."""
    count = math.ceil(most / STEP - 1e-9)
    yield from (i * STEP for i in range(count))
    yield most


def weights_of(bodies: RigidBodies, nodes: Mapping[str, Point], head_angle: float) -> Weights:
    """Return what the wheels of a bike carry, by whether it turns with the bars."""
    rear, crown = nodes["rear_axle"], nodes["crown_race"]
    front = combined((bodies.front_assembly, bodies.front_wheel))
    head = math.radians(head_angle)

    def carried(mass_kg: float, at: Point) -> Carried:
        return Carried(mass_kg, (at[0] - rear[0], at[2] - rear[2]))

    return Weights(
        carried(bodies.body.mass_kg, bodies.body.at),
        carried(front.mass_kg, front.at),
        (front.at[0] - crown[0]) * math.sin(head) + (front.at[2] - crown[2]) * math.cos(head),
    )


def _assumptions(bike: Bike, bodies: RigidBodies | None) -> Iterator[str]:
    yield (
        "turned bars: bike held upright at rest, both wheels on the ground, tyres round and undented"
    )
    if tyre_size(bike.spec.build.front_wheel) is None:
        yield "front tyre as a thin disc (common practice, no source; build.front_wheel.tyre gives it)"
    bar = bike.spec.build.handlebar
    if bar is not None and bar.width is not None:
        where = "the bar's ends" if bar.drop > 0 else f"{GRIP:g} mm from the bar's ends"
        yield f"hands at {where} (common practice, no source)"
    if bodies is not None:
        yield (
            "rider rigid and seated, all weight on the wheels, arms counted with the body; segments "
            "from published body tables"
        )
        yield (
            "inertia of wheels as hoops and discs, of tubes, fork and bar as rods, of other parts as "
            "points (common practice, no source)"
        )
        yield from mass_model(bike).assumptions


def _left_out(bike: Bike, bodies: RigidBodies | None) -> Iterator[str]:
    bar = bike.spec.build.handlebar
    if bar is None or bar.width is None:
        yield "force at a grip (build.handlebar.width)"
    if bodies is None:
        key = _missing(bike)
        yield f"load on the front wheel and torque of bars that fall in ({key})"


def _missing(bike: Bike) -> str:
    """Return the key without which there is no seated rider."""
    build = bike.spec.build
    if build.rider is None:
        return "build.rider"
    if build.rider.height is None and build.rider.inseam is None:
        return "build.rider.height or build.rider.inseam"
    if build.stem is None:
        return "build.stem"
    return "a rider who reaches saddle, grips and pedals"
