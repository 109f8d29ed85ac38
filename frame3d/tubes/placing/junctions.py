"""Place the start, bends and end of a tube's axis, from what its ends sit on.

A tube with one bend, its ends on two supports::

                       * corner
                    .' |  `.            along: distance from the start on the straight line p to q
                 .'    |rise `.         rise:  square to that line, upwards
              .'       |        `.      y:     the corner's own lateral position, if given
    start p *- - - - - + - - - - - * q end
            |<- along->|

An end on a tube that is given by an angle slides along it until the angle is right (`end_at_angle`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from frame3d.geometry.centreline import BendError, Centreline
from frame3d.geometry.vector import Point, Vector, point, unit, vector
from frame3d.parameters.models.suspension import FRAME
from frame3d.parameters.models.tubes import BendSpec, JunctionSpec
from frame3d.tubes.cuts.straight_lines import Outside
from frame3d.tubes.hardware import DROPOUT, SHELL, Housing
from frame3d.tubes.pin import housing_name, lug_name
from frame3d.tubes.placing.context import Member, PlacementContext, member_name
from frame3d.tubes.placing.end_at_angle import Slide, SlideError
from frame3d.tubes.tube import Shell

Which = Literal["start", "end"]
ENDS: tuple[Which, Which] = ("start", "end")
CLEAR = 6.0
"""Distance from a pivot's lug to the end of a tube on it, where the file does not say how far the
tube stops short [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Support:
    """What one end of a tube sits on: a point, or a line along which an angle places it."""

    path: str
    """Path of the junction in the parameter file."""
    point: Vector | None
    """Where the axis ends before it is cut back; None where an angle places it."""
    target: str | None
    """As `End.target`."""
    body: Outside | None
    """The target, if it has an axis."""
    cut: Literal["mitre", "square"]
    stop_short: float = 0.0
    angle: float | None = None
    y: float | None = None
    """Lateral position that the file gives for the end [mm]."""
    reach: float = 0.0
    """How far past the target's ends the end may sit [mm]: half the tube's own size."""


def supports(
    context: PlacementContext, member: Member, reach: float
) -> tuple[Support, Support] | None:
    """Return what both ends of a tube sit on; None after a fault.

    Not for head and seat tube, see `head_and_seat_tube`.

    Args:
        context: what is in place so far.
        member: the tube.
        reach: half the tube's size [mm], see `Support.reach`.
    """
    found = []
    for which in ENDS:
        junction = member.spec.start if which == "start" else member.spec.end
        assert junction is not None  # held by the spec
        found.append(support(context, member, junction, f"{member.path}.{which}", reach))
    start, end = found
    if start is None or end is None:
        return None
    if start.angle is not None and end.angle is not None:
        context.fault(
            "junction-target",
            f"{end.path}.angle",
            "both ends are placed by an angle, which leaves the tube free to slide",
            "set one of the ends by a distance, e.g. below_top: 40",
        )
        return None
    return start, end


def run(
    context: PlacementContext, member: Member, ends: tuple[Support, Support]
) -> Centreline | None:
    """Return the tube's axis from support to support through its bends, uncut; None after a fault."""
    solved = _settle(context, member, ends)
    if solved is None:
        return None
    p, q = solved
    if float(np.linalg.norm(q - p)) < 1e-6:
        context.fault(
            "junction-miss",
            member.path,
            "starts and ends at the same point",
            "move one of its ends",
        )
        return None
    return through(context, member, (p, *corners(p, q, member.spec.bends), q))


def through(
    context: PlacementContext, member: Member, places: Sequence[Vector]
) -> Centreline | None:
    """Return the tube's axis through places (3,) each [mm], rounded by its bends; None after a fault.

    There is one place more at either end than there are bends.
    """
    bends = member.spec.bends
    try:
        return Centreline.through(
            tuple(point(p) for p in places), tuple(bend.radius for bend in bends)
        )
    except BendError as error:
        context.fault(
            "bend",
            f"{member.path}.bends.{min(error.bend, len(bends) - 1)}",
            str(error),
            "a smaller radius, or move the corner",
        )
        return None


def support(
    context: PlacementContext, member: Member, junction: JunctionSpec, path: str, reach: float
) -> Support | None:
    """Return what one end sits on; None after a fault."""
    if junction.at is not None:
        return Support(path, vector(junction.at), None, None, "square")
    on = junction.on
    assert on is not None
    if on in context.spec.tubes:
        return _on_tube(context, member, junction, path, reach)
    if on == SHELL:
        return _on_shell(context, junction, path, reach)
    if on == DROPOUT:
        return _on_dropout(context, member, junction, path)
    if on in context.pivots:
        return _on_pivot(context, member, junction, path, reach)
    where = _beside(context.nodes[on], junction)
    return Support(
        path=path, point=where, target=None, body=None, cut="square", stop_short=junction.stop_short
    )


def _beside(node: Point, junction: JunctionSpec) -> Vector:
    """Return a node, shifted as a junction says: (3,) [mm]."""
    y = junction.y if junction.y is not None else node[1]
    return np.array([node[0] + junction.forward, y, node[2] + junction.above])


def _on_pivot(
    context: PlacementContext, member: Member, junction: JunctionSpec, path: str, reach: float
) -> Support | None:
    """Return the support at a point of the suspension.

    That is a housing of the tube's own body, to which the tube is mitred, or the lug of its body,
    which it stops short of.
    """
    on = junction.on
    assert on is not None
    where = _beside(context.pivots[on], junction)
    pin, body = context.pins.get(on), FRAME if member.spec.link is None else member.spec.link
    if pin is not None and pin.owner == body and pin.half is not None:
        housing = context.housings[housing_name(on)]
        return _on_round(context, junction, path, reach, where, housing_name(on), housing)
    if junction.cut == "mitre":
        context.fault(
            "inconsistent",
            f"{path}.cut",
            f"{body} has no round at {on} to mitre to",
            f"leave cut out, or let {body} carry the housing: suspension.pivots.{on}.housing",
        )
        return None
    if pin is None or body not in pin.bodies:
        return Support(
            path=path,
            point=where,
            target=None,
            body=None,
            cut="square",
            stop_short=junction.stop_short,
        )
    side = member.side if member.side is not None else "left" if where[1] >= 0 else "right"
    short = junction.stop_short
    if not (junction.forward or junction.above):
        if 0 < short < pin.od / 2:
            context.warn(
                f"{path}.stop_short",
                f"{member.key} stops {short:g} mm short of {on}, inside of the round of {pin.od:g} mm "
                f"that turns there; leave it out, or at least {pin.od / 2:g}",
            )
        short = pin.od / 2 + CLEAR if short == 0 else short
    return Support(
        path=path,
        point=where,
        target=lug_name(on, body, side),
        body=None,
        cut="square",
        stop_short=short,
    )


def _on_tube(
    context: PlacementContext, member: Member, junction: JunctionSpec, path: str, reach: float
) -> Support | None:
    """Return the support on another tube; None after a fault."""
    assert junction.on is not None
    pair, side = context.spec.tubes[junction.on].pair, junction.side
    if pair and side is None:
        side = member.side
        if side is None:
            context.fault(
                "junction-target",
                f"{path}.on",
                f"{junction.on} is a pair; which one of it is not said",
                "side: left or side: right",
            )
            return None
    if side is not None and not pair:
        if junction.side is not None:
            context.fault(
                "junction-target",
                f"{path}.side",
                f"{junction.on} is no pair",
                f"leave side out, or give {junction.on} pair: true",
            )
            return None
        side = None
    target = context.tubes.get(member_name(junction.on, side))
    if target is None:  # its own fault is recorded already
        return None
    cut = junction.cut if junction.cut is not None else "mitre"
    if junction.angle is not None:
        if not target.axis.is_straight:
            context.fault(
                "junction-target",
                f"{path}.angle",
                f"{junction.on} is bent, so the angle against its axis is not one angle",
                "set this end by a distance, e.g. from_start: 60",
            )
            return None
        return Support(
            path, None, target.name, target, cut, angle=junction.angle, y=junction.y, reach=reach
        )
    s = _distance(context, junction, target.axis, path)
    if s is None:
        return None
    length = target.axis.length
    if s < -reach or s > length + reach:
        key = junction.placements[0]
        context.fault(
            "junction-miss",
            f"{path}.{key}",
            f"lies {max(-s, s - length):.1f} mm past the end of {target.name}, "
            f"whose axis is {length:.1f} mm long",
            f"{key} between 0 and {length:.1f}",
        )
        return None
    where = target.axis.at(s)
    if junction.y is not None:
        where = np.array([where[0], junction.y, where[2]])
    return Support(path, where, target.name, target, cut, y=junction.y, reach=reach)


def _distance(
    context: PlacementContext, junction: JunctionSpec, axis: Centreline, path: str
) -> float | None:
    """Return where along the target's axis a distance places the end [mm]; None after a fault."""
    if junction.from_start is not None:
        return junction.from_start
    if junction.from_end is not None:
        return axis.length - junction.from_end
    key = "below_top" if junction.below_top is not None else "above_bottom"
    given = getattr(junction, key)
    assert given is not None
    if junction.on in ("head_tube", "seat_tube"):
        rises = True
    else:
        climb = axis.end[2] - axis.start[2]
        if abs(climb) < 0.05 * axis.length:
            context.fault(
                "junction-target",
                f"{path}.{key}",
                f"{junction.on} lies nearly level, so it has no top or bottom to measure from",
                "from_start or from_end",
            )
            return None
        rises = climb > 0
    from_end = (key == "below_top") == rises
    return axis.length - float(given) if from_end else float(given)


def _on_shell(
    context: PlacementContext, junction: JunctionSpec, path: str, reach: float
) -> Support | None:
    """Return the support on the bottom bracket shell; None after a fault."""
    shell = context.shell
    if shell is None:
        context.lacks_shell(path)
        return None
    where = _beside(shell.place, junction)
    return _on_round(context, junction, path, reach, where, SHELL, shell)


def _on_round(
    context: PlacementContext,
    junction: JunctionSpec,
    path: str,
    reach: float,
    where: Vector,
    name: str,
    body: Shell | Housing,
) -> Support | None:
    """Return the support on a cylinder along y: mitred to it, or cut square short of it."""
    said = "the shell" if name == SHELL else name
    y = float(where[1])
    right, left = sorted(float(p[1]) for p in (body.axis.at(0.0), body.axis.at(body.axis.length)))
    past = max(right - y, y - left)
    if past > reach:
        context.fault(
            "junction-miss",
            f"{path}.y",
            f"lies {past:.1f} mm past the face of {said}",
            f"{said} reaches to {left:g} on either side"
            if left == -right
            else f"{said} reaches from {right:g} to {left:g}",
        )
        return None
    cut = junction.cut
    if cut is None:
        cut = "square" if junction.stop_short > 0 else "mitre"
    elif cut == "mitre" and junction.stop_short > 0:
        context.fault(
            "inconsistent",
            f"{path}.stop_short",
            f"a mitred end follows {said} and cannot stop short of it",
            "leave stop_short out, or cut: square",
        )
        return None
    return Support(
        path=path,
        point=where,
        target=name,
        body=body,
        cut=cut,
        stop_short=junction.stop_short,
        y=junction.y,
        reach=reach,
    )


def _on_dropout(
    context: PlacementContext, member: Member, junction: JunctionSpec, path: str
) -> Support | None:
    """Return the support on a rear dropout; None after a fault."""
    side = junction.side if junction.side is not None else member.side
    if side is None:
        context.fault(
            "junction-target",
            f"{path}.on",
            "there are two rear dropouts; which one is not said",
            "side: left or side: right, or pair: true for the tube",
        )
        return None
    if context.plate is None:
        context.fault(
            "junction-target",
            f"{path}.on",
            "the rear dropouts cannot be placed without the hub's width",
            "say which one under build, e.g. rear_wheel: {hub: 148x12}",
        )
        return None
    sign = 1.0 if side == "left" else -1.0
    y = sign * context.plate.middle if junction.y is None else junction.y
    axle = context.nodes["rear_axle"]
    where = np.array([axle[0] + junction.forward, y, axle[2] + junction.above])
    return Support(
        path=path,
        point=where,
        target=f"{DROPOUT}_{side}",
        body=None,
        cut="square",
        stop_short=junction.stop_short,
    )


def corners(p: Vector, q: Vector, bends: tuple[BendSpec, ...]) -> list[Vector]:
    """Return the corners between the ends p and q (see the module): a (3,) for each bend [mm]."""
    if float(np.linalg.norm(q - p)) < 1e-9:
        return [p.copy() for _ in bends]
    along = unit(q - p)
    up = np.array([0.0, 0.0, 1.0]) - along[2] * along
    # An upright tube has no "above"; its bends rise forward.
    up = unit(up) if float(np.linalg.norm(up)) > 1e-6 else np.array([1.0, 0.0, 0.0])
    made = []
    for bend in bends:
        corner = p + bend.along * along + bend.rise * up
        if bend.y is not None:
            corner[1] = bend.y
        made.append(corner)
    return made


def _settle(
    context: PlacementContext, member: Member, ends: tuple[Support, Support]
) -> tuple[Vector, Vector] | None:
    """Return both end points; one that an angle places is solved with the corners that depend on it."""
    start, end = ends
    if start.point is not None and end.point is not None:
        return start.point, end.point
    sliding, fixed = (start, end.point) if start.point is None else (end, start.point)
    assert fixed is not None
    bends = member.spec.bends

    def neighbour(where: Vector) -> Vector:
        """Return the corner next to the sliding end."""
        if sliding is start:
            return [*corners(where, fixed, bends), fixed][0]
        return [fixed, *corners(fixed, where, bends)][-1]

    assert sliding.body is not None
    assert sliding.angle is not None
    slide = Slide(sliding.body.axis, sliding.y, sliding.angle, neighbour, sliding.reach)
    try:
        where = slide.solve(str(sliding.target))
    except SlideError as error:
        context.fault(error.code, f"{sliding.path}.angle", str(error), error.hint)
        return None
    return (where, fixed) if sliding is start else (fixed, where)
