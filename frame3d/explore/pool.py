"""Evaluate designs by an engine, each once: what a store knows already is taken from it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from frame3d.explore.engines.engine import Engine
from frame3d.explore.evaluate.evaluation import Evaluation
from frame3d.explore.store.store import Store
from frame3d.explore.study.study import Design, Study

DEFECT: Final = "defect"
"""What stopped a design that has no result."""
LOST: Final = 1e9
"""Total of a design that has no result: worse than any other."""
_BLOCK: Final = 256
"""Designs of a sweep that are looked up at once."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How an exploration stands, told whenever results have come."""

    done: int
    """Designs looked at so far, those that were known among them."""
    total: int | None
    """How many there are at most; None where that is not settled."""
    evaluated: int
    """Designs evaluated this time."""
    feasible: int
    best: Evaluation | None
    """By what falls short; then by the preferences in order."""
    blocking: tuple[tuple[str, int], ...]
    """What stopped designs, and how many; most first."""


Told = Callable[[Standing], None]


class Pool:
    """All designs of an exploration with their evaluations, each once."""

    def __init__(
        self, study: Study, engine: Engine, store: Store | None = None, told: Told | None = None
    ) -> None:
        """Begin with no designs.

        Args:
            study: what is asked.
            engine: evaluates what is not known.
            store: where evaluations are kept, and taken from; None for nowhere.
            told: called whenever results have come.
        """
        self.study = study
        self.kept: dict[Design, Evaluation] = {}
        """In the order in which they were asked for, once `of` or `sweep` is done."""
        self.evaluated = 0
        self.feasible = 0
        self.blocking: Counter[str] = Counter()
        self.best: Evaluation | None = None
        self.total: int | None = None
        self._engine, self._store, self._told = engine, store, told

    def of(self, designs: Sequence[Design]) -> list[Evaluation]:
        """Return the evaluations of some designs, in their order.

        Raises:
            FrameError: the store or the engine fails; what was found before is kept in the store.
        """
        self.sweep(designs)
        return [self.kept[design] for design in designs]

    def sweep(self, designs: Iterable[Design], stop: Callable[[], bool] | None = None) -> bool:
        """Evaluate designs; return whether all of them were.

        Args:
            designs: taken as workers are free.
            stop: asked whenever results have come; where it says so, the rest is left.

        Raises:
            FrameError: as `of`.
        """
        order: dict[Design, None] = dict.fromkeys(self.kept)
        try:
            for results in self._engine.run(self.study, self._new(designs, order)):
                if self._store is not None:
                    self._store.add(results)
                self.evaluated += len(results)
                for one in results:
                    self._keep(one)
                self._tell()
                if stop is not None and stop():
                    return False
            self._add_lost()
            self._tell()
        finally:
            self.kept = {design: self.kept[design] for design in order if design in self.kept}
        return True

    def _new(self, designs: Iterable[Design], order: dict[Design, None]) -> Iterator[list[Design]]:
        """Yield the designs that are to be evaluated; the others are kept as the store knows them."""
        for some in _blocks(designs, _BLOCK):
            asked = [d for d in dict.fromkeys(some) if d not in order]
            order.update(dict.fromkeys(asked))
            known = {} if self._store is None or not asked else self._store.known(asked)
            for design in asked:
                if design in known:
                    self._keep(known[design])
            new = [design for design in asked if design not in known]
            if new:
                yield new

    def _add_lost(self) -> None:
        """Keep designs without a result as the worst there are; the store does not learn of them."""
        for one in self._engine.left_out:
            if one.design not in self.kept:
                lost = Evaluation(
                    one.design, {}, {DEFECT: LOST}, "file", DEFECT, one.why, False, LOST
                )
                self._keep(lost)

    def _keep(self, one: Evaluation) -> None:
        self.kept[one.design] = one
        self.feasible += one.feasible
        if one.rejected_by is not None:
            self.blocking[one.rejected_by] += 1
        if self.best is None or merit(self.study, one) < merit(self.study, self.best):
            self.best = one

    def _tell(self) -> None:
        if self._told is None:
            return
        most = tuple(self.blocking.most_common())
        done = len(self.kept)
        self._told(Standing(done, self.total, self.evaluated, self.feasible, self.best, most))


def merit(study: Study, one: Evaluation) -> tuple[float, ...]:
    """Return what to sort by, best first: what falls short, then the preferences in order."""
    return (one.total, *liked(study, one))


def liked(study: Study, one: Evaluation) -> tuple[float, ...]:
    """Return the preferences of an evaluation, each the better the smaller; infinite where not known."""
    found = []
    for preference in study.preferences:
        value = one.values.get(preference.label)
        if value is None:
            found.append(float("inf"))
        else:
            found.append(value if preference.least else -value)
    return tuple(found)


def front_of(study: Study, evaluations: Iterable[Evaluation]) -> tuple[Evaluation, ...]:
    """Return the feasible designs that no other betters in one preference without loss in another.

    By the first preference; empty where there are fewer than two.
    """
    if len(study.preferences) < 2:
        return ()
    scored = [(liked(study, one), one) for one in evaluations if one.feasible]
    scored.sort(key=lambda pair: pair[0])
    front: list[tuple[tuple[float, ...], Evaluation]] = []
    for values, one in scored:
        # Sorted, so that only earlier ones can be as good in every preference.
        if not any(all(a <= b for a, b in zip(other, values, strict=True)) for other, _ in front):
            front.append((values, one))
    return tuple(one for _, one in front)


def _blocks(designs: Iterable[Design], size: int) -> Iterator[list[Design]]:
    """Yield designs in lists of a size."""
    some: list[Design] = []
    for design in designs:
        some.append(design)
        if len(some) == size:
            yield some
            some = []
    if some:
        yield some
