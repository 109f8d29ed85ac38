"""Decide what is at each point where something turns, from the file and common practice.

Section through one axle, seen from the front::

      one housing across, lugs beside it       a housing and a lug on each side
      (on the front frame, or where a          (between tubes of pairs)
      single tube ends in the middle)

                 |                                        |
        [] [=====|=====] []                     [] [==]   |   [==] []
        lug   housing   lug                    lug housing|housing lug
                y = 0                                   y = 0

At the bottom bracket the shell is in the middle, at the rear axle the hub, at a shock's end the
shock.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, Literal

from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.junctions import JunctionSpec
from frame3d.parameters.models.pivots import PivotSpec
from frame3d.parameters.models.suspension import FRAME
from frame3d.parameters.models.tubes import TubeSpec
from frame3d.tubes.hardware import PLAY, Housing, Seat
from frame3d.tubes.pin import Pin, housing_name
from frame3d.tubes.placing.context import PlacementContext
from frame3d.tubes.placing.stations import largest

Kind = Literal["tubes", "plates"]
WALL = 2.0
"""Least wall around an axle's bore [mm]; common practice, no source."""
ACROSS: Final = {"width": 60.0, "od": 30.0, "axle": 12.0, "plate": 6.0}
"""Default sizes of a housing across the centre plane and its lugs [mm]; common practice, no source."""
SPLIT: Final = {"width": 12.0, "od": 24.0, "axle": 8.0, "plate": 6.0}
"""Default sizes of two housings, left and right, and their lugs [mm]; common practice, no source."""
SHOCK: Final = {"od": 22.0, "axle": 8.0, "plate": 6.0}
"""Default sizes of lugs at an end of the shock [mm]; common practice, no source."""
NARROWEST = 20.0
"""Least width of a housing across that fits between lugs whose tube ends the file places [mm]."""


def kinds(spec: FrameSpec) -> dict[str, Kind]:
    """Return the bodies that get hardware: those with tubes, and other links as pairs of plates.

    A link without tubes that carries the rear axle gets no plates: they would reach from the pivots
    to the hub.
    """
    suspension = spec.suspension
    if suspension is None:
        return {}
    with_tubes = {FRAME if tube.link is None else tube.link for tube in spec.tubes.values()}
    if FRAME not in with_tubes:
        return {}
    found: dict[str, Kind] = {FRAME: "tubes"}
    for link in suspension.links:
        if link in with_tubes:
            found[link] = "tubes"
        elif link != suspension.axle.on:
            found[link] = "plates"
    return found


def ends_on(spec: FrameSpec, point: str, body: str) -> Iterator[tuple[TubeSpec, JunctionSpec]]:
    """Yield the tubes of a body that end on a point, with that end."""
    for tube in spec.tubes.values():
        if (FRAME if tube.link is None else tube.link) == body:
            for junction in (tube.start, tube.end):
                if junction is not None and junction.on == point:
                    yield tube, junction


def plan(context: PlacementContext) -> dict[str, Pin]:
    """Return what is at each point, by point; faults where a bore leaves too little wall."""
    suspension = context.spec.suspension
    if suspension is None:
        return {}
    bodies = kinds(context.spec)
    found: dict[str, Pin] = {}
    for point, (x, _, z) in context.pivots.items():
        on = tuple(body for body in bodies if body in suspension.bodies_of(point))
        is_shock = point in (suspension.shock.start, suspension.shock.end)
        if not on or (len(suspension.bodies_of(point)) < 2 and not is_shock):
            continue
        given = suspension.pivots.get(point, PivotSpec(housing=None, bearing=None, chip=None))
        pin = _pin(context, point, (x, z), on, given, is_shock)
        if pin is None:
            continue
        if pin.od < pin.axle + 2 * WALL:
            key = "axle" if given.axle is not None else "od"
            context.fault(
                "section",
                f"suspension.pivots.{point}.{key}",
                f"an outside of {pin.od:g} mm leaves {(pin.od - pin.axle) / 2:.1f} mm around an "
                f"axle of {pin.axle:g} mm",
                f"od: at least {pin.axle + 2 * WALL:g}, or a thinner axle",
            )
            continue
        if not _holds_bearing(context, pin):
            continue
        found[point] = pin
    return found


def _holds_bearing(context: PlacementContext, pin: Pin) -> bool:
    """Return whether a housing has metal around its bearings; if not, record a fault."""
    seat = pin.seat
    if seat is None:
        return True
    path = f"suspension.pivots.{pin.point}.bearing"
    across = pin.half is not None
    room = pin.width / 2 if across else pin.width
    if seat.diameter <= pin.axle:
        context.fault(
            "section",
            f"{path}.od",
            f"{seat.diameter:g} mm outside is no more than its axle of {pin.axle:g} mm",
            "more than the axle (suspension.pivots.….axle)",
        )
    elif pin.od < seat.diameter + 2 * WALL:
        context.fault(
            "section",
            f"{path}.od",
            f"a bearing of {seat.diameter:g} mm leaves {max((pin.od - seat.diameter) / 2, 0.0):.1f} mm "
            f"of wall in a housing of {pin.od:g} mm",
            f"at most {pin.od - 2 * WALL:g}, or od: at least {seat.diameter + 2 * WALL:g}",
        )
    elif seat.depth > room:
        of = "two of them in" if across else "it in"
        context.fault(
            "section",
            f"{path}.width",
            f"{seat.depth:g} mm is more than there is room for: {of} a housing of {pin.width:g} mm",
            f"at most {room:g}, or a wider housing (suspension.pivots.{pin.point}.width)",
        )
    else:
        return True
    return False


def _pin(
    context: PlacementContext,
    point: str,
    at: tuple[float, float],
    on: tuple[str, ...],
    given: PivotSpec,
    is_shock: bool,
) -> Pin | None:
    """Return what is at one point; None where there is no shell or hub to turn on."""
    suspension = context.spec.suspension
    assert suspension is not None
    owner: str | None = None
    half: float | None = None
    width = 0.0
    seat: Seat | None = None
    if is_shock:
        sizes = SHOCK
        half = (suspension.shock.eye_width if given.width is None else given.width) / 2
    elif point == "bottom_bracket":
        if context.shell is None:
            return None
        sizes = {**SHOCK, "od": context.shell.od, "axle": context.shell.bore}
        half = context.shell.half
        on = tuple(body for body in on if body != FRAME)
    elif point == "rear_axle":
        if context.plate is None:
            return None
        sizes = {**SHOCK, "od": context.plate.boss, "axle": context.plate.bore}
        half = context.plate.hub_width / 2 + context.plate.thickness
        on = tuple(body for body in on if body != suspension.axle.on)
    else:
        owner = given.housing if given.housing in on else on[0]
        across = given.y == 0 or (given.y is None and _is_across(context.spec, point, on))
        sizes = ACROSS if across else SPLIT
        plate = sizes["plate"] if given.plate is None else given.plate
        if given.width is not None:
            width = given.width
        else:
            width = _width(context.spec, point, on, owner, plate) if across else SPLIT["width"]
        half = width / 2 if across else None
        if given.bearing is not None:
            seat = Seat(given.bearing.od, given.bearing.width)
    return Pin(
        point=point,
        at=at,
        bodies=on,
        owner=owner,
        half=half,
        y=None if given.y == 0 else given.y,
        width=width,
        od=sizes["od"] if given.od is None else given.od,
        axle=sizes["axle"] if given.axle is None else given.axle,
        plate=sizes["plate"] if given.plate is None else given.plate,
        seat=seat,
    )


def _is_across(spec: FrameSpec, point: str, on: tuple[str, ...]) -> bool:
    """Return whether a housing goes across: on the front frame, or if a single tube ends there."""
    return FRAME in on or any(
        not tube.pair and not junction.y
        for body in on
        for tube, junction in ends_on(spec, point, body)
    )


def _width(spec: FrameSpec, point: str, on: tuple[str, ...], owner: str, plate: float) -> float:
    """Return the width of a housing across [mm].

    It fills the room between lugs in line with the tubes of the other bodies; else it is as wide as
    its own tubes need.
    """
    lugs = [
        junction.y - plate / 2 - PLAY
        for body in on
        if body != owner
        for tube, junction in ends_on(spec, point, body)
        if tube.pair and junction.y is not None
    ]
    own = [
        junction.y + largest(tube) / 2
        for tube, junction in ends_on(spec, point, owner)
        if tube.pair and junction.y is not None
    ]
    if lugs and 2 * min(lugs) >= NARROWEST:
        return 2 * min(lugs)
    return max([ACROSS["width"], *(2 * y for y in own)])


def housings(pins: Mapping[str, Pin]) -> dict[str, Housing]:
    """Return the housings across the centre plane, by name, before it is known what holds them."""
    found = {}
    for pin in pins.values():
        if pin.owner is not None and pin.half is not None:
            x, z = pin.at
            link = None if pin.owner == FRAME else pin.owner
            name = housing_name(pin.point)
            found[name] = Housing(
                name=name,
                pivot=pin.point,
                at=(x, 0.0, z),
                width=2 * pin.half,
                od=pin.od,
                bore=pin.axle,
                link=link,
                seat=pin.seat,
            )
    return found
