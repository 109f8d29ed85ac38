"""How a solved bike fits: contact points in every position, cockpit, steerer, room over the top tube."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from frame3d.bike.bike import Bike
from frame3d.bike.steerer import ASSUMED as STEERER_ASSUMED
from frame3d.bike.steerer import Steerer, steerer_of
from frame3d.bike.suspended import at_travel
from frame3d.chart.as_built import Pitched, pitch
from frame3d.parameters.models.cockpit import HandlebarSpec
from frame3d.parameters.requirements import PRACTICE
from frame3d.ride.fit.astride import BREADTH, Astride, astride
from frame3d.ride.fit.cockpit import XZ, Cockpit, Front
from frame3d.ride.fit.contact import Contact, Points, contact
from frame3d.ride.fit.offers import RISES, STEMS, STEP, SWEEPS, Offers, Sizes, offers
from frame3d.rider.posture import saddle_height_of


@dataclass(frozen=True)
class SteererRoom:
    """What the steerer allows, along the steering axis from the crown race [mm]."""

    headset_top: float
    """Where the lowest spacer or the stem sits."""
    stem_top: float | None
    length: float | None
    """Of the steerer as cut; None where the file does not say."""
    least: float | None
    """Shortest steerer that holds the stem where it is."""
    over_the_stem: float | None
    """Spacers that go over the stem; negative by as much as the steerer is too short."""
    most_spacers: float | None
    """Spacers that there is room for, under and over the stem."""


@dataclass(frozen=True)
class Fit:
    """How a bike fits its rider."""

    contacts: tuple[Contact, ...]
    """As drawn, at sag, and at the ends of what moves; the saddle at full drop."""
    cockpit: Offers | None
    """What keeps the grips where they are; None without a stem."""
    steerer: SteererRoom | None
    """None without a fork or a stem."""
    astride: tuple[Astride, ...]
    """Room over the top tube where the feet stand, as drawn and at sag."""
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]


def fit_of(bike: Bike) -> Fit:
    """Return how a solved bike fits. Exact: plane geometry of the points that the file gives."""
    build = bike.spec.build
    front, present = front_of(bike), present_of(bike)
    steerer = _steerer(bike)
    cockpit = None
    if front is not None and present is not None:
        cockpit = offers(front, present, sizes_of(bike))
    return Fit(
        contacts=contacts_of(bike),
        cockpit=cockpit,
        steerer=steerer if build.fork is not None or build.stem is not None else None,
        astride=tuple(_astride(bike)),
        assumptions=tuple(_assumptions(bike, cockpit)),
        left_out=tuple(_left_out(bike)),
    )


def front_of(bike: Bike) -> Front | None:
    """Return what stem and bar of a bike are put on; None without a stem."""
    build, angle = bike.spec.build, bike.chart["head_tube_angle"]
    if build.stem is None:
        return None
    assert angle is not None
    x, _, z = bike.nodes["head_tube_top"]
    return Front(
        top=(x, z),
        angle=angle,
        upper_stack=0.0 if build.headset is None else build.headset.upper_stack,
        clamp_height=build.stem.clamp_height,
        stem_angle=build.stem.angle,
    )


def present_of(bike: Bike) -> Cockpit | None:
    """Return the stem, spacers and bar of a bike; a bar without sizes counts as straight."""
    stem, bar = bike.spec.build.stem, bike.spec.build.handlebar
    if stem is None:
        return None
    bar = HandlebarSpec() if bar is None else bar
    return Cockpit(stem.length, stem.spacers, bar.rise, bar.forward)


def sizes_of(bike: Bike) -> Sizes:
    """Return the sizes that are to be had for a bike: the file's, else common ones, and its own.

    Of a drop bar the hands' place on it stays as it is, unless the file gives rises.
    """
    build = bike.spec.build
    stem = build.stem
    assert stem is not None
    bar = HandlebarSpec() if build.handlebar is None else build.handlebar
    stems = STEMS if stem.lengths is None else stem.lengths
    dropped = bar.drop > 0
    rises = ((bar.rise,) if dropped else RISES) if bar.rises is None else bar.rises
    return Sizes(
        stems=_sorted(*stems, stem.length),
        rises=_sorted(*rises, bar.rise),
        forwards=(bar.forward,) if dropped else _sorted(*SWEEPS, bar.forward),
        spacer_step=STEP,
        most_spacers=most_spacers_of(bike),
    )


def most_spacers_of(bike: Bike) -> float | None:
    """Return how many spacers go under the stem, by the file or the steerer [mm]; None if unlimited.

    Zero where the steerer does not even hold the stem.
    """
    stem = bike.spec.build.stem
    assert stem is not None
    room = steerer_of(bike.spec, bike.nodes, bike.chart).most_spacers(stem.clamp_height)
    known = [one for one in (stem.most_spacers, room) if one is not None]
    return max(min(known), 0.0) if known else None


def points_of(bike: Bike) -> Points:
    """Return where the rider touches a bike as it is drawn."""
    angle, crank = bike.chart["actual_seat_tube_angle"], bike.spec.build.crank
    turn = math.radians(90.0 if angle is None else angle)
    hands = None if bike.rider is None else bike.rider.contacts.get("hands")
    saddle = bike.nodes["saddle"] if saddle_height_of(bike.spec) is not None else None
    return Points(
        saddle=None if saddle is None else (saddle[0], saddle[2]),
        grips=None if hands is None else (hands[0], hands[2]),
        crank=None if crank is None else crank.length,
        seat_up=(-math.cos(turn), math.sin(turn)),
    )


def contacts_of(bike: Bike) -> tuple[Contact, ...]:
    """Return the contact points in every position that a bike can take."""
    points, post = points_of(bike), bike.spec.build.seatpost
    drop = 0.0 if post is None else post.travel
    stands: list[tuple[str, float, float]] = [("drawn", _height(bike.chart["bb_height"]), 0.0)]
    if bike.sagged is not None:
        sag = bike.sagged
        stands.append(("sag", _height(sag.chart["bb_height"]), sag.pitch))
    ends = [(name, at.values["bb_height"], at.values["pitch"]) for name, at in _ends(bike)]
    stands += [(name, height, math.degrees(turn)) for name, height, turn in ends]
    found = [contact(name, points, height, turn) for name, height, turn in stands]
    if drop > 0 and points.saddle is not None:
        down = points.dropped(drop)
        names = {"drawn": "saddle_down", "sag": "saddle_down_sag"}
        found += [
            contact(names[name], down, height, turn)
            for name, height, turn in stands
            if name in names
        ]
    return tuple(found)


def _ends(bike: Bike) -> Iterator[tuple[str, Pitched]]:
    """Yield the bike at full travel and with the fork alone at its full travel, where it can stand so."""
    fork, solved, linkage = bike.spec.build.fork, bike.solved, bike.linkage
    travel = 0.0 if fork is None else fork.travel
    if linkage is not None:
        full = at_travel(solved, linkage, linkage.full_travel, travel)
        if full is not None:
            yield "full_travel", full
    if travel > 0:
        dive = pitch(
            solved, {"fork_axle_to_crown": solved.values["fork_axle_to_crown"] - travel}
        )
        if dive is not None:
            yield "dive", dive


def _height(value: float | None) -> float:
    assert value is not None
    return value


def _steerer(bike: Bike) -> SteererRoom:
    found: Steerer = steerer_of(bike.spec, bike.nodes, bike.chart)
    stem = bike.spec.build.stem
    return SteererRoom(
        headset_top=found.headset_top,
        stem_top=found.stem_top,
        length=found.length,
        least=found.least,
        over_the_stem=found.over_the_stem,
        most_spacers=None if stem is None else found.most_spacers(stem.clamp_height),
    )


def breadth_of(bike: Bike) -> float | None:
    """Return the breadth of the rider's shoe [mm]; None where the file does not give it."""
    rider, shoe = bike.spec.build.rider, bike.spec.build.shoe
    if shoe is not None and shoe.width is not None:
        return shoe.width
    if rider is None or rider.shoe_length is None:
        return None
    return BREADTH * rider.shoe_length


def _astride(bike: Bike) -> Iterator[Astride]:
    rider, breadth = bike.spec.build.rider, breadth_of(bike)
    if rider is None or rider.inseam is None or breadth is None:
        return
    stands = [("drawn", bike.chart, 0.0)]
    if bike.sagged is not None:
        stands.append(("sag", bike.sagged.chart, bike.sagged.pitch))
    for name, chart, turn in stands:
        height = _height(chart["bb_height"])
        found = astride(name, bike.tubes, height, breadth, rider.inseam, turn)
        if found is not None:
            yield found


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
        yield "saddle's figures: build.seatpost.saddle_height or build.rider.inseam"
    if build.stem is None:
        yield "grips and cockpit: build.stem"
    if build.crank is None:
        yield "pedals: build.crank"
    if build.stem is not None and most_spacers_of(bike) is None:
        yield "most spacers: build.fork.steerer_length or build.stem.most_spacers"
    if build.fork is None or build.fork.steerer_length is None:
        yield "what the steerer allows: build.fork.steerer_length"
    if build.rider is None or build.rider.inseam is None:
        yield "room over the top tube: build.rider.inseam"
    elif breadth_of(bike) is None:
        yield "room over the top tube where the feet stand: build.rider.shoe_length"
    elif not any(tube.key == "top_tube" for tube in bike.tubes):
        yield "room over the top tube: tubes.top_tube"


def _sorted(*values: float) -> tuple[float, ...]:
    return tuple(sorted(set(values)))


def _said(values: tuple[float, ...]) -> str:
    return ", ".join(f"{value:g}" for value in values)
