"""Kinds of features, the keys that each takes, and the usual sizes of what the file leaves out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Kind = Literal[
    "boss",
    "port",
    "guide",
    "stop",
    "eye",
    "vent",
    "clamp_slot",
    "collar",
    "flat_mount",
    "post_mount",
]
Thread = Literal["M4", "M5", "M6", "M8"]


BRAKE_MOUNTS: Final = ("flat_mount", "post_mount")
"""Kinds that hold the rear brake's caliper."""


@dataclass(frozen=True, slots=True)
class Screw:
    """Sizes that go with a thread [mm]."""

    major: float
    """Diameter of the thread; holes are drawn so wide."""
    boss: float
    """Usual outside diameter of a boss; common practice, no source."""
    head: float
    """Diameter of a socket head (value from memory of ISO 4762)."""
    high: float
    """Height of that head (value from memory of ISO 4762)."""


SCREWS: Final[dict[Thread, Screw]] = {
    "M4": Screw(4.0, 8.0, 7.0, 4.0),
    "M5": Screw(5.0, 9.0, 8.5, 5.0),
    "M6": Screw(6.0, 10.0, 10.0, 6.0),
    "M8": Screw(8.0, 13.0, 13.0, 8.0),
}

FLAT_APART: Final = 34.0
"""Between the bolts of a rear flat mount [mm]; value from memory of the published drawing."""
POST_APART: Final = 74.2
"""Between the bolts of a post mount [mm]; value from memory of the post mount's open drawings."""
OUTWARD: Final = 12.5
"""Usual distance of a post mount's bolts beside the rotor's middle, toward the dropout [mm]; from
memory and uncertain: the caliper's drawing decides."""
CLEAR: Final = 0.5
"""How much wider than its thread a bolt's clear hole is [mm]; value from memory of ISO 273, medium."""
SLEEVE: Final = 3.0
"""How much wider than a boss a flat mount's sleeve is [mm]; common practice, no source."""
POST: Final = 4.0
"""How much wider than a boss a post mount's face is [mm]; common practice, no source."""
AROUND: Final = 3.0
"""Usual metal around an eye's thread [mm]; common practice, no source."""
SCREWED: Final = ("boss", "eye", *BRAKE_MOUNTS)
"""Kinds that are as wide as their screw asks for."""
ALONG: Final = ("from_start", "from_end")
"""Keys that place a feature along its tube."""
ROW: Final = ("count", "spacing")
KEYS: Final[dict[Kind, tuple[str, ...]]] = {
    "boss": (*ALONG, "angle", *ROW, "thread", "diameter", "height", "depth", "head"),
    "port": (
        *ALONG,
        "angle",
        *ROW,
        "width",
        "length",
        "turn",
        "lean",
        "hose",
        "toward",
        "patch",
        "patch_margin",
    ),
    "guide": (*ALONG, "angle", *ROW, "diameter", "length", "hose"),
    "stop": (*ALONG, "angle", *ROW, "diameter", "length", "hose", "toward"),
    "eye": (*ALONG, "angle", *ROW, "thread", "diameter", "width"),
    "vent": (*ALONG, "angle", *ROW, "diameter"),
    "clamp_slot": ("angle", "width", "length", "end_hole"),
    "collar": ("angle", "diameter", "length", "thread"),
    "flat_mount": (*ALONG, "angle", "thread", "diameter", "height", "head"),
    "post_mount": ("height", "lean", "outward", "thread", "diameter", "depth"),
}
"""Kind -> keys besides `kind` and `side`."""
SIZES: Final[dict[Kind, dict[str, float]]] = {
    "boss": {"height": 1.5, "depth": 12.0, "spacing": 64.0, "count": 2},
    "port": {"width": 8.0, "spacing": 40.0, "count": 1, "patch_margin": 8.0},
    "guide": {"length": 15.0, "hose": 5.5, "spacing": 120.0, "count": 1},
    "stop": {"length": 14.0, "hose": 5.0, "spacing": 120.0, "count": 1},
    "eye": {"width": 6.0, "spacing": 40.0, "count": 1},
    "vent": {"diameter": 4.0, "spacing": 40.0, "count": 1},
    "clamp_slot": {"width": 2.5, "length": 32.0, "end_hole": 6.0},
    "collar": {"length": 14.0},
    "flat_mount": {"height": 2.0, "spacing": FLAT_APART, "count": 2},
    "post_mount": {
        "height": 15.0,
        "depth": 12.0,
        "spacing": POST_APART,
        "count": 2,
        "outward": OUTWARD,
    },
}
"""Usual sizes [mm]; common practice, no source, but for the distances above."""
ABOUT: Final = 3.5
"""How much wider a guide or stop is than what it holds [mm]; common practice, no source."""
RING: Final = 9.0
"""How much wider a collar is than the seat tube that it clamps [mm]; common practice, no source."""


def usual_thread(kind: Kind) -> Thread:
    """Return the thread of a kind where the file does not name one."""
    return "M6" if kind == "post_mount" else "M5"


def usual_outside(kind: Kind, screw: Screw) -> float:
    """Return the usual width of one of `SCREWED` around its screw [mm]."""
    if kind == "eye":
        return screw.major + 2 * AROUND
    return screw.boss + {"post_mount": POST, "flat_mount": SLEEVE}.get(kind, 0.0)
