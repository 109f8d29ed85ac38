"""Make housings, lugs and link plates, once the tubes are in place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from frame3d.geometry.disc_hull import Flat
from frame3d.geometry.vector import Point, Vector
from frame3d.parameters.models.junctions import Side
from frame3d.parameters.models.suspension import FRAME
from frame3d.pivots.axle_stackup import Lanes, Span, lanes
from frame3d.pivots.pins import ends_on, kinds
from frame3d.pivots.webs import MAX_WEB_LENGTH, Near, housing_webs, lug_web, nearest, sided
from frame3d.tubes.hardware import Boss, Hardware, Housing, LinkPlate, Lug
from frame3d.tubes.pin import Pin, housing_name, lug_name, plate_name
from frame3d.tubes.placing.context import PlacementContext
from frame3d.tubes.placing.junctions import ENDS, Which
from frame3d.tubes.tube import Dropout, Tube

SIDES: tuple[tuple[Side, float], ...] = (("left", 1.0), ("right", -1.0))
SUNK = 1.5
"""How deep a lug beside a tube lies in it [mm]."""
PLAIN = 16.0
"""Diameter of a link plate at a point where nothing turns [mm]; common practice, no source."""


def fit(context: PlacementContext, dropouts: Sequence[Dropout]) -> tuple[Hardware, ...]:
    """Return all hardware of the rear suspension: housings, then lugs, then link plates.

    records a fault for what no tube is near enough to hold, for parts that would take the same
    room, and for tubes named like a part.
    """
    if not context.pins:
        return ()
    of = kinds(context.spec)
    stock = _Stock(context, dropouts)
    placed = lanes(context.pins, of, stock.wanted())
    for spot, body in placed.crowded:
        context.fault(
            "inconsistent",
            f"suspension.pivots.{spot}.y",
            f"at {context.pins[spot].y:g} mm the housings of {body} take the room of another body",
            "another lateral position, or leave it out",
        )
    found: list[Hardware] = []
    for spot, pin in context.pins.items():
        if pin.owner is not None and pin.half is not None:
            found.append(stock.housing(pin, of[pin.owner] == "plates", placed.halves[spot]))
    for (spot, body), span in placed.rounds.items():
        if of[body] == "tubes":
            for side in stock.sides(body):
                lug = stock.lug(spot, body, side, span)
                found += [] if lug is None else [lug]
    for link, span in placed.plates.items():
        found += _plates(context, link, span, placed)
    _names(context, found)
    return tuple(found)


class _Stock:
    """Tubes and dropouts that hardware is joined to."""

    def __init__(self, context: PlacementContext, dropouts: Sequence[Dropout]) -> None:
        self.context = context
        self.dropouts = dropouts
        self._far: set[str] = set()

    def tubes(self, body: str) -> list[Tube]:
        """Return the tubes of a body."""
        link = None if body == FRAME else body
        return [tube for tube in self.context.tubes.values() if tube.link == link]

    def sides(self, body: str) -> list[Side]:
        """Return the sides on which a body has tubes; tubes in the centre plane count for both."""
        y = [
            tube.axis.points(np.linspace(0.0, tube.axis.length, 9))[:, 1]
            for tube in self.tubes(body)
        ]
        return [side for side, sign in SIDES if any((sign * one).max() > -1e-6 for one in y)]

    def near(self, place: Vector, body: str, side: Side | None) -> Near | None:
        """Return the tube or dropout of a body nearest to a place (3,) [mm], or None.

        With `side`, only tubes of that side or in the centre plane, and dropouts of that side;
        without, only tubes.
        """
        link = None if body == FRAME else body
        tubes = self.tubes(body)
        if side is not None:
            tubes = sided(tubes, side)
        plates = [d for d in self.dropouts if d.link == link and side is not None]
        return nearest(place, tubes, [d for d in plates if d.side == side])

    def wanted(self) -> Mapping[tuple[str, str], float]:
        """Return the lateral position of tubes that end on or pass near points: (point, body) -> mm."""
        found: dict[tuple[str, str], float] = {}
        for spot, pin in self.context.pins.items():
            for body in pin.bodies:
                y = self._wanted(pin, body)
                if y is not None:
                    found[spot, body] = y
        return found

    def _wanted(self, pin: Pin, body: str) -> float | None:
        """Return that position for one body at one pin; None where no tube says it."""
        ends = list(ends_on(self.context.spec, pin.point, body))
        if ends:
            pairs = [junction.y for tube, junction in ends if tube.pair and junction.y]
            return pairs[0] if pairs else None
        x, z = pin.at
        near = self.near(np.array([x, 0.0, z]), body, "left")
        if near is None or abs(y := float(near.at[1])) < 1e-6:
            return None
        if isinstance(near.to, Dropout):
            return y
        s = float(near.to.axis.nearest(near.at[None])[0])
        height, width = (float(r) for r in near.to.section.radii_at(s))
        if float(np.hypot(near.at[0] - x, near.at[2] - z)) < height:
            return y - width - pin.thickness(body) / 2 + SUNK
        return y

    def housing(self, pin: Pin, between_plates: bool, half: float) -> Housing:
        """Return the housing across the centre plane at a point, with the webs that hold it."""
        housing = replace(self.context.housings[housing_name(pin.point)], width=2 * half)
        if between_plates or housing.inset:
            return replace(housing, inset=True)
        assert pin.owner is not None
        x, z = pin.at
        middle = np.array([x, 0.0, z])
        tubes = self.tubes(pin.owner)
        near = nearest(middle, sided(tubes, "left"), ())
        if near is None or not self._reaches(near, pin, pin.owner):
            return housing
        assert isinstance(near.to, Tube)
        other = None
        if near.to.side is not None or abs(float(near.at[1])) > housing.width / 2:
            other = nearest(middle, sided(tubes, "right"), ())
        return replace(housing, webs=housing_webs(housing, near, other))

    def lug(self, spot: str, body: str, side: Side, span: Span) -> Lug | None:
        """Return one lug, with the tube ends on it or the web that holds it; None after a fault."""
        pin = self.context.pins[spot]
        sign = 1.0 if side == "left" else -1.0
        axle: Point = (pin.at[0], sign * span[0], pin.at[1])
        link = None if body == FRAME else body
        lug = Lug(
            name=lug_name(spot, body, side),
            pivot=spot,
            side=side,
            axle=axle,
            thickness=span[1] - span[0],
            boss=pin.od,
            bore=pin.bored(body),
            stays=self._stays(spot, body, side),
            link=link,
            eye=self._eye(spot),
        )
        if lug.stays:
            return lug
        place = np.array([pin.at[0], sign * sum(span) / 2, pin.at[1]])
        near = self.near(place, body, side)
        if near is None or not self._reaches(near, pin, body):
            return None
        return replace(lug, webs=lug_web(lug, near))

    def _eye(self, spot: str) -> float:
        """Return the diameter of the shock's eye at a point [mm]; 0 where there is none."""
        suspension = self.context.spec.suspension
        assert suspension is not None
        shock = suspension.shock
        return shock.eye if spot in (shock.start, shock.end) else 0.0

    def _stays(self, spot: str, body: str, side: Side) -> tuple[tuple[str, Which], ...]:
        """Return the tube ends on a lug; a single tube in the centre plane ends on both lugs."""
        found: list[tuple[str, Which]] = []
        for tube in self.tubes(body):
            for which, end in zip(ENDS, (tube.start, tube.end), strict=True):
                on = end.target == lug_name(spot, body, side)
                middle = tube.side is None and abs(end.point[1]) < 1e-6
                if on or (middle and end.target == lug_name(spot, body, "left")):
                    found.append((tube.name, which))
        return tuple(found)

    def _reaches(self, near: Near, pin: Pin, body: str) -> bool:
        """Return whether a web can reach; if not, record a fault, once for each point and body."""
        if near.distance <= MAX_WEB_LENGTH:
            return True
        key = f"{pin.point} {body}"
        if key not in self._far:
            self._far.add(key)
            self.context.fault(
                "junction-miss",
                f"suspension.points.{pin.point}",
                f"nothing of {body} is near enough to hold it there: {near.to.name} is "
                f"{near.distance:.0f} mm away",
                f"let a tube of {body} end there, e.g. end: {{on: {pin.point}}}, or move the point to "
                f"within {MAX_WEB_LENGTH:g} mm",
            )
        return False


def _plates(context: PlacementContext, link: str, span: Span, placed: Lanes) -> Iterator[LinkPlate]:
    """Yield both plates of a link without tubes."""
    suspension = context.spec.suspension
    assert suspension is not None
    discs = []
    bosses = []
    for spot in suspension.links[link]:
        if spot not in context.pivots:
            continue
        x, _, z = context.pivots[spot]
        pin = context.pins.get(spot)
        od, bore = (PLAIN, 0.0) if pin is None else (pin.od, pin.bored(link))
        discs.append((x, z, od / 2))
        low, high = placed.rounds.get((spot, link), span)
        bosses.append(Boss(pivot=spot, x=x, z=z, low=low, high=high, od=od, bore=bore))
    plate = Flat(tuple(discs), *span)
    for side, sign in SIDES:
        yield LinkPlate(
            plate_name(link, side),
            side,
            link,
            plate if sign > 0 else plate.mirrored(),
            tuple(b if sign > 0 else replace(b, low=-b.high, high=-b.low) for b in bosses),
        )


def _names(context: PlacementContext, found: Sequence[Hardware]) -> None:
    """Fault if a tube has the name of a part of the suspension."""
    names = {item.name for item in found}
    for tube in context.tubes.values():
        if tube.name in names:
            context.fault(
                "bad-name",
                f"tubes.{tube.key}",
                f"a part of the rear suspension is named {tube.name}",
                "another name",
            )
