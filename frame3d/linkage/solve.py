"""Solve the rear suspension of a parameter file, or report what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from frame3d.errors import Fault, LinkageError, Note
from frame3d.linkage.adjust import Found, adjust
from frame3d.linkage.curves.remarks import leverage_rises
from frame3d.linkage.deadpoint import dead_point
from frame3d.linkage.mechanism import Mechanism, make
from frame3d.linkage.mobility import mobility
from frame3d.linkage.motion import LinkageMotion
from frame3d.linkage.points import OnTube, as_pairs, drift, given_value, no_tubes, positions
from frame3d.linkage.result import Linkage
from frame3d.linkage.structure import FRAME, Structure, structure_of
from frame3d.linkage.trace import DeadPointError, LinkageTrack, trace
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.suspension import SuspensionSpec, coordinates

LENGTH_AGREES = 0.25
"""Largest accepted difference between the shock's length and the drawn distance of its ends [mm]; the
drawn distance is used. Common practice, no source: bolts and bushings have that much play."""
FOUND_DIGITS = 8
"""Decimals of the coordinates that `solve_for` finds [mm], so that whichever way finds them gives the
same linkage, bit by bit."""
TRAVEL_AGREES = 1.0
"""Largest accepted difference between the travel and the wanted travel [mm]."""


def solve_linkage(
    spec: FrameSpec,
    axle: tuple[float, float],
    on_tube: OnTube = no_tubes,
    count: int = 101,
    found: Mapping[tuple[str, str], float] | None = None,
) -> Linkage:
    """Solve the rear suspension over its whole stroke.

    Args:
        spec: the parameter file, with a suspension.
        axle: the rear axle as drawn, (x, z) from the bottom bracket [mm].
        on_tube: returns the position of a point on a tube of the front frame; see `points.OnTube`.
        count: number of evenly spaced strokes, from 0 to the full one; at least 2.
        found: values of the coordinates that `solve_for` names [mm], where another way has found them
            already, to `FOUND_DIGITS`.

    Raises:
        ValueError: the file has no suspension.
        LinkageError: the links lock, move in more than one way or reach a dead point; two points of a
            link coincide; the wheel goes down; the shock does not fit; the travel is not reached.
    """
    suspension = spec.suspension
    if suspension is None:
        raise ValueError("this bike has no rear suspension")
    structure = structure_of(
        suspension.links, suspension.axle.on, (suspension.shock.start, suspension.shock.end)
    )
    mechanism = made(spec, suspension, structure, positions(suspension, axle, on_tube))
    moved: dict[tuple[str, str], float] = {}
    if suspension.solve_for:
        moved = (
            _adjusted(spec, suspension, structure, axle, on_tube) if found is None else dict(found)
        )
        drawn = positions(suspension, axle, on_tube, moved)
        mechanism = made(spec, suspension, structure, drawn)
    _raise(_shock_length(spec, suspension, mechanism))
    linkage = over_stroke(spec, suspension, mechanism, moved, count)
    _raise(_travel(spec, suspension, linkage))
    return linkage


def made(
    spec: FrameSpec,
    suspension: SuspensionSpec,
    structure: Structure,
    drawn: Mapping[str, complex],
) -> Mechanism:
    """Return the mechanism of points as drawn at full extension, x + i·z [mm].

    Raises:
        LinkageError: two points of a link coincide; the links lock or move in more than one way there,
            or the shock or the rear axle does not move with them.
    """
    _raise(_coincident(spec, suspension, drawn))
    mechanism = make(structure, drawn)
    _raise(_immobile(spec, mechanism))
    return mechanism


def over_stroke(
    spec: FrameSpec,
    suspension: SuspensionSpec,
    mechanism: Mechanism,
    moved: Mapping[tuple[str, str], float],
    count: int = 101,
) -> Linkage:
    """Return the linkage over the shock's whole stroke.

    Args:
        spec: the parameter file.
        suspension: its section.
        mechanism: from `made`.
        moved: values [mm] that `solve_for` found.
        count: number of evenly spaced strokes, from 0 to the full one; at least 2.

    Raises:
        LinkageError: it reaches a dead point, or the wheel goes down.
    """
    strokes = np.linspace(0.0, suspension.shock.full_stroke, max(count, 2))
    try:
        track = trace(mechanism, strokes)
    except DeadPointError as error:
        raise LinkageError(dead_point(spec, mechanism, error.last)) from None
    for values in (track.stroke, track.angle, track.unit):
        values.flags.writeable = False
    linkage = Linkage(
        motion=LinkageMotion(mechanism, track),
        shock=(suspension.shock.start, suspension.shock.end),
        axle_link=suspension.axle.on,
        brake_link=suspension.brake_link,
        bodies=_bodies(suspension, mechanism.structure),
        drawn=as_pairs(mechanism.drawn),
        moved=moved,
        notes=_notes(spec, mechanism, moved),
    )
    rises = leverage_rises(linkage)
    if rises is not None:
        warned = spec.note("warning", rises, "suspension.points")
        linkage = replace(linkage, notes=(*linkage.notes, warned))
    _raise(_backward(spec, linkage))
    return linkage


def _raise(faults: Sequence[Fault]) -> None:
    if faults:
        raise LinkageError(faults)


def _bodies(suspension: SuspensionSpec, structure: Structure) -> dict[str, tuple[str, ...]]:
    out = {body: tuple(suspension.links[body]) for body in (FRAME, *structure.links)}
    if "rear_axle" not in out[structure.axle]:
        out[structure.axle] = (*out[structure.axle], "rear_axle")
    return out


def _coincident(
    spec: FrameSpec, suspension: SuspensionSpec, drawn: Mapping[str, complex]
) -> list[Fault]:
    """Fault if two points of one link lie in the same place."""
    faults = []
    for link, points in suspension.links.items():
        for i, point in enumerate(points):
            for before in points[:i]:
                if abs(drawn[point] - drawn[before]) < 1e-6:
                    faults.append(
                        spec.fault(
                            "mechanism",
                            f"suspension.links.{link}.{i}",
                            f"{before} and {point} lie on each other",
                            "name one point twice where one pivot is meant, or move one of them",
                        )
                    )
    return faults


def _immobile(spec: FrameSpec, mechanism: Mechanism) -> list[Fault]:
    """Fault if the linkage's mobility is not 1, or if the shock or the axle does not move with it."""
    links = mechanism.structure.links
    found = mobility(mechanism)
    count = (
        f"{len(links)} moving links have {3 * len(links)} freedoms, their pivots take "
        f"{3 * len(links) - found.counted}"
    )
    if found.freedoms == 0:
        return [
            spec.fault(
                "mechanism",
                "suspension.links",
                f"the links lock at stroke 0 mm: mobility 0 where 1 is wanted ({count})",
                f"take a pivot away from one of {', '.join(links)}, or put a link in between",
            )
        ]
    if found.freedoms > 1 and found.counted == 1:
        return [
            spec.fault(
                "mechanism",
                "suspension.points",
                "at full extension (stroke 0 mm) pivots stand in line: the links can move from there "
                f"in {found.freedoms} ways",
                f"move a pivot of {', '.join(found.loose or links)} out of the line",
            )
        ]
    if found.freedoms > 1:
        return [
            spec.fault(
                "mechanism",
                f"suspension.links.{(found.loose or links)[0]}",
                f"mobility {found.freedoms} where 1 is wanted ({count}): with the shock held still, "
                f"{_and(found.loose or links)} can still move",
                "join it by one more pivot, or take it out",
            )
        ]
    if found.held:
        return [
            spec.fault(
                "shock",
                "suspension.shock",
                "at stroke 0 mm the shock does not shorten as the links move: its ends stand where "
                "their distance is longest or shortest",
                "move an end of the shock so that the links drive it",
            )
        ]
    if mechanism.structure.axle in found.still:
        return [
            spec.fault(
                "mechanism",
                "suspension.axle.on",
                f"{mechanism.structure.axle} cannot move, and the axle with it",
                "the wheel's link has to move with the shock",
            )
        ]
    return []


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _shock_length(spec: FrameSpec, suspension: SuspensionSpec, mechanism: Mechanism) -> list[Fault]:
    wanted, shock = suspension.shock.length, suspension.shock
    if abs(mechanism.length - wanted) <= LENGTH_AGREES:
        return []
    key = "eye_to_eye" if shock.size is None else "size"
    return [
        spec.fault(
            "shock",
            f"suspension.shock.{key}",
            f"at stroke 0 mm {shock.start} and {shock.end} are {mechanism.length:.2f} mm apart; the "
            f"shock is {wanted:g} mm long",
            f"move one of the points, or let solve_for do it: {_wish(suspension, 'eye_to_eye')}",
        )
    ]


def _backward(spec: FrameSpec, linkage: Linkage) -> list[Fault]:
    """Fault if the wheel stands still or goes down anywhere while the shock is compressed."""
    leverage = linkage.leverage
    falling = np.flatnonzero(leverage <= 0)
    if not len(falling):
        return []
    if falling[0] == 0:
        return [
            spec.fault(
                "shock",
                "suspension.shock",
                f"at stroke 0 mm the wheel goes down as the shock shortens (leverage ratio "
                f"{leverage[0]:.3g})",
                "put an end of the shock on the other side of its link's pivot",
            )
        ]
    low, high = (float(linkage.stroke[falling[0] - i]) for i in (1, 0))
    while high - low > 1e-9 * linkage.full_stroke:
        middle = (low + high) / 2
        if linkage.at_strokes(np.array([middle])).leverage[0] > 0:
            low = middle
        else:
            high = middle
    top = float(linkage.at_strokes(np.array([low])).travel[0])
    return [
        spec.fault(
            "mechanism",
            "suspension.shock",
            f"at stroke {low:.2f} mm the wheel turns back, after {top:.1f} mm of travel: the links "
            "there no longer raise it",
            "a shorter stroke, or move the pivots",
        )
    ]


def _wish(suspension: SuspensionSpec, to_meet: str) -> str:
    """Return the YAML line that lets the tool find a coordinate of one of the shock's ends."""
    ends = (suspension.shock.end, suspension.shock.start)
    end = next((point for point in ends if point in suspension.points), ends[0])
    coordinate = coordinates(suspension.points.get(end))[0]
    return f"solve_for: [{{point: {end}, coordinate: {coordinate}, to_meet: {to_meet}}}]"


def _travel(spec: FrameSpec, suspension: SuspensionSpec, linkage: Linkage) -> list[Fault]:
    wanted = suspension.travel
    if wanted is None or abs(linkage.full_travel - wanted) <= TRAVEL_AGREES:
        return []
    wish = _wish(suspension, "travel")
    return [
        spec.fault(
            "travel",
            "suspension.travel",
            f"at the end of the stroke, {linkage.full_stroke:g} mm, the travel is "
            f"{linkage.full_travel:.1f} mm, not {wanted:g}",
            f"write {linkage.full_travel:.1f}, or let a coordinate be found: {wish}",
        )
    ]


def _adjusted(
    spec: FrameSpec,
    suspension: SuspensionSpec,
    structure: Structure,
    axle: tuple[float, float],
    on_tube: OnTube,
) -> dict[tuple[str, str], float]:
    """Find values [mm] of the coordinates that `solve_for` names.

    Raises:
        LinkageError: there are none, or the linkage does not reach the end of its stroke.
    """
    keys = [(wish.point, wish.coordinate) for wish in suspension.solve_for]
    wanted = {"travel": suspension.travel, "eye_to_eye": suspension.shock.length}

    def moved(values: Sequence[float]) -> dict[tuple[str, str], float]:
        return dict(zip(keys, values, strict=True))

    wishes = [(w.to_meet, float(wanted[w.to_meet] or 0.0)) for w in suspension.solve_for]
    start = [given_value(suspension, key) for key in keys]
    try:
        found = adjust(
            lambda values: make(structure, positions(suspension, axle, on_tube, moved(values))),
            lambda values: [drift(suspension, axle, on_tube, moved(values), key) for key in keys],
            start,
            wishes,
            suspension.shock.full_stroke,
        )
    except DeadPointError as error:
        mechanism = make(structure, positions(suspension, axle, on_tube))
        last = _to_dead_point(mechanism, suspension.shock.full_stroke) or error.last
        raise LinkageError(dead_point(spec, mechanism, last)) from None
    if not found.met:
        raise LinkageError(_unmet(spec, keys, wishes, found))
    return moved([round(value, FOUND_DIGITS) for value in found.values])


def _to_dead_point(mechanism: Mechanism, stroke: float) -> LinkageTrack | None:
    """Return the last pose before a dead point, found to full accuracy; None where there is none."""
    try:
        trace(mechanism, np.array([0.0, stroke]))
    except DeadPointError as error:
        return error.last
    return None


def _unmet(
    spec: FrameSpec,
    keys: Sequence[tuple[str, str]],
    wishes: Sequence[tuple[str, float]],
    found: Found,
) -> list[Fault]:
    faults = []
    for i, ((name, wanted), left) in enumerate(zip(wishes, found.left, strict=True)):
        if abs(left) <= 1e-6:
            continue
        point, coordinate = keys[i]
        code = "travel" if name == "travel" else "shock"
        where = "at the end of the stroke" if name == "travel" else "at stroke 0 mm"
        faults.append(
            spec.fault(
                code,
                f"suspension.solve_for.{i}",
                f"moving {coordinate} of {point} does not make {name} {wanted:g} mm: nearest is "
                f"{wanted + left:.2f} mm {where}, with {coordinate} {found.values[i]:.1f}",
                "another coordinate, another start for it, or another wish",
            )
        )
    return faults


def _notes(
    spec: FrameSpec, mechanism: Mechanism, moved: Mapping[tuple[str, str], float]
) -> tuple[Note, ...]:
    notes = [
        spec.note(
            "solved",
            f"{coordinate} of {point} is {value:.3f} mm",
            f"suspension.points.{point}",
        )
        for (point, coordinate), value in moved.items()
    ]
    if mechanism.structure.count < 1:
        notes.append(
            spec.note(
                "warning",
                "the linkage has more pivots than it needs and moves only because of its exact sizes; "
                "a frame that is a little out will bind",
                "suspension.links",
            )
        )
    return tuple(notes)
