"""What stands on each pivot's axle, from the centre plane outwards, with bores, bearings and spacers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from frame3d.bike.bike import Bike
from frame3d.fabrication.flat.parts import AXLE_FIT, BEARING_FIT
from frame3d.fabrication.parts.pivot_parts import Stack, stacks_of
from frame3d.fabrication.tube_facts import plain
from frame3d.parameters.models.pivots import BearingSpec
from frame3d.parameters.sizes import bearings
from frame3d.tubes.hardware import Housing, Lug


@dataclass(frozen=True, slots=True)
class Piece:
    """One part on an axle, on the left half."""

    name: str
    low: float
    high: float
    """y of its faces, the inner one first; 0 at the centre plane [mm]."""
    od: float
    bore: float
    """Of the hole for the axle, or for the bearing where one is pressed in [mm]."""
    fit: str
    """Of that bore; empty for what is bought."""


@dataclass(frozen=True, slots=True)
class Seat:
    """A bearing in its place, on the left half."""

    low: float
    high: float
    bore: float
    od: float


@dataclass(frozen=True)
class Axle:
    """One pivot."""

    point: str
    links: tuple[str, ...]
    """Bodies that turn there; ``frame`` is the front frame."""
    stack: Stack
    pieces: tuple[Piece, ...]
    """The innermost first."""
    seats: tuple[Seat, ...] = ()

    def said(self) -> Iterator[str]:
        """Yield what is needed for it, a line each."""
        sides = 1 if self.stack.is_across else 2
        each = "" if sides == 1 else ", left and right"
        yield (f"axle {self.stack.axle:g} × {self.stack.length:.2f} over all that it holds{each}")
        for gap in dict.fromkeys(self.stack.gaps):
            count = 2 * self.stack.gaps.count(gap)
            yield f"{count} spacers {gap:.2f} thick, bore {self.stack.axle:g}"
        for seat in dict.fromkeys(self.seats):
            yield bearing_text(seat)
        if self.seats and self.stack.is_across and self.seats[0].low > 1e-6:
            yield f"bearings {2 * self.seats[0].low:.2f} apart, from inner face to inner face"


def bearing_text(seat: Seat) -> str:
    """Return two bearings' size, and what ISO 15 says of it."""
    width = seat.high - seat.low
    size = f"2 bearings {seat.bore:g} × {seat.od:g} × {width:g}"
    series = bearings.series_of(seat.bore, seat.od, width)
    if series is not None:
        return f"{size}: dimension series {series}, {bearings.STANDING}"
    bore = bearings.bore_of(seat.od, width)
    if bore is not None:
        return (
            f"{size}: of the sizes known here {seat.od:g} × {width:g} has a bore of {bore:g}, "
            f"{bearings.STANDING}; ask the bearing's own drawing"
        )
    return f"{size}: none of the sizes known here; {bearings.STANDING}"


def axles_of(bike: Bike) -> list[Axle]:
    """Return every axle that the suspension turns on, in the order of its points."""
    suspension = bike.spec.suspension
    if suspension is None:
        return []
    found = []
    for stack in stacks_of(bike):
        given = suspension.pivots.get(stack.point)
        bearing = None if given is None else given.bearing
        pieces = sorted(_pieces(bike, stack.point, bearing), key=lambda one: one.low)
        if stack.point in (suspension.shock.start, suspension.shock.end):
            pieces.insert(0, Piece("shock's eye, bought", 0.0, suspension.shock.eye_width / 2,
                                   _eye(bike, stack.point), stack.axle, ""))  # fmt: skip
        seats = tuple(_seats(pieces, bearing, stack.axle))
        found.append(
            Axle(stack.point, suspension.bodies_of(stack.point), stack, tuple(pieces), seats)
        )
    return found


def _pieces(bike: Bike, point: str, bearing: BearingSpec | None) -> Iterator[Piece]:
    """Yield the made pieces on the left half of an axle."""

    def fit(bore: float) -> str:
        return BEARING_FIT if bearing is not None and bearing.od == bore else AXLE_FIT

    across = {one.link for one in bike.pivots if isinstance(one, Housing) and one.pivot == point}
    for item in bike.pivots:
        if isinstance(item, Housing):
            if item.pivot == point:
                name = f"housing, {plain(item.link or 'frame')}"
                deep = 0.0 if item.seat is None else item.seat.depth
                end = item.width / 2 - deep
                if end > 1e-9:
                    yield Piece(name, 0.0, end, item.od, item.bore, AXLE_FIT)
                if item.seat is not None:
                    bore = item.seat.diameter
                    yield Piece("its bearing seat", end, end + deep, item.od, bore, fit(bore))
        elif item.side == "right":
            continue
        elif isinstance(item, Lug):
            if item.pivot == point:
                name = f"lug, {plain(item.link or 'frame')}"
                yield Piece(name, *item.span, item.boss, item.bore, fit(item.bore))
        elif item.link not in across:  # else the housing goes through its plates
            for boss in item.bosses:
                if boss.pivot == point and boss.bore:
                    name = f"plate, {plain(item.link)}"
                    yield Piece(name, boss.low, boss.high, boss.od, boss.bore, fit(boss.bore))


def _eye(bike: Bike, point: str) -> float:
    """Return the outside diameter of the shock's eye as the lugs beside it allow for it [mm]."""
    eyes = [one.eye for one in bike.pivots if isinstance(one, Lug) and one.pivot == point]
    ods = [
        boss.od
        for one in bike.pivots
        if not isinstance(one, Housing | Lug)
        for boss in one.bosses
        if boss.pivot == point
    ]
    return max([*eyes, *(ods if not eyes else [])], default=0.0)


def _seats(pieces: list[Piece], bearing: BearingSpec | None, axle: float) -> Iterator[Seat]:
    """Yield where bearings are: in the middle of the pieces that are bored for them."""
    for piece in pieces if bearing is not None else ():
        assert bearing is not None
        if piece.bore == bearing.od:
            low = (piece.low + piece.high - bearing.width) / 2
            yield Seat(low, low + bearing.width, axle, bearing.od)
