"""Standover over the placed top tube, whatever its shape.

It is the height of the tube's upper edge straight above a place along the bike. Two chart figures:
`standover` is above the bottom bracket, where somebody who steps off the pedals stands;
`standover_mid_tube` above the middle of the top tube's axis.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from frame3d.geometry.arrays import Array
from frame3d.geometry.vector import Vector
from frame3d.parameters.models.figures import STANDOVERS
from frame3d.tubes.tube import Tube

_COARSE, _FINE, _ROUNDS = 241, 17, 5
"""Samples along a tube; then within the span that holds the place; how often that is repeated."""
_AROUND = 96
"""Samples around a tube that leaves the centre plane."""


def add_standovers(
    chart: dict[str, float | None], tubes: Sequence[Tube], pitch: float = 0.0
) -> None:
    """Fill in both standovers of a chart that its relations do not give [mm].

    Those are of a top tube that is bent, tapered, aside or placed by two angles. A figure whose place
    no top tube passes over is None, even if the relations gave it: they know a top tube's line but
    not its ends.

    Args:
        chart: with its bb_height; changed in place.
        tubes: placed tubes.
        pitch: of the frame against its drawn position, nose up positive [degrees].
    """
    bb_height = chart["bb_height"]
    assert bb_height is not None
    for figure in STANDOVERS:
        x = place_of(figure, tubes, pitch)
        if x is None or not reaches_over(tubes, x, pitch):
            chart[figure] = None
        elif chart[figure] is None:
            edge = upper_edge(tubes, x, pitch)
            chart[figure] = None if edge is None else bb_height + edge


def place_of(figure: str, tubes: Sequence[Tube], pitch: float = 0.0) -> float | None:
    """Return where a standover figure is measured: level ahead of the bottom bracket [mm].

    None where there is no top tube.
    """
    top = _top_tubes(tubes)
    if not top:
        return None
    axis, (forward, _) = top[0].axis, _directions(pitch)
    return float(axis.at(axis.length / 2) @ forward) if figure == "standover_mid_tube" else 0.0


def reaches_over(tubes: Sequence[Tube], ahead: float, pitch: float = 0.0) -> bool:
    """Return whether a top tube's axis passes over the place `ahead` of the bottom bracket [mm]."""
    forward, _ = _directions(pitch)
    for tube in _top_tubes(tubes):
        x = tube.axis.points(np.linspace(0.0, tube.axis.length, 3)) @ forward
        if x.min() <= ahead <= x.max():
            return True
    return False


def upper_edge(tubes: Sequence[Tube], ahead: float, pitch: float = 0.0) -> float | None:
    """Return the height of the top tube's upper edge above the bottom bracket [mm].

    That is the highest point of its outside straight above the place; of two top tubes the higher one
    counts.

    Args:
        tubes: placed tubes.
        ahead: the place, level ahead of the bottom bracket [mm].
        pitch: of the frame against its drawn position, nose up positive [degrees].

    Returns:
        None where no top tube's axis passes over the place.
    """
    if not reaches_over(tubes, ahead, pitch):
        return None
    heights = [
        edge for tube in _top_tubes(tubes) if (edge := _edge(tube, ahead, pitch)) is not None
    ]
    return max(heights, default=None)


def _top_tubes(tubes: Sequence[Tube]) -> list[Tube]:
    """Return the tube named top_tube, or both of a pair."""
    return [tube for tube in tubes if tube.key == "top_tube"]


def _directions(pitch: float) -> tuple[Vector, Vector]:
    """Return level forward and upright in the frame's drawn axes: two (3,) float."""
    turn = np.radians(pitch)
    return (
        np.array([np.cos(turn), 0.0, -np.sin(turn)]),
        np.array([np.sin(turn), 0.0, np.cos(turn)]),
    )


def _edge(tube: Tube, ahead: float, pitch: float) -> float | None:
    """Return the highest point of one tube's outside straight above the place [mm].

    In the centre plane the highest points are the ends of the sections' heights. Elsewhere any point
    around a section may be the highest: it is searched on a grid around the tube, then on finer ones
    about the best.
    """
    points, _, across = tube.axis.frames(np.linspace(0.0, tube.axis.length, _COARSE))
    if np.abs(points[:, 1]).max() < 1e-9 and np.abs(across[:, [0, 2]]).max() < 1e-12:
        found = [_above(tube, a, ahead, pitch) for a in (0.0, np.pi)]
        return max((z for z in found if z is not None), default=None)
    turns = 2 * np.pi * np.arange(_AROUND) / _AROUND
    around = [(a, z) for a in turns if (z := _above(tube, float(a), ahead, pitch)) is not None]
    if not around:
        return None
    best, _ = max(around, key=lambda one: one[1])
    for step in (2 * np.pi / _AROUND / 3**i for i in range(1, 12)):
        near = [
            (best + k * step, _above(tube, best + k * step, ahead, pitch)) for k in range(-2, 3)
        ]
        best = max(((a, z) for a, z in near if z is not None), key=lambda one: one[1])[0]
    return _above(tube, best, ahead, pitch)


def _above(tube: Tube, turn: float, ahead: float, pitch: float) -> float | None:
    """Return the height of one line along the outside where it is `ahead` [mm]; the highest.

    Args:
        tube: a placed tube.
        turn: angle of the line around the section, from its upper end [radians].
        ahead: level ahead of the bottom bracket [mm].
        pitch: as for `upper_edge`.
    """
    forward, up = _directions(pitch)

    def outside(s: Array) -> tuple[Array, Array]:
        points, height, width = tube.axis.frames(s)
        y, x = tube.section.place(np.full(len(s), np.degrees(turn)), s)
        at = points + y[:, None] * height + x[:, None] * width
        return at @ forward - ahead, at @ up

    heights = []
    # A little past the ends, as the outside may lean out over the axis' ends.
    past = 2 * tube.section.furthest
    # Along a straight tube the line is straight from station to station.
    is_even = tube.axis.is_straight and not tube.section.rounds
    if is_even:
        coarse = np.array([-past, *tube.section.s, tube.axis.length + past])
    else:
        coarse = np.linspace(-past, tube.axis.length + past, _COARSE)
    x, z = outside(coarse)
    for i in np.flatnonzero((x[:-1] <= 0) != (x[1:] <= 0)):
        if is_even:
            heights.append(float(z[i] + x[i] / (x[i] - x[i + 1]) * (z[i + 1] - z[i])))
            continue
        low, high = float(coarse[i]), float(coarse[i + 1])
        for _ in range(_ROUNDS):
            s = np.linspace(low, high, _FINE)
            x_near, z_near = outside(s)
            j = int(np.flatnonzero((x_near[:-1] <= 0) != (x_near[1:] <= 0))[0])
            low, high = float(s[j]), float(s[j + 1])
        share = x_near[j] / (x_near[j] - x_near[j + 1])
        heights.append(float(z_near[j] + share * (z_near[j + 1] - z_near[j])))
    return max(heights, default=None)
