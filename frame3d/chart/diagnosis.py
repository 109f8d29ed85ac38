"""Which givens settle the bike, which are missing, which lean on each other.

At a bike that meets all relations, the ways in which it may change form the null space T of the
relations' Jacobian: a row of T a variable. A set of givens settles the bike when its rows span all of
T; a given whose row depends on the others' is over-determined by just those of them that take part.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.chart.givens import ASSUMED, Given, key
from frame3d.chart.newton import jacobian, plan, run
from frame3d.chart.relations import (
    ANGLE_SCALE,
    ANGLES,
    Array,
    Relation,
    Values,
    variables,
)
from frame3d.parameters.models.figures import FIGURES

_RANK = 1e-7
"""Relative size below which a direction counts as zero."""

_TYPICAL = {
    "reach": 455.0,
    "head_tube_angle": 66.0,
    "head_tube_length": 115.0,
    "lower_headset_stack": 6.0,
    "fork_axle_to_crown": 531.0,
    "fork_offset": 44.0,
    "cup_angle": 0.0,
    "front_wheel_radius": 372.0,
    "rear_wheel_radius": 367.0,
    "bb_drop": 43.0,
    "chainstay_length": 437.0,
    "actual_seat_tube_angle": 74.0,
    "seat_tube_offset": 9.0,
    "seat_tube_length": 430.0,
    "saddle_height": 720.0,
}
"""A bike of no special position (unequal wheels, an offset seat tube), in mm and degrees."""

_STARTS = {
    "stack": 630.0,
    "front_axle_x": 770.0,
    "front_axle_z": 40.0,
    "rear_axle_setback": 430.0,
    "bb_height": 330.0,
    "front_centre": 775.0,
    "wheelbase": 1200.0,
    "fork_length_straight": 533.0,
    "mechanical_trail": 105.0,
    "trail": 115.0,
    "wheel_flop": 45.0,
    "effective_top_tube": 610.0,
    "effective_seat_tube_angle": 75.0,
    "effective_seat_tube_angle_at_stack": 75.0,
    "standover": 720.0,
    "standover_mid_tube": 770.0,
    "top_tube_at_seat": 380.0,
    "top_tube_at_head": 40.0,
    "pitch": 0.0,
}
"""Rough start values of everything else."""


_POSITION = ("seat_tube_offset", "cup_angle")
"""Variables whose values as given count; of all others only that they are given."""


def start_values(names: Iterable[str], count: int = 1) -> Values:
    """Sound start values for any variables: (count,) float each."""
    raw = {**_STARTS, **_TYPICAL}
    return Values(
        {
            name: np.full(count, np.radians(raw[name]) if name in ANGLES else raw[name])
            for name in names
        }
    )


def all_variables(relations: Sequence[Relation]) -> tuple[str, ...]:
    """Variables of the relations, and the chart figures that stand alone."""
    names = dict.fromkeys(variables(relations))
    names.setdefault("seat_tube_length")
    return tuple(names)


def reference_bike(relations: Sequence[Relation], stated: Sequence[Given]) -> Values:
    """Return a bike near the usual that meets all relations, with the file's own seat tube offset.

    The offset (and the cup angle) matter since 0 is a special position: there effective and actual
    seat tube angle are one and the same.
    """
    names = all_variables(relations)
    values = start_values(names)
    for given in stated:
        if given.variable in _POSITION:
            values[given.variable] = np.array([given.value])
    known = frozenset(name for name in names if name in _TYPICAL)
    if not run(plan(relations, known), values, 1).all():
        raise AssertionError("the reference bike does not solve")
    return values


@dataclass(frozen=True)
class Extra:
    """A given that others already determine, and those that do."""

    given: Given
    by: tuple[Given, ...]


@dataclass(frozen=True)
class MissingFigures:
    """Figures of which `count` more must be given."""

    count: int
    figures: tuple[str, ...]
    """Variables that a file can state, any one of which closes the gap (where `count` is 1)."""


@dataclass(frozen=True)
class Diagnosis:
    """What a set of givens does to the relations."""

    basis: tuple[Given, ...]
    """Independent givens: as many as the bike has freedoms where nothing is missing."""
    extras: tuple[Extra, ...]
    gaps: tuple[MissingFigures, ...]
    free: tuple[str, ...]
    """Chart figures that are still open."""

    def of(self, stated: Sequence[Given]) -> Diagnosis:
        """Return the same for givens of the same `form` with other values."""
        now = {(given.variable, given.path): given for given in stated}

        def given(old: Given) -> Given:
            return now.get((old.variable, old.path), old)

        return Diagnosis(
            tuple(given(g) for g in self.basis),
            tuple(Extra(given(e.given), tuple(given(g) for g in e.by)) for e in self.extras),
            self.gaps,
            self.free,
        )


def form(stated: Sequence[Given]) -> tuple[Hashable, ...]:
    """Return all of some givens that a diagnosis follows from, the relations aside."""
    return tuple(
        (g.variable, g.path, g.origin, g.value if g.variable in _POSITION else None) for g in stated
    )


def diagnose(relations: Sequence[Relation], stated: Sequence[Given]) -> Diagnosis:
    """Sort the givens into a basis and extras, add assumptions where needed, find what is missing."""
    names = all_variables(relations)
    known = [g for g in stated if g.variable in names]
    first = _sort(relations, names, known, ())
    assumed = [g for g in first.basis if g.origin == "assumed" and g.variable == "seat_tube_offset"]
    if not assumed:
        return first
    # With the offset assumed to be 0 the bike is in a special position: look again from there.
    return _sort(relations, names, known, tuple(assumed))


def _sort(
    relations: Sequence[Relation],
    names: tuple[str, ...],
    stated: Sequence[Given],
    first: tuple[Given, ...],
) -> Diagnosis:
    values = reference_bike(relations, [*stated, *first])
    directions = _null_space(relations, names, values)
    row = {name: directions[i] for i, name in enumerate(names)}
    freedoms = directions.shape[1]

    basis: list[Given] = []
    extras: list[Extra] = []
    frame = np.zeros((0, freedoms))  # orthonormal rows that span the basis' rows

    def independent(given: Given) -> bool:
        nonlocal frame
        rest = row[given.variable] - frame.T @ (frame @ row[given.variable])
        rest = rest - frame.T @ (frame @ rest)
        size = float(np.linalg.norm(rest))
        if size <= _RANK * max(float(np.linalg.norm(row[given.variable])), _RANK):
            return False
        frame = np.vstack([frame, rest / size])
        return True

    have = {g.variable for g in stated}
    cups = tuple(g for g in ASSUMED if g.variable == "cup_angle" and g.variable not in have)
    # What is assumed before all comes first: plain cups, and the position from which we look.
    for given in (*cups, *first, *stated):
        if independent(given):
            basis.append(given)
            continue
        rows = np.array([row[b.variable] for b in basis]).reshape(len(basis), freedoms)
        share = np.linalg.lstsq(rows.T, row[given.variable], rcond=None)[0]
        size = float(np.abs(share).max(initial=0.0))
        by = tuple(b for b, s in zip(basis, share, strict=True) if abs(s) > 1e-6 * max(size, 1e-12))
        extras.append(Extra(given, by))
    for given in ASSUMED:
        if given not in basis and given.variable not in have and independent(given):
            basis.append(given)
    gaps, free = _gaps(names, directions, frame)
    return Diagnosis(tuple(basis), tuple(extras), gaps, free)


def _null_space(relations: Sequence[Relation], names: Sequence[str], values: Values) -> Array:
    """Directions in which a bike may change: (n, freedoms) float, orthonormal columns, scaled to mm."""
    matrix = jacobian(relations, names, values, 1)[0]
    scale = np.array([1 / ANGLE_SCALE if name in ANGLES else 1.0 for name in names])
    _, size, rows = np.linalg.svd(matrix * scale)
    rank = int((size > _RANK * size[0]).sum())
    return np.asarray(rows[rank:].T)


def _gaps(
    names: Sequence[str], directions: Array, frame: Array
) -> tuple[tuple[MissingFigures, ...], tuple[str, ...]]:
    """What still moves when the basis is held, in groups that move independently of each other."""
    rank = len(frame)
    rows = np.linalg.svd(frame)[2] if rank else np.eye(directions.shape[1])
    moving = directions @ rows[rank:].T  # (n, missing)
    missing = moving.shape[1]
    if missing == 0:
        return (), ()
    moves = np.abs(moving).max(axis=1) > _RANK
    free = tuple(f for f in FIGURES if f in names and moves[names.index(f)])
    groups = _independent_groups(
        [name for name, moved in zip(names, moves, strict=True) if moved], moving[moves]
    )
    return tuple(groups), free


def _independent_groups(names: list[str], moving: Array) -> list[MissingFigures]:
    """Split the moving variables into groups whose motions do not mix.

    Two variables mix when some circuit of the row matroid holds both; the fundamental circuits of one
    row basis are enough to find the connected components (Oxley, Matroid Theory, section 4.1; from
    memory).
    """
    chosen: list[int] = []
    frame = np.zeros((0, moving.shape[1]))
    for i in range(len(names)):
        rest = moving[i] - frame.T @ (frame @ moving[i])
        if np.linalg.norm(rest) > _RANK:
            frame = np.vstack([frame, rest / np.linalg.norm(rest)])
            chosen.append(i)
    group = list(range(len(names)))

    def root(i: int) -> int:
        while group[i] != i:
            i = group[i]
        return i

    for i in range(len(names)):
        if i in chosen:
            continue
        share = np.linalg.lstsq(moving[chosen].T, moving[i], rcond=None)[0]
        for c, s in zip(chosen, share, strict=True):
            if abs(s) > 1e-6 * float(np.abs(share).max()):
                group[root(c)] = root(i)
    out: dict[int, list[int]] = {}
    for i in range(len(names)):
        out.setdefault(root(i), []).append(i)
    return [
        MissingFigures(
            sum(i in chosen for i in members),
            _by_chart_order(names[i] for i in members if key(names[i]) is not None),
        )
        for members in out.values()
    ]


def _by_chart_order(names: Iterable[str]) -> tuple[str, ...]:
    """Chart figures as charts list them, then the parts' own values."""
    order = {figure: i for i, figure in enumerate(FIGURES)}
    return tuple(sorted(names, key=lambda name: order.get(name, len(order))))
