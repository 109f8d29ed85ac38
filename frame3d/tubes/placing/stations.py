"""Outside and wall of a tube along its axis, from what the file says; bends that it can take."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.centreline import Arc, Centreline
from frame3d.geometry.section import Section
from frame3d.geometry.vector import vector
from frame3d.parameters.models.tubes import ButtedSpec, OvalSpec, Size, TaperSpec, TubeSpec
from frame3d.tubes.placing.context import Member, PlacementContext


def largest(tube: TubeSpec) -> float:
    """Return the greatest outside size of a tube anywhere [mm]."""
    ends = (tube.od.start, tube.od.end) if isinstance(tube.od, TaperSpec) else (tube.od,)
    return max(max(_size(end)) for end in ends)


def is_tapered(tube: TubeSpec) -> bool:
    """Return whether the outside changes along the tube."""
    return isinstance(tube.od, TaperSpec) and _size(tube.od.start) != _size(tube.od.end)


def outside(tube: TubeSpec, length: float, cuts: tuple[float, float]) -> Section:
    """Return the tube's outside as a solid bar.

    Args:
        tube: what the file says.
        length: of the axis [mm].
        cuts: long points at start and end, from the axis' ends [mm]; a taper runs between them.
    """
    return _along(tube, length, cuts, ((0.0, 0.0), (length, 0.0)))


def section(
    context: PlacementContext, member: Member, length: float, cuts: tuple[float, float]
) -> Section | None:
    """Return outside and wall; None after a fault. Arguments as for `outside`.

    A butted wall::

        butted[0] ___________                           ___________ butted[2]
                             `._                     _.'
                                `-----butted[1]-----'
                  |lengths[0]|  |                   |  |lengths[1]|
                 low       transition            transition      high

    Low and high are the tube's long points; the wall continues beyond them.
    """
    tube, wall = member.spec, member.spec.wall
    if wall == "solid":
        return outside(tube, length, cuts)
    if not isinstance(wall, ButtedSpec):
        return _along(tube, length, cuts, ((0.0, wall), (length, wall)))
    low, high = max(cuts[0], 0.0), length - max(cuts[1], 0.0)
    taper, first = wall.transition, low + wall.lengths[0]
    steps = [(0.0, wall.butted[0]), (first, wall.butted[0]), (first + taper, wall.butted[1])]
    needed = wall.lengths[0] + taper
    if len(wall.butted) == 3:
        last = high - wall.lengths[1]
        steps += [(last - taper, wall.butted[1]), (last, wall.butted[2])]
        needed += wall.lengths[1] + taper
    steps.append((length, steps[-1][1]))
    if needed > high - low + 1e-9:
        context.fault(
            "butt",
            f"{member.path}.wall",
            f"butts and transitions take {needed:.1f} mm of a tube that is cut to "
            f"{high - low:.1f} mm",
            f"shorten them by {needed - (high - low):.1f} mm in all",
        )
        return None
    return _along(tube, length, cuts, tuple(steps))


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
        a, b = shape.radii_at(s)
        half = float(
            np.hypot(a * np.sum(inward * up, axis=1), b * np.sum(inward * across, axis=1)).max()
        )
        if arc.radius <= half + 1e-9:
            context.fault(
                "bend",
                path,
                f"a radius of {arc.radius:g} mm folds a tube that is {2 * half:.1f} mm across in "
                "the plane of the bend",
                f"more than {half:.1f} mm; builders keep to {6 * half:.0f} mm or more",
            )
            sound = False
        elif arc.radius < 6 * half - 1e-9:
            context.warn(
                path,
                f"{member.key}: a bend of {arc.radius:g} mm is tighter than 3 × its size of "
                f"{2 * half:.1f} mm (common practice, no source)",
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
    length: float,
    cuts: tuple[float, float],
    walls: tuple[tuple[float, float], ...],
) -> Section:
    """Return a section with stations where outside or wall change their slope."""
    od = tube.od
    first, last = (od.start, od.end) if isinstance(od, TaperSpec) else (od, od)
    low, high = max(cuts[0], 0.0), length - max(cuts[1], 0.0)
    at = {0.0, length, *(s for s, _ in walls)}
    if is_tapered(tube):
        at |= {low, high}
    # Stations nearer than a nanometre are merged; the last one is the axis' length.
    s = [x for x in sorted(at) if 0.0 <= x < length - 1e-6]
    s = [x for i, x in enumerate(s) if i == 0 or x - s[i - 1] > 1e-6] + [length]
    (h0, w0), (h1, w1) = _size(first), _size(last)
    share = np.clip((np.array(s) - low) / (high - low), 0.0, 1.0)
    wall = np.interp(s, [x for x, _ in walls], [t for _, t in walls])
    return Section(
        tuple(s),
        tuple((h0 + (h1 - h0) * share).tolist()),
        tuple((w0 + (w1 - w0) * share).tolist()),
        tuple(wall.tolist()),
    )


def _size(size: Size) -> tuple[float, float]:
    """Return height and width [mm]."""
    return (size.height, size.width) if isinstance(size, OvalSpec) else (float(size), float(size))
