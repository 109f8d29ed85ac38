"""Housings, lugs and link plates as bodies of the frame."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import chain

from frame3d.bike.bike import Bike
from frame3d.solids.body import SolidBody, SolidCut, skin
from frame3d.solids.body_meshes import CRUMB, shared
from frame3d.solids.dropout import block, dropout_holes, lug_metal
from frame3d.solids.sweep import Solid, Sweep, rod, straight
from frame3d.tubes.hardware import Arm, Housing, LinkPlate, Lug
from frame3d.tubes.tube import Tube

OUT = 1.0
"""How far a bore continues beyond what it goes through [mm]."""
LATERAL = (0.0, 1.0, 0.0)
SLIVER = 0.01
"""Material between two seats that is less wide than this is left out [mm]."""

Paint = tuple[str, str, float]
"""Colour, material and density of the frame."""


def inset_housings(bike: Bike, paint: Paint) -> Iterator[SolidBody]:
    """Yield housings that are there before the tubes, which are cut by them."""
    for item in bike.pivots:
        if isinstance(item, Housing) and item.inset:
            yield _housing(item, paint)


def other_hardware(bike: Bike, paint: Paint) -> Iterator[SolidBody]:
    """Yield hardware that comes after the tubes."""
    tubes = {tube.name: tube for tube in bike.tubes}
    for item in bike.pivots:
        if isinstance(item, Lug):
            yield _lug(item, bike, tubes, paint)
        elif isinstance(item, LinkPlate):
            yield _plate(item, paint)
        elif not item.inset:
            yield _housing(item, paint)


def drills(bike: Bike) -> Iterator[tuple[Sweep, tuple[str, ...]]]:
    """Yield axle bores through tubes that surround a housing, and the bodies that each goes through."""
    for item in bike.pivots:
        if isinstance(item, Housing) and item.inset:
            around = [tube for tube in bike.tubes if item.name in tube.cut_by]
            wide = max((max(tube.section.width) / 2 for tube in around), default=0.0)
            if wide > item.width / 2:
                hole = rod(item.at, LATERAL, wide + OUT, wide + OUT, item.opening)
                yield hole, tuple(tube.name for tube in around)


def cuts_of(body: SolidBody, others: Iterable[SolidBody]) -> tuple[SolidCut, ...]:
    """Return what cuts a piece of hardware: earlier bodies of the same rigid body that it runs into."""
    found = []
    for other in others:
        if other.link == body.link and shared(body.metal, other.metal) > CRUMB:
            core: tuple[Solid, ...] = ()
            if other.bore is not None:
                core = tuple(solid.resized(-skin(other)) for solid in other.metal)
            found.append(SolidCut(other.name, other.metal, core))
    return tuple(found)


def _housing(housing: Housing, paint: Paint) -> SolidBody:
    half = housing.width / 2
    outside = rod(housing.at, LATERAL, half, half, housing.od)
    bore = _bored(housing, rod(housing.at, LATERAL, half, half, housing.bore))
    through = bore.extended(OUT, OUT)
    plain = not housing.webs
    webs = [block(w.metal) if isinstance(w.metal, Arm) else w.metal for w in housing.webs]
    return SolidBody(
        housing.name, housing.name, f"suspension.pivots.{housing.pivot}", None, *paint,
        (outside, *webs), bore if plain else None, (through,) if plain else (),
        () if plain else (through,), (), (), housing.link,
    )  # fmt: skip


def _bored(housing: Housing, bore: Sweep) -> Sweep:
    """Return a housing's bore with the seats of its bearings as steps."""
    seat, width = housing.seat, housing.width
    if seat is None:
        return bore
    wide, bored = seat.diameter, housing.bore
    if 2 * seat.depth >= width - SLIVER:
        return bore.resized(wide - bored)
    s = (0.0, seat.depth, seat.depth, width - seat.depth, width - seat.depth, width)
    sizes = (wide, wide, bored, bored, wide, wide)
    return replace(bore, s=s, height=sizes, width=sizes)


def _lug(lug: Lug, bike: Bike, tubes: Mapping[str, Tube], paint: Paint) -> SolidBody:
    holes, metal = dropout_holes(lug), lug_metal(lug, tubes)
    if lug.plate is not None:
        paint = (lug.plate.colour, lug.plate.material, lug.plate.density)
    if len(metal) == 1:
        holes = holes[:1]  # flat all over
    ends = {web.to for web in lug.webs}
    more = chain.from_iterable(dropout_holes(d) for d in bike.dropouts if d.name in ends)
    return SolidBody(
        lug.name, lug.name.removesuffix(f"_{lug.side}"), f"suspension.pivots.{lug.pivot}", lug.side,
        *paint, metal, None, (), (*holes, *more), (), (), lug.link,
    )  # fmt: skip


def _plate(item: LinkPlate, paint: Paint) -> SolidBody:
    flat = item.plate
    if item.own is not None:
        paint = (item.own.colour, item.own.material, item.own.density)
    middle = (flat.low + flat.high) / 2
    metal: list[Solid] = [flat if item.own is None else item.own.metal]
    holes: list[Solid] = [] if item.own is None else [*item.own.cut_outs(OUT)]
    for boss in item.bosses:
        low = boss.low if boss.low < flat.low else middle
        high = boss.high if boss.high > flat.high else middle
        if high - low > 0:
            metal.append(
                straight((boss.x, low, boss.z), (boss.x, high, boss.z), (boss.stands,) * 2)
            )
        if boss.bore > 0:
            at = (boss.x, 0.0, boss.z)
            low, high = min(boss.low, flat.low), max(boss.high, flat.high)
            holes.append(rod(at, LATERAL, OUT - low, high + OUT, boss.bore))
    return SolidBody(
        item.name, item.name.removesuffix(f"_{item.side}"), f"suspension.links.{item.link}",
        item.side, *paint, tuple(metal), None, (), tuple(holes), (), (), item.link,
    )  # fmt: skip
