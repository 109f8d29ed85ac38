"""Checks between bodies, over the motions that matter to each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations_with_replacement, product
from typing import TypeAlias

import numpy as np

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import MOTIONS, Name
from frame3d.clearance.certify.batch import PlacedBatch
from frame3d.clearance.certify.broad_phase import BroadPhase, can_meet
from frame3d.clearance.certify.distance import Gap, gap_of
from frame3d.clearance.certify.motion import Range
from frame3d.clearance.certify.numbers import Numbers
from frame3d.clearance.certify.search import APART
from frame3d.clearance.lacking import of_parts
from frame3d.clearance.memory import Found
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scene import Scene
from frame3d.clearance.table import KINDS, TableEntry, left_out
from frame3d.parameters.requirements import REQUIREMENTS

FAR = 40.0
"""Pairs that pass by more than this are left out of the list, except the nearest [mm]."""
NEAR = 15.0
"""As `FAR`, for checks that look at everything [mm]."""
TOGETHER = 16
"""How many pairs of a tube and a shape are measured of a line in one call, the likely nearest first."""
ALIKE = 1e-9
"""Gaps that differ by less count as equal [mm]."""

Nearest: TypeAlias = tuple[Gap, tuple[Body, Body]]
"""The smallest gap of some pairs, and between which bodies it is."""


@dataclass(frozen=True)
class PairCheck:
    """One check: bodies of some kinds against bodies of other kinds, over some motions."""

    name: str
    moving: tuple[str, ...]
    """Kinds of one body, as in `table.KINDS`."""
    fixed: tuple[str, ...]
    """Kinds of the other body."""
    own_motions: tuple[Name, ...]
    """Motions besides the rear travel, which everything is checked over."""
    needs: str
    """What the file has to give where the bodies are missing."""
    sprung: bool = False
    """Whether the check is only for a bike with a rear suspension."""
    axle: bool = False
    """Whether it is only for parts that turn side by side on one axle; other checks leave these out."""
    features: bool = False
    """Whether the check is only for a bike with features on its tubes."""
    tolerance: float = 0.0
    """Width of its certificates, where the scene's is finer [mm]."""
    far: float = FAR
    """Pairs that pass by more than this are left out of the list [mm]."""

    @property
    def motions(self) -> tuple[Name, ...]:
        """The motions of the check; those that change nothing between two bodies are dropped later."""
        return ("rear", *self.own_motions)

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
        ("fork_upper", "fork_lower"),
        ("fork",),
        "build.front_wheel.tyre, and build.fork.crown, legs or arch",
    ),
    PairCheck(
        "fork_to_frame",
        ("fork_upper", "fork_lower"),
        _WHOLE,
        ("fork", "steer"),
        "build.fork.crown",
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
        ("rear_caliper",),
        ("crank", "heel"),
        "build.rider.shoe_length and build.rear_brake",
    ),
    PairCheck("rotor_to_frame", ("rear_rotor",), _WHOLE, (), "build.rear_wheel.rotor"),
    PairCheck("caliper_to_frame", ("rear_caliper",), _WHOLE, (), "build.rear_brake"),
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


def run(
    check: PairCheck, scene: Scene, *, only_short: bool = False
) -> Iterator[Result | Unchecked]:
    """Measure every pair of a check; yield the tightest result of each line (see `Scene.lines`).

    Args:
        check: the check.
        scene: the bike with its parts.
        only_short: measure only what falls short, which is much quicker.
    """
    if check.sprung and scene.bike.linkage is None:
        return
    if check.features and not scene.kinds.get("fitting"):
        return
    requirement = REQUIREMENTS[check.name]
    pairs = list(_pairs(check, scene))
    if not pairs:
        absent = {one.name for one in scene.absent}
        sides = [
            [start for k in kinds for start in ((k,) if k in absent else KINDS[k])]
            for kinds in (check.moving, check.fixed)
            if not any(scene.kinds.get(kind) for kind in kinds)
        ]
        lacking = of_parts(scene.absent, sides, check.needs)
        yield Unchecked(check.name, requirement.title, f"the file does not give {lacking}")
        return
    limit, source = scene.required(check.name)
    ranges, tolerance = scene.ranges(check.motions), max(scene.tolerance, check.tolerance)
    lines: dict[tuple[str, str], list[tuple[Body, Body]]] = {}
    for (a, b), low in zip(pairs, scene.apart(pairs), strict=True):
        if low <= limit + check.far:
            lines.setdefault((scene.lines[a.name], scene.lines[b.name]), []).append((a, b))
    found = judged(
        list(lines.values()), scene, ranges, tolerance, limit, check.far, only_short=only_short
    )
    if not any(found) and not only_short:
        # Nothing was near: list only the nearest pair.
        found = [_nearest(pairs, scene, ranges, tolerance)]
    for nearest in found:
        if nearest is not None:
            gap, bodies = nearest
            note = bodies[0].note or bodies[1].note
            yield result_of(gap, check.name, requirement.title, bodies, limit, source, note)


def judged(
    lines: Sequence[Sequence[tuple[Body, Body]]],
    scene: Scene,
    ranges: Sequence[Range],
    tolerance: float,
    limit: float,
    far: float,
    *,
    only_short: bool,
) -> list[Nearest | None]:
    """Return the smallest gap of each line; None if it passes by more than `far`.

    Where the limit lies within a certificate, the search is made once more, only to prove that the gap
    is above the limit. With `only_short` that comes first: what can be proven needs no certificate. So
    both ways pass the same lines.

    Args:
        lines: the pairs of each.
        scene: the bike with its parts.
        ranges: limits of the motions.
        tolerance: width of the certificate [mm].
        limit: least gap that passes [mm].
        far: lines that pass by more are of no interest [mm].
        only_short: leave out lines that are proven to pass; most are, and much quicker.
    """

    def unproven(some: Sequence[int]) -> list[int]:
        """Return which lines are not proven to be further apart than the limit."""
        near = [[pair for pair, low in apart[i] if low <= limit] for i in some]
        gaps = least(near, ranges, tolerance, limit, scene.broad_phase, scene.numbers)
        return [i for i, gap in zip(some, gaps, strict=True) if gap is not None]

    lows = iter(scene.apart([pair for own in lines for pair in own]))
    apart = [[(pair, next(lows)) for pair in own] for own in lines]
    wanted: Sequence[int] = range(len(lines))
    if only_short:
        wanted = unproven(wanted)
    some = _of_lines([lines[i] for i in wanted], scene, ranges, tolerance, limit + far)
    found = dict(zip(wanted, some, strict=True))
    if not only_short:
        doubtful = [
            i for i, one in found.items() if one and one[0].gap - one[0].error < limit <= one[0].gap
        ]
        for i in set(doubtful) - set(unproven(doubtful)):
            one = found[i]
            assert one is not None
            error = math.nextafter(one[0].gap - limit, 0.0)
            found[i] = replace(one[0], error=error), one[1]
    return [found.get(i) for i in range(len(lines))]


def _of_lines(
    lines: Sequence[Sequence[tuple[Body, Body]]],
    scene: Scene,
    ranges: Sequence[Range],
    tolerance: float,
    cutoff: float | None,
) -> list[Nearest | None]:
    """Return the smallest gap of each line, or None if it is above the cutoff.

    Args:
        lines: the pairs of each.
        scene: the bike with its parts.
        ranges: limits of the motions.
        tolerance: width of the certificate [mm].
        cutoff: largest gap of interest; None for any [mm].
    """
    memory = scene.memory
    keys = [] if memory is None else [scene.key(own, ranges, tolerance, cutoff) for own in lines]
    known = (
        {} if memory is None else {i: memory.found(k) for i, k in enumerate(keys) if k in memory}
    )
    left = [i for i in range(len(lines)) if i not in known]
    wanted = [lines[i] for i in left]
    for i, found in zip(
        left,
        least(wanted, ranges, tolerance, cutoff, scene.broad_phase, scene.numbers),
        strict=True,
    ):
        known[i] = found
        if memory is not None:
            memory.keep(keys[i], found)
    return [
        None if (one := known[i]) is None else (one[0], own[one[1]]) for i, own in enumerate(lines)
    ]


def _pairs(check: PairCheck, scene: Scene) -> Iterator[tuple[Body, Body]]:
    """Yield all pairs of bodies of a check that are not joined on purpose."""
    kinds = scene.kinds
    seen: set[frozenset[str]] = set()
    for one, other in check.kinds():
        for a, b in product(kinds.get(one, ()), kinds.get(other, ())):
            names = frozenset((a.name, b.name))
            if a is b or names in seen or not can_meet(a, b):
                continue
            seen.add(names)
            on_axle = not set(a.axles).isdisjoint(b.axles)
            if on_axle == check.axle and not joined(a, b):
                yield a, b


def joined(a: Body, b: Body) -> bool:
    """Return whether two bodies touch by design.

    So do a bottle and its tube, the tubes of one link, a body of the file's own and what it is fixed
    to.
    """
    if b.name in a.touches or a.name in b.touches or a.family == b.family != "frame":
        return True
    return a.family == b.family and a.mount == b.mount


def _nearest(
    pairs: Sequence[tuple[Body, Body]],
    scene: Scene,
    ranges: Sequence[Range],
    tolerance: float,
) -> Nearest | None:
    """Return the nearest pair.

    Args:
        pairs: of bodies.
        scene: the bike with its parts.
        ranges: limits of the motions.
        tolerance: width of the certificate [mm].
    """
    apart = scene.apart(pairs)
    order = sorted(range(len(pairs)), key=lambda i: apart[i])
    best: Nearest | None = None
    for i in range(0, len(order), TOGETHER):
        some = [k for k in order[i : i + TOGETHER] if best is None or apart[k] <= best[0].gap]
        if not some:
            break
        cutoff = None if best is None else best[0].gap
        (found,) = _of_lines([[pairs[k] for k in some]], scene, ranges, tolerance, cutoff)
        if found is not None and (best is None or found[0].gap < best[0].gap - ALIKE):
            best = found
    return best


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


def between(
    a: Body, b: Body, scene: Scene, motions: Sequence[Name], cutoff: float | None = None
) -> Gap | None:
    """Return the smallest gap between two bodies over some motions; None if it is above `cutoff`."""
    ranges = scene.ranges(motions)
    (found,) = _of_lines([[(a, b)]], scene, ranges, scene.tolerance, cutoff)
    return None if found is None else found[0]


def least(
    lines: Sequence[Sequence[tuple[Body, Body]]],
    ranges: Sequence[Range],
    tolerance: float,
    cutoff: float | None = None,
    broad_phase: BroadPhase | None = None,
    numbers: Numbers | None = None,
) -> list[Found]:
    """Return the smallest gap of each line and the index of its pair; None if it is above `cutoff`.

    Of equal gaps, as left and right have, the first one is returned. All lines are searched together,
    a few pairs of each at a time, the likely nearest first.

    Args:
        lines: the pairs of bodies of each.
        ranges: limits of the motions.
        tolerance: width of the certificate [mm].
        cutoff: largest gap of interest; None for any [mm].
        broad_phase: of these bodies, where more is measured of them.
        numbers: of their solids, as well.
    """
    broad_phase = BroadPhase() if broad_phase is None else broad_phase
    numbers = Numbers() if numbers is None else numbers
    found = broad_phase.candidates([pair for own in lines for pair in own], ranges)
    places = [(i, k) for i, own in enumerate(lines) for k in range(len(own))]
    line_of = np.array([i for i, _ in places], dtype=np.int64)[found.pair]
    cutoffs = np.full(len(lines), math.inf if cutoff is None else cutoff)
    order = np.lexsort((np.round(found.low, 3), line_of))
    rank = np.arange(len(order)) - np.searchsorted(line_of[order], line_of[order])
    best: list[_Best | None] = [None] * len(lines)
    bounds = np.full(len(lines), math.inf)
    for begin in range(0, int(rank.max(initial=-1)) + 1, TOGETHER):
        some = order[(rank >= begin) & (rank < begin + TOGETHER)]
        some = some[found.low[some] <= cutoffs[line_of[some]]]
        if not len(some):
            break
        both = [(found.tubes[found.tube[k]], found.shapes[found.shape[k]]) for k in some]
        batch = PlacedBatch(both, ranges, numbers)
        out = batch.found(tolerance, cutoffs[line_of[some]], line_of[some])
        for k in np.flatnonzero(out["state"] != APART):
            line, value = line_of[some[k]], float(out[k]["value"])
            bounds[line] = min(bounds[line], value, float(out[k]["bound"]))
            before = best[line]
            if before is None or value < before.gap - ALIKE:
                best[line] = _Best(value, int(found.pair[some[k]]), batch, int(k), out[k])
                cutoffs[line] = min(cutoffs[line], value)
    return [
        None if one is None else (one.certified(float(bound)), places[one.pair][1])
        for one, bound in zip(best, bounds, strict=True)
    ]


@dataclass(frozen=True, slots=True)
class _Best:
    """The nearest pair of a line so far, as the search found it."""

    gap: float
    pair: int
    """Index of its bodies."""
    batch: PlacedBatch
    index: int
    """Its place in the batch."""
    outcome: np.void
    """Its `records.Outcome`."""

    def certified(self, bound: float) -> Gap:
        """Return the gap, proven to be no smaller than `bound` in the whole line."""
        tube, shape = self.batch.solids[self.index]
        gap = gap_of(tube, shape, self.batch.motion(self.index), self.outcome)
        assert isinstance(gap, Gap)
        taking_part: set[str] = {s.name for s in (*tube.mount.steps, *shape.mount.steps)}
        at = {name: value for name, value in gap.at.items() if name in taking_part}
        return replace(gap, error=gap.gap - bound, at=at)


def motions_of(check: str) -> tuple[Name, ...]:
    """The motions that a check is made over."""
    return next((pair.motions for pair in PAIRS if pair.name == check), MOTIONS)
