"""Solve the relations for one bike, or explain why they have no solution."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.chart.cache import Cache
from frame3d.chart.diagnosis import (
    Diagnosis,
    Extra,
    MissingFigures,
    all_variables,
    diagnose,
    form,
    start_values,
)
from frame3d.chart.givens import (
    AGREE,
    Given,
    givens,
    has_saddle,
    key,
    label,
    relations_for,
    shown,
    top_tube,
)
from frame3d.chart.newton import EquationBlock, plan, run
from frame3d.chart.partial import UnderDeterminedError
from frame3d.chart.plausible import implausible, plausible_range, spread
from frame3d.chart.relations import ANGLE_SCALE, ANGLES, Relation, Values
from frame3d.errors import Fault, GeometryError, Note
from frame3d.parameters.models.figures import FIGURES, STANDOVERS, unit
from frame3d.parameters.models.frame import FrameSpec

_STARTS, _MORE_STARTS = 64, 512
"""Number of start points of Newton's method for one bike, so that further solutions are found; the
second one where a block has four or more unknowns."""


@dataclass(frozen=True)
class Solved:
    """One solved bike: its variables, relations and givens."""

    relations: tuple[Relation, ...]
    values: Mapping[str, float]
    """Variable -> value in mm or radians."""
    basis: tuple[Given, ...]
    """The independent givens that determine it, assumptions included."""
    stated: tuple[Given, ...]
    """All givens of the file."""
    notes: tuple[Note, ...]

    def figures(self) -> dict[str, float | None]:
        """Return the chart: figure -> value in mm or degrees; None where it is not determined."""
        return chart_of(self.values)


def chart_of(values: Mapping[str, float]) -> dict[str, float | None]:
    """Return the chart figures of a bike's variables, in mm and degrees; None where not determined."""
    return {
        figure: shown(figure, values[figure]) if figure in values else None for figure in FIGURES
    }


def solve_chart(spec: FrameSpec, memory: Cache | None = None) -> Solved:
    """Solve the file's figures as a design, where the frame is built to meet them.

    Args:
        spec: the checked parameter file.
        memory: cache from earlier solutions.

    Raises:
        UnderDeterminedError: figures are missing; it says what the others settle nevertheless.
        GeometryError: figures are contradictory, or no bicycle has them; with all faults.
    """
    relations = relations_for(spec)
    stated = givens(spec)
    names = all_variables(relations)
    _refuse_standover_without_top_tube(spec, names)
    known = Cache() if memory is None else memory
    values = ("diagnosis", has_saddle(spec), top_tube(spec), form(stated))
    diagnosis = known.get_or_compute(values, lambda: diagnose(relations, stated)).of(stated)
    if diagnosis.gaps:
        faults = _missing(spec, relations, diagnosis)
        agree = all(fault.code == "under-determined" for fault in faults)
        raise UnderDeterminedError(faults, spec) if agree else GeometryError(faults)
    solutions = _solutions(relations, diagnosis.basis)
    if not solutions:
        other = _other_basis(relations, diagnosis)
        if other is None:
            raise GeometryError(_no_solution(spec, relations, diagnosis))
        diagnosis, solutions = other
    # A redundant figure may decide between several solutions.
    fitting = [s for s in solutions if all(_agrees(s, e.given) for e in diagnosis.extras)]
    best = fitting[0] if fitting else _nearest(solutions, diagnosis.extras)
    disagree = [e for e in diagnosis.extras if not _agrees(best, e.given)]
    if disagree:
        raise GeometryError([_contradiction(spec, relations, diagnosis, best, e) for e in disagree])
    faults = impossible(spec, best)
    if faults:
        raise GeometryError(faults)
    notes = [
        *_assumptions(spec, diagnosis),
        *(
            spec.note(
                "redundant",
                f"{label(e.given.variable)} already follows from "
                f"{_and([label(g.variable) for g in e.by if g.path])}; it agrees",
                e.given.path,
            )
            for e in diagnosis.extras
        ),
        *_others(spec, fitting),
    ]
    return Solved(relations, best, diagnosis.basis, stated, tuple(notes))


# --- solving ----------------------------------------------------------------------------------------


def _solutions(relations: Sequence[Relation], basis: Sequence[Given]) -> list[dict[str, float]]:
    """Return all solutions found from many starts, the most bicycle-like first."""
    names = all_variables(relations)
    known = frozenset(g.variable for g in basis)
    blocks = plan(relations, known)
    nonlinear = [n for b in blocks if not b.is_linear for n in b.unknowns]
    together = max((len(b.unknowns) for b in blocks), default=0)
    count = (_MORE_STARTS if together > 3 else _STARTS) if nonlinear else 1
    values = start_values(names, count)
    for given in basis:
        values[given.variable] = np.full(count, given.value)
    for j, name in enumerate(nonlinear):
        values[name] = spread(name, values[name], j)
    good = run(blocks, values, count)
    bikes = np.stack([values[name] * (ANGLE_SCALE if name in ANGLES else 1.0) for name in names])
    found: list[dict[str, float]] = []
    rest = np.flatnonzero(good)
    while len(rest):
        found.append({name: float(values[name][rest[0]]) for name in names})
        apart = np.abs(bikes[:, rest] - bikes[:, rest[:1]]).max(axis=0)
        rest = rest[apart > 1e-6]
    usual = {name: float(v[0]) for name, v in start_values(names).items()}
    found.sort(key=lambda one: (len(implausible(one)), _unlikeness(one, usual)))
    return found


def _unlikeness(one: Mapping[str, float], usual: Mapping[str, float]) -> float:
    """Return the sum of all differences from the usual bike [mm], to rank solutions."""
    return sum(_differences(one, usual))


def _differences(one: Mapping[str, float], other: Mapping[str, float]) -> Iterator[float]:
    for name, value in one.items():
        yield abs(value - other[name]) * (ANGLE_SCALE if name in ANGLES else 1.0)


def _off(values: Mapping[str, float], given: Given) -> float:
    return abs(shown(given.variable, values[given.variable]) - given.shown)


def _agrees(values: Mapping[str, float], given: Given) -> bool:
    return _off(values, given) <= AGREE


def _nearest(solutions: Sequence[dict[str, float]], extras: Sequence[Extra]) -> dict[str, float]:
    """Return the plausible solution that disagrees least with the redundant figures."""
    likely = [s for s in solutions if not implausible(s)] or solutions
    return min(likely, key=lambda s: sum(_off(s, e.given) for e in extras))


def _other_basis(
    relations: Sequence[Relation], diagnosis: Diagnosis
) -> tuple[Diagnosis, list[dict[str, float]]] | None:
    """Exchange a given of the basis for a redundant one so that there is a plausible solution.

    Returns:
        the new diagnosis and its solutions, against which the other figures can be compared; None where
        no exchange has a plausible solution.
    """
    for extra in diagnosis.extras:
        for given in reversed(extra.by):
            if not given.path:
                continue
            order = [*(g for g in diagnosis.basis if g is not given), extra.given]
            rest = [e.given for e in diagnosis.extras if e is not extra]
            found = diagnose(relations, [*order, *rest, given])
            solutions = [] if found.gaps else _solutions(relations, found.basis)
            if any(not implausible(one) for one in solutions):
                return found, solutions
    return None


# --- what is wrong ----------------------------------------------------------------------------------


def _refuse_standover_without_top_tube(spec: FrameSpec, names: Sequence[str]) -> None:
    given = [f for f in STANDOVERS if getattr(spec.geometry, f) is not None and f not in names]
    if given:
        raise GeometryError(
            spec.fault(
                "under-determined",
                f"geometry.{figure}",
                f"{figure} can be given only where tubes.top_tube runs straight from seat_tube to "
                "head_tube with one height all along, at least one end placed by a distance",
                f"leave {figure} out (it is then a result), or describe such a top tube",
            )
            for figure in given
        )


def _missing(spec: FrameSpec, relations: Sequence[Relation], diagnosis: Diagnosis) -> list[Fault]:
    free = ", ".join(diagnosis.free)
    total = sum(gap.count for gap in diagnosis.gaps)
    return [
        spec.fault(
            "under-determined",
            "geometry",
            f"{total} figure{'s' if total > 1 else ''} missing; still open: {free}",
            "; and ".join(_wanted(gap) for gap in diagnosis.gaps),
        ),
        # A contradiction among the given figures would else be found only after the gap is filled.
        *_early_contradictions(spec, relations, diagnosis),
    ]


def _wanted(gap: MissingFigures) -> str:
    keys = [k for name in gap.figures if (k := key(name)) is not None]
    number = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five"}.get(gap.count, str(gap.count))
    if len(keys) == 1:
        return f"give {keys[0]}"
    return f"give {number} of {', '.join(keys)}"


def _early_contradictions(
    spec: FrameSpec, relations: Sequence[Relation], diagnosis: Diagnosis
) -> list[Fault]:
    if not diagnosis.extras:
        return []
    usual = start_values(all_variables(relations))
    filler: list[Given] = []
    basis = list(diagnosis.basis)
    for name in all_variables(relations):
        trial = [*basis, *filler, Given(name, float(usual[name][0]), "")]
        if len(diagnose(relations, trial).basis) > len(
            diagnose(relations, [*basis, *filler]).basis
        ):
            filler.append(trial[-1])
    whole = diagnose(relations, [*basis, *filler])
    solutions = [] if whole.gaps else _solutions(relations, whole.basis)
    return [
        _contradiction(spec, relations, whole, solutions[0], extra)
        for extra in diagnosis.extras
        if solutions and not any(_agrees(s, extra.given) for s in solutions)
    ]


def _contradiction(
    spec: FrameSpec,
    relations: Sequence[Relation],
    diagnosis: Diagnosis,
    values: Mapping[str, float],
    extra: Extra,
) -> Fault:
    """Return the fault that names contradictory figures, and for each the value that fits the others."""
    solved = shown(extra.given.variable, values[extra.given.variable])
    lines = [_instead(spec, extra.given, solved)]
    for given in extra.by:
        if given.variable == "cup_angle" and given.origin == "assumed":
            continue
        others = [g for g in diagnosis.basis if g is not given]
        implied = [
            shown(given.variable, s[given.variable])
            for s in _solutions(relations, [*others, extra.given])
            if not implausible(s)
        ]
        gaps = [abs(value - given.shown) for value in implied]
        nearest = implied[gaps.index(min(gaps))] if gaps else None
        lines.append(_instead(spec, given, nearest))
    mark = _mark(extra.given.variable)
    return spec.fault(
        "contradictory",
        extra.given.path,
        f"disagrees with {len(lines) - 1} other figures by "
        f"{abs(solved - extra.given.shown):.4f}{mark}",
        "leave one of these out (it is then solved), or change one to the value that fits:\n    "
        + "\n    ".join(lines),
    )


def _mark(variable: str) -> str:
    return "°" if variable in ANGLES else " mm"


def _instead(spec: FrameSpec, given: Given, implied: float | None) -> str:
    mark = _mark(given.variable)
    place = spec.place(given.path) if given.path else None
    line = ""
    if place is not None:
        line = f" (line {place.line})" if place.line is not None else " (overridden)"
    where = given.path if given.path else f"{given.variable}, assumed,"
    text = f"{where}{line} is {given.shown:g}{mark}"
    if implied is None:
        return f"{text}; no value of it fits the others"
    return f"{text}; the others ask for {implied:.4f}{mark} ({implied - given.shown:+.4f})"


def _no_solution(
    spec: FrameSpec, relations: Sequence[Relation], diagnosis: Diagnosis
) -> list[Fault]:
    """Solve block after block, and report the first that has no solution."""
    names = all_variables(relations)
    values = start_values(names)
    for given in diagnosis.basis:
        values[given.variable] = np.array([given.value])
    blocks = plan(relations, frozenset(g.variable for g in diagnosis.basis))
    for i, block in enumerate(blocks):
        if run(blocks[: i + 1], values.copy(), 1).all():
            run([block], values, 1)
            continue
        return [_stuck(spec, block, values, diagnosis)]
    return [
        spec.fault(
            "no-convergence",
            "geometry",
            "the solver found no bicycle with these figures",
            "check each figure, or leave another one open",
        )
    ]


def _stuck(spec: FrameSpec, block: EquationBlock, values: Values, diagnosis: Diagnosis) -> Fault:
    stated = {g.variable: g for g in diagnosis.basis}

    def said(name: str) -> str:
        value = shown(name, float(values[name][0]))
        verb = "is" if name in stated else "comes out at"
        return f"{name} {verb} {value:.6g}{_mark(name)}"

    involved = dict.fromkeys(v for r in block.relations for v in r.partials)
    known = [v for v in involved if v not in block.unknowns]
    path = next((stated[v].path for v in known if v in stated and stated[v].path), "geometry")
    names = [r.name for r in block.relations]
    if names == ["chainstay"] and "rear_axle_setback" in block.unknowns:
        message = (
            f"the chainstay is too short: {said('chainstay_length')}, and {said('bb_drop')}; an axle "
            "that far from the bottom bracket cannot lie so much higher"
        )
        return spec.fault(
            "impossible", path, message, "lengthen the chainstay or lessen the bottom bracket drop"
        )
    if names == ["front centre"] and "front_axle_x" in block.unknowns:
        message = (
            f"the front centre is too short: {said('front_centre')}, and {said('front_axle_z')}"
        )
        return spec.fault("impossible", path, message, "lengthen the front centre")
    if len(block.unknowns) <= 2:
        formulas = "; ".join(r.formula for r in block.relations)
        message = f"no value of {' and '.join(block.unknowns)} meets: {formulas}; "
    else:
        message = "no bicycle has these together: "
    return spec.fault(
        "no-convergence",
        path,
        message + ", ".join(said(v) for v in known),
        "change one of them, or leave one open",
    )


def impossible(spec: FrameSpec, values: Mapping[str, float]) -> list[Fault]:
    """Return faults that say why solved figures cannot be those of a bicycle; empty where they can."""
    faults: list[Fault] = []

    def add(figure: str, message: str, hint: str) -> None:
        faults.append(spec.fault("impossible", f"geometry.{figure}", message, hint))

    sin, cos = np.sin(values["head_tube_angle"]), np.cos(values["head_tube_angle"])
    crown_height = (
        values["front_wheel_radius"]
        + values["fork_axle_to_crown"] * sin
        - values["fork_offset"] * cos
    )
    if crown_height <= values["front_wheel_radius"] or values["fork_axle_to_crown"] <= 0:
        add(
            "fork_axle_to_crown",
            f"the fork would run through the ground: its crown race would lie {crown_height:.1f} mm "
            f"above the ground, no higher than the front axle at {values['front_wheel_radius']:.1f} "
            f"mm (the fork's length comes out at {values['fork_axle_to_crown']:.1f} mm)",
            "raise the stack, lower the bottom bracket, or shorten head tube and headset",
        )
    if values["rear_axle_setback"] <= 0:
        add(
            "chainstay_length",
            f"the rear axle would lie {-values['rear_axle_setback']:.1f} mm ahead of the bottom bracket",
            "lengthen the wheelbase, or lessen reach and front centre",
        )
    room = values["wheelbase"] - values["front_wheel_radius"] - values["rear_wheel_radius"]
    if room <= 0:
        add(
            "wheelbase",
            f"the wheels would run into each other by {-room:.1f} mm at a wheelbase of "
            f"{values['wheelbase']:.1f} mm",
            "lengthen chainstay or reach, or use smaller wheels",
        )
    named = {f.path for f in faults}
    for name in implausible(values):
        if name not in FIGURES or f"geometry.{name}" in named:
            continue
        low, high = plausible_range(name)
        value = shown(name, values[name])
        sort = "a negative length" if value < 0 <= low else f"outside {low:g} to {high:g}"
        add(
            name,
            f"comes out at {value:.2f} {unit(name)}, {sort}",
            "one of the given figures is far from a bicycle's; check them",
        )
    return faults


def _assumptions(spec: FrameSpec, diagnosis: Diagnosis) -> list[Note]:
    return [
        spec.note(
            "assumed", "the seat tube's axis runs through the bottom bracket (seat_tube_offset 0)"
        )
        for g in diagnosis.basis
        if g.origin == "assumed" and g.variable == "seat_tube_offset"
    ]


def _others(spec: FrameSpec, solutions: Sequence[Mapping[str, float]]) -> list[Note]:
    out = []
    for other in solutions[1:]:
        if any(plausible_range(name)[0] >= 0 > other[name] for name in implausible(other)):
            continue  # a negative length: it solves the equations, but means nothing
        different = [
            f"{f} {shown(f, other[f]):.2f}"
            for f in FIGURES
            if f in other and abs(shown(f, other[f]) - shown(f, solutions[0][f])) > 0.01
        ]
        likely = "" if implausible(other) else ", and it looks like a bicycle too"
        out.append(
            spec.note(
                "other-solution",
                f"the figures have a second solution{likely}: {', '.join(different)}; the more usual "
                "one is taken",
            )
        )
    return out


def _and(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
