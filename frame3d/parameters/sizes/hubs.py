"""Hub widths and axles."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, Literal

from frame3d.parameters.sizes.unknown import UnknownSize, unknown


@dataclass(frozen=True, slots=True)
class Hub:
    """A hub: width between the dropouts' inner faces and axle diameter [mm]."""

    name: str
    width: float
    axle: float
    ends: tuple[Literal["front", "rear"], ...]
    note: str
    slot: float = 0.0
    """Depth of each end of the hub in its dropout; its shoulders are further in by that
    [mm]."""


SLOT: Final = 3.5
"""Depth of the dropouts' slots of rear thru axle hubs: 142 = 135 + 2 × 3.5, 157 = 150 + 2 × 3.5 (trade
pages), 148 = 141 + 2 × 3.5 (derived by the same rule) [mm]."""

HUBS: Final[dict[str, Hub]] = {
    hub.name: hub
    for hub in (
        Hub("100x9", 100, 9, ("front",), "quick release; width trade pages, axle common practice"),
        Hub("100x12", 100, 12, ("front",), "thru axle, road; trade pages"),
        Hub("100x15", 100, 15, ("front",), "thru axle; trade pages"),
        Hub("110x15", 110, 15, ("front",), "thru axle, wide; width common practice, no source"),
        Hub("110x20", 110, 20, ("front",), "thru axle, gravity; common practice, no source"),
        Hub("135x9", 135, 9, ("front",), "quick release, fat; common practice, no source"),
        Hub("150x15", 150, 15, ("front",), "thru axle, fat; common practice, no source"),
        Hub("120x10", 120, 10, ("rear",), "track, solid axle; common practice, no source"),
        Hub("130x10", 130, 10, ("rear",), "quick release, road; trade pages"),
        Hub("135x10", 135, 10, ("rear",), "quick release; trade pages"),
        Hub("135x12", 135, 12, ("rear",), "thru axle, open dropouts; common practice, no source"),
        Hub("141x10", 141, 10, ("rear",), "quick release, flanges of 148; from memory, no source"),
        Hub(
            name="142x12",
            width=142,
            axle=12,
            ends=("rear",),
            note="thru axle, 135 + 2 × 3.5; trade pages",
            slot=SLOT,
        ),
        Hub(
            name="148x12",
            width=148,
            axle=12,
            ends=("rear",),
            note="thru axle, wide flanges; trade pages",
            slot=SLOT,
        ),
        Hub("150x12", 150, 12, ("rear",), "thru axle, older; trade pages"),
        Hub(
            name="157x12",
            width=157,
            axle=12,
            ends=("rear",),
            note="thru axle, 150 + 2 × 3.5; trade pages",
            slot=SLOT,
        ),
        Hub("170x10", 170, 10, ("rear",), "quick release, fat; common practice, no source"),
        Hub(
            name="177x12",
            width=177,
            axle=12,
            ends=("rear",),
            note="thru axle, fat; common practice, no source",
            slot=SLOT,
        ),
        Hub("190x10", 190, 10, ("rear",), "quick release, fat; common practice, no source"),
        Hub(
            name="197x12",
            width=197,
            axle=12,
            ends=("rear",),
            note="thru axle, fat; common practice, no source",
            slot=SLOT,
        ),
    )
}
"""Hubs by name, width x axle."""


def slot_of(width: float) -> float:
    """Return the depth of each end of a rear hub in its dropout [mm].

    Args:
        width: between the dropouts' inner faces, at the bottom of the slots [mm]. A width that no
            standard hub has is taken as one without slots.
    """
    return next((h.slot for h in HUBS.values() if h.width == width and "rear" in h.ends), 0.0)


def hub(name: str) -> Hub:
    """Return the hub of that name, ``width x axle`` without spaces, e.g. ``148x12``.

    Raises:
        UnknownSize: not in `HUBS`.
    """
    if name in HUBS:
        return HUBS[name]
    turned = re.fullmatch(r"\s*(\d+)\s*(?:mm)?\s*[x×X]\s*(\d+)\s*(?:mm)?\s*", name)
    if turned is not None:
        for wanted in (f"{turned[1]}x{turned[2]}", f"{turned[2]}x{turned[1]}"):
            if wanted in HUBS:
                raise UnknownSize(f"{name!r} is no known hub", f"write {wanted}: width x axle")
        width, axle = float(turned[1]), float(turned[2])
        near = sorted(HUBS.values(), key=lambda h: (abs(h.width - width), abs(h.axle - axle)))[:3]
        raise UnknownSize(
            f"{name!r} is no known hub",
            f"nearest: {', '.join(h.name for h in near)}; or plain millimetres: "
            "{width: 148, axle: 12}",
        )
    raise unknown("hub", name, HUBS, "{width: 148, axle: 12}")
