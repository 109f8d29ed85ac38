"""Exchange parts: the same frame with other parts is another bike."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from frame3d.bike.bike import Bike, Stance
from frame3d.bike.move_frame import move_frame
from frame3d.bike.solve import solve, stand
from frame3d.chart.as_built import swap
from frame3d.chart.cache import Cache
from frame3d.chart.givens import givens, relations_for
from frame3d.chart.solve import Solved
from frame3d.errors import Fault, SpecError
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.models.parts import CupSpec, HubSpec
from frame3d.parameters.reading.change import changed
from frame3d.parameters.sizes import standards
from frame3d.tubes.frame import Frame

if TYPE_CHECKING:
    from frame3d.linkage.exchanged import Exchanged


def exchange(
    bike: Bike, spec: FrameSpec, paths: Sequence[str], memory: Cache | None = None
) -> Bike:
    """Return the bike with parts exchanged, the frame pitched until both wheels stand on the ground.

    It equals the bike of a file that gives this frame, turned about the bottom bracket, and those parts.
    An exchanged point of the rear suspension (a flip chip), or a shock of another length, also moves its
    links, each as a whole, to where they meet again with the shock at full extension; the points' new
    positions are given as the file gives points, in the position that the frame was designed in. See
    `frame3d.linkage.exchanged` for what stays as made.

    All exchanges start from the frame as designed, so their order does not matter.

    Args:
        bike: with its present parts.
        spec: its file with the exchanged values.
        paths: dotted paths of the exchanged values.
        memory: as for `stand`.

    Raises:
        SpecError: a path is not a part, or the part does not fit the built frame.
        GeometryError: the wheels cannot both reach the ground.
        LinkageError: the rear suspension cannot be assembled with it, or does not work.
    """
    designed = bike if bike.designed is None else bike.designed
    # Those of earlier exchanges come last, so that faults name a new one.
    every = tuple(dict.fromkeys((*paths, *bike.exchanged)))
    suspension = _suspension(designed, spec, every)
    axle = suspension.linkage.drawn["rear_axle"] if suspension and suspension.links else None
    slid = _slide_between(designed.spec, spec)
    if slid:  # as designed: no sliding dropouts beside a rear suspension
        x, _, z = designed.nodes["rear_axle"]
        axle = (x + slid, z)
    shift = _turned_between(designed.spec, spec)
    pitched = swap(designed.solved, designed.spec, spec, every, axle, shift)
    _refuse_misfits(designed.spec, spec)
    values = {name: value for name, value in pitched.values.items() if name != "pitch"}
    turn = float(np.degrees(pitched.values["pitch"]))
    links = {} if suspension is None else suspension.links
    return stand(
        move_frame(
            _slid(designed.frame, slid),
            turn,
            {link: motion.pitched(turn) for link, motion in links.items()},
            shift,
        ),
        spec,
        _with_values(designed.solved, spec, values),
        None if suspension is None else suspension.linkage.pitched(turn),
        tuple(dict.fromkeys((*bike.exchanged, *paths))),
        designed,
        memory,
    )


def _slide_between(designed: FrameSpec, now: FrameSpec) -> float:
    """Return how far forward the axle has slid in its dropouts [mm]."""
    before, after = designed.build.slide, now.build.slide
    return 0.0 if before is None or after is None else before.at - after.at


def _turned_between(designed: FrameSpec, now: FrameSpec) -> tuple[float, float]:
    """Return how far an eccentric insert's turn moves the frame about the bottom bracket: x, z [mm].

    In the axes that the frame was designed in.
    """
    before, after = designed.build.insert, now.build.insert
    if before is None or after is None or before.angle == after.angle:
        return 0.0, 0.0
    (x, z), (to_x, to_z) = before.middle(before.angle), after.middle(after.angle)
    return to_x - x, to_z - z


def _slid(frame: Frame, forward: float) -> Frame:
    """Return a frame as designed with the axle slid forward in its dropouts [mm]."""
    if not forward:
        return frame
    moved = []
    for dropout in frame.dropouts:
        x, y, z = dropout.axle
        moved.append(replace(dropout, axle=(x + forward, y, z)))
    return replace(frame, dropouts=tuple(moved))


def _suspension(designed: Bike, spec: FrameSpec, paths: Sequence[str]) -> Exchanged | None:
    """Return the rear suspension with the values at `paths` exchanged; None on a frame without one.

    Raises:
        LinkageError: as `frame3d.linkage.exchange_linkage`.
    """
    if designed.linkage is None:
        return None
    from frame3d.bike.suspended import exchange_suspension

    return exchange_suspension(designed.linkage, designed.frame, spec, paths)


def exchange_values(bike: Bike, values: Mapping[str, Any], memory: Cache | None = None) -> Bike:
    """Return the bike with the values at some dotted paths exchanged; see `exchange`."""
    spec = bike.spec
    for path, value in values.items():
        spec = changed(_without_wishes(spec, path), path, value)
    return exchange(bike, spec, tuple(values), memory)


def _without_wishes(spec: FrameSpec, path: str) -> FrameSpec:
    """Return the file without what it searches of a point that is exchanged as a whole."""
    if spec.suspension is None:
        return spec
    wishes = spec.suspension.solve_for
    left = tuple(wish for wish in wishes if path != f"suspension.points.{wish.point}")
    return spec if left == wishes else changed(spec, "suspension.solve_for", left)


def redesign(bike: Bike, values: Mapping[str, Any], memory: Cache | None = None) -> Bike:
    """Return the bike whose frame is built to changed values; parts exchanged before stay on it.

    Args:
        bike: any bike.
        values: dotted path -> new value; those of an exchanged part change that part only.
        memory: as for `solve`.

    Raises:
        FrameError: that bike cannot be made.
    """
    spec, own = bike.spec, bike.frame.spec
    for path, value in values.items():
        spec = changed(spec, path, value)
        if not any(_covers(part, path) for part in bike.exchanged):
            own = changed(own, path, value)
    if not bike.exchanged:
        return solve(spec, memory)
    return exchange(solve(own, memory), spec, bike.exchanged, memory)


def _covers(part: str, path: str) -> bool:
    return path == part or path.startswith(f"{part}.") or part.startswith(f"{path}.")


@dataclass(frozen=True)
class AsBuilt:
    """The changes to a bike by exchanging parts."""

    before: Stance
    after: Stance
    change: dict[str, float | None]
    """Chart figure -> after minus before; None where a figure has no value."""


def as_built(before: Bike, after: Bike) -> AsBuilt:
    """Return how a bike changed when its parts were exchanged."""
    change: dict[str, float | None] = {}
    for figure, old in before.chart.items():
        new = after.chart[figure]
        change[figure] = None if old is None or new is None else new - old
    return AsBuilt(_stance(before), _stance(after), change)


def _stance(bike: Bike) -> Stance:
    return Stance(bike.chart, bike.nodes, bike.frame.pitch, bike.rider)


def _with_values(solved: Solved, spec: FrameSpec, values: Mapping[str, float]) -> Solved:
    """Return the solved chart with other values, and the givens of another file."""
    stated = {g.variable: g for g in givens(spec)}
    basis = tuple(
        replace(stated.get(g.variable, g), value=values[g.variable])
        for g in solved.basis
        if g.variable in values
    )
    return Solved(relations_for(spec), values, basis, tuple(stated.values()), solved.notes)


def _refuse_misfits(before: FrameSpec, after: FrameSpec) -> None:
    """Refuse parts that need another size than that for which the frame is built.

    Raises:
        SpecError: naming every such part.
    """
    built, asked = dict(_seats(before)), dict(_seats(after))
    faults: list[Fault] = []
    for path, size in asked.items():
        if size == built.get(path):
            continue
        has = f"is built for {_said(built[path])}" if path in built else "has no seat for it"
        faults.append(
            after.fault(
                "override",
                path,
                f"asks for {_said(size)}, and the frame {has}",
                "exchange it for a part of the same size; to change the frame itself use --set",
            )
        )
    if faults:
        raise SpecError(faults)


def _said(size: Hashable) -> str:
    sizes = size if isinstance(size, tuple) else (size,)
    return " x ".join(f"{x:g}" if isinstance(x, int | float) else str(x) for x in sizes) + " mm"


def _seats(spec: FrameSpec) -> Iterator[tuple[str, Hashable]]:
    """Yield the sizes of the frame that parts need [mm]: (path of the part, size)."""
    build = spec.build
    if build.rear_wheel is not None and build.rear_wheel.hub is not None:
        hub = build.rear_wheel.hub
        own = hub if isinstance(hub, HubSpec) else standards.hub(hub)
        yield "build.rear_wheel.hub", (own.width, own.axle)
    for key in ("upper", "lower"):
        cup = None if build.headset is None else getattr(build.headset, key)
        if cup is not None:
            seat = cup if isinstance(cup, CupSpec) else standards.cup(cup)
            yield f"build.headset.{key}", (seat.bore, seat.depth)
    if build.seatpost is not None and build.seatpost.diameter is not None:
        yield "build.seatpost.diameter", (build.seatpost.diameter,)
    if spec.suspension is not None:
        yield "suspension.shock.eye_width", (spec.suspension.shock.eye_width,)
