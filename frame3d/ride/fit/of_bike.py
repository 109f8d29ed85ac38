"""How the bike fits its rider: contact points, cockpit, seatpost, knee and trunk."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.bike.steerer import ASSUMED as STEERER_ASSUMED
from frame3d.bike.steerer import Steerer, steerer_of
from frame3d.parameters.requirements import PRACTICE
from frame3d.ride.fit.astride import Astride, astride_of, breadth_of
from frame3d.ride.fit.choices import front_of, most_spacers_of, present_of, sizes_of
from frame3d.ride.fit.contact import Contact
from frame3d.ride.fit.offers import RISES, STEMS, STEP, SWEEPS, Offers, offers
from frame3d.ride.fit.stances import contacts_of, points_of
from frame3d.rider.angles import RiderAngles, rider_angles
from frame3d.rider.contacts import saddle_height_of


@dataclass(frozen=True, slots=True)
class Fit:
    """How a bike fits its rider."""

    contacts: tuple[Contact, ...]
    """As drawn, at sag, and at the ends of what moves; the saddle at full drop."""
    cockpit: Offers | None
    """What keeps the grips where they are; None without a stem."""
    steerer: Steerer | None
    """None without a fork or a stem."""
    astride: tuple[Astride, ...]
    """Room over the top tube where the feet stand, as drawn and at sag."""
    angles: RiderAngles | None
    """Knee and trunk of the seated rider as bands, the bike as drawn; None without rider or grips."""
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]


def fit_of(bike: Bike) -> Fit | None:
    """Return how a solved bike fits: plane geometry of the points that the file gives.

    None where the file gives none of them.

    Raises:
        SpecError: the rider's measures are those of nobody.
    """
    points = points_of(bike)
    if points.saddle is None and points.grips is None and points.crank is None:
        return None
    build = bike.spec.build
    front, present = front_of(bike), present_of(bike)
    cockpit = None
    if front is not None and present is not None:
        cockpit = offers(front, present, sizes_of(bike))
    hip_height = None if bike.rider is None else bike.rider.hip_height
    angles = rider_angles(bike.spec, bike.nodes, bike.chart, hip_height)
    held = build.fork is not None or build.stem is not None
    return Fit(
        contacts=contacts_of(bike),
        cockpit=cockpit,
        steerer=steerer_of(bike.spec, bike.nodes, bike.chart) if held else None,
        astride=tuple(astride_of(bike)),
        angles=angles,
        assumptions=(
            *_assumptions(bike, cockpit),
            *(() if angles is None else angles.assumptions),
        ),
        left_out=tuple(_left_out(bike)),
    )


def _assumptions(bike: Bike, cockpit: Offers | None) -> Iterator[str]:
    build = bike.spec.build
    yield "side view; the saddle's point lies on the seatpost's axis at the saddle's top"
    if cockpit is not None:
        stem, bar = build.stem, build.handlebar
        assert stem is not None
        if stem.lengths is None:
            yield f"stems of {_said(STEMS)} mm ({PRACTICE})"
        if bar is not None and bar.drop > 0:
            yield "on a drop bar the hands stay where the file's rise and forward put them"
        else:
            if bar is None or bar.rises is None:
                yield f"bars of {_said(RISES)} mm rise ({PRACTICE})"
            yield f"grips {-SWEEPS[-1]:g} to {-SWEEPS[0]:g} mm behind the clamp ({PRACTICE})"
        yield f"spacers in steps of {STEP:g} mm ({PRACTICE})"
        yield "rise and backsweep are measured on the bike: the bar is not turned in its clamp"
        yield STEERER_ASSUMED
    if breadth_of(bike) is not None and any(tube.key == "top_tube" for tube in bike.tubes):
        yield "feet stand from the bottom bracket to a shoe's breadth ahead of it; barefoot inseam"


def _left_out(bike: Bike) -> Iterator[str]:
    build = bike.spec.build
    if saddle_height_of(bike.spec) is None:
        yield "saddle's figures (build.seatpost.saddle_height or build.rider.inseam)"
    if build.stem is None:
        yield "grips and cockpit (build.stem)"
    if build.crank is None:
        yield "pedals (build.crank)"
    if build.stem is not None and most_spacers_of(bike) is None:
        yield "most spacers (build.fork.steerer_length or build.stem.most_spacers)"
    if build.fork is None or build.fork.steerer_length is None:
        yield "what the steerer allows (build.fork.steerer_length)"
    if build.rider is None or (build.rider.height is None and build.rider.inseam is None):
        yield "knee and trunk (build.rider.height)"
    if build.rider is None or build.rider.inseam is None:
        yield "room over the top tube (build.rider.inseam)"
    elif breadth_of(bike) is None:
        yield "room over the top tube where the feet stand (build.rider.shoe_length)"
    elif not any(tube.key == "top_tube" for tube in bike.tubes):
        yield "room over the top tube: tubes.top_tube"


def _said(values: tuple[float, ...]) -> str:
    return ", ".join(f"{value:g}" for value in values)
