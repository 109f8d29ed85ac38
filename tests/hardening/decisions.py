"""Checks decided for studies against the certified full check: never a fit where that falls short."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from frame3d.clearance.check import run_checks
from frame3d.clearance.scene import scene_of
from frame3d.errors import FrameError
from frame3d.explore.evaluate.evaluator import Evaluator
from frame3d.explore.study.bike_file import BikeFile
from frame3d.explore.study.quantities import CHECKS
from frame3d.explore.study.study import ALL, Study, Varied
from frame3d.parameters.reading import scalars
from tests.hardening.running import ROOT

DEMOS: Final = ("trail_hardtail_29", "trail_full_140", "enduro_170_mixed", "adventure_rigid")
ALIKE: Final = 40
"""So many designs, one after the other of each demo, vary the same numbers."""
NUMBERS: Final = 8
WIDTH: Final = 0.04
"""Numbers vary by so much of themselves either way."""
_SECTIONS: Final = ("geometry", "tubes", "suspension", "build")


def decisions(count: int, first: int = 0) -> int:
    """Decide every check of random designs as studies do, and fully; return how many differ.

    Design n is of demo n modulo their number, and always the same.

    Args:
        count: how many designs.
        first: number of the first, where an earlier run ended.
    """
    wrong = refused = made = 0
    for number in range(first, first + count):
        found = differing(number)
        if found is None:
            refused += 1
        else:
            made += 1
            wrong += bool(found)
            for one in found:
                print(f"{number}: {one}", flush=True)
        if (number - first + 1) % 20 == 0:
            print(
                f"{made} designs decided, {refused} refused, {wrong} differ; next is {number + 1}",
                flush=True,
            )
    return wrong


def differing(number: int) -> list[str] | None:
    """Return what is decided otherwise than by the full check; None for a design that is refused."""
    demo, rank = DEMOS[number % len(DEMOS)], number // len(DEMOS)
    evaluator = _evaluator(demo, rank // ALIKE)
    random = np.random.default_rng([number, 1])
    design = tuple(
        round(float(random.uniform(one.low, one.high)), 6)
        for one in evaluator.study.varied
        if one.low is not None and one.high is not None
    )
    (decided,) = evaluator.evaluate([design])
    if decided.fault is not None:
        return None
    # A scene of its own, so that nothing is taken from what was measured of other designs.
    full = run_checks(scene_of(evaluator.making(design).bike)).results
    short = {one.name for one in full if not one.ok}
    said = {
        label.removeprefix(f"{CHECKS}.")
        for label, missed in decided.shortfalls.items()
        if label.startswith(f"{CHECKS}.") and missed > 0
    }
    told = " ".join(evaluator.study.sets(design))
    return [
        *(
            f"{demo}: {name} is said to fit, and falls short: {told}"
            for name in sorted(short - said)
        ),
        *(
            f"{demo}: {name} is said to fall short, and fits: {told}"
            for name in sorted(said - short)
        ),
    ]


@lru_cache(maxsize=len(DEMOS))
def _evaluator(demo: str, block: int) -> Evaluator:
    """Return what evaluates a demo with some of its numbers varying, all checks asked for."""
    path = ROOT / "configs" / f"{demo}.yaml"
    bike = BikeFile(path.read_text(encoding="utf-8"), path.name)
    random = np.random.default_rng([DEMOS.index(demo), block, 2])
    varied: list[Varied] = []
    for name in random.permutation([p for p in bike.numbers if p.split(".")[0] in _SECTIONS]):
        text = bike.text_at(str(name))
        number = None if text is None else scalars.value(text)
        if not isinstance(number, int | float) or not number:
            continue
        low, high = sorted((number * (1 - WIDTH), number * (1 + WIDTH)))
        try:
            for value in (low, high):
                bike.spec([f"{name}={value:.9f}"])
        except FrameError:
            continue
        varied.append(Varied(str(name), float(low), float(high), start=float(number)))
        if len(varied) == NUMBERS:
            break
    study = Study("study.yaml", "", path.name, bike.text, tuple(varied), checks=ALL)
    return Evaluator(study, reject=False)
