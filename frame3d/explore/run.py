"""Explore a study: a sweep of its sample, or a search; then prove the best by full checks."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

import numpy as np

from frame3d.explore.engines.engine import Engine, Evaluates
from frame3d.explore.engines.serial import Serial
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.evaluate.evaluator import Evaluator
from frame3d.explore.exploration import Exploration, Kept, Sensitivity
from frame3d.explore.pool import Pool, Told, front_of, merit
from frame3d.explore.rounding import nearest
from frame3d.explore.sampling import count_of, designs_of
from frame3d.explore.search.bearing import Gain
from frame3d.explore.search.driver import Found, search
from frame3d.explore.search.of_study import problem_of
from frame3d.explore.search.trials import Ended
from frame3d.explore.store.store import Store
from frame3d.explore.study.study import Design, Study, Value, Varied
from frame3d.explore.unvaried import unvaried_gains

MANY: Final = 100_000
"""Most designs of a search without a limit of its own."""
_MORE: Final = 0.1
"""Share of the time that may be taken beside it to say what else might vary."""
_BRIEF: Final = 20.0
"""So long it may take at least, unless a limit is less [s]."""
_STEP: Final = 0.02
"""Step of each value for the sensitivities, as a share of its range."""


@dataclass(frozen=True, slots=True)
class Limit:
    """When an exploration ends, if not earlier."""

    designs: int | None = None
    """After so many designs, those known already among them."""
    seconds: float | None = None
    """After so long."""
    enough: int = 1
    """With so many feasible designs, where nothing is preferred."""


def evaluator_of(study: Study) -> Evaluates:
    """Return what evaluates a study's designs, as engines make it.

    A sweep leaves a design at the first stage that it fails; a search goes on, to see how far it misses.
    """
    return Evaluator(study, reject=study.sample is not None)


def mode_of(study: Study) -> str:
    """Return how a study's designs are evaluated, as stores tell results apart."""
    return "search" if study.sample is None else "sweep"


def explore(
    study: Study,
    *,
    engine: Engine | None = None,
    store: Store | None = None,
    told: Told | None = None,
    limit: Limit | None = None,
    keep: int = 3,
    proving: Callable[[str, float], None] | None = None,
    seed: int = 1,
) -> Exploration:
    """Return what a sweep or a search of a study finds.

    Args:
        study: from `read_study`; with a sample a sweep, else a search.
        engine: evaluates designs, by `evaluator_of`; None for this process.
        store: where evaluations are kept and taken from; None for nowhere.
        told: called after every batch.
        limit: when it ends at the latest.
        keep: how many of the best feasible designs are made again and proved by a full check.
        proving: called with what is done after the search, and the share done, 0 to 1.
        seed: of a search's random numbers.

    Raises:
        FrameError: the bike's file is at fault, or the store or the engine fails.
    """
    began = time.monotonic()
    limit = Limit() if limit is None else limit
    runs = Serial(evaluator_of) if engine is None else engine
    pool = Pool(study, runs, store, told)

    def late() -> bool:
        return limit.seconds is not None and time.monotonic() - began >= limit.seconds

    found: Found | None = None
    try:
        if study.sample is not None:
            ended = _sweep(pool, limit, late)
        else:
            found = _search(pool, limit, late, seed)
            ended = "out of time" if found.ended == "told" else found.ended
    except KeyboardInterrupt:  # what was found until then counts
        ended = "told"
    tried, evaluated, blocking = tuple(pool.kept.values()), pool.evaluated, dict(pool.blocking)
    best = _best(pool, keep)
    sensitivities: tuple[Sensitivity, ...] = ()
    if best and ended != "told":
        sensitivities = _sensitivities(pool, best[0])
    unvaried: tuple[Gain, ...] = ()
    if pool.best is not None and not pool.feasible and ended != "told":
        unvaried = _unvaried(pool, runs, limit, began, proving)
    return Exploration(
        study=study,
        evaluations=tried,
        best=_proved(study, best, proving),
        front=front_of(study, tried),
        blocking=dict(sorted(blocking.items(), key=lambda pair: (-pair[1], pair[0]))),
        sensitivities=sensitivities,
        evaluated=evaluated,
        seconds=time.monotonic() - began,
        ended=ended,
        bearings=() if found is None else found.bearings,
        unmoved=() if found is None else found.unmoved,
        at_limits=() if found is None else found.at_limits,
        unvaried=unvaried,
    )


# -- sweep ------------------------------------------------------------------------------------------


def _sweep(pool: Pool, limit: Limit, late: Callable[[], bool]) -> str:
    """Evaluate the designs of a sample; return why it ended."""
    study = pool.study
    assert study.sample is not None
    pool.total = count_of(study.varied, study.sample)
    most = pool.total if limit.designs is None else min(limit.designs, pool.total)
    designs = (d for _, d in zip(range(most), designs_of(study.varied, study.sample), strict=False))
    if not pool.sweep(designs, late):
        return "out of time"
    return "budget" if most < pool.total else "all tried"


# -- search -----------------------------------------------------------------------------------------


def _search(pool: Pool, limit: Limit, late: Callable[[], bool], seed: int) -> Found:
    """Search among what may vary; the same way with any number of workers."""
    study = pool.study
    pool.total = limit.designs

    def evaluate(designs: Sequence[Design]) -> list[Evaluation]:
        if not pool.sweep(designs, late):
            raise Ended("told")
        return [pool.kept[design] for design in designs]

    return search(
        problem_of(study, evaluate),
        MANY if limit.designs is None else limit.designs,
        seed,
        stop=late,
        wanted=limit.enough,
    )


# -- what else might vary ---------------------------------------------------------------------------


def _unvaried(
    pool: Pool,
    engine: Engine,
    limit: Limit,
    began: float,
    proving: Callable[[str, float], None] | None,
) -> tuple[Gain, ...]:
    """Return what else of the file might vary, as far as that can be told in a tenth of the time."""
    assert pool.best is not None
    now = time.monotonic()
    ends = now + max(_MORE * (now - began), _BRIEF)
    if limit.seconds is not None:
        ends = min(ends, max(began + limit.seconds, now) + _MORE * limit.seconds)

    def late() -> bool:
        return time.monotonic() >= ends

    def looked(share: float) -> None:
        if proving is not None:
            proving("what else might vary", share)

    with suppress(KeyboardInterrupt):  # what was found until then counts
        return unvaried_gains(pool.study, pool.best, engine, late=late, told=looked)
    return ()


# -- the best ---------------------------------------------------------------------------------------


def _best(pool: Pool, keep: int) -> list[Evaluation]:
    """Return the best feasible designs, the best first."""
    met = [one for one in pool.kept.values() if one.feasible]
    return sorted(met, key=lambda one: merit(pool.study, one))[:keep]


def _sensitivities(pool: Pool, best: Evaluation) -> tuple[Sensitivity, ...]:
    """Return what a small step of each value does to wishes and preferences, from the best design."""
    study = pool.study
    steps = [(i, _stepped(one, best.design[i])) for i, one in enumerate(study.varied)]
    moved = [(i, value) for i, value in steps if value is not None]
    designs = [(*best.design[:i], value, *best.design[i + 1 :]) for i, value in moved]
    found: list[Sensitivity] = []
    for (i, value), one in zip(moved, pool.of(designs), strict=True):
        own = best.design[i]
        assert not isinstance(own, str)
        for label in study.by_label:
            there, here = one.values.get(label), best.values.get(label)
            if there is not None and here is not None:
                path = study.varied[i].path
                found.append(Sensitivity(path, value - own, label, there - here))
    return tuple(found)


def _stepped(varied: Varied, value: Value) -> float | None:
    """Return the number a small step off; None for names."""
    if not varied.is_range or isinstance(value, str):
        return None
    assert varied.low is not None
    assert varied.high is not None
    step = max(_STEP * (varied.high - varied.low), varied.step or 0.0)
    to = value + step if value + step <= varied.high else value - step
    there = float(nearest(np.array(to), varied.low, varied.high, varied.step))
    return None if there == value else there


def _proved(
    study: Study, best: Sequence[Evaluation], proving: Callable[[str, float], None] | None
) -> tuple[Kept, ...]:
    """Return designs made again, with the full check of each."""
    evaluator = Evaluator(study)
    kept: list[Kept] = []
    for i, one in enumerate(best):

        def tell(what: str, share: float, i: int = i) -> None:
            if proving is not None:
                proving(f"proving {i + 1} of {len(best)}: {what}", (i + share) / len(best))

        proofs = evaluator.prove(one.design, tell)
        scene = evaluator.making(one.design, study.sizes[0]).scene
        kept.append(Kept(one, scene.bike, scene.parts, proofs[0].report, proofs))
    return tuple(kept)
