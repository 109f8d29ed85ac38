"""Axes and supports of head tube and seat tube, which come from the chart."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.centreline import Centreline
from frame3d.geometry.vector import Vector, point, vector
from frame3d.parameters.models.junctions import JunctionSpec
from frame3d.tubes.hardware import SHELL
from frame3d.tubes.placing.context import Member, PlacementContext, member_name
from frame3d.tubes.placing.junctions import Support, corners, support, through
from frame3d.tubes.placing.stations import largest
from frame3d.tubes.tube import Tube

Way = tuple[Centreline, tuple[Support, Support]]


def head_tube(context: PlacementContext, member: Member) -> Way:
    """Return axis and supports of the head tube: head_tube_bottom to head_tube_top, both ends square."""
    axis = _straight(
        vector(context.nodes["head_tube_bottom"]), vector(context.nodes["head_tube_top"])
    )
    return axis, (_square(member, "start", axis), _square(member, "end", axis))


def seat_tube(context: PlacementContext, member: Member) -> Way | None:
    """Return axis and supports of the seat tube: along the chart's axis up to seat_tube_top.

    None after a fault. The tube starts at the foot of the perpendicular from the shell's axis to that
    axis (without a shell, from the bottom bracket's), mitred to the shell if it reaches it; or, as the
    file says, on another tube where the axes are nearest, or cut square above the foot. One with bends
    starts at the shell's axis, or anywhere along another tube, and comes to the axis with its last
    corner::

              / top
             /                 straight: the post goes down to the last bend
            o  last corner, on the chart's axis
           /
          o   corner: along the axis from its foot, rise forward of it
          |
          |
          *   start
    """
    figures = [context.chart.get(key) for key in ("actual_seat_tube_angle", "seat_tube_length")]
    angle, length = figures
    if angle is None or length is None:
        missing = "seat_tube_length" if length is None else "actual_seat_tube_angle"
        context.fault(
            "under-determined",
            member.path,
            f"the chart does not settle {missing}, which places the seat tube",
            f"give geometry.{missing}",
        )
        return None
    top = vector(context.nodes["seat_tube_top"])
    up = np.array([-np.cos(np.radians(angle)), 0.0, np.sin(np.radians(angle))])
    foot = top - length * up
    end = _straight(foot, top)
    start = _start(context, member, foot, top, up)
    if start is None:
        return None
    assert start.point is not None
    ends = start, _square(member, "end", end)
    bends = member.spec.bends
    if not bends:
        return _straight(start.point, top), ends
    axis = through(context, member, (start.point, *corners(foot, top, bends), top))
    return None if axis is None else (axis, ends)


def _start(
    context: PlacementContext, member: Member, foot: Vector, top: Vector, up: Vector
) -> Support | None:
    """Return what the seat tube's start sits on; None after a fault."""
    junction, path = member.spec.start, f"{member.path}.start"
    if junction is None or junction.on == SHELL:
        return _on_shell(context, member, junction, foot, up)
    if junction.on is None:
        above = junction.above_bottom
        assert above is not None  # held by the spec
        if above >= float(np.linalg.norm(top - foot)) - 1.0:
            context.fault(
                "junction-miss",
                f"{path}.above_bottom",
                "lies above the seat tube's top",
                "less than the seat tube's length",
            )
            return None
        return Support(path, foot + above * up, None, None, "square")
    if junction.placements and member.spec.bends:
        return _along_tube(context, member, junction)
    if junction.placements:
        context.fault(
            "inconsistent",
            f"{path}.{junction.placements[0]}",
            f"the chart says where the seat tube's axis meets {junction.on}",
            "leave it out, or give the seat tube bends that lead from there to its axis",
        )
        return None
    if context.spec.tubes[junction.on].pair and junction.side is None:
        context.fault(
            "junction-target",
            f"{path}.on",
            f"{junction.on} is a pair; which one of it is not said",
            "side: left or side: right",
        )
        return None
    target = context.tubes.get(member_name(junction.on, junction.side))
    if target is None:  # its own fault is recorded already
        return None
    return _on_tube(
        context, member, junction, foot + _nearest(foot, top, up, target.axis) * up, target
    )


def _on_shell(
    context: PlacementContext,
    member: Member,
    junction: JunctionSpec | None,
    foot: Vector,
    up: Vector,
) -> Support | None:
    """Return the seat tube's start on the bottom bracket shell, or None and take down a fault.

    Args:
        context: of the placement.
        member: the seat tube.
        junction: its start; None where the file leaves it open.
        foot: point of its axis nearest to the bottom bracket: (3,) [mm].
        up: unit direction of its axis: (3,).
    """
    path, asked = f"{member.path}.start", junction is not None
    if context.shell is None:
        if asked:
            context.lacks_shell(path)
            return None
        return Support(path, foot, None, None, "square")
    middle = vector(context.shell.place)
    if member.spec.bends:
        foot = middle
    elif context.shell.at != (0.0, 0.0):
        foot = foot + float((middle - foot) @ up) * up
    offset = float(np.linalg.norm(foot - middle))
    if offset >= context.shell.od / 2 + largest(member.spec) / 2:
        context.fault(
            "junction-miss",
            path if asked else member.path,
            f"its axis passes {offset:.1f} mm from the bottom bracket shell's, so it misses it",
            "start: {on: down_tube}, or another tube that the axis crosses, or "
            "start: {above_bottom: 60}",
        )
        return None
    cut = "mitre" if junction is None or junction.cut is None else junction.cut
    short = 0.0 if junction is None else junction.stop_short
    return Support(
        path=path,
        point=foot,
        target=SHELL,
        body=context.shell,
        cut="square" if short > 0 else cut,
        stop_short=short,
    )


def _on_tube(
    context: PlacementContext, member: Member, junction: JunctionSpec, where: Vector, target: Tube
) -> Support | None:
    """Return the seat tube's start on another tube, or None and take down a fault.

    Args:
        context: of the placement.
        member: the seat tube.
        junction: its start.
        where: point of its axis nearest to the target's axis: (3,) [mm].
        target: the tube that it stands on.
    """
    path, own = f"{member.path}.start", largest(member.spec) / 2
    gap = float(np.linalg.norm(where - target.axis.points(target.axis.nearest(where[None]))[0]))
    along = float(target.axis.nearest(where[None])[0])
    size = max(float(x) for x in target.section.radii_at(along))
    past = max(-along, along - target.axis.length)
    if gap >= size + own or past > own:
        context.fault(
            "junction-miss",
            f"{path}.on",
            f"the seat tube's axis passes {target.name} {gap:.1f} mm away"
            if past <= own
            else f"the seat tube's axis meets {target.name} {past:.1f} mm past its end",
            "move the seat tube (seat_tube_offset, actual_seat_tube_angle) or that tube",
        )
        return None
    cut = "mitre" if junction.cut is None else junction.cut
    return Support(path, where, target.name, target, cut)


def _along_tube(
    context: PlacementContext, member: Member, junction: JunctionSpec
) -> Support | None:
    """Return the start of a bent seat tube at a place along another tube; None after a fault."""
    path = f"{member.path}.start"
    if junction.angle is not None:
        context.fault(
            "inconsistent",
            f"{path}.angle",
            "a bent seat tube is placed by a distance",
            f"where on {junction.on}, e.g. from_start: 60",
        )
        return None
    return support(context, member, junction, path, largest(member.spec) / 2)


def _nearest(foot: Vector, top: Vector, up: Vector, target: Centreline) -> float:
    """Return where the seat tube's axis comes nearest to a target's axis, from the foot [mm]."""
    length = float(np.linalg.norm(top - foot))
    low, high = -0.5 * length, length
    for _ in range(14):
        s = np.linspace(low, high, 129)
        points = foot + s[:, None] * up
        gaps = np.sum((points - target.points(target.nearest(points))) ** 2, axis=1)
        i = int(np.argmin(gaps))
        step = s[1] - s[0]
        low, high = s[i] - step, s[i] + step
        if step < 1e-11:
            break
    return float((low + high) / 2)


def _square(member: Member, which: str, axis: Centreline) -> Support:
    where = axis.start if which == "start" else axis.end
    return Support(f"{member.path}.{which}", vector(where), None, None, "square")


def _straight(a: Vector, b: Vector) -> Centreline:
    return Centreline.through((point(a), point(b)), ())
