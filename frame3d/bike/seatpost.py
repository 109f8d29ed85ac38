"""The seatpost in its frame: exposure, insertion, and the longest travel that fits.

::

    saddle's top   ____
                     |  RAILS
    rails           -+-            ^
                     |  head       |              at full height; at full drop the head comes
    head's foot     -+-            | exposure     down onto the collar:
                     |  travel     |
    collar          -+-            |              exposure = head + travel + collar + drop room
                     |  collar     |
                    -+-            |
                     |  drop room  v
    seat tube's top =+=  -----------------        ^
                     |  insertion                 |
    post's end      -+-                           |
                     |  actuator                  | depth of the bore that the post can go down
                    -+-                           |
                     |  cable room                |
                    -+-                           |
                     |  room                      v
    what stops it   ---  -----------------

A post with 1 mm more travel is assumed to have a tube 1 mm longer below its collar, and to be 1 mm
deeper in the seat tube for the same saddle height: it needs 2 mm more insertion.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from frame3d.bike.bike import Bike
from frame3d.geometry.centreline import Arc
from frame3d.geometry.vector import vector
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.requirements import PRACTICE, REQUIREMENTS
from frame3d.tubes import seats
from frame3d.tubes.cuts.overlap import Envelope
from frame3d.tubes.features.place import bottle_bosses
from frame3d.tubes.hardware import SHELL, Housing
from frame3d.tubes.post_depth import MARK, RAILS, exposure, insertion, least_insertion
from frame3d.tubes.tube import Shell, Tube

HEAD = 35.0
"""Height of the rails' clamp above the collar of a dropper post at full drop, or above the tube of a
rigid post [mm]; common practice, no source."""
COLLAR = 20.0
"""Height of a dropper post's collar, which is too wide for the seat tube [mm]; common practice, no
source."""
ACTUATOR = 25.0
"""Length of a dropper post's actuator below its end [mm]; common practice, no source."""
CABLE = 30.0
"""Room for the bend of cable or hose below the actuator [mm]; common practice, no source."""
_STEP, _CAREFUL, _EXACT = 0.5, 0.8, 1e-4
_RINGS, _AROUND = 9, 72


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit, and what causes it."""

    value: float
    """Limit [mm]."""
    by: str
    """The cause, in words."""


@dataclass(frozen=True, slots=True)
class Seatpost:
    """A seatpost in its frame; lengths along the seat tube [mm]."""

    diameter: float
    travel: float
    exposure: float | None
    """Seat tube's top to the rails' clamp at full height [mm]; None without a saddle height."""
    head: float
    collar: float
    actuator: float
    cable: float
    insertion: float | None
    """Insertion of the post's tube, without actuator; None where the file does not say."""
    least_insertion: float
    marked: bool
    """Whether the file gives the mark of least insertion."""
    bore: Limit | None
    """Depth to which the post can go from the seat tube's top; None without a seat tube."""
    longest_travel: Limit | None
    """Longest travel of a dropper post in this seat tube at this saddle height, without regard to the
    tyre; None for a rigid post, or where exposure is not known."""

    @property
    def drop_room(self) -> float | None:
        """Exposure beyond travel, collar and head; negative where the post cannot drop so far."""
        if self.exposure is None:
            return None
        return self.exposure - self.travel - self.collar - self.head

    @property
    def deepest_insertion(self) -> float | None:
        """Largest insertion that leaves room for actuator and cable; None without a seat tube."""
        return None if self.bore is None else self.bore.value - self.actuator - self.cable

    @property
    def room(self) -> float | None:
        """Room left below post, actuator and cable; negative where the post cannot go in so far."""
        deepest = self.deepest_insertion
        return None if deepest is None or self.insertion is None else deepest - self.insertion


def facts(post: Seatpost) -> Iterator[tuple[str, float, str]]:
    """Yield the known figures of a post: name, value [mm], and how it comes about in words."""
    bore = "" if post.bore is None else post.bore.by
    heights = f"after travel {post.travel:g}, collar {post.collar:g}, head {post.head:g}"
    below = f", after actuator {post.actuator:g}, cable {post.cable:g}" if post.actuator else ""
    longest = post.longest_travel
    rows: tuple[tuple[str, float | None, str], ...] = (
        ("exposure", post.exposure, "seat tube's top to the saddle's rails"),
        ("drop_room", post.drop_room, heights if post.travel else f"after head {post.head:g}"),
        ("insertion", post.insertion, ""),
        (
            "least_insertion",
            post.least_insertion,
            "the post's mark" if post.marked else "2 post diameters",
        ),
        ("deepest_insertion", post.deepest_insertion, bore + below),
        ("room", post.room, "below it"),
        (
            "longest_travel",
            None if longest is None else longest.value,
            "" if longest is None else longest.by,
        ),
    )
    for name, value, by in rows:
        if value is not None:
            yield name, value, by


def seatpost_of(bike: Bike) -> Seatpost | None:
    """Return the seatpost in its frame; None where the file gives no diameter of a post."""
    post = bike.spec.build.seatpost
    if post is None or post.diameter is None:
        return None
    least = least_insertion(post)
    assert least is not None
    dropper = post.travel > 0
    actuator = _or(post.actuator, ACTUATOR if dropper else 0.0)
    found = Seatpost(
        diameter=post.diameter,
        travel=post.travel,
        exposure=exposure(bike.spec, bike.nodes),
        head=_or(post.head_height, HEAD),
        collar=_or(post.collar_height, COLLAR if dropper else 0.0),
        actuator=actuator,
        cable=_or(post.cable_room, CABLE if actuator > 0 else 0.0),
        insertion=insertion(bike.spec, bike.nodes),
        least_insertion=least,
        marked=post.least_insertion is not None,
        bore=bore_limit(bike, post.diameter),
        longest_travel=None,
    )
    return _with_travel(found, bike.spec)


def assumptions(bike: Bike) -> tuple[str, ...]:
    """Return the assumptions about the post, in words."""
    post = bike.spec.build.seatpost
    if post is None:
        return ()
    dropper = post.travel > 0
    usual = (
        ("head_height", "head", HEAD, True),
        ("collar_height", "collar", COLLAR, dropper),
        ("actuator", "actuator", ACTUATOR, dropper),
        ("cable_room", "cable's bend", CABLE, dropper and post.actuator != 0),
    )
    left_out = [f"{n} {v:g}" for k, n, v, used in usual if used and getattr(post, k) is None]
    said = [f"{', '.join(left_out)} mm ({PRACTICE})"] if left_out else []
    said.append(f"saddle's top {RAILS:g} mm above its rails ({PRACTICE})")
    if post.least_insertion is None:
        said.append(f"least insertion {MARK:g} post diameters (16 CFR 1512.15(b))")
    return tuple(said)


def bore_limit(bike: Bike, diameter: float) -> Limit | None:
    """Return how far down the seat tube a post can go and what stops it; None without a seat tube.

    Whichever comes first from the top: a narrower bore below the reamed seat, a bend, a bottle's boss,
    a body that reaches into the tube, the tube's lower end.
    """
    seat = next((tube for tube in bike.tubes if tube.key == "seat_tube"), None)
    if seat is None:
        return None
    limits = [_narrowing(bike, seat, diameter), *_bends(seat), *_bosses(bike, seat)]
    limits += _across(bike, seat, diameter)
    first = min(limits, key=lambda limit: limit.value)
    return _met(bike, seat, diameter, first)


def _or(value: float | None, usual: float) -> float:
    return usual if value is None else value


def _narrowing(bike: Bike, seat: Tube, diameter: float) -> Limit:
    """Return the limit by the bore after reaming: where it is too narrow, or the tube's lower end."""
    length = seat.axis.length
    reamed = max((b.depth for b in bike.bores if b.tube == seat.name), default=0.0)
    low = seats.clear_below(seat, diameter, length - reamed)
    if low <= 0.0:
        return Limit(length, "the seat tube's lower end")
    return Limit(length - low, "the seat tube's bore, narrower from there")


def _bends(seat: Tube) -> Iterator[Limit]:
    for at, piece in zip(seat.axis.starts, seat.axis.pieces, strict=False):
        if isinstance(piece, Arc):
            yield Limit(seat.axis.length - float(at) - piece.length, "the seat tube's bend")


def _bosses(bike: Bike, seat: Tube) -> Iterator[Limit]:
    """Yield the limit by the uppermost boss of each row on the seat tube, whose bolt reaches inside."""
    for one in bottle_bosses(bike.spec, (seat,)):
        yield Limit(max(seat.axis.length - one.s[-1], 0.0), "a bottle's boss on the seat tube")
    for one in bike.frame.features:
        if one.tube == seat.name and one.spec.kind == "boss" and not one.implied:
            named = one.name.replace("_", " ")
            upper = one.s[-1] + one.spec.outside / 2
            yield Limit(max(seat.axis.length - upper, 0.0), f"the boss {named} on the seat tube")


def _cutters(seat: Tube) -> tuple[str, ...]:
    """Return the names of bodies that the seat tube sits on or is cut by."""
    sits_on = () if seat.start.target is None else (seat.start.target,)
    return tuple(dict.fromkeys((*sits_on, *seat.cut_by)))


def _across(bike: Bike, seat: Tube, diameter: float) -> Iterator[Limit]:
    """Yield the limits by shell and housings that reach into the seat tube."""
    bodies: dict[str, Shell | Housing] = {
        item.name: item for item in bike.pivots if isinstance(item, Housing)
    }
    if bike.shell is not None:
        bodies[SHELL] = bike.shell
    for name in _cutters(seat):
        depth = across(seat, diameter / 2, bodies[name]) if name in bodies else None
        if depth is not None:
            yield Limit(depth, name.replace("_", " "))


def _met(bike: Bike, seat: Tube, diameter: float, first: Limit) -> Limit:
    """Return the first limit, or that of a tube that reaches into the seat tube above it."""
    tubes = {tube.name: tube for tube in bike.tubes}
    for name in _cutters(seat):
        if name in tubes:
            body = Envelope.of(tubes[name], name)
            depth = _touch(seat, diameter / 2, body, first.value)
            if depth is not None and depth < first.value:
                first = Limit(depth, name.replace("_", " "))
    return first


def across(seat: Tube, radius: float, body: Shell | Housing) -> float | None:
    """Return how deep a post goes until it touches a cylinder along y [mm]; None if it passes.

    In the side view the cylinder is a disc of radius R; its centre is `a` below the seat tube's top
    along the axis, and `b` beside the axis. A post of radius r stops at a - R where |b| ≤ r, and at
    a - sqrt(R² - (|b| - r)²) where r < |b| < r + R.
    """
    middle = vector(body.at if isinstance(body, Housing) else body.place)
    top = seat.axis.at(seat.axis.length)
    way, down = middle - top, -seat.axis.tangent(seat.axis.length)
    a = float(way @ down)
    b = float(np.linalg.norm(way - a * down))
    big, beside = body.section.height[0] / 2, max(b - radius, 0.0)
    return None if beside >= big else a - math.sqrt(big**2 - beside**2)


def _touch(seat: Tube, radius: float, body: Envelope, deepest: float) -> float | None:
    """Return how deep a post goes until points of its end face touch a body [mm].

    None where that is deeper than `deepest`. Sphere tracing: each step is `_CAREFUL` times the distance
    from the body (a taper makes that distance a little too large), then bisection.
    """
    length = seat.axis.length
    turn = np.radians(np.arange(_AROUND) * (360.0 / _AROUND))
    rings = np.linspace(0.0, radius, _RINGS)[1:, None]
    u = np.append((rings * np.cos(turn)).ravel(), 0.0)
    v = np.append((rings * np.sin(turn)).ravel(), 0.0)
    up, side = seat.axis.frame(length)

    def gap(depth: float) -> float:
        points = seat.axis.at(length - depth) + u[:, None] * up + v[:, None] * side
        return float(-body.depth(points).max())

    before = after = 0.0
    while (away := gap(after)) > 0:
        if after >= deepest:
            return None
        before, after = after, after + max(_CAREFUL * away, _STEP)
    while after - before > _EXACT:
        half = (before + after) / 2
        before, after = (half, after) if gap(half) > 0 else (before, half)
    return before


def _with_travel(post: Seatpost, spec: FrameSpec) -> Seatpost:
    """Return the post with its longest travel filled in."""
    drop, deepest = post.drop_room, post.deepest_insertion
    if post.travel <= 0 or drop is None:
        return post

    def required(name: str) -> float:
        own = spec.clearance.limit(name)
        return REQUIREMENTS[name].limit if own is None else own

    limits = [
        Limit(
            post.travel + drop - required("seatpost_exposure"),
            "saddle height, less collar and head",
        )
    ]
    if deepest is not None and post.insertion is not None:
        assert post.bore is not None
        room = deepest - post.insertion - required("seatpost_room")
        limits.append(Limit(post.travel + room / 2, f"depth: {post.bore.by}"))
    longest = min(limits, key=lambda limit: limit.value)
    if post.insertion is not None:
        least = post.least_insertion + required("seatpost_insertion")
        if post.insertion + 2 * (longest.value - post.travel) < least:
            longest = Limit(0.0, "least insertion of a post that short")
    return replace(post, longest_travel=Limit(max(longest.value, 0.0), longest.by))
