"""Motion of the links of the rear suspension, of the shock's halves and of the chain's runs."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from frame3d.bodies.motion.swing import Swing, all_tabled, tabled
from frame3d.geometry.arrays import Array, Complex, Ints
from frame3d.linkage.motion import LinkageMotion, Moving
from frame3d.linkage.result import Linkage


def link_swings(linkage: Linkage, links: Sequence[str]) -> list[Swing]:
    """Return the motions of links over the rear travel."""

    def rows(which: Ints, travels: Array) -> Array:
        motion = _motion(linkage, travels)
        found = np.empty((len(which), len(travels), 6))
        for row, i in zip(found, which.tolist(), strict=True):
            at, link = motion.body_point(links[i], 0j), links[i]
            row[:] = _rows(
                motion, at.at, np.radians(motion.turn(link)), at.rate, motion.turn_rate(link)
            )
        return found

    return all_tabled(linkage.full_travel, len(links), rows)


def shock_swings(linkage: Linkage) -> tuple[Swing, Swing]:
    """Return the motions of the shock's two halves.

    Each turns with the line between both eyes, and keeps its own eye on its point.

    Returns:
        (at the start's eye, at the end's eye).
    """
    return _half(linkage, 0), _half(linkage, 1)


def _half(linkage: Linkage, which: int) -> Swing:
    """Return the motion of the shock's half at one end."""
    drawn = [complex(*linkage.drawn[name]) for name in linkage.shock]
    at_rest = np.angle(drawn[1] - drawn[0])

    def rows(travels: Array) -> Array:
        motion = _motion(linkage, travels)
        start, end = (_shock_point(linkage, motion, name) for name in linkage.shock)
        along, speed = end.at - start.at, end.rate - start.rate
        turn = np.unwrap(np.angle(along)) - at_rest
        turn -= 2 * np.pi * np.round(turn[0] / (2 * np.pi))
        rate = (speed / along).imag
        eye = (start, end)[which]
        arm = np.exp(1j * turn) * drawn[which]
        return _rows(motion, eye.at - arm, turn, eye.rate - 1j * rate * arm, rate)

    return tabled(linkage.full_travel, rows)


def _shock_point(linkage: Linkage, motion: LinkageMotion, name: str) -> Moving:
    body = next(body for body, points in linkage.bodies.items() if name in points)
    return motion.body_point(body, complex(*linkage.drawn[name]))


def chain_swings(linkage: Linkage, runs: Sequence[tuple[float, float, float]]) -> list[Swing]:
    """Return the motions of straight runs of chain from rings about the bottom bracket to cogs.

    A run's unit normal n has n·d = ring - cog, with d from the bottom bracket to the axle (see
    `drivetrain.tangent`). So its angle is arg d ± acos((ring - cog)/|d|), and the run turns about the
    bottom bracket with it.

    Args:
        linkage: the rear suspension.
        runs: of each the pitch radii of ring and cog [mm], and 1 if it is the upper run, -1 if it is
            the lower one.
    """
    difference = np.array([[ring - cog] for ring, cog, _ in runs])
    side = np.array([[up] for _, _, up in runs])

    def rows(which: Ints, travels: Array) -> Array:
        motion = _motion(linkage, travels)
        wheel = motion.wheel
        turn, rate = normal_of(wheel.at, wheel.rate, difference[which], side[which])
        still: Complex = np.zeros(turn.shape, dtype=complex)
        return _rows(motion, still, turn - rest[which], still, rate)

    first = _motion(linkage, np.zeros(1)).wheel
    rest = normal_of(first.at, first.rate, difference, side)[0]
    return all_tabled(linkage.full_travel, len(runs), rows)


def normal_of(
    at: Complex, speed: Complex, difference: Array | float, up: Array | float
) -> tuple[Array, Array]:
    """Return the angle of a run's normal [rad], and its derivative: two (k,) float.

    Of several runs, whose other values are (n, 1), two (n, k).

    Args:
        at: from the ring's centre to the axle, x + i z [mm]: (k,).
        speed: its derivative: (k,).
        difference: of the pitch radii, ring less cog [mm].
        up: 1 for the upper run, -1 for the lower one.
    """
    # The axle lies behind: angles are taken from straight behind, so that they never jump.
    k = difference / np.abs(at)
    growth = speed / at
    turn = np.angle(-at) - up * np.arccos(k)
    rate = growth.imag - up * k * growth.real / np.sqrt(1 - k**2)
    return turn, rate


def longest_run(linkage: Linkage, ring: float, cog: float) -> float:
    """Return the greatest length of a straight run of chain over the travel [mm].

    √(|d|² - (ring - cog)²), with d from the bottom bracket to the axle.
    """
    furthest = (linkage.axle**2).sum(axis=1).max()
    return float(np.sqrt(furthest - (ring - cog) ** 2))


def _motion(linkage: Linkage, travels: Array) -> LinkageMotion:
    """Return the linkage's motion at travels, (k,) [mm]."""
    return _kept(linkage, travels.tobytes())


@lru_cache(maxsize=32)
def _kept(linkage: Linkage, travels: bytes) -> LinkageMotion:
    """Return the same from a cache, as every body's table is of the same travels."""
    return linkage.at_travels(np.frombuffer(travels))


def _rows(
    motion: LinkageMotion, at: Complex, turn: Array, rate: Complex, turn_rate: Array
) -> Array:
    """Return rows as in `Swing.knots`, from a motion and its derivatives by stroke; turns in radians.

    Each (k,) or, of several motions, (n, k) -> (k, 6) or (n, k, 6).
    """
    by_travel = 1 / motion.leverage
    return np.stack(
        (
            at.real,
            at.imag,
            np.degrees(turn),
            rate.real * by_travel,
            rate.imag * by_travel,
            np.degrees(turn_rate * by_travel),
        ),
        axis=-1,
    )
