"""Place every tube from the chart's nodes: axis, section, cut ends and bores, without CAD."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from frame3d.chart.cache import Cache
from frame3d.errors import Note, TubeError
from frame3d.geometry.centreline import Centreline
from frame3d.geometry.rounded import signs_kept
from frame3d.geometry.section import Section
from frame3d.geometry.vector import Point, mirrored, vector
from frame3d.parameters.models.frame import FrameSpec, MaterialSpec
from frame3d.parameters.sizes import standards
from frame3d.pivots.housings import put_in, settle
from frame3d.pivots.lugs_and_plates import fit
from frame3d.pivots.pins import plan
from frame3d.plates.dropout_metal import less_towers
from frame3d.plates.dropouts import flat_dropouts
from frame3d.plates.link_plates import with_outlines
from frame3d.plates.pivot_tabs import with_tabs
from frame3d.plates.placing import plates
from frame3d.tubes.cuts.overlap import Envelope, cut_by
from frame3d.tubes.cuts.shared_metal import shared_metal
from frame3d.tubes.features.feature import Feature
from frame3d.tubes.features.place import place_features
from frame3d.tubes.hardware import SHELL, Hardware
from frame3d.tubes.placing import fittings
from frame3d.tubes.placing.build_order import build_order, split_order
from frame3d.tubes.placing.context import Member, PlacementContext, other_side
from frame3d.tubes.placing.ends import Bar, Cuts, crossing, cut_ends, mitres
from frame3d.tubes.placing.head_and_seat_tube import head_tube, seat_tube
from frame3d.tubes.placing.junctions import Support, run, supports
from frame3d.tubes.placing.stations import check_bends, largest, section, sold
from frame3d.tubes.plate import Plate
from frame3d.tubes.tube import Bore, Dropout, End, Shell, Tube


@dataclass(frozen=True, slots=True)
class PlacedTubes:
    """All tubes of a frame, and what is fitted to them."""

    tubes: tuple[Tube, ...]
    """All tubes in build order."""
    shell: Shell | None
    dropouts: tuple[Dropout, ...]
    bores: tuple[Bore, ...]
    notes: tuple[Note, ...]
    pivots: tuple[Hardware, ...] = ()
    features: tuple[Feature, ...] = ()
    plates: tuple[Plate, ...] = ()


PivotsOf = Callable[[Sequence[Tube]], Mapping[str, Point]]
"""Returns the suspension's points [mm], given the front frame's tubes that end on no pivot."""


def place_tubes(
    spec: FrameSpec,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    pivots_of: PivotsOf | None = None,
    memory: Cache | None = None,
) -> PlacedTubes:
    """Place every tube of the file.

    Args:
        spec: the checked parameter file.
        nodes: the chart's nodes [mm].
        chart: solved figures; the seat tube's angle, offset and length are read.
        pivots_of: returns where the suspension's points are drawn; called once, where there is one.
        memory: cache from bikes placed earlier.

    Raises:
        TubeError: with every fault found in tubes, junctions, sections and bores.
    """
    begun = begin_placing(spec, nodes, chart, memory)
    if spec.suspension is None or pivots_of is None:
        return finish_placing(begun)
    return finish_placing(begun, pivots_of(begun.tubes))


@dataclass(frozen=True, slots=True)
class BegunPlacing:
    """A frame of which the tubes that suspension points may stand on are placed."""

    context: PlacementContext
    late: tuple[str, ...]
    """Keys of the tubes that wait for the points, in build order."""
    envelopes: list[Envelope]

    @property
    def tubes(self) -> tuple[Tube, ...]:
        """The tubes placed so far, in build order."""
        return tuple(self.context.tubes.values())


def begin_placing(
    spec: FrameSpec,
    nodes: Mapping[str, Point],
    chart: Mapping[str, float | None],
    memory: Cache | None = None,
) -> BegunPlacing:
    """Place shell, dropout plates and the tubes that do not wait for the suspension's points.

    Args:
        spec: the checked parameter file.
        nodes: the chart's nodes [mm].
        chart: as for `place_tubes`.
        memory: as for `place_tubes`.

    Raises:
        TubeError: with every fault found so far, on a frame with a rear suspension; on any other
            `finish_placing` raises them.
    """
    context = PlacementContext(spec, nodes, chart, memory=Cache() if memory is None else memory)
    context.shell = fittings.shell(context)
    context.plate = fittings.plate(context)
    envelopes = [] if context.shell is None else [Envelope.of(context.shell, SHELL)]
    early, late = split_order(context, build_order(context))
    _place_all(context, early, envelopes)
    if spec.suspension is not None and context.faults:
        raise TubeError(context.faults)
    return BegunPlacing(context, tuple(late), envelopes)


def finish_placing(
    begun: BegunPlacing, pivots: Mapping[str, Point] | None = None, *, free_ends: bool = True
) -> PlacedTubes:
    """Place the other tubes, and what is fitted to them; to be called once.

    Args:
        begun: from `begin_placing`.
        pivots: where the suspension's points are drawn [mm]; None on a frame without.
        free_ends: whether to warn of ends that touch nothing.

    Raises:
        TubeError: with every fault found.
    """
    context, envelopes = begun.context, begun.envelopes
    if pivots is not None:
        context.pivots = pivots
        context.pins = plan(context)
        put_in(context, envelopes)
        _place_all(context, begun.late, envelopes)
        settle(context)
    if free_ends:
        _free_ends(context, envelopes)
    bores = fittings.bores(context)
    if context.faults:
        raise TubeError(context.faults)
    tubes = tuple(context.tubes.values())
    _apart(context, tubes, envelopes)
    made = flat_dropouts(context, fittings.dropouts(context, tubes))
    dropouts = made.dropouts
    fitted = with_outlines(context, with_tabs(context, fit(context, dropouts)))
    flat = (
        *plates(context, [part.name for part in (*dropouts, *made.plates, *fitted)], dropouts),
        *made.plates,
    )
    if context.faults:
        raise TubeError(context.faults)
    features, more = place_features(
        context.spec, tubes, {one.name: one for one in envelopes}, context.nodes.get("rear_axle")
    )
    return PlacedTubes(
        tubes=tubes,
        shell=context.shell,
        dropouts=tuple(less_towers(one, context.tubes, features) for one in dropouts),
        bores=bores,
        notes=(*context.notes, *more),
        pivots=fitted,
        features=features,
        plates=flat,
    )


def _apart(context: PlacementContext, tubes: Sequence[Tube], envelopes: Sequence[Envelope]) -> None:
    """Fault for tubes that lie in one another."""
    for earlier, later, volume in shared_metal(
        tubes, {one.name: one for one in envelopes}, context.memory
    ):
        context.fault(
            "inconsistent",
            f"tubes.{later.key}",
            f"{earlier.name} and {later.name} lie in one another: about {volume:.0f} mm³ of metal are "
            "in both",
            "move one of them, or let it end on the other, so that it is cut to fit",
        )


def _place_all(context: PlacementContext, keys: Sequence[str], envelopes: list[Envelope]) -> None:
    """Place tubes in order; each may be cut by earlier bodies on the same link."""
    for key in keys:
        tube = context.spec.tubes[key]
        member = Member(key, "left" if tube.pair else None, tube)
        earlier = [e for e in envelopes if context.link_of(e.name) == tube.link]
        placed = _place(context, member, earlier)
        if placed is None:
            continue
        both = [placed]
        if tube.pair:
            right = _right(context, member, placed, earlier)
            if right is None:
                continue
            both.append(right)
        for one in both:
            context.tubes[one.name] = one
            envelopes.append(Envelope.of(one, one.name))


def _place(context: PlacementContext, member: Member, earlier: list[Envelope]) -> Tube | None:
    """Place a single tube, or the left one of a pair; None after a fault."""
    way = _way(context, member)
    if way is None:
        return None
    axis, sits_on = way
    cuts = cut_ends(context, member, axis, sits_on)
    if cuts is None or not _on_its_side(context, member, cuts.axis):
        return None
    shape = section(context, member, cuts.axis, cuts.long_points)
    if shape is None or not check_bends(context, member, cuts.axis, shape):
        return None
    yields_to = cut_by(
        Bar(cuts.axis, shape),
        cuts.mitres,
        [end.target for end in cuts.ends],
        earlier,
        context.memory,
    )
    return _tube(context, member, cuts, shape, yields_to)


def _way(
    context: PlacementContext, member: Member
) -> tuple[Centreline, tuple[Support, Support]] | None:
    """Return a tube's uncut axis and the supports of its ends; None after a fault."""
    if member.key == "head_tube":
        return head_tube(context, member)
    if member.key == "seat_tube":
        return seat_tube(context, member)
    sits_on = supports(context, member, largest(member.spec) / 2)
    if sits_on is None:
        return None
    axis = run(context, member, sits_on)
    return None if axis is None else (axis, sits_on)


def _tube(
    context: PlacementContext,
    member: Member,
    cuts: Cuts,
    shape: Section,
    yields_to: tuple[str, ...],
) -> Tube:
    given = context.spec.material if member.spec.material is None else member.spec.material
    if isinstance(given, MaterialSpec):
        name, density = given.name, given.density_g_cm3
    else:
        name, density = given, standards.material(given).density
    colour = context.spec.colour if member.spec.colour is None else member.spec.colour
    start, end = cuts.ends
    return Tube(
        name=member.name,
        key=member.key,
        side=member.side,
        axis=cuts.axis,
        section=shape,
        start=start,
        end=end,
        cut_by=yields_to,
        density=density,
        material=name,
        colour=colour,
        link=member.spec.link,
        sold=sold(context, member, cuts.axis.length, cuts.long_points),
    )


def _on_its_side(context: PlacementContext, member: Member, axis: Centreline) -> bool:
    """Fault if the left one of a pair is not on the left; return whether it is."""
    if member.side is None:
        return True
    y = axis.points(np.linspace(0.0, axis.length, 9))[:, 1]
    if float(np.abs(y).max()) < 1e-6:
        context.fault(
            "inconsistent",
            f"{member.path}.pair",
            "left and right lie in the same place, in the centre plane",
            "give its ends a lateral position y, or leave pair out",
        )
        return False
    if float(y.mean()) < 0:
        context.fault(
            "inconsistent",
            f"{member.path}.pair",
            "a pair is written for the left, and this one lies to the right",
            "positive y is to the rider's left",
        )
        return False
    return True


def _right(
    context: PlacementContext, member: Member, left: Tube, earlier: list[Envelope]
) -> Tube | None:
    """Place the right tube of a pair, the mirror image of the left one; None after a fault.

    It is cut by the mirror images of what cuts the left tube, and by the left tube where both overlap.
    """
    pairs = [key for key, tube in context.spec.tubes.items() if tube.pair]
    axis = left.axis.mirrored()
    ends: list[End] = []
    for which, end in (("start", left.start), ("end", left.end)):
        target = other_side(end.target, pairs)
        there = replace(end, point=mirrored(end.point), target=target)
        host = context.tubes.get(target) if target is not None and target == end.target else None
        if host is not None and not _in_plane(host.axis):
            # A single tube out of the centre plane: both ends must meet it in the same way.
            away = axis.tangent(0.0) if which == "start" else -axis.tangent(axis.length)
            angle, offset = crossing(vector(there.point), away, host.axis)
            gaps = [
                float(np.linalg.norm(p - host.axis.points(host.axis.nearest(p[None]))[0]))
                for p in (vector(end.point), vector(there.point))
            ]
            if abs(gaps[1] - gaps[0]) > 1e-6 or abs(offset - end.offset) > 1e-6:
                context.fault(
                    "junction-miss",
                    f"{member.path}.{which}.on",
                    f"{host.name} is not the same on both sides, so the right one of the pair "
                    "does not meet it as the left one does",
                    "two single tubes in place of the pair",
                )
                return None
            there = replace(there, angle=angle)
        ends.append(there)
    up, across = (way * (1.0, -1.0, 1.0) for way in left.axis.frame(0.0))
    rounds = tuple(signs_kept((up, across), axis.frame(0.0), one) for one in left.section.rounds)
    shape = Bar(axis, replace(left.section, rounds=rounds))
    # Bodies on both sides that are not symmetric may cut left and right differently.
    both = {e.name: e for e in earlier if e.name in context.tubes and not _sided(context, e.name)}
    names = [other_side(name, pairs) for name in left.cut_by]
    targets = [end.target for end in ends]
    kept = [name for name in names if name is not None and (name not in both or name in targets)]
    cuts = mitres(context, shape, (ends[0], ends[1]))
    if both:
        kept += [
            n for n in cut_by(shape, cuts, targets, both.values(), context.memory) if n not in kept
        ]
    mirror = [Envelope.of(left, left.name)]
    # Where both are mitred to one tube, they may meet inside of it, where neither has metal.
    crossed = cut_by(shape, cuts, (None, None), mirror, context.memory)
    if crossed:
        context.warn(
            member.path, f"left and right {member.key} overlap; the right one is cut by the left"
        )
    return replace(
        left,
        name=Member(member.key, "right", member.spec).name,
        side="right",
        axis=axis,
        section=shape.section,
        start=ends[0],
        end=ends[1],
        cut_by=(*kept, *(name for name in crossed if name not in kept)),
    )


def _sided(context: PlacementContext, name: str) -> bool:
    """Whether a tube is one of a pair, or lies in the centre plane."""
    tube = context.tubes[name]
    return tube.side is not None or _in_plane(tube.axis)


def _in_plane(axis: Centreline) -> bool:
    """Whether an axis lies in the centre plane."""
    return all(abs(p[1]) < 1e-9 for piece in axis.pieces for p in (piece.start, piece.end))


def _free_ends(context: PlacementContext, envelopes: list[Envelope]) -> None:
    """Warn about every end that neither sits on a body nor touches one."""
    for tube in context.tubes.values():
        if tube.key == "head_tube" or tube.side == "right":
            continue
        for which, end in (("start", tube.start), ("end", tube.end)):
            if end.target is not None or (tube.key == "seat_tube" and which == "end"):
                continue
            junction = getattr(context.spec.tubes[tube.key], which)
            if junction is not None and junction.on in context.pivots:
                continue
            s = 0.0 if which == "start" else tube.axis.length
            height, width = tube.section.radii_at(s)
            reach = float(max(height, width))
            point = vector(end.point)[None]
            touched = any(
                float(other.depth(point)[0]) > -reach
                for other in envelopes
                if other.name != tube.name
            )
            if not touched:
                context.warn(
                    f"tubes.{tube.key}.{which}", f"the {which} of {tube.key} touches no other part"
                )
