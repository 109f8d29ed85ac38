"""All states of a loaded bike on slopes: climbs, descents, limits, stops."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.ride.slopes.dynamic import (
    Chassis,
    Law,
    Lumps,
    Settled,
    front_carries,
    held,
    rear_lifts,
    settle,
    steady,
)
from frame3d.ride.slopes.loaded_bike import LoadedBike
from frame3d.ride.slopes.statics import LIGHT

GRADIENTS: Final = tuple(range(-40, 41, 5))
"""Where the share of the weight is given [%]."""
STOPS: Final = (0, -10, -20, -30)
"""Where the hardest stop is given [%]."""
PUSH: Final = 2.0
"""Pull of a push of the pedals over its mean (common practice, no source)."""


@dataclass(frozen=True, eq=False)
class States:
    """The states of one posture; each holds the bike with the rider at every place, (places,)."""

    gradients: tuple[Settled, ...]
    """At a steady speed on each of `GRADIENTS`."""
    light: Settled
    """As the front wheel goes light."""
    lifts: Settled
    """As it lifts."""
    light_pushing: Settled
    """Both in pushes of the pedals."""
    lifts_pushing: Settled
    stops: tuple[tuple[Settled, Settled | None], ...]
    """As the rear wheel lifts under the front brake, on each of `STOPS`: standing as on the level, and
    with the fork's dive; None where nothing is sprung."""

    @property
    def level(self) -> Settled:
        """On the level."""
        return self.gradients[GRADIENTS.index(0)]

    @property
    def found(self) -> bool:
        """Whether the springs settled in all of them."""
        steep = (self.light, self.lifts, self.light_pushing, self.lifts_pushing)
        diving = (dive for _, dive in self.stops if dive is not None)
        return all(bool(one.found.all()) for one in (*self.gradients, *steep, *diving))


def states_of(loaded: LoadedBike) -> dict[str, States]:
    """Return the states of a loaded bike in each posture, with its rider at every place.

    All postures and places are solved together.
    """
    every = _Every(tuple(loaded.postures.values()))
    climbing, braking = loaded.climbing, loaded.braking
    gradients = every.settle(climbing, steady, np.array(GRADIENTS) / 100)
    shares, pulls = np.array([LIGHT, 0.0, LIGHT, 0.0]), np.array([1.0, 1.0, PUSH, PUSH])
    limits = every.settle(climbing, front_carries, shares, pulls)
    level = gradients[GRADIENTS.index(0)]
    slopes = np.array(STOPS) / 100
    still = [
        held(braking, every.lumps(), rear_lifts(every.full(slope)), level.stroke, level.fork_travel)
        for slope in slopes
    ]
    sprung = braking.rear_spring is not None or braking.fork_spring is not None
    diving = every.settle(braking, rear_lifts, slopes) if sprung else [None] * len(still)
    out = {}
    for i, name in enumerate(loaded.postures):
        own = every.of(i)
        light, lifts, light_pushing, lifts_pushing = (one.part(own) for one in limits)
        out[name] = States(
            gradients=tuple(one.part(own) for one in gradients),
            light=light,
            lifts=lifts,
            light_pushing=light_pushing,
            lifts_pushing=lifts_pushing,
            stops=tuple(
                (one.part(own), None if dive is None else dive.part(own))
                for one, dive in zip(still, diving, strict=True)
            ),
        )
    return out


class _Every:
    """All postures of a rider after one another, each at all its places."""

    def __init__(self, postures: Sequence[Lumps]) -> None:
        self._lumps = postures[0]
        self._frame = np.concatenate([lumps.frame for lumps in postures])
        self._places = len(postures[0].frame)

    def of(self, posture: int) -> slice:
        """Return where one posture is."""
        return slice(posture * self._places, (posture + 1) * self._places)

    def lumps(self, times: int = 1) -> Lumps:
        """Return the masses, so many times after one another."""
        return replace(self._lumps, frame=np.tile(self._frame, times))

    def full(self, value: float) -> Array:
        """Return a value for each."""
        return np.full(len(self._frame), value)

    def settle(self, chassis: Chassis, law: Callable[..., Law], *given: Array) -> list[Settled]:
        """Return the bike under a law at each of k values of what it is given, (k,) arrays."""
        count, each = len(given[0]), len(self._frame)
        repeated = (np.repeat(values, each) for values in given)
        together = settle(chassis, self.lumps(count), law(*repeated))
        return [together.part(slice(i * each, (i + 1) * each)) for i in range(count)]
