"""Parts of the front end: headset, fork."""

from __future__ import annotations

from collections.abc import Iterator

from frame3d.bike.bike import Bike
from frame3d.fabrication.parts.item import Item
from frame3d.parameters.models.parts import HeadsetSpec
from frame3d.parameters.sizes import standards


def front_parts(bike: Bike) -> Iterator[Item]:
    """Yield headset and fork."""
    build = bike.spec.build
    if build.headset is not None:
        yield from _headset(build.headset)
    fork = build.fork
    if fork is not None and fork.axle_to_crown is not None:
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
