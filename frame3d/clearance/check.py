"""All clearance checks of a bike, against their requirements."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from frame3d.bike.bike import Bike
from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import MOTIONS
from frame3d.chart.as_built import SLIDE
from frame3d.clearance.certify.broad_phase import can_meet
from frame3d.clearance.certify.distance import TOLERANCE
from frame3d.clearance.lines import Line, between
from frame3d.clearance.pair_lists import joined
from frame3d.clearance.pairs import PAIRS, Plan, measured, plan, result_of
from frame3d.clearance.result import Report, Result, Unchecked
from frame3d.clearance.scalar_checks import FIGURE_CHECKS, Outcome
from frame3d.clearance.scene import Scene, scene_of
from frame3d.errors import Fault, SpecError
from frame3d.parameters.models.clearance import ExtraCheckSpec
from frame3d.parameters.requirements import REQUIREMENTS

SAME = 1e-6
"""Margins that differ by less are the same [mm]."""
Progress = Callable[[str, float], None]


def check(bike: Bike, *, tolerance: float = TOLERANCE, progress: Progress | None = None) -> Report:
    """Make all checks of a solved bike.

    Args:
        bike: from `solve`.
        tolerance: width of the certificate of each gap [mm].
        progress: called with the name of the next check and the fraction done, 0 to 1.

    Raises:
        SpecError: an extra check names a body that is not there or cannot be measured.
    """
    return run_checks(scene_of(bike, tolerance), progress)


def run_checks(
    scene: Scene,
    progress: Progress | None = None,
    names: frozenset[str] | None = None,
    *,
    only_short: bool = False,
) -> Report:
    """Make the checks of a scene: all of them, or only those named.

    Args:
        scene: the bike with its parts.
        progress: as `check`.
        names: of the checks to make; None for all.
        only_short: measure only what falls short. The report then lacks most of what passes; its
            unchecked ones are complete.

    Raises:
        SpecError: as `check`.
    """
    found = list(outcomes(scene, progress, names, only_short=only_short))
    drawn = scene.drawn
    results = without_better([replace(o, drawn=drawn) for o in found if isinstance(o, Result)])
    results.sort(key=lambda r: (r.margin, r.name, r.between or ("", "")))
    unchecked = tuple(o for o in found if isinstance(o, Unchecked))
    turns = scene.spec.build.fork is not None or scene.spec.build.handlebar is not None
    return Report(tuple(results), unchecked, scene.steering if turns else None, scene.tensioned)


def outcomes(
    scene: Scene,
    progress: Progress | None = None,
    names: frozenset[str] | None = None,
    *,
    only_short: bool = False,
    first_short: bool = False,
) -> Iterator[Outcome]:
    """Yield what each check comes to, one after another.

    Gaps are certified wherever an axle slides or an insert turns; checks of single figures are made at a
    few places of it (`Scene.elsewhere`).

    Args:
        scene: the bike with its parts.
        progress: as `check`.
        names: of the checks to make; None for all.
        only_short: as `run_checks`.
        first_short: the first that falls short is the last that is wanted: checks of single figures,
            which cost least, come first, and the gaps of only a few checks are measured at once.

    Raises:
        SpecError: as `check`.
    """
    yield from _own_outcomes(scene, progress, names, only_short=only_short, first_short=first_short)
    figures = frozenset(name for name in FIGURE_CHECKS if names is None or name in names)
    for path, value, there in scene.elsewhere if figures else ():
        for outcome in _own_outcomes(
            there, progress, figures, only_short=only_short, first_short=first_short
        ):
            if isinstance(outcome, Result):
                slid = path == SLIDE
                yield replace(
                    outcome, slide=value if slid else None, insert=None if slid else value
                )


def without_better(results: list[Result]) -> list[Result]:
    """Leave out what another tension of the chain makes no worse than it is as drawn."""
    drawn = {(r.name, r.between): r.margin for r in results if not r.elsewhere}
    return [
        r
        for r in results
        if not r.elsewhere or r.margin < drawn.get((r.name, r.between), math.inf) - SAME
    ]


def _own_outcomes(
    scene: Scene,
    progress: Progress | None,
    names: frozenset[str] | None,
    *,
    only_short: bool,
    first_short: bool,
) -> Iterator[Outcome]:
    """Yield the same with the axle where it stands."""
    refuse_unknown_extras(scene)
    pairs = list(dict.fromkeys(pair.name for pair in PAIRS))
    extras = [f"extra.{i}" for i in range(len(scene.spec.clearance.extra))]
    every = [*pairs, *FIGURE_CHECKS, *extras]
    if first_short:
        every.sort(key=lambda name: name not in FIGURE_CHECKS)
    wanted = [name for name in every if names is None or name in names]
    gaps = [name for name in wanted if name not in FIGURE_CHECKS]
    known: dict[str, list[Outcome]] = {}
    count = 1 if first_short else len(gaps)

    def told(name: str, share: float) -> None:
        if progress is not None:
            progress(name, share * len(pairs) / len(every))

    for name in wanted:
        if name in FIGURE_CHECKS:
            if progress is not None:
                progress(name, every.index(name) / len(every))
        elif name not in known:
            some = gaps[len(known) : len(known) + count]
            known |= _gaps(scene, some, told, only_short=only_short)
            count *= 2
        if name in scene.spec.clearance.skip:
            yield Unchecked(name, REQUIREMENTS[name].title, "left out by clearance.skip")
        elif name in FIGURE_CHECKS:
            yield from FIGURE_CHECKS[name](scene)
        else:
            yield from known[name]


def _gaps(
    scene: Scene, names: Sequence[str], progress: Progress, *, only_short: bool
) -> dict[str, list[Outcome]]:
    """Return what some checks between bodies come to, by their name."""
    found: dict[str, list[Outcome]] = {name: [] for name in names}
    plans: list[Plan] = []
    makers: list[tuple[str, Callable[[Scene], Plan | Unchecked | None]]] = []
    makers += [(pair.name, partial(plan, pair)) for pair in PAIRS]
    makers += [
        (f"extra.{i}", partial(_extra, i, extra))
        for i, extra in enumerate(scene.spec.clearance.extra)
    ]
    for name, make in makers:
        if name not in found or name in scene.spec.clearance.skip:
            continue
        one = make(scene)
        if isinstance(one, Unchecked):
            found[name].append(one)
        elif one is not None:
            plans.append(one)
    for one, results in measured(plans, scene, progress, only_short=only_short):
        found[one.name] += results
    return found


def _extra(index: int, extra: ExtraCheckSpec, scene: Scene) -> Plan | Unchecked:
    """Return what an extra check of the file measures."""
    names = extra.between
    name, title = f"extra.{index}", f"{names[0]} to {names[1]}"
    a, b = scene.body(names[0]), scene.body(names[1])
    assert a is not None
    assert b is not None
    if not can_meet(a, b):
        return Unchecked(name, title, "there is no way to measure these two")
    both, ranges = [(a, b)], scene.ranges(MOTIONS)
    return Plan(
        name=name,
        title=title,
        limit=extra.gap,
        source=f"the file's own check, clearance.extra.{index}",
        ranges=ranges,
        tolerance=scene.tolerance,
        lines=(Line(both, scene.apart(both), extra.gap, math.inf, ranges, scene.tolerance),),
        pairs=(),
        has_note=False,
    )


def refuse_unknown_extras(scene: Scene) -> None:
    """Fault if an extra check is between bodies that are not there or cannot be measured.

    Raises:
        SpecError: with every such check.
    """
    faults: list[Fault] = []
    if all(_is_known(scene, extra) for extra in scene.spec.clearance.extra):
        return
    known = {b.name: b for b in scene.bodies}
    for i, extra in enumerate(scene.spec.clearance.extra):
        for j, name in enumerate(extra.between):
            if name not in known:
                faults.append(
                    scene.spec.fault(
                        "not-allowed",
                        f"clearance.extra.{i}.between.{j}",
                        f"there is no body named {name!r}",
                        f"bodies of this bike: {', '.join(sorted(known))}",
                    )
                )
        a, b = (known.get(name) for name in extra.between)
        if a is not None and b is not None and not can_meet(a, b):
            faults.append(
                scene.spec.fault(
                    "not-allowed",
                    f"clearance.extra.{i}.between",
                    f"{a.name} and {b.name} cannot be measured against each other",
                    f"choose one of {', '.join(b.name for b in partners(scene, a))} with {a.name}",
                )
            )
    if faults:
        raise SpecError(faults)


def _is_known(scene: Scene, extra: ExtraCheckSpec) -> bool:
    """Return whether an extra check can be made."""
    a, b = scene.some(*extra.between)
    return a is not None and b is not None and can_meet(a, b)


def partners(scene: Scene, body: Body) -> list[Body]:
    """Return the bodies that a body can be measured against."""
    return [b for b in scene.bodies if b is not body and can_meet(body, b)]


def near(scene: Scene, within: float, progress: Progress | None = None) -> list[Result]:
    """Return every pair of bodies closer than `within` [mm], nearest first.

    Left out are pairs of one family (as the frame with its links, a wheel, the fork), bodies that
    touch by design, and parts on one axle of the suspension.

    Args:
        scene: the bike with its parts.
        within: largest gap listed [mm].
        progress: as `check`.
    """
    frame = {b.name for b in scene.frame()}
    moving = [b for b in scene.bodies if b.name not in frame]
    pairs = [
        (a, b)
        for i, a in enumerate(moving)
        for b in (*moving[i + 1 :], *scene.frame())
        if can_meet(a, b)
        and not joined(a, b)
        and a.family != b.family
        and set(a.axles).isdisjoint(b.axles)
    ]
    out: list[Result] = []
    for i, (a, b) in enumerate(pairs):
        if progress is not None:
            progress(f"{a.name} to {b.name}", i / len(pairs))
        gap = between(a, b, scene, MOTIONS, within)
        if gap is not None and gap.gap <= within:
            near = result_of(gap, "near", f"{a.name} to {b.name}", (a, b), 0.0, "")
            out.append(replace(near, drawn=scene.drawn))
    out.sort(key=lambda r: r.gap)
    return out


def with_mends(
    report: Report,
    mend: Callable[[Result], tuple[str, ...]],
    progress: Progress | None = None,
) -> Report:
    """Return the same report, with what would make each failing result pass.

    Args:
        report: the report.
        mend: gives the texts for one failing result, as `Remedies.mends` does.
        progress: as `check`.
    """
    failing = [r for r in report.results if not r.ok]
    found: dict[int, tuple[str, ...]] = {}
    for i, result in enumerate(failing):
        if progress is not None:
            progress(f"what would mend {result.name}", i / len(failing))
        found[id(result)] = mend(result)
    results = (replace(r, mend=found.get(id(r), ())) for r in report.results)
    return replace(report, results=tuple(results))
