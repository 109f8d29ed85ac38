"""Cut each end of a tube, from its axis, its outside and what it sits on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.geometry.centreline import Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Vector, angle_between, cross
from frame3d.tubes.cuts.mitre import FEATHER, MissError, MitreCut
from frame3d.tubes.cuts.straight_lines import Outside
from frame3d.tubes.hardware import SHELL
from frame3d.tubes.placing.context import Member, PlacementContext
from frame3d.tubes.placing.junctions import ENDS, Support, Which
from frame3d.tubes.placing.stations import is_tapered, outside
from frame3d.tubes.tube import End

OVERHANG = 2.0
"""Largest reach of a mitre past its target's end without a warning [mm]."""
BUTTED = 0.5
"""Largest distance from another tube's end face at which an end counts as butted to it [mm]."""
IN_LINE = 1.0
"""Largest angle between two tubes in line with each other [degrees]."""
UNSETTLED = 1e-3
"""How far a long point may be from the one that the outside along the tube was counted from [mm]."""
STEEP = 1.0
"""Change of an outside's size along the tube above which it counts as a step [mm/mm]."""
FEATHER_LONG = 20.0
"""Longest feather edge of a mitre without a warning, along the tube [mm]: more than that of any tube
as thick as its target; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A tube's axis and outside before its walls are known."""

    axis: Centreline
    section: Section


@dataclass(frozen=True, slots=True)
class Cuts:
    """Axis after its square ends are cut back, both ends, and the cuts of mitred ends."""

    axis: Centreline
    ends: tuple[End, End]
    mitres: tuple[MitreCut | None, MitreCut | None]

    @property
    def long_points(self) -> tuple[float, float]:
        """[mm]"""
        return self.ends[0].long_point, self.ends[1].long_point


def cut_ends(
    context: PlacementContext, member: Member, axis: Centreline, supports: tuple[Support, Support]
) -> Cuts | None:
    """Return the cut ends of a tube; None after a fault."""
    trimmed = _cut_back(context, member, axis, supports)
    if trimmed is None:
        return None
    axis = trimmed
    long_points = _as_if_even(context, member, axis, supports)
    tried: list[tuple[tuple[float, float], tuple[float, float]]] = []
    # A taper runs between the long points, which depend on its size there: iterate.
    for _ in range(12 if is_tapered(member.spec) else 1):
        bar = Bar(axis, outside(member.spec, axis, long_points))
        mitres = [
            _cut(context, bar, which, support.body)
            if support.body is not None and support.cut == "mitre"
            else None
            for which, support in zip(ENDS, supports, strict=True)
        ]
        reach = []
        for which, support, mitre in zip(ENDS, supports, mitres, strict=True):
            try:
                reach.append((0.0, 0.0) if mitre is None else mitre.extremes())
            except MissError:
                _miss(context, member, bar, which, support)
        if len(reach) < len(ENDS):
            return None
        found = (reach[0][0], reach[1][0])
        moved = max(abs(a - b) for a, b in zip(found, long_points, strict=True))
        tried = [*tried[-1:], (long_points, found)]
        long_points = _next(tried)
        if axis.length - sum(max(x, 0.0) for x in long_points) < 1e-6:
            break
        if moved < 1e-9:
            break
    if is_tapered(member.spec) and moved > UNSETTLED:
        context.fault(
            "section",
            f"{member.path}.od",
            f"the outside of {member.key} changes so steeply where it is cut that the cut's place "
            f"depends on it too much (by {moved:.2f} mm)",
            "end the change before the cut, or make it longer",
        )
        return None
    if axis.length - reach[0][1] - reach[1][1] < 1e-6:
        context.fault(
            "junction-miss",
            member.path,
            f"nothing is left of {member.key} between its cuts: the axis is {axis.length:.1f} mm "
            f"long, the cuts reach {reach[0][1]:.1f} and {reach[1][1]:.1f} mm into it",
            "move its ends apart, or set it more squarely on what it meets",
        )
        return None
    start, end = (
        _end(context, bar, which, support, extent)
        for which, support, extent in zip(ENDS, supports, reach, strict=True)
    )
    for mitre, support in zip(mitres, supports, strict=True):
        if mitre is not None:
            _warn(context, member, mitre, support)
    return Cuts(axis, (start, end), (mitres[0], mitres[1]))


def _as_if_even(
    context: PlacementContext, member: Member, axis: Centreline, supports: tuple[Support, Support]
) -> tuple[float, float]:
    """Return the long points that a tapered tube's ends would have, each with the size at its end.

    Where the tube keeps that size up to its long point, as it does ahead of a taper, these are its own.
    0 of a tube that does not taper, where an end would miss its target, and where the outside steps: the
    place of such a cut must settle from anywhere (`UNSETTLED`).
    """
    if not is_tapered(member.spec):
        return 0.0, 0.0
    whole = outside(member.spec, axis, (0.0, 0.0))
    changes = np.abs(np.diff([whole.height, whole.width], axis=1)) / np.diff(whole.s)
    if changes.max() > STEEP:
        return 0.0, 0.0
    found = []
    for which, support, i in zip(ENDS, supports, (0, -1), strict=True):
        height, width, wall = (row[i] for row in (whole.height, whole.width, whole.wall))
        rounds = (whole.rounds[i],) * 2 if whole.rounds else ()
        even = Section((0.0, axis.length), (height,) * 2, (width,) * 2, (wall,) * 2, rounds)
        try:
            if support.body is None or support.cut != "mitre":
                found.append(0.0)
            else:
                found.append(_cut(context, Bar(axis, even), which, support.body).extremes()[0])
        except MissError:
            found.append(0.0)
    return found[0], found[1]


def _next(
    tried: Sequence[tuple[tuple[float, float], tuple[float, float]]],
) -> tuple[float, float]:
    """Return the long points to try next, by the secant through the last two tries of each end.

    Args:
        tried: long points that were assumed and those that the cuts had with them, the last two [mm].
    """
    (assumed, found) = tried[-1]
    if len(tried) < 2:
        return found
    out = list(found)
    for i in (0, 1):
        step = assumed[i] - tried[0][0][i]
        slope = (found[i] - tried[0][1][i]) / step if abs(step) > 1e-9 else 0.0
        if abs(slope) < 0.5:
            out[i] = (found[i] - slope * assumed[i]) / (1 - slope)
    return out[0], out[1]


def mitres(
    context: PlacementContext, shape: Bar, ends: tuple[End, End]
) -> tuple[MitreCut | None, MitreCut | None]:
    """Return the cuts of a placed tube's mitred ends, start and end."""
    made: list[MitreCut | None] = []
    for which, end in zip(ENDS, ends, strict=True):
        body = context.body(end.target)
        if body is not None and end.cut == "mitre":
            made.append(_cut(context, shape, which, body))
        else:
            made.append(None)
    return made[0], made[1]


def _cut(context: PlacementContext, bar: Bar, which: Which, body: Outside) -> MitreCut:
    key = (bar.axis, bar.section, which, body.axis, body.section)
    return context.memory.get_or_compute(("cut", key), lambda: MitreCut(bar, which, body))


def crossing(point: Vector, along: Vector, body_axis: Centreline) -> tuple[float, float]:
    """Return angle and offset of a tube's end to a target's axis, where the two are nearest.

    Args:
        point: (3,) the end [mm].
        along: (3,) unit direction away from the junction.
        body_axis: of the target.

    Returns:
        Angle between `along` and the target's axis toward its end [degrees], and the shortest
        distance between both tangent lines [mm].
    """
    s = float(body_axis.nearest(point[None])[0])
    other = body_axis.tangent(s)
    gap = point - body_axis.at(s)
    square = cross(along, other)
    length = float(np.linalg.norm(square))
    offset = float(np.linalg.norm(gap)) if length < 1e-9 else abs(float(gap @ square)) / length
    return angle_between(along, other), offset


def _end(
    context: PlacementContext, bar: Bar, which: Which, support: Support, extent: tuple[float, float]
) -> End:
    angle, offset = None, 0.0
    if support.body is not None:
        axis = support.body.axis
        angle, offset = context.memory.get_or_compute(
            ("crossing", bar.axis, which, axis), lambda: crossing(*_away(bar.axis, which), axis)
        )
    where = bar.axis.start if which == "start" else bar.axis.end
    return End(where, support.cut, support.target, angle, offset, *extent)


def _away(axis: Centreline, which: Which) -> tuple[Vector, Vector]:
    """Return an end's point and the unit direction from it into the tube: two (3,)."""
    s = 0.0 if which == "start" else axis.length
    t = axis.tangent(s)
    return axis.at(s), t if which == "start" else -t


def _cut_back(
    context: PlacementContext, member: Member, axis: Centreline, supports: tuple[Support, Support]
) -> Centreline | None:
    """Return the axis shortened at its square ends; None after a fault.

    By what the file gives, or else so far that the end clears the outside of the body that it sits
    on.
    """
    back = [support.stop_short for support in supports]
    for i, (which, support) in enumerate(zip(ENDS, supports, strict=True)):
        if support.body is not None and support.cut == "square" and support.stop_short == 0:
            bar = Bar(axis, outside(member.spec, axis, (0.0, 0.0)))
            if _is_butted(bar, which, support.body):
                continue
            try:
                back[i] = max(_cut(context, bar, which, support.body).extremes()[1], 0.0)
            except MissError:
                _miss(context, member, bar, which, support)
                return None
    if not any(back):
        return axis
    if sum(back) > axis.length - 1e-6:
        context.fault(
            "junction-miss",
            member.path,
            f"nothing is left of {member.key}: its axis is {axis.length:.1f} mm long and stops "
            f"{back[0]:.1f} and {back[1]:.1f} mm short",
            "move its ends apart, or stop less short",
        )
        return None
    return axis.trimmed(back[0], back[1])


def _is_butted(bar: Bar, which: Which, body: Outside) -> bool:
    """Return whether a square end is butted to a body's own end, in line with it: no side to clear."""
    point, along = _away(bar.axis, which)
    where = float(body.axis.nearest(point[None])[0])
    at_end = min(where, body.axis.length - where) < BUTTED
    angle, offset = crossing(point, along, body.axis)
    beyond = float((point - body.axis.at(where)) @ along) > -BUTTED
    return at_end and beyond and min(angle, 180.0 - angle) < IN_LINE and offset < BUTTED


def _miss(
    context: PlacementContext, member: Member, bar: Bar, which: Which, support: Support
) -> None:
    """Record the fault of a tube whose whole outside misses its target."""
    assert support.body is not None
    angle, offset = crossing(*_away(bar.axis, which), support.body.axis)
    target = "the shell" if support.target == SHELL else support.target
    size, own = support.body.section.furthest, bar.section.furthest
    path = support.path if support.y is None else f"{support.path}.y"
    if offset < abs(own - size) + 1.0:
        context.fault(
            "junction-miss",
            path,
            f"{member.key} runs along {target} (their axes at {min(angle, 180.0 - angle):.1f}°, "
            f"{offset:.1f} mm apart), so no side of {target} lies before its end",
            f"set it at an angle to {target}, or butt it to the very end of that, in line with it, with "
            "cut: square",
        )
        return
    context.fault(
        "junction-miss",
        path,
        f"{member.key} passes {target} by: their axes pass {offset:.1f} mm apart, and their outsides "
        f"reach {own:.1f} and {size:.1f} mm",
        "move this end toward the target's axis",
    )


def feather_warning(tube: str, target: str, length: float) -> str:
    """Return the warning about a feather edge of this length [mm]."""
    return (
        f"{tube}: its cut to {target} runs out in a feather edge {length:.0f} mm long, under "
        f"{FEATHER:g}° to what it lies on: thin metal that tears when cut and burns away when joined; "
        "set the tube more squarely, or let it stop on something else"
    )


def _warn(context: PlacementContext, member: Member, mitre: MitreCut, support: Support) -> None:
    """Warn of a mitre that misses its target in part, ends in a feather, or passes the target's end."""
    target = "the shell" if support.target == SHELL else support.target
    passing = np.isnan(mitre.coarse[1])
    if passing.any():
        context.warn(
            support.path,
            f"{member.key}: about {100 * float(passing.mean()):.0f} % of its mitre passes {target} "
            "by, which is narrower there",
        )
    least, most = mitre.extremes()
    if most - least > FEATHER_LONG and mitre.feather > FEATHER_LONG:
        context.warn(support.path, feather_warning(member.key, str(target), mitre.feather))
    if mitre.past > OVERHANG:
        context.warn(
            support.path,
            f"{member.key} reaches {mitre.past:.1f} mm past the end of {target} at its mitre",
        )
