"""Pivots: what stands at each point where something turns, from the file and common practice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from frame3d.geometry.bench import LUG, Bench
from frame3d.geometry.hardware import PLAY, Housing, Seat
from frame3d.geometry.sections import largest
from frame3d.spec.junctions import JunctionSpec
from frame3d.spec.models import FrameSpec
from frame3d.spec.pivots import PivotSpec
from frame3d.spec.suspension import FRAME
from frame3d.spec.tubes import TubeSpec

Kind = Literal["tubes", "plates"]
WALL = 2.0
"""Least wall around an axle's bore [mm]; common practice, no source."""
ACROSS: Final = {"width": 60.0, "od": 30.0, "axle": 12.0, "plate": 6.0}
"""A housing across the centre plane and its lugs [mm]; common practice, no source."""
SPLIT: Final = {"width": 12.0, "od": 24.0, "axle": 8.0, "plate": 6.0}
"""Housings left and right and their lugs [mm]; common practice, no source."""
SHOCK: Final = {"od": 22.0, "axle": 8.0, "plate": 6.0}
"""Lugs at an end of the shock [mm]; common practice, no source."""
NARROWEST = 20.0
"""Of a housing across that lugs at given tube ends leave room for [mm]."""


@dataclass(frozen=True, slots=True)
class Pin:
    """What stands at one point: who is on it, what is in the middle, the sizes [mm]."""

    point: str
    at: tuple[float, float]
    """x and z."""
    bodies: tuple[str, ...]
    """That hardware is made for: ``frame``, the front frame, first, then in the order of the file."""
    owner: str | None
    """The body with the housing; None where something else is in the middle: shock, shell, hub."""
    half: float | None
    """Half the width of what is across the centre plane; None where there are two housings."""
    y: float | None
    """Lateral position of two housings where the file says it."""
    width: float
    """Of each housing."""
    od: float
    axle: float
    plate: float
    """Thickness of the lugs."""
    seat: Seat | None = None
    """For the bearings in the housing."""

    def bored(self, body: str) -> float:
        """Through a body's own round here, where it is none across [mm]."""
        return self.axle if self.seat is None or body != self.owner else self.seat.diameter

    def thickness(self, body: str) -> float:
        """Of a body's own round here, where it is none across [mm]."""
        return self.width if body == self.owner else self.plate


def kinds(spec: FrameSpec) -> dict[str, Kind]:
    """The bodies that hardware is made for: with tubes, or a pair of plates for want of them.

    A link without tubes that carries the rear axle is left as it is: plates would reach from the
    pivots to the hub.
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
    """Tubes of a body that end on a point, with that end."""
    for tube in spec.tubes.values():
        if (FRAME if tube.link is None else tube.link) == body:
            for junction in (tube.start, tube.end):
                if junction is not None and junction.on == point:
                    yield tube, junction


def plan(bench: Bench) -> dict[str, Pin]:
    """What stands at each point, by point; bores that leave no wall are taken down as faults."""
    suspension = bench.spec.suspension
    if suspension is None:
        return {}
    bodies = kinds(bench.spec)
    found: dict[str, Pin] = {}
    for point, (x, _, z) in bench.pivots.items():
        on = tuple(body for body in bodies if body in suspension.bodies_of(point))
        is_shock = point in (suspension.shock.start, suspension.shock.end)
        if not on or (len(suspension.bodies_of(point)) < 2 and not is_shock):
            continue
        given = suspension.pivots.get(point, PivotSpec(housing=None, bearing=None))
        pin = _pin(bench, point, (x, z), on, given, is_shock)
        if pin is None:
            continue
        if pin.od < pin.axle + 2 * WALL:
            key = "axle" if given.axle is not None else "od"
            bench.fault(
                "section",
                f"suspension.pivots.{point}.{key}",
                f"an outside of {pin.od:g} mm leaves {(pin.od - pin.axle) / 2:.1f} mm around an "
                f"axle of {pin.axle:g} mm",
                f"od: at least {pin.axle + 2 * WALL:g}, or a thinner axle",
            )
            continue
        if not _holds_bearing(bench, pin):
            continue
        found[point] = pin
    return found


def _holds_bearing(bench: Bench, pin: Pin) -> bool:
    """Whether a housing has metal around its bearings and over their whole width; takes down faults."""
    seat = pin.seat
    if seat is None:
        return True
    path = f"suspension.pivots.{pin.point}.bearing"
    across = pin.half is not None
    room = pin.width / 2 if across else pin.width
    if seat.diameter <= pin.axle:
        bench.fault(
            "section",
            f"{path}.od",
            f"{seat.diameter:g} mm outside is no more than its axle of {pin.axle:g} mm",
            "more than the axle (suspension.pivots.….axle)",
        )
    elif pin.od < seat.diameter + 2 * WALL:
        bench.fault(
            "section",
            f"{path}.od",
            f"a bearing of {seat.diameter:g} mm leaves {max((pin.od - seat.diameter) / 2, 0.0):.1f} mm "
            f"of wall in a housing of {pin.od:g} mm",
            f"at most {pin.od - 2 * WALL:g}, or od: at least {seat.diameter + 2 * WALL:g}",
        )
    elif seat.depth > room:
        of = "two of them in" if across else "it in"
        bench.fault(
            "section",
            f"{path}.width",
            f"{seat.depth:g} mm is more than there is room for: {of} a housing of {pin.width:g} mm",
            f"at most {room:g}, or a wider housing (suspension.pivots.{pin.point}.width)",
        )
    else:
        return True
    return False


def _pin(
    bench: Bench,
    point: str,
    at: tuple[float, float],
    on: tuple[str, ...],
    given: PivotSpec,
    is_shock: bool,
) -> Pin | None:
    suspension = bench.spec.suspension
    assert suspension is not None
    owner: str | None = None
    half: float | None = None
    width = 0.0
    seat: Seat | None = None
    if is_shock:
        sizes = SHOCK
        half = (suspension.shock.eye_width if given.width is None else given.width) / 2
    elif point == "bottom_bracket":
        if bench.shell is None:
            return None
        sizes = {**SHOCK, "od": bench.shell.od, "axle": bench.shell.bore}
        half = bench.shell.half
        on = tuple(body for body in on if body != FRAME)
    elif point == "rear_axle":
        if bench.plate is None:
            return None
        sizes = {**SHOCK, "od": bench.plate.boss, "axle": bench.plate.bore}
        half = bench.plate.hub_width / 2 + bench.plate.thickness
        on = tuple(body for body in on if body != suspension.axle.on)
    else:
        owner = given.housing if given.housing in on else on[0]
        across = given.y == 0 or (given.y is None and _is_across(bench.spec, point, on))
        sizes = ACROSS if across else SPLIT
        plate = sizes["plate"] if given.plate is None else given.plate
        if given.width is not None:
            width = given.width
        else:
            width = _width(bench.spec, point, on, owner, plate) if across else SPLIT["width"]
        half = width / 2 if across else None
        if given.bearing is not None:
            seat = Seat(given.bearing.od, given.bearing.width)
    return Pin(
        point,
        at,
        on,
        owner,
        half,
        None if given.y == 0 else given.y,
        width,
        sizes["od"] if given.od is None else given.od,
        sizes["axle"] if given.axle is None else given.axle,
        sizes["plate"] if given.plate is None else given.plate,
        seat,
    )


def _is_across(spec: FrameSpec, point: str, on: tuple[str, ...]) -> bool:
    """Whether a housing goes across: on the front frame, or where a single tube ends in the middle."""
    return FRAME in on or any(
        not tube.pair and not junction.y
        for body in on
        for tube, junction in ends_on(spec, point, body)
    )


def _width(spec: FrameSpec, point: str, on: tuple[str, ...], owner: str, plate: float) -> float:
    """Of a housing across: what lugs in line with the others' tubes leave, and its own tubes need."""
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
    """The housings across the centre plane, by name, before it is known what holds them."""
    found = {}
    for pin in pins.values():
        if pin.owner is not None and pin.half is not None:
            x, z = pin.at
            link = None if pin.owner == FRAME else pin.owner
            name = housing_name(pin.point)
            found[name] = Housing(
                name, pin.point, (x, 0.0, z), 2 * pin.half, pin.od, pin.axle, link, seat=pin.seat
            )
    return found


def housing_name(point: str) -> str:
    """Of the housing at a point."""
    return f"housing_{point}"


def lug_name(point: str, body: str, side: str) -> str:
    """Of a body's lug at a point."""
    return f"{LUG}_{point}_{body}_{side}"


def plate_name(link: str, side: str) -> str:
    """Of a link's plate."""
    return f"plate_{link}_{side}"
