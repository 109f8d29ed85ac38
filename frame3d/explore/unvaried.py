"""What else might vary: values of the file that bear on what stops the best design, by solving."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from frame3d.errors import FrameError, SpecError
from frame3d.explore.engines.engine import Engine
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.search.bearing import Gain, gains
from frame3d.explore.search.of_study import problem_of
from frame3d.explore.study.bike_file import BikeFile
from frame3d.explore.study.quantities import CHECKS, STIFFNESS
from frame3d.explore.study.study import Design, Study, Varied
from frame3d.parameters.reading import scalars

LABELS: Final = 3
"""Of so many wishes and checks that the best design misses, values that bear on them are looked for."""
TOLD: Final = 5
"""Most values told of each."""
SECTIONS: Final = ("geometry", "suspension", "tubes", "build")
"""Sections of the file whose numbers are tried, in this order; not its limits, nor what is only said of
the bike."""
_KEPT: Final = ("build.rider.",)
"""What is given, and no design of ours changes."""
_STEP: Final = 0.01
"""Step of a great or a small value, as a share of it; others are changed by 1."""
_SMALL: Final = 5.0
"""Values below this, but 0, are small: walls, ratios."""
_BATCH: Final = 8


def unvaried_gains(
    study: Study,
    best: Evaluation,
    engine: Engine,
    *,
    late: Callable[[], bool] = lambda: False,
    told: Callable[[float], None] = lambda share: None,
) -> tuple[Gain, ...]:
    """Return values of the file that do not vary, whose change would lessen what a design misses.

    Each number of the file is changed by a small step (`_steps`), the design otherwise as it is, and
    solved as far as the misses need it.

    Args:
        study: what is asked.
        best: a design that is not feasible.
        engine: evaluates the changed designs.
        late: asked now and then; where it says so, no more is tried.
        told: called with the share that is done, 0 to 1.

    Raises:
        FrameError: the engine is lost.
    """
    missed = sorted(((n, label) for label, n in best.shortfalls.items() if n > 0), reverse=True)
    labels = [label for _, label in missed[:LABELS]]
    found = list(_candidates(study, best, _sections(labels), late))
    if not labels or not found or late():
        return ()
    wider = _wider(study, best, labels, found)
    done = 0

    def evaluate(designs: Sequence[Design]) -> list[Evaluation]:
        nonlocal done
        pieces = (designs[at : at + _BATCH] for at in range(0, len(designs), _BATCH))
        results: dict[Design, Evaluation] = {}
        for some in engine.run(wider, pieces):
            results.update((one.design, one) for one in some)
            done += len(some)
            told(min(done / (len(found) + LABELS * TOLD), 1.0))
            if late():
                break
        # One for which no time was left, or at which frame3d failed, tells nothing.
        lost = Evaluation((), {}, {}, "file", None, None, False, math.inf)
        return [results.get(design, lost) for design in designs]

    problem = problem_of(wider, evaluate)
    # A range is from one step below to one above.
    return gains(problem, problem.box.start.tolist(), labels, step=0.5, most=TOLD)


def _wider(study: Study, best: Evaluation, labels: Sequence[str], more: Sequence[Varied]) -> Study:
    """Return a study about a design in which other values vary, and only some misses are asked about."""
    held = [
        replace(one, low=None, high=None, step=None, values=(value,), start=value)
        for one, value in zip(study.varied, best.design, strict=True)
    ]
    names = [label.removeprefix(f"{CHECKS}.") for label in labels if label.startswith(f"{CHECKS}.")]
    return replace(
        study,
        varied=(*held, *more),
        wishes=tuple(one for one in study.wishes if one.label in labels),
        preferences=(),
        checks=tuple(names),
        sample=None,
    )


def _sections(labels: Sequence[str]) -> Sequence[str]:
    """Return the sections whose numbers are tried, in order: for stiffness, tubes first."""
    if any(label.startswith(STIFFNESS) for label in labels):
        return sorted(SECTIONS, key=lambda section: section != "tubes")
    return SECTIONS


def _candidates(
    study: Study, best: Evaluation, sections: Sequence[str], late: Callable[[], bool]
) -> Iterator[Varied]:
    """Yield the numbers of the file that do not vary and can change by a small step, with that range."""
    try:
        bike = BikeFile(study.bike_text, study.bike_source)
    except SpecError:  # told of each design
        return
    varied = {one.path for one in study.varied}
    sets = study.sets(best.design)
    order = {section: i for i, section in enumerate(sections)}
    known = [path for path in bike.numbers if path.split(".")[0] in order]
    for path in sorted(known, key=lambda path: order[path.split(".")[0]]):
        if late():
            return
        if path in varied or path.startswith(_KEPT):
            continue
        texts = {bike.text_at(path, size) for size in study.sizes}
        text = texts.pop()
        if text is None or texts:  # not one number of the bike, or another one in each size
            continue
        number = scalars.value(text.removesuffix("%"))
        if isinstance(number, bool) or not isinstance(number, int | float):
            continue
        for step in _steps(float(number)):
            low, high = (float(f"{number + by:.12g}") for by in (-step, step))
            whole = step if step == 1 and float(number).is_integer() else None
            is_percent = text.endswith("%")
            one = Varied(path, low, high, whole, (), float(number), is_percent)
            if any(_stands(bike, (*sets, f"{path}={one.text(x)}"), study) for x in (high, low)):
                yield one
                break


def _steps(number: float) -> tuple[float, ...]:
    """Return steps to try for a number; the second for whole numbers that take no fraction."""
    size = abs(number)
    if size == 0 or _SMALL <= size <= 1 / _STEP:
        return (1.0,)
    step = float(f"{size * _STEP:.1g}")
    return (step, 1.0) if number.is_integer() else (step,)


def _stands(bike: BikeFile, sets: Sequence[str], study: Study) -> bool:
    """Return whether the file takes some changes together."""
    try:
        bike.spec(sets, study.sizes[0])
    except FrameError:
        return False
    return True
