"""Bottom bracket shell, rear dropouts, and bores for headset and seatpost."""

from __future__ import annotations

import math
from collections.abc import Iterable

from frame3d.geometry.vector import Point
from frame3d.parameters.models.bottom_bracket import ShellSpec
from frame3d.parameters.models.flat_parts.dropouts import DropoutSpec
from frame3d.parameters.models.parts import CupSpec, HubSpec
from frame3d.parameters.models.tubes import Side
from frame3d.parameters.sizes import standards
from frame3d.tubes import seats
from frame3d.tubes.hardware import DROPOUT
from frame3d.tubes.placing.context import DropoutPlate, PlacementContext
from frame3d.tubes.placing.junctions import ENDS, Which
from frame3d.tubes.post_depth import MARK, insertion, least_insertion
from frame3d.tubes.tube import Bore, Dropout, Shell, Tube

CUP_WALL = 1.0
"""Least wall around a headset bore [mm]; common practice, no source."""
POST_WALL = 0.5
"""Least wall around a reamed seatpost bore [mm]; common practice, no source."""
POST_PLAY = 0.25
"""Largest play between seat tube and seatpost, on the diameter, without a shim [mm]: posts come in
steps of 0.2; common practice, no source."""
CUP_PLAY = 0.1
"""Play of a head tube around its cup's bore from which the loosest cups no longer hold [mm]: pressed
cups are 0.1 to 0.25 wider than their bore (trade pages)."""
CUP_LOOSE = 0.25
"""Play from which no cup holds [mm]."""
POST_DEPTHS = 3.0
"""Reamed depth in seatpost diameters: the insertion mark is at least `post_depth.MARK` diameters from
the post's bottom, and one more is left for the post to go down."""


def shell(context: PlacementContext) -> Shell | None:
    """Return the bottom bracket shell; None if the file names none."""
    given = context.spec.build.bottom_bracket
    if given is None:
        return None
    insert = given.eccentric
    at = (0.0, 0.0) if insert is None else insert.middle(insert.angle)
    if isinstance(given.shell, ShellSpec):
        own = given.shell
        return Shell("shell", own.width, own.od, own.bore, own.middle, at)
    size = standards.shell(given.shell)
    od = size.od if given.od is None else given.od
    return Shell(size.name, size.width, od, size.bore, size.middle, at)


def plate(context: PlacementContext) -> DropoutPlate | None:
    """Return the sizes of the rear dropouts; None if the file names no rear hub.

    Records a fault if the boss leaves less than 2 mm around the axle.
    """
    wheel = context.spec.build.rear_wheel
    if wheel is None or wheel.hub is None:
        return None
    hub = wheel.hub if isinstance(wheel.hub, HubSpec) else standards.hub(wheel.hub)
    given = context.spec.build.dropout
    size = DropoutSpec.model_validate({}) if given is None else given
    if size.boss < hub.axle + 4.0:
        context.fault(
            "section",
            "build.dropout.boss",
            f"{size.boss:g} mm leaves {(size.boss - hub.axle) / 2:.1f} mm around an axle of "
            f"{hub.axle:g} mm",
            f"at least {hub.axle + 4.0:g}",
        )
    return DropoutPlate(*(float(x) for x in (hub.width, size.thickness, size.boss, hub.axle)))


def dropouts(context: PlacementContext, tubes: Iterable[Tube]) -> tuple[Dropout, ...]:
    """Return both rear dropouts with the stays that sit on them; none if no tube does."""
    if context.plate is None:
        return ()
    stays: dict[str, list[tuple[str, Which]]] = {f"{DROPOUT}_left": [], f"{DROPOUT}_right": []}
    for tube in tubes:
        for which, end in zip(ENDS, (tube.start, tube.end), strict=True):
            if end.target in stays:
                stays[end.target].append((tube.name, which))
    if not any(stays.values()):
        return ()
    x, _, z = context.nodes["rear_axle"]
    suspension = context.spec.suspension
    sides: tuple[tuple[Side, float], ...] = (("left", 1.0), ("right", -1.0))
    made = []
    for side, sign in sides:
        axle: Point = (x, sign * context.plate.hub_width / 2, z)
        name = f"{DROPOUT}_{side}"
        made.append(
            Dropout(
                name=name,
                side=side,
                axle=axle,
                thickness=context.plate.thickness,
                boss=context.plate.boss,
                bore=context.plate.bore,
                stays=tuple(stays[name]),
                link=None if suspension is None else suspension.axle.on,
            )
        )
    return tuple(made)


def bores(context: PlacementContext) -> tuple[Bore, ...]:
    """Return the bores of the head tube for headset cups and of the seat tube for the seatpost."""
    made: list[Bore | None] = []
    head = context.tubes.get("head_tube")
    headset = context.spec.build.headset
    if head is not None and headset is not None:
        ends: tuple[tuple[Which, str], ...] = (("start", "lower"), ("end", "upper"))
        for at, key in ends:
            cup = getattr(headset, key)
            if cup is not None:
                made.append(_cup_bore(context, head, at, key, cup))
    seat = context.tubes.get("seat_tube")
    post = context.spec.build.seatpost
    if seat is not None and post is not None and post.diameter is not None:
        made.append(_post_bore(context, seat, post.diameter))
    return tuple(bore for bore in made if bore is not None)


def _cup_bore(
    context: PlacementContext, head: Tube, at: Which, key: str, cup: str | CupSpec
) -> Bore | None:
    """Return the bore for one headset cup; None after a fault."""
    if isinstance(cup, CupSpec):
        diameter, depth, code = cup.bore, cup.depth, f"{cup.bore:g} mm"
    else:
        size = standards.cup(cup)
        diameter, depth, code = size.bore, size.depth, cup.partition("/")[0]
    depth = min(depth, head.axis.length / 2)
    if not _cup_seat(context, head, at, key, (diameter, depth, code)):
        return None
    return Bore("head_tube", at, diameter, depth, code)


def _cup_seat(
    context: PlacementContext, head: Tube, at: Which, key: str, size: tuple[float, float, str]
) -> bool:
    """Return whether a cup's bore has metal all around over its depth; else record a fault.

    ::

        end face |<---- depth ---->|
        ________________________________     outside
        ////////////////////                 the tube's own wall, thinner farther in
        =================  . . . . . . .     finished bore: what is narrower is reamed away; where
                         ^ wider: no seat    the tube is wider, the cup touches nothing
    """
    diameter, depth, code = size
    length = head.axis.length
    end, face = ("bottom", 0.0) if at == "start" else ("top", length)
    low, high = (0.0, depth) if at == "start" else (length - depth, length)
    od = seats.narrowest_outside(head, low, high)
    if od < diameter + 2 * CUP_WALL:
        context.fault(
            "section",
            "tubes.head_tube.od",
            f"the bore of {diameter:g} mm for {code} at the {end} leaves "
            f"{max((od - diameter) / 2, 0.0):.2f} mm of wall in a head tube that is {od:.1f} mm wide "
            f"down to the bore's end",
            f"at least {diameter + 2 * CUP_WALL:g} mm there, or a headset with a bore of at most "
            f"{od - 2 * CUP_WALL:.1f} mm (build.headset.{key})",
        )
        return False
    inside, s = seats.widest(head, low, high)
    if inside <= diameter + CUP_PLAY + seats.EXACT:
        return True
    wall = math.ceil(100 * seats.wall_for(head, low, high, diameter) - 1e-6) / 100
    way = (
        f"a wall of at least {wall:.2f} mm over the first {depth:g} mm from the {end} (thick ends: "
        f"butted), or another headset (build.headset.{key})"
    )
    where = "at" if abs(s - face) < seats.EXACT else f"{abs(s - face):.1f} mm from"
    told = (
        f"the head tube is {inside:.2f} mm wide inside {where} the {end}, where {code} needs a "
        f"straight seat of {diameter:g} mm over {depth:g} mm"
    )
    if inside > diameter + CUP_LOOSE + seats.EXACT:
        context.fault("section", "tubes.head_tube.wall", f"{told}: too wide to hold it", way)
        return False
    context.warn("tubes.head_tube.wall", f"{told}: only a tight cup holds there; better is {way}")
    return True


def _post_bore(context: PlacementContext, seat: Tube, diameter: float) -> Bore | None:
    """Return the reamed seat of the post; None if the tube is wide enough, or after a fault.

    A reamer opens the bore at the tube's top, as far down as it stays that wide. A tube exactly as
    wide as the post is reamed too: without play nothing goes in.
    """
    length = seat.axis.length
    inside = seats.narrowest(seat, length, length)
    bottom = max(
        seats.clear_below(seat, min(inside, diameter), length),
        seats.straight_below(seat),
        seat.start.short_point,
        0.0,
    )
    depth = min(max(POST_DEPTHS * diameter, _insertion(context)), length - bottom)
    od = seats.narrowest_outside(seat, length - depth, length)
    if od < diameter + 2 * POST_WALL:
        context.fault(
            "section",
            "build.seatpost.diameter",
            f"a seatpost of {diameter:g} mm leaves {max((od - diameter) / 2, 0.0):.2f} mm of wall in "
            f"a seat tube of {od:g} mm",
            f"at most {od - 2 * POST_WALL:g}, or a wider seat tube (tubes.seat_tube.od)",
        )
        return None
    _check_hold(context, seat, diameter, length - bottom)
    if inside > diameter + seats.EXACT:
        return None
    return Bore("seat_tube", "end", diameter, depth, f"{diameter:g} mm")


def _insertion(context: PlacementContext) -> float:
    """Return how deep the post goes into the seat tube [mm]; 0 where the file does not say."""
    depth = insertion(context.spec, context.nodes)
    return 0.0 if depth is None else depth


def _mark(context: PlacementContext, diameter: float) -> float:
    """Return the least insertion of the post [mm]."""
    post = context.spec.build.seatpost
    least = None if post is None else least_insertion(post)
    return MARK * diameter if least is None else least


def _check_hold(context: PlacementContext, seat: Tube, diameter: float, free: float) -> None:
    """Warn of a post that is loose at the tube's top, or has a seat shorter than its least insertion."""
    length, mark = seat.axis.length, _mark(context, diameter)
    top = seats.widest(seat, length, length)[0]
    bend = seats.straight_below(seat)
    tight = length - max(seats.tight_below(seat, diameter + POST_PLAY, length), bend)
    od = seats.narrowest_outside(seat, length, length)
    if top > diameter + POST_PLAY + seats.EXACT:
        context.warn(
            "build.seatpost.diameter",
            f"the seat tube is {top:.1f} mm wide inside at its top; a seatpost of {diameter:g} mm "
            f"is loose in it by {top - diameter:.1f} mm and needs a shim, or a wall of "
            f"{(od - diameter) / 2:.2f} mm (common practice, no source)",
        )
    elif length - bend < mark:
        context.warn(
            "tubes.seat_tube.bends",
            f"the seat tube bends {length - bend:.0f} mm below its top; a seatpost of {diameter:g} mm "
            f"goes in by {mark:.0f} mm at least",
        )
    elif free < mark:
        context.warn(
            "tubes.seat_tube.wall",
            f"the seat tube's bore narrows {free:.0f} mm below its top; a seatpost of {diameter:g} "
            f"mm goes in by {mark:.0f} mm at least",
        )
    elif tight < mark:
        context.warn(
            "tubes.seat_tube.wall",
            f"the seat tube holds a seatpost of {diameter:g} mm over {tight:.0f} mm only, below that "
            f"it is wider inside; a longer thick end holds the post as deep as it has to stand "
            f"({mark:.0f} mm; common practice, no source)",
        )
