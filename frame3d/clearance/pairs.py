"""Pairs: checks of one body against others over the motions that matter."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from frame3d.bodies import Body
from frame3d.bodies.mounts import Name
from frame3d.bodies.shapes import Placed, Tubular
from frame3d.clearance.distance import Apart, Gap, measured, prepare
from frame3d.clearance.lacking import of_parts
from frame3d.clearance.motion import Range
from frame3d.clearance.reach import Candidate, candidates
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scene import Scene
from frame3d.spec.requirements import REQUIREMENTS

FAR = 40.0
"""Pairs further over their limit than this are left out of the list, but for the nearest [mm]."""
TOGETHER = 16
"""Pairs of one tube and one shape that are measured in one call, likely ones first."""
ALIKE = 1e-9
"""Gaps that differ by less are the same [mm]."""


@dataclass(frozen=True)
class PairCheck:
    """One check: these bodies against those, over these motions."""

    name: str
    these: tuple[str, ...]
    """Bodies by the beginning of their names."""
    those: tuple[str, ...]
    """Bodies by the beginning of their names; empty for the frame."""
    own_motions: tuple[Name, ...]
    """Besides the rear travel, which everything is checked over."""
    needs: str
    """What the file has to give, where it is not there."""
    sprung: bool = False
    """Only on a bike with a rear suspension."""
    still: bool = False
    """Only what moves with a link, against what does not."""

    @property
    def motions(self) -> tuple[Name, ...]:
        """What is moved; the motions that change nothing between two bodies fall out by themselves."""
        return ("rear", *self.own_motions)


PAIRS = (
    PairCheck("rear_tyre_to_frame", ("rear_tyre",), (), (), "build.rear_wheel.tyre"),
    PairCheck(
        "front_tyre_to_frame", ("front_tyre",), (), ("fork", "steer"), "build.front_wheel.tyre"
    ),
    PairCheck(
        "front_tyre_to_fork",
        ("front_tyre",),
        ("fork_crown", "fork_arch", "fork_leg", "fork_lower"),
        ("fork",),
        "build.front_wheel.tyre, and build.fork.crown, legs or arch",
    ),
    PairCheck(
        "fork_to_frame",
        ("fork_crown", "fork_knob", "fork_leg", "fork_lower"),
        (),
        ("steer",),
        "build.fork.crown",
    ),
    PairCheck(
        "handlebar_to_frame",
        ("handlebar", "brake_lever", "stem"),
        (),
        ("steer",),
        "build.stem and build.handlebar",
    ),
    PairCheck(
        "chainring_to_frame", ("chainring",), (), (), "build.chainring and build.crank.chainline"
    ),
    PairCheck("chain_to_frame", ("chain",), (), (), "build.cassette and build.chainring"),
    PairCheck(
        "chain_to_rear_tyre",
        ("chain",),
        ("rear_tyre",),
        (),
        "build.cassette and build.rear_wheel.tyre",
    ),
    PairCheck("crank_to_frame", ("crank_swept",), (), (), "build.crank.q_factor"),
    PairCheck(
        "heel_to_frame",
        ("shoe",),
        (),
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
    PairCheck("rotor_to_frame", ("rear_rotor",), (), (), "build.rear_wheel.rotor"),
    PairCheck("caliper_to_frame", ("rear_caliper",), (), (), "build.rear_brake"),
    PairCheck(
        "saddle_to_rear_tyre",
        ("saddle",),
        ("rear_tyre",),
        (),
        "build.saddle, build.seatpost.saddle_height and build.rear_wheel.tyre",
    ),
    PairCheck("bottle_to_frame", ("bottle",), (), (), "build.bottles"),
    PairCheck("shock_to_frame", ("shock",), (), (), "suspension", sprung=True),
    PairCheck(
        "shock_to_rear_tyre",
        ("shock",),
        ("rear_tyre",),
        (),
        "build.rear_wheel.tyre",
        sprung=True,
    ),
    PairCheck(
        "links_to_frame",
        ("moving", "housing", "lug", "plate"),
        (),
        (),
        "tubes with a link",
        sprung=True,
        still=True,
    ),
)
"""Every check between bodies, in the order of the requirements."""


def run(check: PairCheck, scene: Scene) -> Iterator[Result | Unchecked]:
    """Measure every pair of a check; one result, the tightest, a pair of kinds (see `_kind`)."""
    if check.sprung and scene.layout.linkage is None:
        return
    requirement = REQUIREMENTS[check.name]
    these = scene.named(*check.these)
    those = scene.named(*check.those) if check.those else scene.frame()
    if check.still:
        these = tuple(b for b in these if _moves(b))
        those = tuple(b for b in those if not _moves(b))
    if not these or not those:
        sides = [
            kinds for kinds, found in ((check.these, these), (check.those, those)) if not found
        ]
        lacking = of_parts(scene.absent, sides, check.needs)
        yield Unchecked(check.name, requirement.title, f"the file does not give {lacking}")
        return
    limit, source = scene.required(check.name)
    pairs = [(a, b) for a in these for b in those if a.name != b.name and not _belongs(a, b)]
    ranges = scene.ranges(check.motions)
    kind_of = {(a.name, b.name): (_kind(a, check.these), _kind(b, check.those)) for a, b in pairs}
    kinds: dict[tuple[str, str], list[Candidate]] = {kind: [] for kind in kind_of.values()}
    for way in candidates(pairs, ranges):
        a, b = way.bodies
        kinds[kind_of[a.name, b.name]].append(way)
    found = [least(ways, ranges, scene.tolerance, limit + FAR) for ways in kinds.values()]
    if not any(found):
        # Nothing was near: only the nearest of all is of interest.
        found = [least([way for ways in kinds.values() for way in ways], ranges, scene.tolerance)]
    for nearest in found:
        if nearest is not None:
            gap, bodies = nearest
            note = bodies[0].note or bodies[1].note
            yield result_of(gap, check.name, requirement.title, bodies, limit, source, note)


def result_of(
    gap: Gap,
    name: str,
    title: str,
    between: tuple[Body, Body],
    required: float,
    source: str,
    note: str = "",
) -> Result:
    """A measured gap as the result of a check."""
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
    """Smallest gap between two bodies over some motions; None if it is above `cutoff`."""
    ranges = scene.ranges(motions)
    found = least(candidates([(a, b)], ranges), ranges, scene.tolerance, cutoff)
    return None if found is None else found[0]


def least(
    ways: Iterable[Candidate],
    ranges: Sequence[Range],
    tolerance: float,
    cutoff: float | None = None,
) -> tuple[Gap, tuple[Body, Body]] | None:
    """Smallest gap of all that can be measured, and of which bodies; None if it is above `cutoff`.

    Of two that are alike, as left and right are, the one that comes first.
    """
    near_enough = (way for way in ways if cutoff is None or way.low <= cutoff)
    order = sorted(near_enough, key=lambda way: round(way.low, 3))
    best: tuple[Gap, Candidate] | None = None
    bound = math.inf
    for i in range(0, len(order), TOGETHER):
        cut = _lower(cutoff, None if best is None else best[0].gap)
        near = [way for way in order[i : i + TOGETHER] if cut is None or way.low <= cut]
        if not near:
            break
        gaps = measured(
            [prepare(way.tube, way.shape, _moving(way.tube, way.shape, ranges)) for way in near],
            tolerance=tolerance,
            cutoff=cut,
            only_least=True,
        )
        for gap, way in zip(gaps, near, strict=True):
            if not isinstance(gap, Apart):
                bound = min(bound, gap.gap - gap.error)
                if best is None or gap.gap < best[0].gap - ALIKE:
                    best = gap, way
    if best is None:
        return None
    return replace(best[0], error=best[0].gap - bound), best[1].bodies


def _moving(tube: Tubular, shape: Placed, ranges: Sequence[Range]) -> tuple[Range, ...]:
    names = {s.name for s in (*tube.mount.steps, *shape.mount.steps)}
    return tuple(r for r in ranges if r.name in names)


def can_meet(a: Body, b: Body) -> bool:
    """Whether there is a way to measure two bodies: one as tube, the other as shape."""
    return bool((a.tubes and b.shapes) or (b.tubes and a.shapes))


def _moves(body: Body) -> bool:
    """Whether a body moves against the front frame."""
    mounts = [*(shape.mount for shape in body.shapes), *(tube.mount for tube in body.tubes)]
    return any(mount.steps for mount in mounts)


def _belongs(a: Body, b: Body) -> bool:
    """Whether two bodies touch by design: a bottle and the tube it is mounted on."""
    return b.name in a.touches or a.name in b.touches


def _lower(a: float | None, b: float | None) -> float | None:
    both = [x for x in (a, b) if x is not None]
    return min(both) if both else None


def _kind(body: Body, starts: Sequence[str]) -> str:
    """What a body counts as in the list: one line for left and right, and for all gears."""
    for start in starts:
        if body.name == start or body.name.startswith(f"{start}_"):
            return start
    return body.name.removesuffix("_left").removesuffix("_right")
