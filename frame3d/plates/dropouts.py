"""Rear dropouts that are cut from flat plate: their outline from parameters or the user's own path.

Heights above the plane grow toward the drive side, as those of all plates in the side view.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from frame3d.geometry.closed_path import Path, Vertex
from frame3d.geometry.disc_hull import Disc, Flat
from frame3d.geometry.extrusion import Plane
from frame3d.geometry.outline import Flaw, Hole, Outline, Pocket, Slot
from frame3d.geometry.vector import Point, unit, vector
from frame3d.parameters.models.flat_parts.dropouts import DropoutSpec, HangerSpec
from frame3d.parameters.sizes.threads import drill_of, nominal_of
from frame3d.plates import hoods, on_dropouts, own_paths
from frame3d.plates.on_dropouts import Standing
from frame3d.plates.sheet_material import sheet_material
from frame3d.plates.tabs import MisfitError
from frame3d.tubes.hardware import DROPOUT
from frame3d.tubes.placing.context import PlacementContext
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Dropout, Hood, Slide, Tube

KEY = "build.dropout"
HANGER = "derailleur_hanger"
"""Name of the plate that a bolted hanger is."""
HANGER_THREAD = "M10x1"
"""Of the derailleur's bolt in its hanger; value from memory of common practice."""
HANGER_WALL = 4.0
"""Metal around the holes of a hanger [mm]; common practice, no source."""
AXLE_FIT = "H8"
"""Of the axle's bore; common practice, no source."""
HELD = 0.5
"""Share of the plate's thickness that a hood has to hold."""
LONGEST_STOP = 45.0
"""Longest way of a stop's bolt to the axle [mm]; common practice, no source."""
CLEARANCE = 1.1
"""Hole that a bolt goes through, in its diameters (common practice, no source)."""
STOP_WALL = 1.0
"""Least metal beside the hole of a stop's bolt [mm]; common practice, no source."""


@dataclass(frozen=True)
class FlatDropouts:
    """Both dropouts with their plates, and what is bolted to them."""

    dropouts: tuple[Dropout, ...]
    plates: tuple[Plate, ...] = ()


def flat_dropouts(context: PlacementContext, plain: Sequence[Dropout]) -> FlatDropouts:
    """Return dropouts with their plates where the file asks for flat ones, else as they are.

    Records a fault for whatever does not fit.

    Args:
        context: the tubes in place.
        plain: both dropouts with the stays that sit on them.
    """
    spec = context.spec.build.dropout
    if spec is None or not plain:
        return FlatDropouts(tuple(plain))
    if spec.kind == "plain":
        return FlatDropouts(tuple(_with_features(context, spec, one) for one in plain))
    if spec.kind == "sliding" and context.spec.suspension is not None:
        context.fault(
            "inconsistent",
            f"{KEY}.kind",
            "on a frame with a rear suspension the axle is a point of the linkage",
            "hooded or plain, and exchange suspension.points.rear_axle",
        )
        return FlatDropouts(tuple(plain))
    made, more = [], []
    for dropout in plain:
        try:
            on = on_dropouts.standing(context, spec, dropout)
            outline = _outline(context, spec, dropout, on)
        except MisfitError as problem:
            _tell(context, problem.key, problem.message, problem.hint)
            return FlatDropouts(tuple(plain))
        flaws = outline.flaws()
        crossing = tuple(flaw for flaw in flaws if flaw.kind == "crossing")
        for flaw in crossing or flaws:
            _tell(context, *_flawed(spec, outline, flaw))
        if flaws:
            return FlatDropouts(tuple(plain))
        one = _placed(context, spec, dropout, outline)
        try:
            one = on_dropouts.fitted(context, spec, one, on)
        except MisfitError as problem:
            _tell(context, problem.key, problem.message, problem.hint)
        made.append(one)
        if spec.hanger is not None and spec.hanger.kind == "bolted" and one.side == "right":
            more.append(_bolted(context, spec.hanger, one))
    return FlatDropouts(tuple(made), tuple(more))


def _with_features(context: PlacementContext, spec: DropoutSpec, plain: Dropout) -> Dropout:
    """Return a plain dropout with what the file puts on it."""
    try:
        on = on_dropouts.standing(context, spec, plain)
        return on_dropouts.fitted(context, spec, on_dropouts.eared(plain, on), on)
    except MisfitError as problem:
        _tell(context, problem.key, problem.message, problem.hint)
    return plain


def _tell(context: PlacementContext, key: str, message: str, hint: str) -> None:
    path = key if key.startswith("tubes.") else f"{KEY}.{key}" if key else KEY
    fault = context.spec.fault("inconsistent", path, message, hint)
    if fault not in context.faults:  # of both sides
        context.faults.append(fault)


def plane_of(axle: Point) -> Plane:
    """Return the side view's plane with its origin at an axle: x forward, y up."""
    return Plane((axle[0], 0.0, axle[2]), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))


# -- outline ------------------------------------------------------------------------------------------


def _outline(
    context: PlacementContext, spec: DropoutSpec, dropout: Dropout, on: Standing
) -> Outline:
    """Return a dropout's outline from its axle as drawn, with what stands on it.

    Raises:
        MisfitError: it cannot be made so.
    """
    tips = list(_tips(context, spec, dropout))
    hanger = spec.hanger if dropout.side == "right" else None
    holes, slots = _for_axle(context, spec, dropout)
    pockets: list[Pocket] = []
    if hanger is not None:
        holes += _hanger_holes(hanger)
        if hanger.kind == "around_axle" and hanger.seat is not None:
            rim = Path.circle(0.0, 0.0, hanger.seat)
            pockets.append(Pocket(rim, hanger.seat_depth, "front", "seat of the hanger"))
    holes += on.holes(dropout.axle)
    own = spec.outline
    if own is not None:
        given = own_paths.outline_of(own, "outline.")
        if dropout.side == "right":
            given = given.opposite()
        _refuse_short(given.outer, tips)
        return Outline(
            given.outer,
            (*holes, *given.holes),
            (*slots, *given.slots),
            (*pockets, *given.pockets),
        )
    discs = [(x, 0.0, spec.boss / 2) for x in _reaches(spec)]
    discs += [(x, y, radius) for x, y, radius, _ in tips]
    if hanger is not None and hanger.kind != "around_axle":
        discs += [
            (hole.x, hole.y, hole.diameter / 2 + HANGER_WALL) for hole in _hanger_holes(hanger)
        ]
    discs += on.rounds
    flat = Flat(tuple(discs), 0.0, spec.thickness)
    edge = Path.of_flat(flat)
    if spec.edge_radius is not None and on.mount is None:  # its blocks need the edge straight
        edge = hollowed(flat, [tip[:3] for tip in tips], spec.edge_radius, spec.boss / 2)
    return Outline(edge, tuple(holes), tuple(slots), tuple(pockets))


def _reaches(spec: DropoutSpec) -> tuple[float, ...]:
    """Return where the axle can stand, forward of where it is drawn, the foremost first [mm]."""
    slide = spec.slide
    return (0.0,) if slide is None else (slide.at, slide.at - slide.length)


def _tips(
    context: PlacementContext, spec: DropoutSpec, dropout: Dropout
) -> Iterator[tuple[float, float, float, Tube]]:
    """Yield x, y and radius of the round that each arm ends in, at its stay's end, with the stay.

    Raises:
        MisfitError: a stay that ends beside the plate, or too near to the axle.
    """
    wall, room = spec.hood.wall, spec.boss / 2
    x, y, z = dropout.axle
    inner, outer = sorted((abs(y), abs(y) + spec.thickness))
    for name, which in dropout.stays:
        stay = context.tubes[name]
        s = 0.0 if which == "start" else stay.axis.length
        tip = stay.axis.at(s)
        inward = unit(stay.axis.tangent(s) if which == "start" else -stay.axis.tangent(s))
        half = float(stay.section.width_at(s)) / 2 + wall
        held = min(outer, abs(tip[1]) + half) - max(inner, abs(tip[1]) - half)
        if held < HELD * spec.thickness:
            raise MisfitError(
                f"tubes.{stay.key}.{which}.y",
                f"its hood, {2 * half:.1f} mm wide, holds {max(held, 0.0):.1f} of the "
                f"{spec.thickness:g} mm of the dropout's plate",
                f"about {(inner + outer) / 2:.1f}, the plate's middle",
            )
        back = tip - spec.hood.back * inward
        for at in _reaches(spec):
            left = math.hypot(back[0] - x - at, back[2] - z) - room
            if left < 0:
                raise MisfitError(
                    f"tubes.{stay.key}.{which}",
                    f"its hood stands {-left:.1f} mm in the {spec.boss:g} mm about the axle that are "
                    "kept flat for hub and nut",
                    f"a stay that ends {-left:.1f} mm further from the axle, or a shorter hood.back",
                )
        width = replace(dropout, tip=spec.tip).tip_at(stay, which)
        yield float(tip[0] - x), float(tip[2] - z), width / 2, stay


def _for_axle(
    context: PlacementContext, spec: DropoutSpec, dropout: Dropout
) -> tuple[list[Hole], list[Slot]]:
    """Return the axle's hole, or its slot."""
    size = dropout.bore
    if spec.slide is not None:
        front, back = _reaches(spec)
        said = f"axle of {size:g}, {spec.slide.length:g} to and fro"
        return [], [Slot((front + back) / 2, 0.0, spec.slide.length + size, size, 0.0, said)]
    hanger = spec.hanger
    if dropout.side == "right" and hanger is not None and hanger.kind == "around_axle":
        assert hanger.bore is not None
        return [Hole(0.0, 0.0, hanger.bore, note="hanger around the axle")], []
    thread = axle_thread(context, dropout)
    if thread is not None:
        drill = drill_of(thread)
        assert drill is not None
        return [Hole(0.0, 0.0, drill, thread=thread, note="axle")], []
    return [Hole(0.0, 0.0, size, fit=AXLE_FIT, note="axle")], []


def axle_thread(context: PlacementContext, dropout: Dropout) -> str | None:
    """Return the thread for the axle in the right dropout: a metric one of the axle's size, or None."""
    wheel = context.spec.build.rear_wheel
    thread = None if wheel is None else wheel.axle_thread
    if dropout.side != "right" or thread is None or drill_of(thread) is None:
        return None
    nominal = nominal_of(thread)
    return thread if nominal is not None and abs(nominal - dropout.bore) < 0.5 else None


def _hanger_holes(hanger: HangerSpec) -> list[Hole]:
    """Return the holes that a hanger asks of the right dropout, beside the axle's."""
    if hanger.kind == "fixed":
        drill = drill_of(HANGER_THREAD)
        assert drill is not None
        return [Hole(*hanger.at, drill, thread=HANGER_THREAD, note="derailleur")]
    if hanger.kind == "bolted":
        assert hanger.bolts is not None
        return [Hole(*at, hanger.bolt, note="hanger's bolt") for at in hanger.bolts]
    return []


def _refuse_short(edge: Path, tips: Sequence[tuple[float, float, float, Tube]]) -> None:
    for x, y, _, stay in tips:
        if not edge.contains((x, y)):
            raise MisfitError(
                "outline",
                f"the end of {stay.name} at {x:.1f}, {y:.1f} from the axle is not on the plate, by "
                f"{edge.distance((x, y)):.1f} mm: its hood would hold nothing",
                "an edge that goes past the end of every stay",
            )


def hollowed(flat: Flat, tips: Sequence[Disc], radius: float, boss: float) -> Path:
    """Return a hull's edge with an arc between the rounds of two stays instead of a straight line.

    The arc touches both rounds: its centre lies outside, as far from theirs as its radius and theirs.

    Args:
        flat: the hull.
        tips: rounds at the stays' ends.
        radius: of the arc [mm].
        boss: radius about the axle that it must leave whole [mm].

    Raises:
        MisfitError: no such arc.
    """
    rims = list(flat.rims)
    spans = [[rim.start, rim.end] for rim in rims]
    bulges = [0.0] * len(rims)
    between = 0
    for i, rim in enumerate(rims):
        j = (i + 1) % len(rims)
        ahead = rims[j]
        if i == j or not all((one.x, one.z, one.radius) in tips for one in (rim, ahead)):
            continue
        between += 1
        a, b = radius + rim.radius, radius + ahead.radius
        far = math.dist((rim.x, rim.z), (ahead.x, ahead.z))
        if a + b <= far:
            raise MisfitError(
                "edge_radius",
                f"an arc of {radius:g} mm does not reach from stay to stay, {far:.1f} mm apart",
                f"more than {(far - rim.radius - ahead.radius) / 2:.1f}",
            )
        ux, uy = (ahead.x - rim.x) / far, (ahead.z - rim.z) / far
        along = (far**2 + a**2 - b**2) / (2 * far)
        off = math.sqrt(max(a**2 - along**2, 0.0))
        x, y = rim.x + along * ux + off * uy, rim.z + along * uy - off * ux
        deep = radius + boss - min(math.hypot(x - u, y - v) for u, v, r in flat.discs if r >= boss)
        if deep > 0:
            raise MisfitError(
                "edge_radius",
                f"the hollow edge cuts {deep:.1f} mm into the {2 * boss:g} mm about the axle",
                "a larger radius, or a smaller boss",
            )
        out, into = math.atan2(y - rim.z, x - rim.x), math.atan2(y - ahead.z, x - ahead.x)
        spans[i][1] = rim.end + math.remainder(out - rim.end, 2 * math.pi)
        spans[j][0] = ahead.start + math.remainder(into - ahead.start, 2 * math.pi)
        turn = math.remainder((into + math.pi) - (out + math.pi), 2 * math.pi)
        bulges[i] = -math.tan(abs(turn) / 4)
    if not between:
        raise MisfitError(
            "edge_radius",
            "no edge runs straight from stay to stay",
            "leave it out, or an outline of your own",
        )
    found: list[Vertex] = []
    for rim, (start, end), bulge in zip(rims, spans, bulges, strict=True):
        turned = end - start if end > start else end - start + 2 * math.pi
        found.append((*rim.at(start), math.tan(turned / 4)))
        found.append((*rim.at(end), bulge))
    return Path(tuple(found))


def _flawed(spec: DropoutSpec, outline: Outline, flaw: Flaw) -> tuple[str, str, str]:
    """Return key, message and hint of what is wrong with an outline."""
    own, of = spec.outline, flaw.of[-1] if flaw.of else "outer"
    hint = "the edge must not meet itself"
    key = ""
    if of == "outer":
        key = "" if own is None else "outline.path" if own.path is not None else "outline.corners"
    else:
        hint = "holes, slots and pockets need metal all round: make it smaller, or move it"
        name, _, index = of.partition(".")
        every = getattr(outline, name)
        mine = () if own is None else getattr(own, name)
        place = int(index) - (len(every) - len(mine))
        if place >= 0:
            key = f"outline.{name}.{place}"
        elif name == "slots":
            key = "slide"
        elif name == "holes" and (eye := on_dropouts.key_of(spec, outline.holes[int(index)])):
            key = f"{eye}.at"
        elif name == "pockets" or (name == "holes" and int(index) > 0):
            key = "hanger"
        else:
            key = "boss" if own is None else "outline"
    if flaw.kind == "edge":
        return key, f"breaks the edge: {flaw.message}", hint
    return key, flaw.message, hint


# -- in place -----------------------------------------------------------------------------------------


def _placed(
    context: PlacementContext, spec: DropoutSpec, dropout: Dropout, outline: Outline
) -> Dropout:
    """Return a dropout with its plate, hoods, and slot."""
    x, y, z = dropout.axle
    plane = plane_of(dropout.axle)
    low, high = sorted((-y, -y - math.copysign(spec.thickness, y)))
    hood = Hood(spec.hood.wall, spec.hood.depth, spec.hood.back)
    slide = None
    bore = dropout.bore if not outline.holes or spec.slide else outline.holes[0].diameter
    if spec.slide is not None:
        front, back = ((x + at, y, z) for at in _reaches(spec))
        slide = Slide(front, back)
    name, density = sheet_material(context.spec)
    flat = replace(dropout, hood=hood, tip=spec.tip, slide=slide, bore=bore)
    plate = Plate(
        name=dropout.name,
        key=DROPOUT,
        kind="dropout",
        side=dropout.side,
        outline=outline,
        rough=outline.outer,
        plane=plane,
        low=low,
        high=high,
        volume=0.0,
        on=tuple(name for name, _ in dropout.stays),
        material=name,
        density=density,
        colour=context.spec.colour,
        link=dropout.link,
    )
    made = replace(flat, plate=plate)
    if slide is not None and spec.slide is not None and spec.slide.stop is not None:
        made = replace(made, slide=_stopped(context, spec, made, slide, plate))
    stays = tuple(context.tubes[name] for name, _ in made.stays)
    volume = context.memory.get_or_compute(
        ("hoods", made, stays), lambda: hoods.volume(made, context.tubes)
    )
    return replace(made, plate=replace(plate, volume=volume))


def _stopped(
    context: PlacementContext, spec: DropoutSpec, made: Dropout, slide: Slide, plate: Plate
) -> Slide:
    """Return a slot with the hole for its stop's bolt, from the plate's front or rear edge."""
    assert spec.slide is not None
    thread = spec.slide.stop or ""
    drill, nominal = drill_of(thread), nominal_of(thread)
    if drill is None or nominal is None:
        _tell(context, "slide.stop", f"{thread!r} is no metric thread known here", "e.g. M5")
        return slide
    wide = nominal + 2 * STOP_WALL
    if wide > spec.thickness:
        _tell(
            context,
            "slide.stop",
            f"{thread} leaves less than {STOP_WALL:g} mm beside it in a plate of {spec.thickness:g} mm",
            f"a plate of at least {wide:g} mm (thickness), or a smaller thread",
        )
        return slide
    front = spec.slide.stop_from == "front"
    way, start = (1.0, _reaches(spec)[0]) if front else (-1.0, _reaches(spec)[1])
    bounds = plate.outline.bounds
    inside, outside = start, (bounds[2] + 1.0 if front else bounds[0] - 1.0)
    for _ in range(60):  # the edge at the slot's height
        half = (inside + outside) / 2
        if plate.outline.outer.contains((half, 0.0)):
            inside = half
        else:
            outside = half
    middle = (plate.low + plate.high) / 2
    ends = (
        plate.plane.at((inside + way * hoods.BEFORE, 0.0), middle),
        plate.plane.at((start, 0.0), middle),
    )
    found = replace(
        slide,
        stop=ends,
        stop_thread=thread,
        stop_from=spec.slide.stop_from,
        stop_drill=drill if front else CLEARANCE * nominal,
    )
    line = np.linspace(vector(ends[0]), vector(ends[1]), 60)
    for bar, stay in hoods.hoods_of(made, context.tubes):
        if float(bar.envelope.depth(line).max()) > -found.stop_drill / 2:
            _tell(
                context,
                "slide.stop",
                f"its hole from the {spec.slide.stop_from} runs into the hood of {stay.key}",
                "stop_from: rear, or a stay that ends higher or lower" if front else
                "a stay that ends further ahead",
            )  # fmt: skip
    if abs(inside - start) > LONGEST_STOP:
        _tell(
            context,
            "slide.stop",
            f"the plate's {spec.slide.stop_from} edge is {abs(inside - start):.1f} mm from the axle's "
            "place there: too far for a bolt",
            f"at most {LONGEST_STOP:g}",
        )
    return found


def _bolted(context: PlacementContext, hanger: HangerSpec, dropout: Dropout) -> Plate:
    """Return the plate of a bolted hanger, on the outer face of the right dropout."""
    drill = drill_of(HANGER_THREAD)
    assert drill is not None
    hole = Hole(*hanger.at, drill, thread=HANGER_THREAD, note="derailleur")
    bolts = tuple(
        Hole(one.x, one.y, one.diameter, note="bolt to the dropout")
        for one in _hanger_holes(hanger)
    )
    discs = tuple((one.x, one.y, one.diameter / 2 + HANGER_WALL) for one in (hole, *bolts))
    outline = Outline.of_flat(Flat(discs, 0.0, hanger.thickness), (hole, *bolts))
    for flaw in outline.flaws():
        _tell(context, "hanger", flaw.message, "its holes need metal between them")
    assert dropout.plate is not None
    low = dropout.plate.high
    name, density = sheet_material(context.spec)
    return Plate(
        name=HANGER,
        key=HANGER,
        kind="hanger",
        side=None,
        outline=outline,
        rough=outline.outer,
        plane=dropout.plate.plane,
        low=low,
        high=low + hanger.thickness,
        volume=outline.volume(hanger.thickness),
        on=(),
        material=name,
        density=density,
        colour=context.spec.colour,
        link=dropout.link,
    )
