"""A rear suspension with exchanged points, or with another shock, on the metal that was made.

An exchanged point is a hole in one body, the one that holds the chip (`parameters.models.pivots.chips`).
It is given as the file gives points: in the position that the frame was designed in, with the shock at
full extension; a point that it is given from counts where that was made. Everything else stays as made:
other bodies on the pivot keep their holes, points given from the exchanged one do not follow it, and
coordinates that `solve_for` found keep their values unless the exchange gives them. The travel is no
wish any more but what comes out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from frame3d.errors import Fault, LinkageError, Note
from frame3d.geometry.side_motion import SideMotion
from frame3d.linkage.deadpoint import in_line
from frame3d.linkage.mechanism import Hole, Mechanism, make
from frame3d.linkage.points import Coordinate, OnTube, position
from frame3d.linkage.reassembly import Assembled, reassembled
from frame3d.linkage.result import Linkage
from frame3d.linkage.solve import made, over_stroke
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.pivots import chips
from frame3d.parameters.models.suspension import SuspensionSpec

POINTS = "suspension.points."
SHOCK = "suspension.shock"
FITS = 1e-6
"""Largest gap between holes of one pivot that still counts as none [mm]."""
_INDEXED = {"0": "x", "1": "z"}
"""Place in a list [x, z] -> name of the coordinate."""


@dataclass(frozen=True, eq=False)
class Exchanged:
    """The rear suspension of a built frame with exchanged points or another shock."""

    linkage: Linkage
    """At full extension as drawn, in the axes that the frame was designed in."""
    links: Mapping[str, SideMotion]
    """Motion of each link from the position that it was designed in; empty if none moved."""


def exchange_linkage(
    linkage: Linkage,
    before: FrameSpec,
    after: FrameSpec,
    paths: Sequence[str],
    on_tube: OnTube,
) -> Exchanged:
    """Return a built frame's rear suspension with the values at `paths` exchanged.

    Args:
        linkage: as designed.
        before: the file that the frame was built to.
        after: the file with the exchanged values.
        paths: dotted paths of exchanged values; those that are not of the suspension change nothing.
        on_tube: returns the position of a point on a tube of the frame as designed.

    Raises:
        LinkageError: it is not settled which body holds a chip; the links cannot be assembled with the
            exchanged values, or do not work over the stroke.
    """
    own = [path for path in paths if path.startswith((POINTS, SHOCK))]
    old, new = before.suspension, after.suspension
    if not own or old is None or new is None:
        return Exchanged(linkage, {})
    holes = _holes(linkage, after, new, own, on_tube)
    length = linkage.mechanism.length
    if new.shock.length != old.shock.length:
        length = new.shock.length
    if not holes and length == linkage.mechanism.length:
        if new.shock.full_stroke == old.shock.full_stroke:
            return Exchanged(linkage, {})
        return Exchanged(_followed(linkage, linkage.mechanism, after, new, own), {})
    found = reassembled(linkage.mechanism, holes, length)
    blamed = own[0] if not holes else next(path for path in own if path.startswith(POINTS))
    if found.share < 1:
        raise LinkageError(_out_of_reach(linkage, after, found, blamed, bool(holes)))
    if found.misfit > FITS:
        raise LinkageError(_binds(after, found, blamed))
    drawn = _drawn(linkage, found)
    try:
        mechanism = made(after, new, linkage.mechanism.structure, drawn)
    except LinkageError as error:
        raise _as_built(after, error, blamed) from None
    followed = _followed(linkage, mechanism, after, new, own)
    notes = (*followed.notes, *_notes(linkage, after, holes))
    links = {
        link: SideMotion(float(np.degrees(turn)), float(at.real), float(at.imag))
        for link, turn, at in zip(linkage.links, found.turn, found.origin, strict=True)
    }
    return Exchanged(replace(followed, notes=notes), links)


def _named(path: str) -> tuple[str, str | None]:
    """Return the point of a path, and the coordinate; None for the whole point."""
    name, _, rest = path.removeprefix(POINTS).partition(".")
    return name, _INDEXED.get(rest, rest) if rest else None


def _holes(
    linkage: Linkage,
    spec: FrameSpec,
    suspension: SuspensionSpec,
    paths: Sequence[str],
    on_tube: OnTube,
) -> dict[Hole, complex]:
    """Return the holes that the exchange moves, each in its body's drawn place [mm].

    Raises:
        LinkageError: it is not settled which body holds the chip of a point.
    """
    given: dict[str, list[tuple[str, str | None]]] = {}
    for path in paths:
        if path.startswith(POINTS):
            name, coordinate = _named(path)
            given.setdefault(name, []).append((path, coordinate))
    out: dict[Hole, complex] = {}
    faults: list[Fault] = []
    for name, exchanged in given.items():
        bodies = chips(suspension, name)
        if len(bodies) != 1:
            faults.append(_unsettled(spec, name, bodies, exchanged[0][0]))
            continue
        kept = _kept(linkage.moved, name, [coordinate for _, coordinate in exchanged])
        at = position(suspension, name, lambda p: linkage.mechanism.drawn[p], on_tube, kept)
        if at != linkage.mechanism.drawn[name]:
            out[name, bodies[0]] = at
    if faults:
        raise LinkageError(faults)
    return out


def _kept(
    moved: Mapping[Coordinate, float], name: str, given: Sequence[str | None]
) -> dict[Coordinate, float]:
    """Return the values that `solve_for` found for a point and that the exchange does not give."""
    if None in given:
        return {}
    return {key: value for key, value in moved.items() if key[0] == name and key[1] not in given}


def _drawn(linkage: Linkage, found: Assembled) -> dict[str, complex]:
    """Return where every point is once the links are assembled, x + i·z [mm]."""
    out = dict(linkage.mechanism.drawn)
    done: set[str] = set()
    for body, points in linkage.bodies.items():  # the frame first: what it holds does not move
        for point in points:
            if point not in done:
                out[point] = found.at(body, point, linkage.mechanism)
                done.add(point)
    return out


def _followed(
    linkage: Linkage,
    mechanism: Mechanism,
    spec: FrameSpec,
    suspension: SuspensionSpec,
    paths: Sequence[str],
) -> Linkage:
    """Return the linkage over the stroke.

    Raises:
        LinkageError: it does not come to the end of the stroke.
    """
    given = [_named(path) for path in paths if path.startswith(POINTS)]
    kept = {
        (point, coordinate): value
        for (point, coordinate), value in linkage.moved.items()
        if (point, coordinate) not in given and (point, None) not in given
    }
    try:
        return over_stroke(spec, suspension, mechanism, kept)
    except LinkageError as error:
        raise _as_built(spec, error, paths[0]) from None


def _notes(linkage: Linkage, spec: FrameSpec, holes: Mapping[Hole, complex]) -> tuple[Note, ...]:
    """Return a note for each exchanged point: how far it moved in its body, whose metal did not."""
    return tuple(
        spec.note(
            "exchanged",
            f"{point} lies {abs(at - linkage.mechanism.drawn[point]):.2f} mm from where {body} was "
            f"made to have it; the metal of {body} is shown as made",
            f"{POINTS}{point}",
        )
        for (point, body), at in holes.items()
    )


def _as_built(spec: FrameSpec, error: LinkageError, path: str) -> LinkageError:
    """Return an error that names the exchange from which it comes."""
    return LinkageError(
        spec.fault(fault.code, path, f"on the built frame: {fault.message}", fault.hint)
        for fault in error.faults
    )


def _unsettled(spec: FrameSpec, name: str, bodies: tuple[str, ...], path: str) -> Fault:
    if not bodies:
        return spec.fault(
            "override",
            path,
            f"no link has {name}, so nothing stands there that could be exchanged",
            "exchange a point that a link names",
        )
    return spec.fault(
        "override",
        path,
        f"{', '.join(bodies)} have lugs at {name}, and the file does not say which of them holds the "
        "exchanged position",
        f"suspension.pivots.{name}.chip: {bodies[0]}, or another of them",
    )


def _out_of_reach(
    linkage: Linkage, spec: FrameSpec, found: Assembled, path: str, moved: bool
) -> Fault:
    """Return the fault of links that do not come as far as the exchange asks."""
    there = make(linkage.mechanism.structure, _drawn(linkage, found))
    still = np.ones(there.count, dtype=complex)
    named = in_line(spec, there, still) or in_line(spec, there, still, shock=True)
    row = "their pivots come to stand in line" if named is None else f"{_and(named)} come in line"
    far = f"at an eye-to-eye length of {found.length:.2f} mm"
    if moved:
        far = f"after {100 * found.share:.0f} % of the way to the new position"
    return spec.fault(
        "mechanism",
        path,
        f"on the built frame the links cannot be assembled with it: {far} {row}, and they go no further",
        "a shock of another length" if not moved else "a position less far away",
    )


def _binds(spec: FrameSpec, found: Assembled, path: str) -> Fault:
    return spec.fault(
        "mechanism",
        path,
        "on the built frame the links cannot be assembled with it: the linkage has more pivots than it "
        f"needs, and one of them would be {found.misfit:.2f} mm off its hole",
        "leave it, or build links of other lengths",
    )


def _and(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}"
