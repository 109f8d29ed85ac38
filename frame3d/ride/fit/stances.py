"""The contact points of a bike in every position that it can take."""

from __future__ import annotations

import math
from collections.abc import Iterator

from frame3d.bike.bike import Bike
from frame3d.bike.suspended import at_travel
from frame3d.chart.as_built import Pitched, pitch
from frame3d.ride.fit.contact import Contact, Points, contact
from frame3d.rider.contacts import saddle_height_of


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


def drawn_contact(bike: Bike) -> Contact:
    """Return the contact points of a bike as it is drawn."""
    return contact("drawn", points_of(bike), _height(bike.chart["bb_height"]))


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
    """Yield the bike at full travel, and with the fork alone at its full travel, where it stands so."""
    fork, solved, linkage = bike.spec.build.fork, bike.solved, bike.linkage
    travel = 0.0 if fork is None else fork.travel
    if linkage is not None:
        full = at_travel(solved, linkage, linkage.full_travel, travel)
        if full is not None:
            yield "full_travel", full
    if travel > 0:
        dive = pitch(solved, {"fork_axle_to_crown": solved.values["fork_axle_to_crown"] - travel})
        if dive is not None:
            yield "dive", dive


def _height(value: float | None) -> float:
    assert value is not None
    return value
