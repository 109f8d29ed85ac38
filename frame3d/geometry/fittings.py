"""Fittings: bottom bracket shell, rear dropouts, and the bores for headset and seatpost."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from frame3d.geometry.bench import DROPOUT, Bench, Plate
from frame3d.geometry.junctions import ENDS, Which
from frame3d.geometry.layout import Bore, Dropout, Shell, Tube
from frame3d.geometry.vector import Point
from frame3d.spec import standards
from frame3d.spec.parts import CupSpec, DropoutSpec, HubSpec, ShellSpec
from frame3d.spec.tubes import Side

CUP_WALL = 1.0
"""Least wall around a headset bore [mm]; common practice, no source."""
POST_WALL = 0.5
"""Least wall around a reamed seatpost bore [mm]; common practice, no source."""
POST_PLAY = 0.6
"""Between seat tube and seatpost, on the diameter, before a shim is due [mm]; common practice, no
source."""
CUP_PLAY = 0.5
"""A head tube wider than its bore by more than this cannot hold the cup [mm]; pressed cups want 0.1
to 0.25 less, not more (trade pages)."""
POST_DEPTHS = 3.0
"""Reamed depth in seatpost diameters: the insertion mark stands at least 2 from the post's bottom
(16 CFR 1512.15(b)), and one more is left for the post to go down."""


def shell(bench: Bench) -> Shell | None:
    """The bottom bracket shell where the file names one."""
    given = bench.spec.build.bottom_bracket
    if given is None:
        return None
    if isinstance(given.shell, ShellSpec):
        own = given.shell
        return Shell("shell", own.width, own.od, own.bore, own.middle)
    size = standards.shell(given.shell)
    od = size.od if given.od is None else given.od
    return Shell(size.name, size.width, od, size.bore, size.middle)


def plate(bench: Bench) -> Plate | None:
    """Sizes of the rear dropouts where the file names a rear hub."""
    wheel = bench.spec.build.rear_wheel
    if wheel is None or wheel.hub is None:
        return None
    hub = wheel.hub if isinstance(wheel.hub, HubSpec) else standards.hub(wheel.hub)
    given = bench.spec.build.dropout
    size = DropoutSpec() if given is None else given
    if size.boss < hub.axle + 4.0:
        bench.fault(
            "section",
            "build.dropout.boss",
            f"{size.boss:g} mm leaves {(size.boss - hub.axle) / 2:.1f} mm around an axle of "
            f"{hub.axle:g} mm",
            f"at least {hub.axle + 4.0:g}",
        )
    return Plate(*(float(x) for x in (hub.width, size.thickness, size.boss, hub.axle)))


def dropouts(bench: Bench, tubes: Iterable[Tube]) -> tuple[Dropout, ...]:
    """Both rear dropouts with the stays that sit on them; none where no tube does."""
    if bench.plate is None:
        return ()
    stays: dict[str, list[tuple[str, Which]]] = {f"{DROPOUT}_left": [], f"{DROPOUT}_right": []}
    for tube in tubes:
        for which, end in zip(ENDS, (tube.start, tube.end), strict=True):
            if end.target in stays:
                stays[end.target].append((tube.name, which))
    if not any(stays.values()):
        return ()
    x, _, z = bench.nodes["rear_axle"]
    suspension = bench.spec.suspension
    sides: tuple[tuple[Side, float], ...] = (("left", 1.0), ("right", -1.0))
    made = []
    for side, sign in sides:
        axle: Point = (x, sign * bench.plate.hub_width / 2, z)
        name = f"{DROPOUT}_{side}"
        made.append(
            Dropout(
                name,
                side,
                axle,
                bench.plate.thickness,
                bench.plate.boss,
                bench.plate.bore,
                tuple(stays[name]),
                None if suspension is None else suspension.axle.on,
            )
        )
    return tuple(made)


def bores(bench: Bench) -> tuple[Bore, ...]:
    """Bores of the head tube for its headset cups and of the seat tube for its seatpost."""
    made: list[Bore | None] = []
    head = bench.tubes.get("head_tube")
    headset = bench.spec.build.headset
    if head is not None and headset is not None:
        ends: tuple[tuple[Which, str], ...] = (("start", "lower"), ("end", "upper"))
        for at, key in ends:
            cup = getattr(headset, key)
            if cup is not None:
                made.append(_cup_bore(bench, head, at, key, cup))
    seat = bench.tubes.get("seat_tube")
    post = bench.spec.build.seatpost
    if seat is not None and post is not None and post.diameter is not None:
        made.append(_post_bore(bench, seat, post.diameter))
    return tuple(bore for bore in made if bore is not None)


def _cup_bore(bench: Bench, head: Tube, at: Which, key: str, cup: str | CupSpec) -> Bore | None:
    if isinstance(cup, CupSpec):
        diameter, depth, code = cup.bore, cup.depth, f"{cup.bore:g} mm"
    else:
        size = standards.cup(cup)
        diameter, depth, code = size.bore, size.depth, cup.partition("/")[0]
    end = "bottom" if at == "start" else "top"
    length = head.axis.length
    depth = min(depth, length / 2)
    s = np.linspace(0.0, depth, 5) if at == "start" else np.linspace(length - depth, length, 5)
    od = float(np.min(head.section.height_at(s)))
    od = min(od, float(np.min(head.section.width_at(s))))
    if od < diameter + 2 * CUP_WALL:
        bench.fault(
            "section",
            "tubes.head_tube.od",
            f"the bore of {diameter:g} mm for {code} at the {end} leaves "
            f"{max((od - diameter) / 2, 0.0):.2f} mm of wall in a head tube that is {od:.1f} mm wide "
            f"down to the bore's end",
            f"at least {diameter + 2 * CUP_WALL:g} mm there, or a headset with a bore of at most "
            f"{od - 2 * CUP_WALL:.1f} mm (build.headset.{key})",
        )
        return None
    inside = _inside(head, 0.0 if at == "start" else length)
    if inside > diameter + CUP_PLAY:
        bench.fault(
            "section",
            "tubes.head_tube.wall",
            f"the head tube is {inside:.1f} mm wide inside at the {end}, too wide to hold "
            f"{code} with its bore of {diameter:g} mm",
            f"a wall of at least {(inside - diameter) / 2 + _wall(head, at):.2f} mm, or another "
            f"headset (build.headset.{key})",
        )
        return None
    return Bore("head_tube", at, diameter, depth, code)


def _post_bore(bench: Bench, seat: Tube, diameter: float) -> Bore | None:
    length = seat.axis.length
    depth = min(POST_DEPTHS * diameter, length - max(seat.start.short_point, 0.0))
    s = np.linspace(length - depth, length, 9)
    inside = min(_inside(seat, float(x)) for x in s)
    od = float(np.min(np.minimum(seat.section.height_at(s), seat.section.width_at(s))))
    if od < diameter + 2 * POST_WALL:
        bench.fault(
            "section",
            "build.seatpost.diameter",
            f"a seatpost of {diameter:g} mm leaves {max((od - diameter) / 2, 0.0):.2f} mm of wall in "
            f"a seat tube of {od:g} mm",
            f"at most {od - 2 * POST_WALL:g}, or a wider seat tube (tubes.seat_tube.od)",
        )
        return None
    top = _inside(seat, length)
    if top > diameter + POST_PLAY:
        bench.warn(
            "build.seatpost.diameter",
            f"the seat tube is {top:.1f} mm wide inside at its top; a seatpost of {diameter:g} mm "
            f"is loose in it by {top - diameter:.1f} mm and needs a shim, or a wall of "
            f"{(od - diameter) / 2:.2f} mm (common practice, no source)",
        )
    if inside >= diameter:
        return None
    return Bore("seat_tube", "end", diameter, depth, f"{diameter:g} mm")


def _inside(tube: Tube, s: float) -> float:
    """Inner size of a tube at `s`, the smaller one [mm]; 0 of a bar."""
    t = float(tube.section.wall_at(s))
    if t <= 0:
        return 0.0
    return min(float(tube.section.height_at(s)), float(tube.section.width_at(s))) - 2 * t


def _wall(tube: Tube, at: Which) -> float:
    return tube.section.wall[0 if at == "start" else -1]
