"""Wishes for chart figures that nothing which varies can meet, found before anything runs.

The chart's own diagnosis says which figures follow from which. A wished figure that follows from fixed
ones alone is what it is; one that follows from varied ones is worked out over their ranges; and one that
follows from other wishes is worked out over the limits of those.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np

from frame3d.chart.diagnosis import Diagnosis, all_variables, diagnose, start_values
from frame3d.chart.givens import AGREE, Given, givens, held, relations_for, shown, top_tube
from frame3d.chart.newton import plan, run
from frame3d.chart.relations import ANGLES, Relation, Values
from frame3d.chart.solve import Solved, solve_chart
from frame3d.errors import Fault, SpecError
from frame3d.explore.study.bike_file import BikeFile
from frame3d.explore.study.study import Varied, Wish
from frame3d.geometry.arrays import Array
from frame3d.parameters.models.figures import STANDOVERS, unit
from frame3d.parameters.models.frame import FrameSpec

_CORNERS: Final = 10
"""Most varied figures of which every combination of least and greatest value is tried."""
_INSIDE: Final = 512
"""Points tried between them."""
_MARGIN: Final = 0.1
"""Share of the values found by which the true ones may go further."""
_TOLD: Final = 4
"""Most paths that a fault tells."""
_ALONG: Final = 9
"""Values tried along the limits of each other wish."""


@dataclass(frozen=True)
class Chart:
    """The chart of a bike's file as it stands, and what the varied values change in it."""

    spec: FrameSpec
    solved: Solved
    relations: tuple[Relation, ...]
    stated: tuple[Given, ...]
    diagnosis: Diagnosis
    moved: Mapping[str, Array]
    """Variable -> the values that it may take, of a range its ends [mm or radians]."""
    paths: Mapping[str, Varied]
    """Variable -> what varies it."""


def contradictions(
    bike: BikeFile,
    sets: Sequence[str],
    size: str | None,
    varied: Sequence[Varied],
    wishes: Sequence[Wish],
) -> list[Fault]:
    """Return the faults of wishes for chart figures that cannot be met.

    Args:
        bike: the bike's file.
        sets: changes that put in what the file lacks.
        size: of the file's sizes.
        varied: what varies.
        wishes: all of the study.

    Raises:
        GeometryError: the file's own figures do not determine one bike.
    """
    chart = _chart(bike, sets, size, varied)
    faults = list(_redundant(chart))
    if faults:
        return faults
    known = set(all_variables(chart.relations))
    asked = [
        wish
        for wish in wishes
        if wish.quantity.stage == "chart"
        and wish.quantity.stance == "static"
        and wish.quantity.name in known
        and not (wish.quantity.name in STANDOVERS and _moves_top_tube(bike, sets, size, varied))
    ]
    faults += _beyond_reach(chart, asked)
    blamed = {fault.path for fault in faults}
    faults += _against_each_other(chart, [w for w in asked if f"wishes.{w.label}" not in blamed])
    return faults


# -- what varies in the chart -----------------------------------------------------------------------


def _chart(
    bike: BikeFile, sets: Sequence[str], size: str | None, varied: Sequence[Varied]
) -> Chart:
    """Return the chart of the file as it stands, with what varies in it."""
    spec = bike.spec(sets, size)
    solved = solve_chart(spec)
    relations = relations_for(spec)
    stated = givens(spec)
    own = {given.variable: given.value for given in stated}
    moved: dict[str, Array] = {}
    paths: dict[str, Varied] = {}
    for one in varied:
        tried = [
            _values(bike, (*sets, f"{one.path}={one.text(value)}"), size)
            for value in ((one.low, one.high) if one.is_range else one.values)
            if value is not None
        ]
        for name, value in own.items():
            values = [values[name] for values in tried if name in values]
            if any(abs(other - value) > 1e-12 for other in values):
                moved[name] = np.array(values)
                paths[name] = one
    return Chart(spec, solved, relations, stated, diagnose(relations, stated), moved, paths)


def _values(bike: BikeFile, sets: Sequence[str], size: str | None) -> Mapping[str, float]:
    """Return what a changed file states of the chart; empty where that file is at fault otherwise."""
    try:
        return {given.variable: given.value for given in givens(bike.spec(sets, size))}
    except SpecError:
        return {}


def _moves_top_tube(
    bike: BikeFile, sets: Sequence[str], size: str | None, varied: Sequence[Varied]
) -> bool:
    """Return whether something varies the top tube, over which the standover is measured."""
    own = top_tube(bike.spec(sets, size))
    for one in varied:
        for value in (one.low, one.high) if one.is_range else one.values:
            if value is None:
                continue
            try:
                spec = bike.spec((*sets, f"{one.path}={one.text(value)}"), size)
            except SpecError:
                continue
            if top_tube(spec) != own:
                return True
    return False


def _redundant(chart: Chart) -> Iterator[Fault]:
    """Yield faults of varied figures that follow from other given ones, and so would disagree."""
    for extra in chart.diagnosis.extras:
        together = [extra.given, *(g for g in extra.by if g.path)]
        for given in together:
            if given.variable not in chart.moved:
                continue
            others = ", ".join(g.path for g in together if g is not given)
            one = chart.paths[given.variable]
            yield Fault(
                "contradictory",
                f"vary.{one.path}",
                f"cannot vary: it follows from {others}, which the bike's file gives too",
                "leave one of these out of the bike's file, so that it is solved",
                one.place,
            )
            return


# -- wishes against what varies ---------------------------------------------------------------------


def _beyond_reach(chart: Chart, wishes: Sequence[Wish]) -> Iterator[Fault]:
    """Yield faults of wishes that no values within the study's ranges meet."""
    figures = _over_ranges(chart)
    if figures is None:
        return
    for wish in wishes:
        name = wish.quantity.name
        found = figures[name]
        low, high = shown(name, float(found.min())), shown(name, float(found.max()))
        more = _MARGIN * (high - low) + AGREE
        short = wish.low is not None and wish.low > high + more
        long = wish.high is not None and wish.high < low - more
        if not short and not long:
            continue
        asked = f"at least {wish.low:g}" if short else f"at most {wish.high:g}"
        by = _follows_from(chart, name)
        fixed = [p for p in by if p not in {one.path for one in chart.paths.values()}]
        if high - low <= AGREE:
            message = f"{name} is {low:.4g}{_mark(name)}, whatever varies, and {asked} is wished"
            way = f"vary {_some(fixed)}, from which it follows; or wish otherwise"
            if len(fixed) == 1:
                way = f"vary {fixed[0]}, or wish otherwise"
        else:
            message = (
                f"{name} comes to {low:.4g} to {high:.4g}{_mark(name)} within what may vary, and "
                f"{asked} is wished"
            )
            wider = [p for p in by if p not in fixed]
            way = f"a wider range for {' or '.join(wider)}"
            way += f", or vary {_some(fixed)} too" if fixed else ""
        yield Fault("contradictory", f"wishes.{wish.label}", message, way, wish.place)


def _over_ranges(chart: Chart) -> Values | None:
    """Return the chart's variables over the ranges of what varies; None where nothing solves."""
    names = list(chart.moved)
    sides = [np.unique(values) for values in chart.moved.values()]
    rng = np.random.default_rng(0)
    rows = [[chart.solved.values[name] for name in names]]
    if names and len(names) <= _CORNERS:
        rows += [list(row) for row in product(*((s[0], s[-1]) for s in sides))]
    rows += [[float(rng.uniform(s[0], s[-1])) for s in sides] for _ in range(_INSIDE)]
    table = np.array(rows).reshape(len(rows), len(names))
    changed = {name: table[:, i] for i, name in enumerate(names)}
    return _solved(chart, chart.diagnosis.basis, changed, len(table))


def _solved(
    chart: Chart, basis: Sequence[Given], changed: Mapping[str, Array], count: int
) -> Values | None:
    """Return the chart's variables for several values of some of the basis, (n,) each, where it solves.

    None where it solves for none.
    """
    names = all_variables(chart.relations)
    values = start_values(names, count)
    for name in names:
        if name in chart.solved.values:
            values[name] = np.full(count, chart.solved.values[name])
    for given in basis:
        values[given.variable] = np.full(count, given.value)
    for name, column in changed.items():
        values[name] = column
    good = run(plan(chart.relations, frozenset(g.variable for g in basis)), values, count)
    if not good.any():
        return None
    return Values({name: values[name][good] for name in names})


def _follows_from(chart: Chart, name: str) -> list[str]:
    """Return the dotted paths of the given figures from which a figure follows."""
    for given in chart.diagnosis.basis:
        if given.variable == name:
            return [given.path]
    trial = Given(name, chart.solved.values[name], "trial")
    found = diagnose(chart.relations, [*chart.diagnosis.basis, trial])
    for extra in found.extras:
        if extra.given is trial:
            return [given.path for given in extra.by if given.path]
    return []


# -- wishes against each other ----------------------------------------------------------------------


def _against_each_other(chart: Chart, wishes: Sequence[Wish]) -> Iterator[Fault]:
    """Yield faults of wishes that follow from others, and from what is fixed, as something else."""
    asked = {w.quantity.name: w for w in wishes if w.low is not None and w.high is not None}
    fixed = [g for g in chart.diagnosis.basis if g.variable not in chart.moved and g.path]
    fixed = [g for g in fixed if g.variable not in asked]
    assumed = [g for g in chart.diagnosis.basis if not g.path]
    stated = [Given(name, _middle(wish), f"wishes.{name}") for name, wish in asked.items()]
    loose = [g for g in chart.diagnosis.basis if g.variable in chart.moved]
    loose = [g for g in loose if g.variable not in asked]
    found = diagnose(chart.relations, [*assumed, *fixed, *stated, *loose])
    if found.gaps:
        return
    for extra in found.extras:
        name = extra.given.variable
        others = [g.variable for g in extra.by if g.variable in asked]
        if name not in asked or not others or any(g in loose for g in extra.by):
            continue
        wish = asked[name]
        span = _follows(chart, found.basis, name, [asked[other] for other in others])
        if span is None:
            continue
        low, high = span
        more = _MARGIN * (high - low) + AGREE
        assert wish.low is not None
        assert wish.high is not None
        if wish.low <= high + more and wish.high >= low - more:
            continue
        by = " and ".join(f"wishes.{other}" for other in others)
        paths = [g.path for g in extra.by if g in fixed]
        also = f" and {_some(paths, 'and')}" if paths else ""
        yield Fault(
            "contradictory",
            f"wishes.{wish.label}",
            f"contradicts {by}: from them{also} {name} follows as {low:.4g} to {high:.4g}"
            f"{_mark(name)}, and {wish.low:g} to {wish.high:g} is wished",
            "wish for one of them otherwise" + (f", or vary {_some(paths)}" if paths else ""),
            wish.place,
        )


def _follows(
    chart: Chart, basis: Sequence[Given], name: str, others: Sequence[Wish]
) -> tuple[float, float] | None:
    """Return between what a figure comes out while other wishes are met; None where nothing solves."""
    along = [np.linspace(_held(w, w.low), _held(w, w.high), _ALONG) for w in others[:4]]
    table = np.array(list(product(*along)))
    changed = {w.quantity.name: table[:, i] for i, w in enumerate(others[:4])}
    values = _solved(chart, basis, changed, len(table))
    if values is None:
        return None
    found = values[name]
    return shown(name, float(found.min())), shown(name, float(found.max()))


def _held(wish: Wish, limit: float | None) -> float:
    """Return a limit of a wish as the relations hold it."""
    assert limit is not None
    return held(wish.quantity.name, limit)


def _middle(wish: Wish) -> float:
    """Return the middle of a wish's limits as the relations hold it."""
    return (_held(wish, wish.low) + _held(wish, wish.high)) / 2


def _some(paths: Sequence[str], last: str = "or") -> str:
    """Return some dotted paths as words, figures of the chart first; not more than `_TOLD`."""
    first = sorted(paths, key=lambda path: not path.startswith("geometry."))
    words = [*first[:_TOLD], "others"] if len(first) > _TOLD + 1 else first
    return f" {last} ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else words[0]


def _mark(name: str) -> str:
    """Return the sign of a figure's unit, as it follows a number."""
    return "°" if name in ANGLES else f" {unit(name)}"
