"""Evaluate designs in stages, cheapest first; each stage can reject."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Final

from frame3d.chart.cache import Cache
from frame3d.clearance.check import Progress, run_checks
from frame3d.clearance.memory import PairMemory
from frame3d.clearance.pair_lists import PairLists
from frame3d.clearance.result import Report, Result
from frame3d.errors import Fault, FrameError
from frame3d.explore.evaluate.chart_batch import ChartBatch, Charts, chart_batch
from frame3d.explore.evaluate.designs import Designs, start_of
from frame3d.explore.evaluate.evaluation import FAULT, Evaluation, rounded
from frame3d.explore.evaluate.gaps import pair_checks, single_checks
from frame3d.explore.evaluate.garbage import one_collection_each
from frame3d.explore.evaluate.grading import Grading
from frame3d.explore.evaluate.making import Making, missing_travel
from frame3d.explore.study.quantities import CHECKS, scale_of
from frame3d.explore.study.study import (
    ALL,
    STAGES,
    Design,
    Preference,
    Quantity,
    Stage,
    Study,
    Wish,
)

if TYPE_CHECKING:
    from frame3d.explore.evaluate.linkage_batch import LinkageBatch, Told

_DEFECTS: Final = (
    ArithmeticError,
    AssertionError,
    AttributeError,
    LookupError,
    TypeError,
    ValueError,
)
"""What only an error of frame3d's own raises."""


_MANY: Final = 8
"""So many rear suspensions are worked out at once; not fewer: compiled code takes its time to load."""


@dataclass
class _Course:
    """A design on its way through the stages."""

    design: Design
    grading: Grading
    makings: Sequence[Making]
    """Its bikes, one of each size."""
    has_chart: bool = False
    """Whether the stage of the chart is behind it."""
    is_over: bool = False
    """Whether it is rejected."""
    told: list[Told | None] = field(default_factory=list)
    """What is known of its rear suspension in each size; empty where nothing is."""


@dataclass(frozen=True)
class Proof:
    """The full check of one size of a design."""

    size: str | None
    report: Report


class Evaluator:
    """Evaluates the designs of a study; the same design gives the same evaluation, whatever came before.

    It can be pickled, by its study alone.
    """

    def __init__(self, study: Study, *, reject: bool = True) -> None:
        """Read the study's bike and plan the stages.

        Args:
            study: what varies and what must hold.
            reject: whether a design is left at the first stage with a shortfall, and at the first gap
                that is too small (for sweeps); otherwise every stage is gone through, so that all
                shortfalls are known (for a search).

        Raises:
            SpecError: the bike's file is not well-formed.
        """
        self.study, self.reject = study, reject
        self._designs = Designs(study)
        self._memory, self._gaps, self._lists = Cache(), PairMemory(), PairLists()
        self._batches: dict[str | None, ChartBatch | None] = {}
        self._linkages: dict[str | None, LinkageBatch] = {}
        wanted: tuple[Wish | Preference, ...] = (*study.wishes, *study.preferences)
        self._by_stage = self._settled(wanted)
        self._checks = self._checks_by_stage()
        late: tuple[Stage, ...] = ("stiffness", "figures", "pairs", "ride")
        self.stages: tuple[Stage, ...] = tuple(
            stage
            for stage in STAGES
            if stage not in late or self._by_stage.get(stage) or self._checks.get(stage)
        )
        """The stages that a design goes through: always up to the placed tubes, so that what is feasible
        can be made."""

    def __reduce__(self) -> tuple[Callable[..., Evaluator], tuple[Study]]:
        return partial(Evaluator, reject=self.reject), (self.study,)

    def evaluate(self, designs: Sequence[Design]) -> list[Evaluation]:
        """Return the evaluations of some designs, in their order.

        Figures are rounded to `evaluation.DIGITS` before anything is decided by them.
        """
        if not designs:
            return []
        with one_collection_each() as collect:
            charts = self.charts(designs)
            courses = [self._begun(design, i, charts) for i, design in enumerate(designs)]
            self._follow([course for course in courses if not course.is_over])
            courses.reverse()
            found = []
            while courses:
                found.append(self._ended(courses.pop()))
                collect()
            return found

    def charts(self, designs: Sequence[Design]) -> Mapping[str | None, Charts]:
        """Return the charts of some designs, at least one, by size, where they can be solved at once."""
        if not self._by_stage.get("chart"):
            return {}
        found = {}
        for size in self.study.sizes:
            if size not in self._batches:
                self._batches[size] = chart_batch(self.study, self._designs, size)
            batch = self._batches[size]
            if batch is not None:
                found[size] = batch.solve(designs)
        return found

    def prove(self, design: Design, progress: Progress | None = None) -> tuple[Proof, ...]:
        """Return the full check of a design in every size, each gap with its certificate.

        Raises:
            FrameError: it cannot be made.
        """
        return tuple(
            Proof(size, run_checks(self.making(design, size).scene, progress))
            for size in self.study.sizes
        )

    def making(self, design: Design, size: str | None = None) -> Making:
        """Return one bike of a design, to be made as far as is asked."""
        return Making(self._designs, design, size, self._memory, self._gaps, self._lists)

    # -- many designs -------------------------------------------------------------------------------

    def _begun(self, design: Design, index: int, charts: Mapping[str | None, Charts]) -> _Course:
        """Return a design with its chart, where that is solved in arrays."""
        makings = [self.making(design, size) for size in self.study.sizes]
        course = _Course(design, Grading(design, self.stages), makings)
        course.has_chart = self._add_charts(course.grading, index, charts)
        course.is_over = self.reject and course.grading.is_short
        return course

    def _follow(self, courses: Sequence[_Course]) -> None:
        """Work out the rear suspensions of many designs at once, where that can be done."""
        wanted = self._by_stage.get("linkage", ())
        if len(courses) < _MANY or not wanted or self.study.settings:
            return
        from frame3d.explore.evaluate.linkage_batch import LinkageBatch

        designs = [course.design for course in courses]
        for at, size in enumerate(self.study.sizes):
            if size not in self._linkages:
                quantities = [one.quantity for one in wanted]
                self._linkages[size] = LinkageBatch(self.study, self._designs, size, quantities)
            told = self._linkages[size].told(designs, [course.makings[at] for course in courses])
            for course, one in zip(courses, told, strict=True):
                course.told.append(one)

    # -- one design ---------------------------------------------------------------------------------

    def _ended(self, course: _Course) -> Evaluation:
        """Return the evaluation of a design, from as far as it is known."""
        grading, makings = course.grading, course.makings
        try:
            for stage in self.stages:
                if course.is_over:
                    break
                if stage == "chart" and course.has_chart:
                    continue
                if not (stage == "linkage" and self._add_told(course)):
                    for grading.at, making in enumerate(makings):
                        _ = making.spec
                    grading.enter(stage)
                    self._add_values(grading, stage, makings)
                    self._add_checks(grading, stage, makings)
                course.is_over = self.reject and grading.is_short
        except FrameError as error:
            distance = makings[grading.at].distance(error)
            grading.fault(error, rounded(FAULT + distance))
        except _DEFECTS as error:  # one design must not end a sweep; its code says what it is
            said = Fault("defect", "", f"{type(error).__name__}: {error}")
            grading.fault(FrameError(said), FAULT)
        return grading.result()

    def _add_charts(
        self, grading: Grading, index: int, charts: Mapping[str | None, Charts]
    ) -> bool:
        """Add the chart's values from arrays; return whether that could be done in every size."""
        if len(charts) < len(self.study.sizes):
            return False
        if not all(bool(chart.good[index]) for chart in charts.values()):
            return False
        grading.enter("chart")
        for one in self._by_stage["chart"]:
            for chart in charts.values():
                grading.value(one, float(chart.figures[one.quantity.name][index]))
        return True

    def _add_told(self, course: _Course) -> bool:
        """Add what is known of the rear suspensions; return whether it is, in every size."""
        told = [one for one in course.told if one is not None]
        if len(told) < len(course.makings):
            return False
        course.grading.enter("linkage")
        for one, making in zip(told, course.makings, strict=True):
            making.found = one.found
            for wanted, value in zip(self._by_stage["linkage"], one.values, strict=True):
                course.grading.value(wanted, value)
        return True

    def _add_values(self, grading: Grading, stage: Stage, makings: Sequence[Making]) -> None:
        """Make the bikes of every size as far as a stage says, and add what is known then."""
        wanted = self._by_stage.get(stage, ())
        if stage in ("stiffness", "figures", "pairs") and not wanted:
            return
        for grading.at, making in enumerate(makings):
            values = making.values(stage, [one.quantity for one in wanted])
            for one, value in zip(wanted, values, strict=True):
                grading.value(
                    one, value, missing_travel(one.quantity, making) if value is None else 0
                )

    def _add_checks(self, grading: Grading, stage: Stage, makings: Sequence[Making]) -> None:
        """Decide the checks of a stage; when rejecting, stop after the first that falls short."""
        names = self._checks.get(stage, ())
        for i, name in enumerate(names):
            ahead = len(names)
            if self.reject:  # the more have passed, the more are asked for at once
                ahead = i + 1 if stage == "pairs" else 0
            following = names[i + 1 : i + 1 + ahead]
            for grading.at, making in enumerate(makings):
                short = making.short_of(name, following)
                missed = max((_missed(result) for result in short), default=0.0)
                grading.shortfall(f"{CHECKS}.{name}", missed)
                if self.reject and grading.is_short:
                    return

    # -- the plan -----------------------------------------------------------------------------------

    def _settled(
        self, wanted: Sequence[Wish | Preference]
    ) -> dict[Stage, tuple[Wish | Preference, ...]]:
        """Return wishes and preferences by the stage after which they are known."""
        start = self.making(start_of(self.study), self.study.sizes[0])

        def stage(quantity: Quantity) -> Stage:
            try:
                return start.known_at(quantity)
            except FrameError:  # told of each design
                return quantity.stage if quantity.stage not in ("chart", "linkage") else "placement"

        found = [(stage(one.quantity), one) for one in wanted]
        return {name: tuple(one for at, one in found if at == name) for name in STAGES}

    def _checks_by_stage(self) -> dict[Stage, tuple[str, ...]]:
        """Return the names of the wanted checks by their stage, in the order in which they are made."""
        wanted = self.study.checks
        if not wanted:
            return {}
        start = self.making(start_of(self.study), self.study.sizes[0])
        try:
            pairs = pair_checks(start.spec)
        except FrameError:
            pairs = tuple(wanted) if wanted != ALL else ()
        single = single_checks()
        names = (*single, *pairs)
        chosen = names if wanted == ALL else tuple(name for name in names if name in wanted)
        return {
            "figures": tuple(name for name in chosen if name in single),
            "pairs": tuple(name for name in chosen if name not in single),
        }


def _missed(result: Result) -> float:
    """Return how far a result falls short, scaled; more than 0 even where rounding hides it."""
    return max(rounded(-result.margin / scale_of(result.unit)), 1e-9)
