"""Many linkages of one topology over their strokes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from frame3d.explore.linkages.curves import of_gear, on_ground
from frame3d.explore.linkages.follow import follow
from frame3d.explore.linkages.program import Program
from frame3d.geometry.arrays import Array, Complex, Mask
from frame3d.linkage.curves.chain import pitch_radius

_ROUNDS = 20
_STILL = 1e-11
"""Share of the stroke below which a step of Newton's method ends the search for a travel."""


@dataclass(frozen=True, eq=False)
class Followed:
    """n linkages at k strokes; what is not clean is not a number, or left as it was."""

    clean: Mask
    """Whether nothing about it was doubtful, (n,)."""
    length: Array
    """Of the shock at full extension, (n,) [mm]."""
    drawn: Complex
    """The rear axle as drawn, (n,) [mm]."""
    axle: Complex
    """The rear axle, with its first two derivatives by the stroke, (3, n, k)."""
    turning: Array
    """Angular velocity of the caliper's link, (n, k) [rad/mm]."""
    last: Complex
    """exp(i·θ) of the links at the last stroke, (n, links)."""

    @property
    def travel(self) -> Array:
        """Vertical travel of the wheel, (n, k) [mm]."""
        out: Array = self.axle[0].imag - self.drawn.imag[:, None]
        return out

    @property
    def leverage(self) -> Array:
        """Leverage ratio d(travel)/d(stroke), (n, k)."""
        out: Array = self.axle[1].imag
        return out

    @property
    def leverage_rate(self) -> Array:
        """d(leverage ratio)/d(stroke), (n, k) [1/mm]."""
        out: Array = self.axle[2].imag
        return out


@dataclass(frozen=True, eq=False)
class Grounded:
    """The wheels of n linkages on the ground at k strokes, and braking."""

    contact: Complex
    """Rear contact point, (n, k) [mm]."""
    ahead: Complex
    """Unit vector forward along the ground, (n, k)."""
    wheelbase: Array
    """(n, k) [mm]."""
    transfer: Array
    """Height of the centre of mass over the wheelbase, (n, k)."""
    anti_rise: Array
    """(n, k) [%]."""


@dataclass(frozen=True, eq=False)
class InGear:
    """Curves of one gear for n linkages at k strokes."""

    anti_squat: Array
    """(n, k) [%]."""
    wound: Array
    """Length of the upper run and of the chain wound on, up to a constant, (n, k) [mm]; the chain grows
    by its change."""


def followed(program: Program, points: Complex, strokes: Array, *, tested: bool = True) -> Followed:
    """Follow linkages through strokes.

    Args:
        program: their topology.
        points: their points as drawn, in the order of the program, (n, p) complex, x + i·z [mm].
        strokes: (k,) for all, or (n, k) [mm].
        tested: whether to hold each against all that `frame3d.linkage.solve` and `trace` ask of its
            drawn pose and of each next one; the strokes begin at 0 then. Otherwise only that the poses
            exist.
    """
    count, steps = len(points), np.shape(strokes)[-1]
    out = Followed(
        clean=np.zeros(count, dtype=np.bool_),
        length=np.full(count, np.nan),
        drawn=np.ascontiguousarray(points[:, program.points.index("rear_axle")]),
        axle=np.full((3, count, steps), np.nan + 0j),
        turning=np.full((count, steps), np.nan),
        last=np.full((count, len(program.links)), np.nan + 0j),
    )
    follow(
        program.blocks,
        program.before,
        program.terms,
        program.signs,
        program.touching,
        program.present,
        program.axle,
        program.brake,
        np.ascontiguousarray(points, dtype=np.complex128),
        np.ascontiguousarray(np.atleast_2d(strokes), dtype=np.float64),
        tested,
        out.clean,
        out.length,
        out.axle,
        out.turning,
        out.last,
    )
    return out


def strokes_at(
    program: Program, points: Complex, known: Followed, strokes: Array, travels: Array
) -> Array:
    """Return the strokes at wheel travels, (n,) [mm], by Newton's method as `Linkage.strokes_at`.

    Args:
        program: the linkages' topology.
        points: as for `followed`.
        known: these linkages at some strokes, their wheels rising everywhere.
        strokes: the strokes of `known`, (n, k) [mm].
        travels: within the full travel, (n,) [mm].
    """
    rows = np.arange(len(points))
    over = known.travel
    high = np.clip((over < travels[:, None]).sum(axis=1), 1, over.shape[1] - 1)
    low_at, high_at = over[rows, high - 1], over[rows, high]
    share = np.clip((travels - low_at) / (high_at - low_at), 0.0, 1.0)
    full = strokes[:, -1]
    stroke: Array = strokes[rows, high - 1] * (1 - share) + strokes[rows, high] * share
    going = np.flatnonzero(known.clean)
    for _ in range(_ROUNDS):
        if not len(going):
            break
        there = followed(program, points[going], stroke[going][:, None], tested=False)
        step = (travels[going] - there.travel[:, 0]) / there.leverage[:, 0]
        new = np.clip(stroke[going] + step, 0.0, full[going])
        moved = np.abs(new - stroke[going])
        stroke[going] = new
        going = going[moved >= _STILL * full[going]]
    return stroke


def grounded(
    at: Followed, front: Complex, centre: Complex, rear_radius: Array, front_radius: Array
) -> Grounded:
    """Return the ground under both wheels, and the anti-rise.

    Args:
        at: the linkages.
        front: the front axle at each stroke, (n, k) complex [mm].
        centre: of the mass of rider and bicycle, (n,) complex [mm].
        rear_radius: (n,) [mm].
        front_radius: (n,) [mm].
    """
    shape = at.turning.shape
    out = Grounded(
        np.empty(shape, dtype=np.complex128),
        np.empty(shape, dtype=np.complex128),
        np.empty(shape),
        np.empty(shape),
        np.empty(shape),
    )
    on_ground(
        at.axle,
        at.turning,
        np.ascontiguousarray(front, dtype=np.complex128),
        np.ascontiguousarray(centre, dtype=np.complex128),
        np.ascontiguousarray(rear_radius, dtype=np.float64),
        np.ascontiguousarray(front_radius, dtype=np.float64),
        out.contact,
        out.ahead,
        out.wheelbase,
        out.transfer,
        out.anti_rise,
    )
    return out


def in_gear(at: Followed, under: Grounded, chainring: int, cog: int) -> InGear:
    """Return the curves of a gear, given by its numbers of teeth."""
    out = InGear(np.empty(at.turning.shape), np.empty(at.turning.shape))
    ring, small = float(pitch_radius(chainring)), float(pitch_radius(cog))
    of_gear(
        at.axle, under.contact, under.ahead, under.transfer, ring, small, out.anti_squat, out.wound
    )
    return out
