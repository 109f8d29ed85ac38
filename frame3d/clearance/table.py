"""Table of every kind of body against every other: checked, joined on purpose, or unable to meet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations_with_replacement, product
from typing import Final, Literal

from frame3d.bodies import Body

KINDS: Final[dict[str, tuple[str, ...]]] = {
    "frame": (),
    "link": (),
    "own": (),
    "front_tyre": ("front_tyre",),
    "front_rim": ("front_rim",),
    "front_hub": ("front_hub",),
    "front_rotor": ("front_rotor",),
    "fork_upper": ("fork_crown", "fork_knob", "fork_leg"),
    "fork_lower": ("fork_lower", "fork_arch", "fork_axle"),
    "fork_tube": (
        "fork_steerer",
        "fork_race_seat",
        "fork_segment",
        "fork_blade",
        "fork_dropout",
        "fork_post",
    ),
    "stem": ("stem",),
    "handlebar": ("handlebar",),
    "brake_lever": ("brake_lever",),
    "seatpost": ("seatpost",),
    "saddle": ("saddle",),
    "rear_tyre": ("rear_tyre",),
    "rear_rim": ("rear_rim",),
    "rear_hub": ("rear_hub",),
    "rear_rotor": ("rear_rotor",),
    "rear_caliper": ("rear_caliper",),
    "rear_adaptor": ("rear_adaptor",),
    "shock": ("shock_body", "shock_shaft", "shock_coil", "shock_reservoir"),
    "chainring": ("chainring",),
    "cassette": ("cassette",),
    "chain": ("chain_upper", "chain_lower", "chain_round"),
    "crank_arm": ("crank_arm",),
    "crank_swept": ("crank_swept",),
    "pedal": ("pedal",),
    "shoe": ("shoe",),
    "bottle": ("bottle",),
    "fitting": ("bolt", "hose", "collar"),
}
"""Kind -> beginnings of the names of its bodies. `frame` is the part of the frame that stands still,
`link` the part that moves with the rear suspension, `own` what the file adds under
``build.bodies``, `fork_tube` a fork that the shop builds, `fitting` the bolts and hoses in features
of tubes, and the seat collar."""
_OF_START: Final = {start: kind for kind, starts in KINDS.items() for start in starts}

Verdict = Literal["checked", "joined", "apart"]


@dataclass(frozen=True, slots=True)
class TableEntry:
    """Entry of the table: what is done about two kinds of bodies."""

    verdict: Verdict
    how: str
    """Names of the checks, or why there is none."""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Rule of the table: kinds that are not measured against other kinds."""

    first: tuple[str, ...]
    second: tuple[str, ...]
    verdict: Literal["joined", "apart"]
    """joined: they touch by design. apart: they cannot meet, or something else that is measured
    stands for them."""
    why: str


_WHEEL = ("front_rim", "front_hub", "front_rotor")
_TOES = ("crank_swept", "pedal", "shoe")
_ALONE = tuple(kind for kind in KINDS if kind not in ("link", "own", "bottle", "fitting"))

LEFT_OUT: Final = (
    *(LeftOut((kind,), (kind,), "joined", "one part, or its two sides") for kind in _ALONE),
    # What stands for something else
    LeftOut(
        ("crank_arm",), tuple(k for k in KINDS if k != "crank_arm"), "apart",
        "crank_swept, the space that the arms sweep, is measured instead",
    ),
    LeftOut(
        ("cassette",), ("frame", "link", "rear_tyre", "bottle", "shock", "seatpost", "saddle"),
        "apart", "the chain round its cogs is larger, and is measured",
    ),
    LeftOut(
        ("front_tyre", *_WHEEL, "fork_lower"), _TOES, "apart",
        "toes overlap the wheel on many bikes: toe_to_front_tyre measures what the rules ask for",
    ),
    LeftOut(
        ("front_rim", "front_hub"), ("frame", "link", "fork_upper"), "apart",
        "within the tyre, which is measured",
    ),
    LeftOut(("chain",), ("rear_rim",), "apart", "narrower than the tyre, which is measured"),
    LeftOut(("front_rotor",), ("frame", "link"), "apart", "within the tyre, behind the fork's leg"),
    # The front end
    LeftOut(("front_tyre",), _WHEEL, "joined", "one wheel"),
    LeftOut(("front_rim",), ("front_hub", "front_rotor"), "joined", "one wheel"),
    LeftOut(("front_hub",), ("front_rotor",), "joined", "one wheel"),
    LeftOut(_WHEEL, ("fork_lower",), "joined", "the wheel is held in it"),
    LeftOut(("front_rotor",), ("fork_upper",), "joined", "fork and rotor are made for one another"),
    LeftOut(("fork_upper",), ("fork_lower",), "joined", "one fork; its travel ends before they meet"),
    LeftOut(("fork_tube",), ("fork_upper", "fork_lower"), "joined", "one fork"),
    LeftOut(("fork_upper", "fork_tube"), ("stem",), "joined", "on one steerer"),
    LeftOut(("stem",), ("handlebar", "brake_lever"), "joined", "clamped to one another"),
    LeftOut(("handlebar",), ("brake_lever",), "joined", "clamped to one another"),
    LeftOut(
        ("stem", "handlebar", "brake_lever"), ("fork_lower",), "apart",
        "they turn together, the head tube between them",
    ),
    LeftOut(
        ("handlebar", "brake_lever"), ("fork_upper", "fork_tube"), "apart",
        "they turn together, the head tube between them",
    ),
    LeftOut(
        ("stem", "handlebar", "brake_lever"), _WHEEL, "apart", "within the tyre, which is measured"
    ),
    # The seat
    LeftOut(("seatpost",), ("frame",), "joined", "it stands in the seat tube"),
    LeftOut(("seatpost",), ("saddle",), "joined", "clamped to one another"),
    # The rear end
    LeftOut(
        ("rear_tyre",), ("rear_rim", "rear_hub", "rear_rotor"), "joined", "one wheel"
    ),
    LeftOut(("rear_rim",), ("rear_hub", "rear_rotor", "cassette"), "joined", "one wheel"),
    LeftOut(("rear_hub",), ("rear_rotor", "cassette", "chain"), "joined", "one wheel"),
    LeftOut(("rear_hub",), ("frame", "link"), "joined", "it is held between the dropouts"),
    LeftOut(("rear_caliper",), ("rear_rotor", "rear_hub"), "joined", "it straddles the rotor"),
    LeftOut(("rear_adaptor",), ("rear_caliper",), "joined", "bolted together"),
    LeftOut(
        ("rear_rotor", "rear_caliper", "rear_adaptor"), ("cassette", "chain", "chainring"), "apart",
        "the wheel stands between: brake on the left, chain on the right",
    ),
    # The drivetrain
    LeftOut(
        ("chainring",), ("chain", "crank_swept"), "joined", "bolted together, and the chain on it"
    ),
    LeftOut(
        ("chainring",), ("cassette", "rear_rim"), "apart", "a chainstay's length away"
    ),
    LeftOut(("chain",), ("cassette",), "joined", "it runs on it"),
    LeftOut(
        ("chain", "cassette"), ("crank_swept",), "joined",
        "the crank's maker says how far out the ring is",
    ),
    LeftOut(("crank_swept",), ("pedal", "shoe"), "joined", "the shoe on the pedal on the crank"),
    LeftOut(("pedal",), ("shoe",), "joined", "the shoe on the pedal on the crank"),
    LeftOut(
        ("chain", "cassette", "chainring"),
        ("front_tyre", *_WHEEL, "fork_upper", "fork_lower", "fork_tube"),
        "apart", "the down tube stands between, and half a wheelbase",
    ),
    LeftOut(
        ("rear_tyre", "rear_rim", "rear_hub", "rear_rotor", "rear_caliper", "rear_adaptor"),
        ("front_tyre", *_WHEEL, "fork_upper", "fork_lower", "fork_tube"),
        "apart", "a wheelbase apart",
    ),
    LeftOut(
        ("rear_rim", "rear_hub", "rear_rotor", "cassette"),
        ("stem", "handlebar", "brake_lever", "seatpost", "saddle"),
        "apart", "within the tyre, which is measured",
    ),
    LeftOut(
        ("chain", "chainring"), ("stem", "handlebar", "brake_lever", "saddle"), "apart",
        "wheel and frame stand between",
    ),
)  # fmt: skip
"""What no check measures, each with the reason. Whatever is neither here nor in a check of its own is
measured by ``parts_to_parts``."""


def kind_of(body: Body) -> str:
    """Return the kind of a body, as in `KINDS`; an unknown part is of a kind of its own.

    So whatever is added to the bike is checked against everything, until `LEFT_OUT` says otherwise.
    """
    if body.family == "frame":
        return "link" if body.mount.steps else "frame"
    if body.part.startswith("build.bodies."):
        return "own"
    start = _start(body.name)
    return body.name if start is None else _OF_START[start]


def start_of(body: Body) -> str:
    """Return the line of the list that a body belongs to: one for left and right, one for all gears."""
    start = None if kind_of(body) in SINGLE else _start(body.name)
    return body.name.removesuffix("_left").removesuffix("_right") if start is None else start


SINGLE: Final = ("frame", "link", "own", "bottle", "fitting")
"""Kinds each of whose bodies has a line of its own."""


@lru_cache(maxsize=4096)
def _start(name: str) -> str | None:
    return next((s for s in _OF_START if name == s or name.startswith(f"{s}_")), None)


def left_out() -> dict[frozenset[str], TableEntry]:
    """Return every pair of kinds that no check measures, with the reason."""
    found: dict[frozenset[str], TableEntry] = {}
    for rule in LEFT_OUT:
        for pair in product(rule.first, rule.second):
            found.setdefault(frozenset(pair), TableEntry(rule.verdict, rule.why))
    return found


def every_pair(kinds: Iterable[str] = KINDS) -> Iterator[frozenset[str]]:
    """Yield every pair of kinds, each kind with itself too."""
    for pair in combinations_with_replacement(kinds, 2):
        yield frozenset(pair)
