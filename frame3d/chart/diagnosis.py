"""Find which givens determine the bike, which figures are missing, and which givens are redundant.

At a bike that satisfies all relations, the directions in which it may change are the null space T of the
relations' Jacobian, with one row for each variable. A set of givens determines the bike if its rows span
T's row space. A given whose row is a linear combination of others' rows is redundant, and follows from
those of them that have a coefficient other than zero.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.chart.givens import AGREE, ASSUMED, Given, key
from frame3d.chart.newton import jacobian, plan, run
from frame3d.chart.relations import (
    ANGLE_SCALE,
    ANGLES,
    Relation,
    Values,
    variables,
)
from frame3d.geometry.arrays import Array
from frame3d.parameters.models.figures import FIGURES

_RANK = 1e-7
"""Relative norm below which a vector counts as zero."""

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
"""A bike in general position (unequal wheels, an offset seat tube), in mm and degrees."""

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
"""Rough start values of all other variables, in mm and degrees."""


_POSITION = ("seat_tube_offset", "cup_angle")
"""Variables whose given values matter to a diagnosis; of others only that they are given matters."""

_SEAT_ANGLES = (
    "effective_seat_tube_angle",
    "effective_seat_tube_angle_at_stack",
    "actual_seat_tube_angle",
)
"""All one where the seat tube's axis runs through the bottom bracket."""


def start_values(names: Iterable[str], count: int = 1) -> Values:
    """Return start values of variables, each (count,) float, in mm and radians."""
    raw = {**_STARTS, **_TYPICAL}
    return Values(
        {
            name: np.full(count, np.radians(raw[name]) if name in ANGLES else raw[name])
            for name in names
        }
    )


def all_variables(relations: Sequence[Relation]) -> tuple[str, ...]:
    """Return the variables of the relations, and the chart figures that are in no relation."""
    names = dict.fromkeys(variables(relations))
    names.setdefault("seat_tube_length")
    return tuple(names)


def reference_bike(relations: Sequence[Relation], stated: Sequence[Given]) -> Values:
    """Return a usual bike that satisfies all relations, with the file's seat tube offset and cup angle.

    These two are taken from the file because 0 is a special position: with no offset, effective and
    actual seat tube angle are always equal.
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
    """A redundant given, and the givens from which it follows."""

    given: Given
    by: tuple[Given, ...]


@dataclass(frozen=True)
class MissingFigures:
    """A group of figures of which `count` must still be given."""

    count: int
    figures: tuple[str, ...]
    """Variables that a file can state; where `count` is 1, any one of them is enough."""


@dataclass(frozen=True)
class Diagnosis:
    """Whether a set of givens determines the bike, and what is missing or redundant."""

    basis: tuple[Given, ...]
    """Independent givens; as many as the bike has degrees of freedom where nothing is missing."""
    extras: tuple[Extra, ...]
    """Redundant givens."""
    gaps: tuple[MissingFigures, ...]
    """Groups of missing figures."""
    free: tuple[str, ...]
    """Chart figures that are not determined."""

    def of(self, stated: Sequence[Given]) -> Diagnosis:
        """Return the same diagnosis for givens of the same `form` with other values."""
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
    """Return a key: givens of equal form have the same diagnosis with the same relations."""
    return _has_offset(stated), *(
        (g.variable, g.path, g.origin, g.value if g.variable in _POSITION else None) for g in stated
    )


def _has_offset(stated: Sequence[Given]) -> bool:
    """Whether the seat tube's offset cannot be 0, as seat tube angles are given that differ."""
    angles = [g.shown for g in stated if g.variable in _SEAT_ANGLES]
    return bool(angles) and max(angles) - min(angles) > AGREE


def diagnose(relations: Sequence[Relation], stated: Sequence[Given]) -> Diagnosis:
    """Sort the givens into a basis and redundant ones, add assumptions, and find what is missing."""
    names = all_variables(relations)
    known = [g for g in stated if g.variable in names]
    first = _sort(relations, names, known, ())
    assumed = [g for g in first.basis if g.origin == "assumed" and g.variable == "seat_tube_offset"]
    if not assumed:
        return first
    # With the offset assumed to be 0 the bike is in a special position: diagnose again from there.
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
    # First the values that define the position of the reference bike: plain cups, an assumed offset.
    for given in (*cups, *first, *stated):
        if independent(given):
            basis.append(given)
            continue
        rows = np.array([row[b.variable] for b in basis]).reshape(len(basis), freedoms)
        share = np.linalg.lstsq(rows.T, row[given.variable], rcond=None)[0]
        size = float(np.abs(share).max(initial=0.0))
        by = tuple(b for b, s in zip(basis, share, strict=True) if abs(s) > 1e-6 * max(size, 1e-12))
        extras.append(Extra(given, by))
    offset = _has_offset(stated)
    for given in (a for a in ASSUMED if not (offset and a.variable == "seat_tube_offset")):
        if given not in basis and given.variable not in have and independent(given):
            basis.append(given)
    gaps, free = _gaps(names, directions, frame)
    return Diagnosis(tuple(basis), tuple(extras), gaps, free)


def _null_space(relations: Sequence[Relation], names: Sequence[str], values: Values) -> Array:
    """Return the directions in which a bike may change: (variables, freedoms), orthonormal columns.

    Angles are scaled to arcs in mm.
    """
    matrix = jacobian(relations, names, values, 1)[0]
    scale = np.array([1 / ANGLE_SCALE if name in ANGLES else 1.0 for name in names])
    _, size, rows = np.linalg.svd(matrix * scale)
    rank = int((size > _RANK * size[0]).sum())
    return np.asarray(rows[rank:].T)


def _gaps(
    names: Sequence[str], directions: Array, frame: Array
) -> tuple[tuple[MissingFigures, ...], tuple[str, ...]]:
    """Return what may still change with the basis fixed: groups that change independently, and figures.

    Args:
        names: all variables.
        directions: from `_null_space`.
        frame: orthonormal rows that span the basis' rows, (rank, freedoms).
    """
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
    """Split the variables that may change into groups that change independently of each other.

    The groups are the connected components of the matroid of the rows: two variables belong together if
    some circuit contains both. The fundamental circuits of one basis are enough to find them (Oxley,
    Matroid Theory, section 4.1; from memory).
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
    """Sort names: chart figures in the order of charts, then the parts' own values."""
    order = {figure: i for i, figure in enumerate(FIGURES)}
    return tuple(sorted(names, key=lambda name: order.get(name, len(order))))
