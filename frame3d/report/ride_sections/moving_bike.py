"""The bike of the page in a few lines, in parts that move, for the return after a hit.

Each part is a group of outlines that one mount carries. A script moves the groups against the frame and
pitches the frame so that both wheels stand on the ground; here is what it needs for that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from frame3d.bodies.motion.mounts import SPRUNG, Mount, Name
from frame3d.bodies.motion.pose import Pose, matrices
from frame3d.geometry.arrays import Array
from frame3d.report.drawing.sheet import XZ, path
from frame3d.report.markup import Markup, el
from frame3d.report.outline import Outline, outlines
from frame3d.report.ride_sections.damping_plots import shown_returns
from frame3d.report.side import Side
from frame3d.ride.damping.result import Damping, EndRide

SKIPPED: Final = frozenset(
    {"shoe", "pedal", "lug", "housing", "bottle", "brake_lever", "chain", "rear_adaptor",
     "rear_caliper", "front_caliper", "cassette", "rear_rotor", "front_rotor", "fork_knob",
     "fork_axle", "dropper_lever", "extra", "bumper"}
)  # fmt: skip
"""Parts too small to matter in a small picture, as the beginnings of their names."""
FINE: Final = 2.5
"""How far outlines may be off [mm]; a pixel of the picture is about 5."""
PLACES: Final = 15
"""Number of travels at which the links' places are given."""
MARGIN: Final = 40.0
"""Room around the bike [mm]."""
BIKE_ID: Final = "hit-part"
"""Beginning of the ids of the parts."""


@dataclass(frozen=True)
class MovingPart:
    """What one mount carries."""

    mount: Mount | None
    """None for what the frame carries."""
    marks: tuple[Markup, ...]


def moving_parts(side: Side) -> tuple[MovingPart, ...]:
    """Return the parts of the side view by their mounts, far ones first.

    None where the file describes no tubes, or not both tyres: too little of the bike to move.
    """
    names = {body.name for body in side.bodies.bodies}
    if not side.bike.tubes or not {"rear_tyre", "front_tyre"} <= names:
        return ()
    by_mount: dict[str, tuple[Mount, list[Markup]]] = {}
    for outline in outlines(side.bodies, SKIPPED):
        mount = side.bodies.body(outline.name).mount
        class_ = "frame" if outline.family == "frame" else "part"
        made = [path(piece, class_, closed=True) for piece in _simple(outline)]
        by_mount.setdefault(mount.name, (mount, []))[1].extend(made)
    return tuple(
        MovingPart(mount if _travels(mount) else None, tuple(marks))
        for mount, marks in sorted(by_mount.values(), key=lambda part: _nearness(part[0]))
    )


def _travels(mount: Mount) -> bool:
    return any(step.name in SPRUNG for step in mount.steps)


def _nearness(mount: Mount) -> int:
    """Return the order of drawing: what travels first, then the frame, then cranks."""
    if _travels(mount):
        return 0
    return 2 if mount.name == "crank" else 1


def _simple(outline: Outline) -> Iterator[list[Array]]:
    """Yield the loops of an outline's solids with fewer points."""
    for piece in outline.pieces:
        yield [np.round(thinned(loop, FINE)) for loop in piece]


def thinned(loop: Array, within: float) -> Array:
    """Return a closed loop's corners, (m, 2), that stay within a distance of all of it, (n, 2) [mm].

    By halving at the farthest point (Douglas and Peucker 1973), from the two points farthest apart in x.
    """
    if len(loop) < 4:
        return loop
    first, second = sorted((int(loop[:, 0].argmin()), int(loop[:, 0].argmax())))
    if first == second:
        return loop
    ring = np.concatenate([loop[first:], loop[: first + 1]])
    middle = second - first
    kept = [*_halved(ring, 0, middle, within), *_halved(ring, middle, len(ring) - 1, within)]
    return np.asarray(ring[kept])


def _halved(points: Array, first: int, last: int, within: float) -> list[int]:
    """Return the corners kept from `first` up to, without, `last`."""
    if last - first < 2:
        return [first]
    a, chord = points[first], points[last] - points[first]
    away = points[first + 1 : last] - a
    length = float(np.hypot(*chord))
    off = (
        np.hypot(away[:, 0], away[:, 1])
        if length == 0
        else np.abs(chord[0] * away[:, 1] - chord[1] * away[:, 0]) / length
    )
    at = int(off.argmax())
    if off[at] <= within:
        return [first]
    split = first + 1 + at
    return [*_halved(points, first, split, within), *_halved(points, split, last, within)]


def part_symbols(parts: Sequence[MovingPart]) -> Markup:
    """Return the parts as groups that the pictures of a page `use`; not shown by itself."""
    groups = [el("g", *part.marks, id=f"{BIKE_ID}-{i}") for i, part in enumerate(parts)]
    return el("svg", el("defs", *groups), class_="store", aria_hidden="true")


def picture(side: Side, parts: Sequence[MovingPart], label: str) -> Markup:
    """Return one bike of its parts on the ground. Needs `part_symbols` on the same page."""
    (x0, z0), (x1, z1) = side.corners
    low, high = (x0 - MARGIN, z0 - MARGIN / 2), (x1 + MARGIN, z1 + 2 * MARGIN)
    uses = [el("use", href=f"#{BIKE_ID}-{i}", stroke_width=4) for i in range(len(parts))]
    return el(
        "svg",
        path([[(low[0], side.ground), (high[0], side.ground)]], "ground", closed=False),
        el("g", *uses, class_="moves"),
        el("path", class_="level"),
        class_="sheet hit-bike",
        viewbox=f"{low[0]:.0f} {-high[1]:.0f} {high[0] - low[0]:.0f} {high[1] - low[1]:.0f}",
        role="img",
        aria_label=label,
    )


def returns_document(
    side: Side, damping: Damping | None, sags: Mapping[str, float]
) -> dict[str, Any] | None:
    """Return what the script needs to move the pictures; y counts down in it, as in SVG [mm].

    None where there are no pictures.

    Args:
        side: the bike.
        damping: its returns.
        sags: rear travel, and fork travel along its stanchions, at the sag, by motion [mm].
    """
    parts = moving_parts(side) if has_returns(damping) else ()
    if damping is None or not parts:
        return None
    bike = side.bike
    travels: dict[Name, Array] = {}
    if bike.linkage is not None:
        travels["rear"] = np.linspace(0.0, bike.linkage.full_travel, PLACES)
    fork = bike.spec.build.fork
    if fork is not None and fork.travel > 0:
        travels["fork"] = np.array([0.0, fork.travel])
    ends: dict[Name, EndRide | None] = {"rear": damping.rear, "fork": damping.front}
    time = max((end.time_s for end in damping.ends), key=len)
    return {
        "parts": [_moves(part.mount, travels) for part in parts],
        "travels": {name: _rounded(values, 2) for name, values in travels.items()},
        "axles": {
            "rear": {"at": _down(side.at("rear_axle")), "places": _axle_places(side, travels)},
            "front": {"at": _down(side.at("front_axle")), "up": _down(_up(side))},
        },
        "radii": {end: round(side.known(f"{end}_wheel_radius"), 2) for end in ("rear", "front")},
        "ground": round(-side.ground, 2),
        "saddle": _down(side.at("saddle")),
        "time": time,
        "rest": {name: _rest(ends[name], side, name, sags) for name in ("rear", "fork")},
        "runs": [
            {name: _run(ends[name], side, name, i) for name in ("rear", "fork")} for i in range(3)
        ],
    }


def has_returns(damping: Damping | None) -> bool:
    """Return whether there is a return to show at either end."""
    return damping is not None and any(shown_returns(end) for end in damping.ends)


def _up(side: Side) -> XZ:
    return (-side.down[0], -side.down[1])


def _down(at: XZ) -> list[float]:
    """Return a point or direction (x, z) with y down."""
    return [round(at[0], 4), round(-at[1], 4)]


def _rounded(values: Array, digits: int) -> list[float]:
    return [round(float(v), digits) for v in values]


def _moves(mount: Mount | None, travels: Mapping[Name, Array]) -> dict[str, Any] | None:
    """Return a mount's matrices over the travel that moves it, as (a, b, e, f) of SVG; None for none."""
    if mount is None:
        return None
    for name, values in travels.items():
        if any(step.name == name for step in mount.steps):
            made = matrices(mount, Pose(), name, values)
            rows = np.stack([made[:, 0, 0], -made[:, 2, 0], made[:, 0, 3], -made[:, 2, 3]], axis=1)
            return {"by": name, "at": [[*_rounded(r[:2], 5), *_rounded(r[2:], 2)] for r in rows]}
    return None


def _axle_places(side: Side, travels: Mapping[Name, Array]) -> list[list[float]]:
    """Return the rear axle at each rear travel; its drawn place alone where it does not move."""
    linkage = side.bike.linkage
    if linkage is None:
        return [_down(side.at("rear_axle"))]
    path_ = linkage.at_travels(travels["rear"]).axle
    return [_down((float(x), float(z))) for x, z in path_]


def _along(end: EndRide | None, side: Side, name: Name) -> float:
    """Return by what a vertical travel is divided to be the motion's own value."""
    return 1.0 if name == "rear" or end is None else -side.down[1]


def _rest(end: EndRide | None, side: Side, name: Name, sags: Mapping[str, float]) -> float:
    """Return the motion's value at rest [mm]."""
    if end is None:
        return round(sags.get(name, 0.0), 2)
    return round(end.at_sag.travel / _along(end, side, name), 2)


def _run(end: EndRide | None, side: Side, name: Name, which: int) -> list[float] | None:
    """Return the motion's values over the time of a return; None where it stands still."""
    shown = () if end is None else shown_returns(end)
    if len(shown) <= which:
        return None
    return [round(x / _along(end, side, name), 1) for x in shown[which].travel]
