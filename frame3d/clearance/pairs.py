"""Pairs: checks of one body against others over the motions that matter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from frame3d.bodies import Body
from frame3d.bodies.mounts import Name
from frame3d.bodies.shapes import Placed, Tubular
from frame3d.clearance.distance import Apart, Gap, measured, prepare
from frame3d.clearance.motion import Range
from frame3d.clearance.reach import Candidate, candidates
from frame3d.clearance.result import Result, Unchecked
from frame3d.clearance.scene import Scene
from frame3d.spec.requirements import REQUIREMENTS

FAR = 40.0
"""Pairs further over their limit than this are left out of the list, but for the nearest [mm]."""


TOGETHER = 16
"""Pairs of one tube and one shape that are measured in one call, likely ones first."""


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
        yield Unchecked(check.name, requirement.title, f"the file does not give {check.needs}")
        return
    limit, source = scene.required(check.name)
    found: dict[tuple[str, str], tuple[Gap, Body, Body]] = {}
    pairs = [(a, b) for a in these for b in those if a.name != b.name and not _belongs(a, b)]
    ways = candidates(pairs, scene.ranges(check.motions))
    todo = [(way, pair) for way, pair in zip(ways, pairs, strict=True) if way]
    todo.sort(key=lambda item: round(item[0][0][0], 3))
    for cutoff in (limit + FAR, None):
        for way, (a, b) in todo:
            key = (_kind(a, check.these), _kind(b, check.those))
            best = found.get(key)
            cut = _lower(cutoff, None if best is None else best[0].gap - 1.5 * scene.tolerance)
            if cutoff is None and found:
                # Nothing was near: only the nearest of all is of interest.
                cut = min(g.gap for g, _, _ in found.values()) - 1.5 * scene.tolerance
            gap = _least(way, scene, check.motions, cut)
            if gap is not None:
                if cutoff is None:
                    found.clear()
                found[key] = (gap, a, b)
        if found:
            break
    for gap, a, b in found.values():
        yield result_of(
            gap, check.name, requirement.title, (a, b), limit, source, note=a.note or b.note
        )


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
    # Where both bodies have both forms, either form may hold less than the other (see `Body`): look
    # both ways, and the smaller gap is right.
    return _least(candidates([(a, b)], scene.ranges(motions))[0], scene, motions, cutoff)


def _least(
    pairs: Sequence[Candidate], scene: Scene, motions: Sequence[Name], cutoff: float | None
) -> Gap | None:
    """Smallest gap of tubes to shapes, likely ones first; None if it is above `cutoff`."""
    ranges = scene.ranges(motions)
    best: Gap | None = None
    for i in range(0, len(pairs), TOGETHER):
        cut = _lower(cutoff, None if best is None else best.gap)
        near = [p for p in pairs[i : i + TOGETHER] if cut is None or p[0] <= cut]
        if not near:
            break
        gaps = measured(
            [prepare(tube, shape, _moving(tube, shape, ranges)) for _, tube, shape in near],
            tolerance=scene.tolerance,
            cutoff=cut,
            only_least=True,
        )
        for gap in gaps:
            if not isinstance(gap, Apart) and (best is None or gap.gap < best.gap):
                best = gap
    return best


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
