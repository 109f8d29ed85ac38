"""Weight on the wheels on slopes and under brakes: figures of a bike with its rider."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from frame3d.bike.bike import Bike
from frame3d.ride.slopes.bands import ALONG, UP, Band, band
from frame3d.ride.slopes.dynamic import Settled
from frame3d.ride.slopes.loaded_bike import POSTURES, LoadedBike, loaded_bike, rider_places
from frame3d.ride.slopes.saddle import SaddleOnClimb, saddle_on_climb
from frame3d.ride.slopes.states import GRADIENTS, PUSH, STOPS, States, states_of
from frame3d.ride.slopes.statics import front_share

CLIMBS: Final = (0, 10, 20, 30)
"""Where the saddle is given [%]."""
CLIMB: Final = 20
DESCENT: Final = -20
"""The gradients of single figures [%]."""
STEEPEST: Final = 100.0
"""Bands of gradients end here [%]."""
UNSETTLED: Final = (
    "slopes on which the springs do not settle (suspension.spring, build.fork.spring)"
)


@dataclass(frozen=True, slots=True)
class OnGradient:
    """A bike at a steady speed on a gradient. Where it stands is that of the band's middle."""

    gradient_percent: float
    front_share_percent: Band
    """Of the weight that both wheels carry; 0 where the front wheel lifts."""
    rear_travel: float
    """Of the rear wheel, vertical [mm]; 0 without a rear suspension."""
    fork_travel: float
    """Along the stanchions [mm]."""
    pitch_degrees: float
    """Of the frame against the ground, from as drawn, nose up positive."""
    wheelbase: float
    centre_ahead: float
    """Common centre of mass of rider and bicycle, ahead of the rear contact along the ground [mm]."""
    centre_height: float
    """Its distance from the ground, square to it [mm]."""
    anti_squat_percent: float | None
    """In the lowest gear; None without a rear suspension or a chain, and downhill."""


@dataclass(frozen=True, slots=True)
class Stop:
    """The hardest stop on a gradient: the front brake alone, as the rear wheel lifts, if tyres grip."""

    gradient_percent: float
    without_dive_g: Band
    """Deceleration of the bike as it stands on its sag."""
    with_dive_g: Band | None
    """With the fork as far down as the brake pushes it, the rear wheel hanging; None where nothing is
    sprung."""
    fork_travel: float | None
    """Along the stanchions in such a stop [mm]."""

    @property
    def hardest_g(self) -> Band:
        """With dive where there is any."""
        return self.without_dive_g if self.with_dive_g is None else self.with_dive_g


@dataclass(frozen=True, slots=True)
class PostureOnSlopes:
    """A rider in one posture."""

    name: str
    """``seated``, ``forward``, ``standing`` or ``descending``."""
    gradients: tuple[OnGradient, ...]
    light_percent: Band
    """Gradient at which the front wheel carries a tenth of the weight."""
    lifts_percent: Band
    """Gradient at which the front wheel lifts."""
    light_pushing_percent: Band
    """The same in pushes of the pedals that pull twice as hard as the mean."""
    lifts_pushing_percent: Band
    stops: tuple[Stop, ...]

    def on(self, percent: float) -> OnGradient:
        """Return the bike on one of `states.GRADIENTS` [%]."""
        return next(one for one in self.gradients if one.gradient_percent == percent)

    def stop_on(self, percent: float) -> Stop:
        """Return the hardest stop on one of `states.STOPS` [%]."""
        return next(one for one in self.stops if one.gradient_percent == percent)


@dataclass(frozen=True, slots=True)
class Slopes:
    """Weight on the wheels on slopes and under brakes."""

    chainring: int | None
    """Teeth of the gear in which the bike climbs, the lowest; None without a chain."""
    cog: int | None
    postures: tuple[PostureOnSlopes, ...]
    """Empty without a rider."""
    saddle: tuple[SaddleOnClimb, ...]
    """Seated; empty where the rider cannot sit."""
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    """What the file does not give, and the key that would give it."""

    @property
    def sprung(self) -> bool:
        """Whether anything gives under the loads."""
        return any(stop.with_dive_g is not None for one in self.postures for stop in one.stops)

    def posture(self, name: str) -> PostureOnSlopes | None:
        """Return the rider in a posture; None where it is not possible or nothing is known."""
        return next((one for one in self.postures if one.name == name), None)

    def saddle_on(self, percent: float) -> SaddleOnClimb:
        """Return the saddle on one of `CLIMBS` [%]."""
        return next(one for one in self.saddle if one.gradient_percent == percent)

    @property
    def figures(self) -> Mapping[str, float]:
        """Middles of bands, by which two bikes are compared; the rider's doubts are in both alike."""
        return dict(_figures(self))


def slopes_of(bike: Bike) -> Slopes:
    """Return a solved bike on slopes; without a rider, only what is missing for it.

    Raises:
        GeometryError: a spring's rate or pressure cannot be found.
    """
    riders = rider_places(bike)
    if bike.spec.build.rider is None or not riders:
        return Slopes(None, None, (), (), (), (_no_rider(bike),))
    loaded = loaded_bike(bike, riders)
    solved = states_of(loaded)
    gear = loaded.climbing.gear
    lost = not all(states.found for states in solved.values())
    postures = tuple(_posture(name, states) for name, states in solved.items())
    return Slopes(
        chainring=None if gear is None else gear[0],
        cog=None if gear is None else gear[1],
        postures=postures,
        saddle=tuple(_saddle(bike, solved["seated"])) if "seated" in solved else (),
        assumptions=(*_assumptions(loaded), *_limited(postures), *loaded.assumptions),
        left_out=(*_unreached(solved), *loaded.left_out, *([UNSETTLED] if lost else [])),
    )


def _no_rider(bike: Bike) -> str:
    """Return what is missing for a rider on the bike."""
    build = bike.spec.build
    if build.rider is None:
        return "weight on slopes (build.rider)"
    if build.stem is None:
        return "weight on slopes (build.stem, for the grips)"
    if build.rider.height is None and build.rider.inseam is None:
        return "weight on slopes (build.rider.height or build.rider.inseam)"
    return (
        "weight on slopes: this rider does not reach the grips or the pedals (build.rider.height)"
    )


def _unreached(solved: Mapping[str, States]) -> Iterator[str]:
    """Yield the postures in which this rider does not reach the grips or the pedals."""
    for name in POSTURES:
        if name not in solved:
            yield f"{name} on slopes: out of this rider's reach (build.rider.height, build.stem)"


def _posture(name: str, states: States) -> PostureOnSlopes:
    def steepest(settled: Settled) -> Band:
        return band(100 * settled.acting.gradient, 0.0, STEEPEST)

    return PostureOnSlopes(
        name=name,
        gradients=tuple(map(_on_gradient, GRADIENTS, states.gradients)),
        light_percent=steepest(states.light),
        lifts_percent=steepest(states.lifts),
        light_pushing_percent=steepest(states.light_pushing),
        lifts_pushing_percent=steepest(states.lifts_pushing),
        stops=tuple(
            Stop(
                percent,
                band(still.acting.slowing_g, 0.0),
                None if diving is None else band(diving.acting.slowing_g, 0.0),
                None if diving is None else float(diving.fork_travel[0]),
            )
            for percent, (still, diving) in zip(STOPS, states.stops, strict=True)
        ),
    )


def _on_gradient(percent: int, at: Settled) -> OnGradient:
    """Return the bike at a steady speed on a gradient, with the rider at every place."""
    share = front_share(at.balance, at.acting.gradient)
    squat = at.anti_squat if percent > 0 else None
    return OnGradient(
        gradient_percent=percent,
        front_share_percent=band(100 * share, 0.0, 100.0),
        rear_travel=float(at.rear_travel[0]),
        fork_travel=float(at.fork_travel[0]),
        pitch_degrees=float(at.pitch[0]),
        wheelbase=float(at.balance.wheelbase[0]),
        centre_ahead=float(at.balance.ahead[0]),
        centre_height=float(at.balance.height[0]),
        anti_squat_percent=None if squat is None else float(squat[0]),
    )


def _saddle(bike: Bike, states: States) -> Iterator[SaddleOnClimb]:
    x, _, z = bike.nodes["saddle"]
    for percent, at in zip(GRADIENTS, states.gradients, strict=True):
        if percent in CLIMBS:
            yield saddle_on_climb(complex(x, z), float(at.pitch[0]), percent)


def _assumptions(loaded: LoadedBike) -> Iterator[str]:
    yield "steady speed, no air resistance, nothing rubs in the suspension, wheels do not slip"
    yield "on slopes the rider holds the posture of the level bike, in which only the frame pitches"
    yield "downhill the front brake alone holds the speed"
    yield (
        f"bands: the rider's centre of mass may be {ALONG:.0f} mm further ahead or behind and "
        f"{UP:.0f} mm higher or lower in one posture (common practice, no source), or where "
        "other published body tables have it; root of the sum of squares"
    )
    if loaded.climbing.gear is not None:
        ring, cog = loaded.climbing.gear
        yield f"climbing in the lowest gear, {ring}/{cog}"
    if loaded.climbing.rear_spring is not None or loaded.climbing.fork_spring is not None:
        yield (
            "on slopes springs carry what lasts, air as warm as outside; in a stop they act as when "
            "ridden, and damping is left out"
        )
    yield f"pushes of the pedals pull {PUSH:g} times as hard as the mean (common practice, no source)"


def _limited(postures: Sequence[PostureOnSlopes]) -> Iterator[str]:
    """Yield what is said of bands that end at a limit."""
    if any(one.lifts_percent.high == STEEPEST for one in postures):
        yield f"gradients are told up to {STEEPEST:.0f} %: where a band ends there, it goes on"
    if any(stop.hardest_g.low == 0 for one in postures for stop in one.stops):
        yield "a stop of 0 g: at a steady speed held by the front brake the rear wheel lifts already"


def _figures(slopes: Slopes) -> Iterator[tuple[str, float]]:
    """Yield the figures by which bikes are compared, as far as they are known."""
    seated = slopes.posture("seated")
    if seated is not None:
        yield "front_share_level", seated.on(0).front_share_percent.middle
    for name in ("seated", "standing"):
        one = slopes.posture(name)
        if one is not None:
            yield f"lifts_{name}", one.lifts_percent.middle
    if seated is not None:
        yield "stop_level", seated.stop_on(0).hardest_g.middle
    low = slopes.posture("descending")
    if low is not None:
        yield "stop_descending", low.stop_on(DESCENT).hardest_g.middle
    if slopes.saddle:
        yield "seat_climbing", slopes.saddle_on(CLIMB).seat_degrees
