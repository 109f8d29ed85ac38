"""A partial chart: what too few figures settle already, and what would settle the rest.

The bikes that have the given figures form a set with as many freedoms as figures are missing. A figure
is settled if it is the same on all of them: it must not move in the null space of the relations'
Jacobian at any of several bikes of the set, and be the same on all bikes found. Likewise, another figure
would settle it if it is the same on all bikes that have that one in common too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Final

import numpy as np

from frame3d.chart.diagnosis import Diagnosis, diagnose
from frame3d.chart.givens import (
    AGREE,
    USUAL,
    givens,
    has_saddle,
    held,
    key,
    relations_for,
    shown,
)
from frame3d.chart.solution_set import SAME, SolutionSet
from frame3d.errors import Fault, GeometryError
from frame3d.geometry.arrays import Ints, Mask
from frame3d.parameters.models.figures import FIGURES
from frame3d.parameters.models.frame import FrameSpec

FEW: Final = 3
"""Largest number of figures that are sought to settle another one together."""
_SADDLE: Final = "build.seatpost.saddle_height"
_COMPARED: Final = 80
"""Number of bikes that are compared pair by pair."""
_PAIRS: Final = 4
"""Number of pairs that are tried for each variable."""
_TRIED: Final = 6
"""Number of sets that are tried for each figure that no single other one settles."""
_BRANCHES: Final = 4
"""Largest number of values listed for a figure that only a few are left for."""


@dataclass(frozen=True)
class OpenFigure:
    """What would settle a figure, other than to give it."""

    alone: tuple[str, ...]
    """Variables, any one of which would do."""
    needs: int
    """How many others it takes at least: 1 with `alone`; 0 where no others would do; more than `FEW`
    means that so many, or more, were not sought."""
    together: tuple[str, ...]
    """One set of so many variables that would do together, where it takes more than one; maybe none."""
    between: tuple[float, ...]
    """The few values that are left for it [mm or degrees], the likeliest first; none where many are."""


@dataclass(frozen=True)
class PartialChart:
    """What is known of a bike with too few figures; figures in mm and degrees, in the chart's order."""

    settled: Mapping[str, float]
    """The same on every bike with the given figures, whatever else is given."""
    assumed: Mapping[str, tuple[float, tuple[str, ...]]]
    """Settled too, while something stays as it is assumed to be: value, and dotted paths of that."""
    open: Mapping[str, OpenFigure]
    missing: int
    """Number of figures that the bike lacks."""
    beyond: tuple[str, ...]
    """Figures that only the tubes tell."""


class UnderDeterminedError(GeometryError):
    """Figures are missing; those that are given agree."""

    def __init__(self, faults: Sequence[Fault], spec: FrameSpec) -> None:
        super().__init__(faults)
        self._spec = spec

    @cached_property
    def partial(self) -> PartialChart | None:
        """What the given figures settle; None where no bike was found that has them."""
        return partial_chart(self._spec)


def partial_chart(spec: FrameSpec) -> PartialChart | None:
    """Return what a file with too few figures settles; None where no bike was found that has them.

    What may still be given is a figure of the chart, or a part that gives one.
    """
    diagnosis = diagnose(relations_for(spec), givens(spec))
    found = _bikes(spec, diagnosis)
    if not len(found.bikes):
        return None
    names = found.names
    ways, leaning = _ways(found), _leaning(spec, diagnosis, found)
    settled: dict[str, float] = {}
    assumed: dict[str, tuple[float, tuple[str, ...]]] = {}
    still_open: dict[str, OpenFigure] = {}
    for figure in (f for f in FIGURES if f in names):
        value = shown(figure, found.value(figure, found.bikes[0][names.index(figure)]))
        if figure in ways:
            still_open[figure] = ways[figure]
        elif figure in leaning:
            assumed[figure] = value, leaning[figure]
        else:
            settled[figure] = value
    return PartialChart(
        settled,
        assumed,
        still_open,
        sum(gap.count for gap in diagnosis.gaps),
        tuple(f for f in FIGURES if f not in names),
    )


def _bikes(
    spec: FrameSpec,
    diagnosis: Diagnosis,
    lifted: frozenset[str] = frozenset(),
    *,
    saddle: bool = False,
) -> SolutionSet:
    """Return the bikes that have the given figures.

    Args:
        spec: the file.
        diagnosis: of its givens.
        lifted: assumed variables that are left open.
        saddle: whether there is a saddle at some height even where the file gives none.
    """
    fixed = {g.variable: g.value for g in diagnosis.basis if g.variable not in lifted}
    within = {}
    for given in (extra.given for extra in diagnosis.extras):
        low, high = (held(given.variable, given.shown + off) for off in (-AGREE, AGREE))
        within[given.variable] = low, high
    return SolutionSet(relations_for(spec, saddle=saddle), fixed, within)


def _leaning(
    spec: FrameSpec, diagnosis: Diagnosis, found: SolutionSet
) -> dict[str, tuple[str, ...]]:
    """Return the figures that are settled by assumptions: figure -> dotted paths of what is assumed.

    An assumption is what a file may still contradict: the seat tube's offset of 0; without a headset,
    plain cups; without a saddle height, that the effective seat tube angle is taken at the stack's.
    """
    assumptions: dict[str, frozenset[str]] = {}
    if any(g.variable == "seat_tube_offset" and g.origin == "assumed" for g in diagnosis.basis):
        assumptions["geometry.seat_tube_offset"] = frozenset({"seat_tube_offset"})
    if spec.build.headset is None:
        assumptions["build.headset.angle"] = frozenset({"cup_angle"})
    if not has_saddle(spec):
        assumptions[_SADDLE] = frozenset()

    def without(paths: Sequence[str]) -> frozenset[str]:
        """Return what is still settled without some of the assumptions."""
        lifted = frozenset[str]().union(*(assumptions[path] for path in paths))
        return _settled(_bikes(spec, diagnosis, lifted, saddle=_SADDLE in paths))

    rest = _settled(found) - without(tuple(assumptions))
    leaning: dict[str, dict[str, None]] = {}
    for size in range(1, len(assumptions) + 1):
        for paths in combinations(assumptions, size) if rest else ():
            for name in rest - without(paths):
                leaning.setdefault(name, {}).update(dict.fromkeys(paths))
        rest -= leaning.keys()
    return {name: tuple(paths) for name, paths in leaning.items()}


def _settled(found: SolutionSet) -> frozenset[str]:
    return frozenset(name for name, one in zip(found.names, found.settled, strict=True) if one)


def _ways(found: SolutionSet) -> dict[str, OpenFigure]:
    """Return what would settle each variable that is not settled: name -> the ways."""
    names = found.names
    unsettled = [int(j) for j in np.flatnonzero(~found.settled) if key(names[j]) is not None]
    offered = sorted(unsettled, key=lambda j: _preference(names[j]))
    singles = np.array(offered, dtype=int)[:, None]
    sure = _unique(found, singles, _follow(found, singles))  # (offered, n)
    alone = {
        j: [i for i, ok in zip(offered, sure[:, j], strict=True) if ok and i != j]
        for j in unsettled
    }
    together = _together(found, offered, [j for j in unsettled if not alone[j]])
    out = {}
    for j in unsettled:
        needs, several = (1, ()) if alone[j] else together[j]
        out[names[j]] = OpenFigure(
            tuple(names[i] for i in sorted(alone[j], key=lambda i: _order(names[i]))),
            needs,
            tuple(names[i] for i in several),
            _branches(found, j),
        )
    return out


def _together(
    found: SolutionSet, offered: Sequence[int], wanted: Sequence[int]
) -> dict[int, tuple[int, tuple[int, ...]]]:
    """Return how many other variables it takes to settle one, and a set that does: for each wanted.

    Args:
        found: the bikes.
        offered: columns of the variables that may be given, the preferred ones first.
        wanted: columns of variables that no single other one settles.
    """
    out: dict[int, tuple[int, tuple[int, ...]]] = {}
    for j in wanted:
        others = np.array([[i for i in offered if i != j]], dtype=int)
        out[j] = (FEW + 1, ()) if _follow(found, others)[0, j] else (0, ())
    for size in range(2, FEW + 1):
        left = [j for j in wanted if out[j][0] > FEW]
        if not left or len(offered) <= size:
            break
        places = sorted(combinations(range(len(offered)), size), key=sum)
        sets = np.array(offered, dtype=int)[np.array(places)]
        follow = _follow(found, sets, at_first=True)
        tried = {
            j: [i for i in np.flatnonzero(follow[:, j]) if j not in sets[i]][:_TRIED] for j in left
        }
        chosen = sorted({i for some in tried.values() for i in some})
        if not chosen:
            continue
        sure = _unique(found, sets[chosen], _follow(found, sets[chosen]))
        for j in left:
            good = [i for i in tried[j] if sure[chosen.index(i), j]]
            if good:
                out[j] = size, tuple(int(k) for k in sets[good[0]])
    return out


def _follow(found: SolutionSet, sets: Ints, *, at_first: bool = False) -> Mask:
    """Return which variables move only with which sets of variables: (sets, n).

    Args:
        found: the bikes.
        sets: columns of variables, (sets, size).
        at_first: look at one bike alone.
    """
    out = np.ones((len(sets), len(found.names)), dtype=bool)
    for rows in found.tangents[:1] if at_first else found.tangents:
        length = np.linalg.norm(rows, axis=1)
        _, sizes, span = np.linalg.svd(rows[sets], full_matrices=False)
        span = np.where(sizes[..., None] > SAME, span, 0.0)  # (sets, ≤ size, freedoms)
        rest = rows - (rows @ span.transpose(0, 2, 1)) @ span
        out &= np.linalg.norm(rest, axis=2) <= SAME * np.maximum(length, SAME) + 1e-12
        out |= length <= SAME
    return out


def _unique(found: SolutionSet, sets: Ints, follow: Mask) -> Mask:
    """Return which variables are the same on all bikes that share a set of variables: (sets, n).

    Of any two bikes, one is moved until it has the other's values of the set. Tried are the pairs that
    differ least in the set for what they differ in the variable: they lie on two branches if any do.

    Args:
        found: the bikes.
        sets: columns of variables, (sets, size).
        follow: from `_follow`; others are not looked at.
    """
    bikes = found.some(_COMPARED)
    one, other = np.triu_indices(len(bikes), 1)
    apart = np.abs(bikes[one] - bikes[other])  # (pairs, n)
    at: list[Ints] = []
    for columns, looked_at in zip(sets, follow, strict=True):
        steep = apart[:, looked_at] / (np.linalg.norm(apart[:, columns], axis=1)[:, None] + SAME)
        at.append(np.unique(np.argsort(-steep, axis=0)[:_PAIRS]))
    which = np.repeat(np.arange(len(sets)), [len(pairs) for pairs in at])
    pairs = np.concatenate(at)
    shared = np.zeros((len(which), len(found.names)), dtype=bool)
    np.put_along_axis(shared, sets[which], values=True, axis=1)
    models = bikes[one[pairs]]
    ends, good = found.nearest(np.where(shared, models, bikes[other[pairs]]), shared | found.fixed)
    differ = np.abs(ends - models[good]) > SAME
    out = follow.copy()
    np.logical_and.at(out, which[good], ~differ)
    return out


def _branches(found: SolutionSet, j: int) -> tuple[float, ...]:
    """Return the values that are left for a variable [mm or degrees]; none where they are many."""
    if any(np.linalg.norm(rows[j]) > SAME for rows in found.tangents):
        return ()
    values: list[float] = []
    for value in found.bikes[:, j]:
        if all(abs(value - other) > SAME for other in values):
            values.append(value)
    name = found.names[j]
    few = len(values) <= _BRANCHES
    return tuple(shown(name, found.value(name, v)) for v in values) if few else ()


def _preference(name: str) -> tuple[bool, int]:
    """Return a key that sorts variables: what is usually given first."""
    return name not in USUAL, _order(name)


def _order(name: str) -> int:
    """Return a variable's place in a chart; the parts' own values come last."""
    return FIGURES.index(name) if name in FIGURES else len(FIGURES)
