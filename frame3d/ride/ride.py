"""How a bike rides: one part for each topic."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.ride.damping.of_bike import Damping, damping_of
from frame3d.ride.fit.of_bike import Fit, fit_of
from frame3d.ride.slopes.of_bike import Slopes, slopes_of
from frame3d.ride.springs.of_bike import Springs, springs_of
from frame3d.ride.steering.of_bike import SteeringFigures, steering_of


@dataclass(frozen=True, slots=True)
class Ride:
    """A bike with its rider on it; a topic is None where the file gives nothing for it."""

    fit: Fit | None
    """How the bike fits its rider: contact points, cockpit, seatpost, knee and trunk."""
    slopes: Slopes | None
    """Weight on the wheels on slopes and under brakes."""
    springs: Springs | None
    """Springs of fork and shock: sag, set-up for riders of other mass."""
    damping: Damping | None
    """Dampers, natural frequencies and the energy of the springs."""
    steering: SteeringFigures | None
    """How the bike steers: torques at the bar, and the front that drops."""

    @property
    def left_out(self) -> tuple[str, ...]:
        """What the file does not give, over all topics, each line once."""
        return tuple(dict.fromkeys(line for part in self._parts() for line in part.left_out))

    @property
    def assumptions(self) -> tuple[str, ...]:
        """Assumptions of all topics, each line once."""
        return tuple(dict.fromkeys(line for part in self._parts() for line in part.assumptions))

    def _parts(self) -> Iterator[Fit | Slopes | Springs | Damping | SteeringFigures]:
        for part in (self.fit, self.slopes, self.springs, self.damping, self.steering):
            if part is not None:
                yield part


def ride_of(bike: Bike) -> Ride:
    """Return how a solved bike rides.

    Raises:
        GeometryError: a spring or damper cannot be worked out.
    """
    return Ride(
        fit=fit_of(bike),
        slopes=slopes_of(bike),
        springs=springs_of(bike),
        damping=damping_of(bike),
        steering=steering_of(bike),
    )
