"""Outside and wall of a tube along its axis, from what the file says; bends that it can take."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.rounded import Rounds
from frame3d.geometry.section import Section
from frame3d.geometry.vector import pitched, vector
from frame3d.parameters.models.profiles import (
    DSpec,
    Rounded,
    height_and_width,
    rounded_sizes,
    sizes,
)
from frame3d.parameters.models.tubes import BoreSpec, ButtedSpec, TubeSpec
from frame3d.tubes.placing.context import Member, PlacementContext
from frame3d.tubes.placing.outsides import outside_faults, outside_stations
from frame3d.tubes.tube import Sold

PLAY = 1.0
"""How far what is cut off at both ends may differ from what the file says, where it says both [mm]."""


def largest(tube: TubeSpec) -> float:
    """Return the greatest outside size of a tube anywhere [mm].

    A dimple keeps the circumference at most, of which no ellipse is wider than half.
    """
    size = max(max(height_and_width(size)) for _, size in sizes(tube.od))
    pressed = [x for dimple in tube.dimples for x in (dimple.height, dimple.width) if x is not None]
    left_out = any(None in (dimple.height, dimple.width) for dimple in tube.dimples)
    return max([size, *pressed, *([np.pi / 2 * size] if left_out else [])])


def is_tapered(tube: TubeSpec) -> bool:
    """Return whether the outside changes along the tube."""
    corners = {size.corner for _, size in rounded_sizes(tube.od)}
    widths = {height_and_width(size) for _, size in sizes(tube.od)}
    return len(widths) > 1 or len(corners) > 1 or bool(tube.dimples)


def outside(tube: TubeSpec, axis: Centreline, cuts: tuple[float, float]) -> Section:
    """Return the tube's outside as a solid bar.

    Args:
        tube: what the file says.
        axis: where it is.
        cuts: long points at start and end, from the axis' ends [mm]; places along the tube count
            from them.
    """
    return _along(tube, axis, cuts, ((0.0, 0.0), (axis.length, 0.0)))


def section(
    context: PlacementContext, member: Member, axis: Centreline, cuts: tuple[float, float]
) -> Section | None:
    """Return outside and wall; None after a fault. Arguments as for `outside`.

    A butted wall::

        butted[0] ___________                           ___________ butted[2]
                             `._                     _.'
                                `-----butted[1]-----'
                  |lengths[0]|  |                   |  |lengths[1]|
                 low       transition            transition      high

    Low and high are the tube's long points; the wall continues beyond them. Of a tube as sold both
    lie as much further out as is cut off there.
    """
    tube, wall, length = member.spec, member.spec.wall, axis.length
    low, high = max(cuts[0], 0.0), length - max(cuts[1], 0.0)
    faults = list(outside_faults(tube, high - low))
    for key, message, hint in faults:
        context.fault("section", f"{member.path}.{key}", message, hint)
    if faults:
        return None
    if wall == "solid":
        return outside(tube, axis, cuts)
    if isinstance(wall, BoreSpec):
        shape = outside(tube, axis, cuts)
        left = tuple((od - wall.bore) / 2 for od in shape.height)
        return Section(shape.s, shape.height, shape.width, left)
    if not isinstance(wall, ButtedSpec):
        return _along(tube, axis, cuts, ((0.0, wall), (length, wall)))
    off = _cut_off(context, member, wall, high - low)
    if off is None:
        return None
    from_, to = low - off[0], high + off[1]
    taper, first = wall.transition, from_ + wall.lengths[0]
    steps = [(min(from_, 0.0), wall.butted[0]), (first, wall.butted[0])]
    steps += [(first + taper, wall.butted[1])]
    needed = wall.lengths[0] + taper
    if len(wall.butted) == 3:
        last = to - wall.lengths[1]
        steps += [(last - taper, wall.butted[1]), (last, wall.butted[2])]
        needed += wall.lengths[1] + taper
    steps.append((max(to, length), steps[-1][1]))
    if needed > to - from_ + 1e-9:
        context.fault(
            "butt",
            f"{member.path}.wall",
            f"butts and transitions take {needed:.1f} mm of a tube that is "
            f"{'as sold ' if wall.is_cut_from else 'cut to '}{to - from_:.1f} mm"
            f"{' long' * wall.is_cut_from}",
            f"shorten them by {needed - (to - from_):.1f} mm in all",
        )
        return None
    _warn_of_butts(context, member, wall, off)
    return _along(tube, axis, cuts, tuple(steps))


def sold(
    context: PlacementContext, member: Member, length: float, cuts: tuple[float, float]
) -> Sold | None:
    """Return the tube as it is bought; None where the file does not say. Arguments as for `outside`."""
    wall = member.spec.wall
    if not isinstance(wall, ButtedSpec) or not wall.is_cut_from:
        return None
    left = length - max(cuts[0], 0.0) - max(cuts[1], 0.0)
    off = _cut_off(context, member, wall, left)
    return None if off is None else Sold(left + sum(off), *off, wall.as_sold is not None)


def _cut_off(
    context: PlacementContext, member: Member, wall: ButtedSpec, left: float
) -> tuple[float, float] | None:
    """Return how much of a butted tube is cut off at start and end [mm]; None after a fault.

    `left` is the length between the long points [mm].
    """
    start, end = (None, None) if wall.cut is None else (wall.cut.start, wall.cut.end)
    if wall.as_sold is None:
        return start or 0.0, end or 0.0
    path, spare = f"{member.path}.wall", wall.as_sold - left
    told = f"the tube as sold is {wall.as_sold:g} mm long, and {left:.1f} mm are needed"
    if spare < -1e-9 or spare - (start or 0.0) - (end or 0.0) < -PLAY:
        asked = (start or 0.0) + (end or 0.0)
        context.fault(
            "butt",
            f"{path}.as_sold",
            told + (f" besides the {asked:g} mm that are cut off" if asked else ""),
            f"a tube of at least {left + asked:.1f} mm"
            + (", or less cut off" if spare >= 0 and asked else ""),
        )
        return None
    if start is not None and end is not None:
        if abs(spare - start - end) > PLAY:
            context.fault(
                "butt",
                f"{path}.cut",
                f"{told}: {spare:.1f} mm are cut off in all, not {start + end:g}",
                f"start: {max(spare - end, 0.0):.1f}, or end: {max(spare - start, 0.0):.1f}, or leave "
                "one of them out",
            )
            return None
        return start, spare - start
    if start is not None:
        return start, max(spare - start, 0.0)
    assert end is not None  # held by the spec
    return max(spare - end, 0.0), end


def _warn_of_butts(
    context: PlacementContext, member: Member, wall: ButtedSpec, off: tuple[float, float]
) -> None:
    """Warn of each butt of a tube as sold that is cut off whole."""
    ends = (("start", 0, 1), ("end", -1, -2))[: len(wall.lengths)]
    for (name, here, inner), length, cut in zip(ends, wall.lengths, off, strict=False):
        if wall.butted[here] > wall.butted[inner] and cut >= length - 1e-9:
            context.warn(
                f"{member.path}.wall",
                f"{member.key}: {cut:.1f} mm are cut off at the {name}, where the butt of "
                f"{wall.butted[here]:g} mm is {length:g} mm long: nothing of it is left",
            )


def check_bends(
    context: PlacementContext, member: Member, axis: Centreline, shape: Section
) -> bool:
    """Return whether the tube can be bent so; record faults, and warn of radii under 3 × its size."""
    arcs = [
        (at, piece)
        for at, piece in zip(axis.starts, axis.pieces, strict=False)
        if isinstance(piece, Arc)
    ]
    sound = True
    for at, arc in arcs:
        bend = _which_bend(member, axis, arc)
        path = f"{member.path}.bends.{bend}.radius"
        s = np.linspace(at, at + arc.length, 9)
        points, up, across = axis.frames(s)
        inward = vector(arc.centre) - points
        inward /= arc.radius
        ways = np.sum(inward * up, axis=1), np.sum(inward * across, axis=1)
        half = float(shape.extent(s, *ways).max())
        whole = half + float(shape.extent(s, -ways[0], -ways[1]).max())
        if arc.radius <= half + 1e-9:
            context.fault(
                "bend",
                path,
                f"a radius of {arc.radius:g} mm folds a tube that is {whole:.1f} mm across in "
                "the plane of the bend",
                f"more than {half:.1f} mm; builders keep to {3 * whole:.0f} mm or more",
            )
            sound = False
        elif arc.radius < 3 * whole - 1e-9:
            context.warn(
                path,
                f"{member.key}: a bend of {arc.radius:g} mm is tighter than 3 × its size of "
                f"{whole:.1f} mm (common practice, no source)",
            )
    return sound


def _which_bend(member: Member, axis: Centreline, arc: Arc) -> int:
    """Return the index of the bend that made an arc; straight bends make no arc."""
    arcs = [piece for piece in axis.pieces if isinstance(piece, Arc)]
    position = arcs.index(arc)
    skipped = len(member.spec.bends) - len(arcs)
    if skipped == 0:
        return position
    for i in range(position, position + skipped + 1):
        if member.spec.bends[i].radius == arc.radius:
            return i
    return position


def _along(
    tube: TubeSpec,
    axis: Centreline,
    cuts: tuple[float, float],
    walls: tuple[tuple[float, float], ...],
) -> Section:
    """Return a section with stations where outside or wall change their slope."""
    length = axis.length
    low, high = max(cuts[0], 0.0), length - max(cuts[1], 0.0)
    stations = [replace(one, s=low + one.s) for one in outside_stations(tube, high - low)]
    at = {0.0, length, *(s for s, _ in walls)}
    if is_tapered(tube):
        at |= {one.s for one in stations}
    # Stations nearer than a nanometre are merged; the last one is the axis' length.
    s = [x for x in sorted(at) if 0.0 <= x < length - 1e-6]
    s = [x for i, x in enumerate(s) if i == 0 or x - s[i - 1] > 1e-6] + [length]
    places = [x.s for x in stations]
    height, width, corner = (
        np.interp(s, places, row)
        for row in zip(*((x.height, x.width, x.corner) for x in stations), strict=True)
    )
    wall = np.interp(s, [x for x, _ in walls], [t for _, t in walls])
    found = rounded_sizes(tube.od)
    return Section(
        tuple(s),
        tuple(height.tolist()),
        tuple(width.tolist()),
        tuple(wall.tolist()),
        _rounds(found[0][1], axis, height, width, corner) if found else (),
    )


def _full_corners(size: Rounded, axis: Centreline) -> tuple[bool, bool, bool, bool]:
    """Return which corners of a section are a D's half round, in the order that its axis gives them."""
    if not isinstance(size, DSpec):
        return False, False, False, False
    up, across = axis.frame(axis.length / 2)
    if size.flat in ("below", "above"):
        top = vector(pitched((0.01, 0.0, 1.0), axis.pitch))
        on_top = (float(up @ top) >= 0) == (size.flat == "above")
        return (False, True, True, False) if on_top else (True, False, False, True)
    inward = -float(axis.at(axis.length / 2)[1]) * float(across[1])
    beyond = (inward >= 0) == (size.flat == "inside")  # the flat lies where width counts positive
    return (False, False, True, True) if beyond else (True, True, False, False)


def _rounds(
    size: Rounded, axis: Centreline, height: Array, width: Array, corner: Array
) -> tuple[Rounds, ...]:
    """Return the radii of the corners at stations of a rectangle's or D's sizes: (n,) each [mm].

    A D's half round is half as wide as the tube at each station, so between them it is one too.
    """
    flat = size.flat if isinstance(size, DSpec) else "below"
    full = (width if flat in ("below", "above") else height) / 2
    columns = [full if is_full else corner for is_full in _full_corners(size, axis)]
    return tuple((a, b, c, d) for a, b, c, d in np.stack(columns, axis=1).tolist())
