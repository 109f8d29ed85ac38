"""Checks between bodies, over the motions that matter to each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations_with_replacement, product

import numpy as np

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import MOTIONS, Name
from frame3d.clearance.certify.distance import Gap
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.lacking import of_parts
from frame3d.clearance.lines import Line, Nearest, judged, nearest_of
from frame3d.clearance.pair_lists import PairList
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scene import Scene
from frame3d.clearance.table import KINDS, TableEntry, left_out
from frame3d.geometry.arrays import Ints
from frame3d.parameters.requirements import REQUIREMENTS
from frame3d.progress import Progress

FAR = 40.0
"""Pairs that pass by more than this are left out of the list, except the nearest [mm]."""
NEAR = 15.0
"""As `FAR`, for checks that look at everything [mm]."""


@dataclass(frozen=True)
class PairCheck:
    """One check: bodies of some kinds against bodies of other kinds, over some motions."""

    name: str
    moving: tuple[str, ...]
    """Kinds of one body, as in `table.KINDS`."""
    fixed: tuple[str, ...]
    """Kinds of the other body."""
    own_motions: tuple[Name, ...]
    """Motions besides the rear travel and what tensions the chain, which everything is checked over."""
    needs: str
    """What the file has to give where the bodies are missing."""
    sprung: bool = False
    """Whether the check is only for a bike with a rear suspension."""
    axle: bool = False
    """Whether it is only for parts that turn side by side on one axle; other checks leave these out."""
    features: bool = False
    """Whether the check is only for a bike with features on its tubes."""
    built: bool = False
    """Whether the check is only for a bike whose fork the shop builds."""
    tolerance: float = 0.0
    """Width of its certificates, where the scene's is finer [mm]."""
    far: float = FAR
    """Pairs that pass by more than this are left out of the list [mm]."""

    @property
    def motions(self) -> tuple[Name, ...]:
        """The motions of the check; those that change nothing between two bodies are dropped later."""
        return ("rear", "slide", "insert", *self.own_motions)

    def kinds(self) -> tuple[tuple[str, str], ...]:
        """Return every two kinds that it measures, in the order of the list."""
        return _the_rest() if self is REST else tuple(product(self.moving, self.fixed))


_WHOLE = ("frame", "link")
_ALL: tuple[Name, ...] = ("fork", "steer", "crank", "heel")
REST = PairCheck("parts_to_parts", (), (), _ALL, "parts", far=NEAR)
"""Everything else that can meet."""

PAIRS = (
    PairCheck("rear_tyre_to_frame", ("rear_tyre",), _WHOLE, (), "build.rear_wheel.tyre"),
    PairCheck(
        "front_tyre_to_frame", ("front_tyre",), _WHOLE, ("fork", "steer"), "build.front_wheel.tyre"
    ),
    PairCheck(
        "front_tyre_to_fork",
        ("front_tyre",),
        ("fork_upper", "fork_lower", "fork_tube"),
        ("fork",),
        "build.front_wheel.tyre, and build.fork.crown, legs or arch",
    ),
    PairCheck(
        "fork_to_frame",
        ("fork_upper", "fork_lower", "fork_tube"),
        _WHOLE,
        ("fork", "steer"),
        "build.fork.crown",
    ),
    PairCheck(
        "rotor_to_fork", ("front_rotor",), ("fork_tube",), (), "build.front_wheel.rotor", built=True
    ),
    PairCheck(
        "handlebar_to_frame",
        ("handlebar", "brake_lever", "stem"),
        _WHOLE,
        ("steer",),
        "build.stem and build.handlebar",
    ),
    PairCheck(
        "chainring_to_frame",
        ("chainring",),
        _WHOLE,
        (),
        "build.chainring and build.crank.chainline",
    ),
    PairCheck("chain_to_frame", ("chain",), _WHOLE, (), "build.cassette and build.chainring"),
    PairCheck(
        "chain_to_rear_tyre",
        ("chain",),
        ("rear_tyre",),
        (),
        "build.cassette and build.rear_wheel.tyre",
    ),
    PairCheck("crank_to_frame", ("crank_swept",), _WHOLE, (), "build.crank.q_factor"),
    PairCheck(
        "heel_to_frame",
        ("shoe",),
        _WHOLE,
        ("crank", "heel"),
        "build.rider.shoe_length, build.crank and build.pedal",
    ),
    PairCheck(
        "heel_to_caliper",
        ("shoe",),
        ("rear_caliper", "rear_adaptor"),
        ("crank", "heel"),
        "build.rider.shoe_length and build.rear_brake",
    ),
    PairCheck(
        "rotor_to_frame", ("rear_rotor",), (*_WHOLE, "rear_adaptor"), (), "build.rear_wheel.rotor"
    ),
    PairCheck("caliper_to_frame", ("rear_caliper", "rear_adaptor"), _WHOLE, (), "build.rear_brake"),
    PairCheck(
        "saddle_to_rear_tyre",
        ("saddle",),
        ("rear_tyre",),
        (),
        "build.saddle, build.seatpost.saddle_height and build.rear_wheel.tyre",
    ),
    PairCheck("bottle_to_frame", ("bottle",), _WHOLE, (), "build.bottles"),
    PairCheck(
        "bottle_to_parts",
        ("bottle",),
        tuple(k for k in KINDS if k not in (*_WHOLE, "own", "fitting", "crank_arm", "cassette")),
        _ALL,
        "build.bottles",
        far=NEAR,
    ),
    PairCheck("shock_to_frame", ("shock",), _WHOLE, (), "suspension", sprung=True),
    PairCheck(
        "shock_to_rear_tyre",
        ("shock",),
        ("rear_tyre",),
        (),
        "build.rear_wheel.tyre",
        sprung=True,
    ),
    PairCheck("links_to_frame", ("link",), ("frame",), (), "tubes with a link", sprung=True),
    PairCheck("links_to_links", ("link",), ("link",), (), "a second moving link", sprung=True),
    PairCheck(
        "links_on_axle",
        ("link", "shock"),
        _WHOLE,
        (),
        "tubes with a link",
        sprung=True,
        axle=True,
        # Parallel faces are equally near everywhere, which takes long to prove finely.
        tolerance=0.05,
    ),
    PairCheck(
        "own_to_parts",
        ("own",),
        tuple(k for k in KINDS if k not in ("crank_arm", "fitting")),
        _ALL,
        "build.bodies",
        far=NEAR,
    ),
    PairCheck(
        "fittings_to_parts",
        ("fitting",),
        tuple(k for k in KINDS if k not in ("crank_arm", "cassette")),
        _ALL,
        "features of tubes",
        features=True,
        far=NEAR,
    ),
    REST,
)
"""Every check between bodies, in the order of the requirements."""


@lru_cache(maxsize=1)
def _the_rest() -> tuple[tuple[str, str], ...]:
    """Return every two kinds that no other check measures and that are not left out."""
    taken = {frozenset(pair) for check in PAIRS[:-1] for pair in check.kinds()}
    taken |= set(left_out())
    every = combinations_with_replacement(KINDS, 2)
    return tuple(pair for pair in every if frozenset(pair) not in taken)


def entry_of(a: str, b: str) -> TableEntry:
    """Return what is done about two kinds of bodies."""
    pair = frozenset((a, b))
    names = [c.name for c in PAIRS if any(frozenset(two) == pair for two in c.kinds())]
    if names:
        return TableEntry("checked", ", ".join(names))
    return left_out()[pair]


@dataclass(frozen=True)
class Plan:
    """What one check measures on one bike, and what is required there."""

    name: str
    title: str
    limit: float
    """Least gap that passes [mm]."""
    source: str
    """Where that comes from."""
    ranges: tuple[Range, ...]
    """Limits of the motions."""
    tolerance: float
    """Width of its certificates [mm]."""
    lines: tuple[Line, ...]
    """The pairs that may be of interest, those of one line of the list together."""
    pairs: Sequence[tuple[Body, Body]]
    """All pairs, of which at least the nearest is listed; none where that is not asked for."""
    has_note: bool = True
    """Whether its results carry the notes of their bodies."""


def plan(check: PairCheck, scene: Scene) -> Plan | Unchecked | None:
    """Return what a check measures on a bike, or why it cannot be made; None if it does not apply."""
    if check.sprung and scene.bike.linkage is None:
        return None
    if check.built and scene.bike.fork is None:
        return None
    if check.features and not scene.kinds.get("fitting"):
        return None
    requirement = REQUIREMENTS[check.name]
    bodies = scene.bodies
    found = scene.listed.of(check.kinds(), bodies, on_axle=check.axle)
    if not len(found.both):
        absent = {one.name for one in scene.absent}
        sides = [
            [start for k in kinds for start in ((k,) if k in absent else KINDS[k])]
            for kinds in (check.moving, check.fixed)
            if not any(scene.kinds.get(kind) for kind in kinds)
        ]
        lacking = of_parts(scene.absent, sides, check.needs)
        return Unchecked(check.name, requirement.title, f"the file does not give {lacking}")
    limit, source = scene.required(check.name)
    ranges, tolerance = scene.ranges(check.motions), max(scene.tolerance, check.tolerance)
    apart = scene.apart_of(found.both)
    near = np.flatnonzero(apart <= limit + check.far)
    twins, exact = _twins(found, near, scene)
    pairs, lows = [(bodies[i], bodies[j]) for i, j in found.both.tolist()], apart.tolist()
    lines: dict[int, list[int]] = {}
    for i in near.tolist():
        lines.setdefault(found.lines[i], []).append(i)
    return Plan(
        name=check.name,
        title=requirement.title,
        limit=limit,
        source=source,
        ranges=ranges,
        tolerance=tolerance,
        lines=tuple(
            Line(
                [pairs[i] for i in own],
                [lows[i] for i in own],
                limit,
                check.far,
                ranges,
                tolerance,
                {k for k, i in enumerate(own) if i in twins},
                {k for k, i in enumerate(own) if i in exact},
            )
            for own in lines.values()
        ),
        pairs=pairs,
    )


def _twins(found: PairList, near: Ints, scene: Scene) -> tuple[set[int], set[int]]:
    """Return which near pairs are mirror images of others before them in their line, see `Line`."""
    lines: Ints = np.array(found.lines)
    both = found.both[near]
    image = found.places(scene.twins.of_pairs(both))
    is_near = np.zeros(len(lines) + 1, dtype=bool)  # the last is that of no pair
    is_near[near] = True
    is_twin = is_near[image] & (image < near) & (lines[image] == lines[near])
    is_exact = is_twin & scene.twins.are_same(both)
    return set(near[is_twin].tolist()), set(near[is_exact].tolist())


def measured(
    plans: Sequence[Plan],
    scene: Scene,
    progress: Progress | None = None,
    *,
    only_short: bool = False,
) -> Iterator[tuple[Plan, list[Result]]]:
    """Measure what some checks ask for; yield each with the tightest result of each of its lines.

    Checks over the same motions are measured together, which is quicker, and follow each other; with
    `only_short` all are, as that takes no time to speak of.

    Args:
        plans: the checks.
        scene: the bike with its parts.
        progress: called with the name of the next check and the share that is done.
        only_short: measure only what falls short, which is much quicker.
    """
    done = 0
    groups: dict[object, list[Plan]] = {}
    for one in plans:
        key = None if only_short else (one.ranges, one.tolerance)
        groups.setdefault(key, []).append(one)
    for some in groups.values():
        if progress is not None:
            progress(some[0].name, done / len(plans))
        done += len(some)
        lines = [line for one in some for line in one.lines]
        found = iter(judged(lines, scene, only_short=only_short))
        for one in some:
            own = [next(found) for _ in one.lines]
            if one.pairs and not only_short and not any(own):
                # Nothing was near: list only the nearest pair.
                own = [nearest_of(one.pairs, scene, one.ranges, one.tolerance)]
            yield one, [_result_of(one, nearest) for nearest in own if nearest is not None]


def _result_of(one: Plan, nearest: Nearest) -> Result:
    gap, bodies = nearest
    note = (bodies[0].note or bodies[1].note) if one.has_note else ""
    return result_of(gap, one.name, one.title, bodies, one.limit, one.source, note)


def run(
    check: PairCheck, scene: Scene, *, only_short: bool = False
) -> Iterator[Result | Unchecked]:
    """Measure every pair of a check; yield the tightest result of each line (see `Scene.lines`).

    Args:
        check: the check.
        scene: the bike with its parts.
        only_short: measure only what falls short, which is much quicker.
    """
    one = plan(check, scene)
    if isinstance(one, Unchecked):
        yield one
    elif one is not None:
        for _, results in measured([one], scene, only_short=only_short):
            yield from results


def result_of(
    gap: Gap,
    name: str,
    title: str,
    between: tuple[Body, Body],
    required: float,
    source: str,
    note: str = "",
) -> Result:
    """Return a measured gap as the result of a check."""
    return Result(
        name=name,
        title=title,
        between=(between[0].name, between[1].name),
        gap=gap.gap,
        error=gap.error,
        required=required,
        unit="mm",
        source=source,
        at=gap.at,
        points=(gap.tube_point, gap.shape_point),
        saturated=gap.saturated,
        note=note,
    )


def motions_of(check: str) -> tuple[Name, ...]:
    """The motions that a check is made over."""
    return next((pair.motions for pair in PAIRS if pair.name == check), MOTIONS)
