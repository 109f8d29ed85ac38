"""Parts of the front end: headset, fork."""

from __future__ import annotations

import math
from collections.abc import Iterator

from frame3d.bike.bike import Bike
from frame3d.bike.built_fork.layout import layout_of
from frame3d.fabrication.parts.item import Item
from frame3d.fabrication.tube_facts import plain
from frame3d.parameters.models.parts import HeadsetSpec
from frame3d.parameters.sizes import standards
from frame3d.plates.flat_parts import flat_parts_of
from frame3d.tubes.hardware import RACE_SEAT, STEERER


def front_parts(bike: Bike) -> Iterator[Item]:
    """Yield headset and fork."""
    build = bike.spec.build
    if build.headset is not None:
        yield from _headset(build.headset)
    fork = build.fork
    if bike.fork is not None:
        yield from _built_fork(bike, bike.fork)
    elif fork is not None and fork.axle_to_crown is not None:
        how = "straight" if fork.measured == "straight" else "along the axis"
        size = f"axle to crown {fork.axle_to_crown:g} ({how})"
        if fork.offset is not None:
            size += f", offset {fork.offset:g}"
        kind = "rigid" if fork.rigid else travel_text(fork.travel)
        said = [kind] if kind else []
        if fork.steerer_length is not None:
            said.append(f"steerer {fork.steerer_length:g} from the race")
        yield Item("fork", 1, size, "", ", ".join(said), kind, group="front end",
                   weighs=("fork", "fork's lower legs"))  # fmt: skip
    if build.stem is not None:
        steerer = _steerer(build.headset)
        if build.stem.spacers:
            size = f"{build.stem.spacers:g} in all{steerer}"
            yield Item("headset, spacers", 1, size, "", "under the stem", group="front end")
        yield Item("headset, cap and steerer plug", 1, f"one set{steerer}", group="front end")


def _built_fork(bike: Bike, fork: Bike) -> Iterator[Item]:
    """Yield the fork that the shop builds: as a whole, and what of it is no tube of the cut list."""
    layout = layout_of(bike.spec, bike.nodes, bike.chart)
    tubes = [tube.name for tube in fork.tubes if tube.key != RACE_SEAT]
    drop, offset = float(layout.axle[0]), float(layout.axle[2])
    yield Item(
        "fork, tubes", 1,
        f"axle to crown {drop:z.1f} along the axis, {math.hypot(drop, offset):z.1f} straight, offset "
        f"{offset:z.1f}",
        "", f"built here: cut list, fork sheet; steerer {layout.steerer:z.1f} from the race",
        "rigid, built", is_tube=True, group="front end", weighs=tuple(tubes),
        material=fork.tube(STEERER).material,
    )  # fmt: skip
    ring = next((tube for tube in fork.tubes if tube.key == RACE_SEAT), None)
    if ring is not None:
        shape = ring.section
        yield Item(
            "fork, race seat", 1,
            f"turned: seat {shape.height[-1]:g}, shoulder {shape.height[0]:g}, bore "
            f"{shape.height[0] - 2 * shape.wall[0]:g}, {ring.axis.length:g} long",
            "", "on the steerer", group="front end", weighs=(ring.name,), material=ring.material,
        )  # fmt: skip
    for part in flat_parts_of(fork.frame):
        left, bottom, right, top = part.outline.bounds
        bore = part.outline.holes[0].diameter
        yield Item(
            plain(part.name), part.count,
            f"{right - left:z.1f} × {top - bottom:z.1f}, {part.thickness:g} thick, axle bore {bore:g}",
            "", "left and right", group="front end", weighs=part.names, material=part.material,
        )  # fmt: skip


def travel_text(travel: float) -> str:
    """Return the travel in words; empty without travel."""
    return f"{travel:g} travel" if travel else ""


def _headset(headset: HeadsetSpec) -> Iterator[Item]:
    """Cups with their bearings, crown race, angle, a steering stop."""
    cups = (("upper", headset.upper), ("lower", headset.lower))
    share = 1.0 / max(1, sum(code is not None for _, code in cups))
    for name, code in cups:
        if isinstance(code, str):
            cup = standards.cup(code)
            a, b = cup.finished
            yield Item(f"headset, {name} cup", 1, f"ream {a:z.2f} to {b:z.2f}, {cup.depth:g} deep",
                       code, _seats(cup, name == "lower"), group="front end", weighs=("headset",),
                       share=share)  # fmt: skip
        elif code is not None:
            yield Item(f"headset, {name} cup", 1, f"bore {code.bore:g}, {code.depth:g} deep",
                       group="front end", weighs=("headset",), share=share)  # fmt: skip
    for name, code in cups:
        if code is not None:
            kind = standards.cup(code).kind if isinstance(code, str) else ""
            note = "sits in the head tube itself" if kind == "IS" else "with its cup"
            yield Item(f"headset, {name} bearing", 1, "to the headset's drawing",
                       code if isinstance(code, str) else "", note, group="front end")  # fmt: skip
    if headset.lower is not None:
        fits = standards.cup(headset.lower).fits if isinstance(headset.lower, str) else None
        size = "to the fork's crown" if fits is None else f"on {standards.CROWN_SEATS[fits]:g}"
        yield Item("headset, crown race", 1, size, "", "on the fork", group="front end")
    if headset.angle:
        yield Item("headset, angle", 1, f"{headset.angle:g}° cups", group="front end")
    if headset.stop is not None:
        yield Item("headset, steering stop", 1, f"{headset.stop:g}° to each side", "",
                   "clearances hold up to it", group="front end")  # fmt: skip


def _seats(cup: standards.Cup, lower: bool) -> str:
    """Return in words the seat of an integrated bearing, and the fork's crown seat of a lower cup."""
    said = []
    if cup.contact is not None:
        said.append("bearing seat {:g}° in the head tube, {:g}° inside".format(*cup.contact))
    if lower and cup.fits is not None:
        said.append(f"crown seat {standards.CROWN_SEATS[cup.fits]:g}")
    return "; ".join(said)


def _steerer(headset: HeadsetSpec | None) -> str:
    """Return for which steerer, in words; empty where the file does not say."""
    upper = None if headset is None else headset.upper
    fits = standards.cup(upper).fits if isinstance(upper, str) else None
    return "" if fits is None else f", for a steerer of {fits:g}"
