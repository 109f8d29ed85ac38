"""Motion of a tube's points against a moving shape, as records for the compiled search."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, TypeAlias

import numpy as np

from frame3d.bodies.motion.mounts import CIRCLE, SWING, TRAVELS, TURN, Mount, Name, Step
from frame3d.bodies.motion.swing import Swing, tabled
from frame3d.bodies.shapes import Box, Capsule, Disc, PlacedShape, Ring, Torus, Tubular
from frame3d.clearance.certify.records import KNOT, STEP, Records, end_to_end
from frame3d.geometry.arrays import Array, Complex
from frame3d.geometry.vector import vector

Block: TypeAlias = tuple[Records, Records]
"""A step of the search and its table: arrays of one `records.MotionStep` and of `records.Knot`s."""

Chain = tuple[tuple[Step, float], ...]
"""Steps, each forward (1) or inverted (-1)."""

ROUND = (Torus, Ring, Disc)
"""Shapes that are solids of revolution about their own y axis."""

NEAR = 32.0
"""Spacing of the points about which the swings of tubes are taken to turn [mm]: tubes near each other
share one, and with it the table."""


@dataclass(frozen=True, slots=True)
class Range:
    """Limits of one motion."""

    name: Name
    low: float
    """mm, or degrees."""
    high: float

    @property
    def is_angle(self) -> bool:
        """Whether the motion is an angle."""
        return self.name not in TRAVELS

    def held(self) -> tuple[float, float]:
        """Return the limits in mm or radians."""
        if self.is_angle:
            return float(np.radians(self.low)), float(np.radians(self.high))
        return self.low, self.high

    def shown(self, value: float) -> float:
        """Return a value in mm or degrees, held within the limits.

        Args:
            value: mm or radians.
        """
        shown = float(np.degrees(value)) if self.is_angle else value
        return min(max(shown, self.low), self.high)


@dataclass(frozen=True)
class PairMotion:
    """Steps from a tube's drawn place to a shape's own axes."""

    steps: Records
    """`records.MotionStep`s, in the shape's axes."""
    knots: Records
    """`records.Knot`s, the rows of the steps' tables."""
    ranges: tuple[Range, ...]
    """The motions that change the gap, in the order of the steps' indices."""
    low: Array
    """(d,) float: lower limit of each [mm or radians]."""
    high: Array
    """(d,) float: upper limit of each [mm or radians]."""
    idle: tuple[Range, ...]
    """Motions that change nothing between the two: both take part, or it turns one into itself."""

    def pose(self, values: Array) -> dict[str, float]:
        """Return the value of every motion [mm or degrees]; idle ones as near to 0 as allowed.

        Args:
            values: (d,) or more, values of `ranges` [mm or radians].
        """
        at: dict[str, float] = {r.name: min(max(0.0, r.low), r.high) for r in self.idle}
        at.update((r.name, r.shown(float(values[i]))) for i, r in enumerate(self.ranges))
        return at


def motion_of(tube: Tubular, shape: PlacedShape, ranges: Sequence[Range]) -> PairMotion:
    """Return how a tube's points move against a shape.

    Args:
        tube: the tube with its mount.
        shape: the shape with its mount.
        ranges: limits of the motions; others stand at 0.

    Raises:
        ValueError: limits in the wrong order, or a motion named twice.
    """
    names = [r.name for r in ranges]
    if len(set(names)) < len(names) or any(not r.low <= r.high for r in ranges):
        raise ValueError("each motion once, its low limit first")
    chain = _chain(tube.mount, shape.mount, tuple(names))
    while chain and _turns_tube_into_itself(tube, chain[0][0]):
        chain = chain[1:]
    about = _place_of(tube) if any(s.kind == SWING for s, _ in chain) else 0j
    return _motion(chain, about, shape, tuple(ranges))


@lru_cache(maxsize=4096)
def _chain(a: Mount, b: Mount, names: tuple[Name, ...]) -> Chain:
    """Return the steps from what mount `a` carries to what mount `b` carries, of these motions."""
    forward, back = _apart(a.steps, b.steps)
    chain = [(s, 1.0) for s in forward] + [(s, -1.0) for s in reversed(back)]
    # A turn or shift at 0 does nothing; a circle at 0 still shifts by its radius.
    return tuple((s, f) for s, f in chain if s.name in names or s.kind == CIRCLE)


@lru_cache(maxsize=4096)
def _motion(
    chain: Chain, about: complex, shape: PlacedShape, ranges: tuple[Range, ...]
) -> PairMotion:
    """Return a chain of steps in a shape's axes.

    Cached: many tubes are measured against one shape.

    Args:
        chain: the steps.
        about: point x + i z near the tube that its swings are taken to turn about [mm].
        shape: the shape.
        ranges: limits of the motions.
    """
    if [s.kind for s, _ in chain] == [SWING, SWING]:
        # Both are on links: one motion, of the tube's link against the shape's.
        blocks = [_swung(chain[0][0].swing, chain[1][0].swing, about, shape, is_last=True)]
        chain = chain[:1]
    else:
        last = len(chain) - 1
        blocks = [_block(s, f, about, shape, i == last) for i, (s, f) in enumerate(chain)]
    while chain and _turns_into_itself(shape, blocks[-1][0]):
        blocks.pop()
        chain = chain[:-1]
    moving = tuple(r for r in ranges if any(s.name == r.name for s, _ in chain))
    index = {r.name: i for i, r in enumerate(moving)}
    steps = end_to_end([np.zeros(0, STEP), *(own for own, _ in blocks)])
    steps["motion"] = [index.get(step.name, -1) for step, _ in chain]
    ends = np.cumsum([len(knots) for _, knots in blocks], dtype=np.int64)
    steps["knots"] = np.column_stack((np.concatenate(([0], ends))[:-1], ends))
    limits = np.array([r.held() for r in moving]).reshape(-1, 2)
    return PairMotion(
        steps,
        end_to_end([np.zeros(0, KNOT), *(knots for _, knots in blocks)]),
        moving,
        limits[:, 0].copy(),
        limits[:, 1].copy(),
        tuple(r for r in ranges if r not in moving),
    )


def _apart(a: Sequence[Step], b: Sequence[Step]) -> tuple[Sequence[Step], Sequence[Step]]:
    """Return both without the last steps that they share, e.g. the steering of a crown and its wheel."""
    common = 0
    while common < min(len(a), len(b)) and a[-1 - common] == b[-1 - common]:
        common += 1
    return a[: len(a) - common], b[: len(b) - common]


def _block(step: Step, factor: float, about: complex, shape: PlacedShape, is_last: bool) -> Block:
    """Return a step, forward (1) or inverted (-1), in a shape's axes; its motion is still to be told."""
    if step.kind == SWING:
        forward, back = (step.swing, None) if factor > 0 else (None, step.swing)
        return _swung(forward, back, about, shape, is_last)
    origin, axes = vector(shape.origin), np.array(shape.axes)
    out = np.zeros(1, STEP)
    out["kind"] = step.kind
    if step.kind == CIRCLE:
        # Forward adds radius·(cos q, 0, -sin q): clockwise seen from the right side.
        radius = factor * step.point[0]
        out["point"] = -radius * axes[:, 0]
        out["axis"] = radius * axes[:, 2]
        out["factor"] = 1.0
    else:
        out["point"] = axes @ (vector(step.point) - origin)
        out["axis"] = axes @ vector(step.axis)
        out["factor"] = factor
    return out, np.zeros(0, KNOT)


def _swung(
    forward: Swing | None, back: Swing | None, about: complex, shape: PlacedShape, is_last: bool
) -> Block:
    """Return the motion of one link against another in a shape's axes; its motion is still to be told.

    Args and conventions as `_table`; `is_last` tells that no step follows before the shape's own
    axes.
    """
    directions, origin = np.array(shape.axes), vector(shape.origin)
    spins = is_last and isinstance(shape.shape, ROUND) and abs(shape.axes[1][1]) > 1 - 1e-12
    table = _table(forward, back, complex(origin[0], origin[2]) if spins else about, spins)
    in_view = directions[:, [0, 2]]
    out, knots = np.zeros(1, STEP), np.zeros(len(table.turn), KNOT)
    out["kind"] = SWING
    if not spins:
        out["point"] = in_view @ [about.real - origin[0], about.imag - origin[2]]
    out["axis"] = -directions[:, 1]  # nose up
    out["spacing"], out["turn_bound"] = table.spacing, table.turn_bound
    out["shift_bound"], out["bend_bound"] = table.shift_bounds
    knots["turn"], knots["turn_rate"] = table.turn, table.turn_rate
    knots["shift"], knots["shift_rate"] = table.shift @ in_view.T, table.shift_rate @ in_view.T
    return out, knots


class _Table(NamedTuple):
    """The motion of one link against another in the side view, at equal steps of travel."""

    spacing: float
    """Travel from row to row [mm]."""
    turn_bound: float
    """As `records.MotionStep.turn_bound`."""
    shift_bounds: tuple[float, float]
    """Bounds of the first and second derivative of the shift."""
    turn: Array
    """(n,) [rad]."""
    turn_rate: Array
    """(n,)."""
    shift: Array
    """(n, 2): x, z [mm]."""
    shift_rate: Array
    """(n, 2)."""


@lru_cache(maxsize=4096)
def _table(forward: Swing | None, back: Swing | None, about: complex, spins: bool) -> _Table:
    """Return the motion of one link against another in the side view, as a table.

    About a point a, a turn e = exp(i p) and shift c about the bottom bracket's centre are the turn e
    and the shift c + (e - 1) a. A solid of revolution about y with no step after needs only the shift
    of its own centre, seen from the turned axes.

    Cached: many tubes are measured against many shapes.

    Args:
        forward: motion of the tube's link; None where it stands still.
        back: motion of the shape's link; None where it stands still.
        about: the point that it turns about, x + i z [mm].
        spins: whether turns about that point make no difference.
    """
    swing = _against(forward, back)
    x, z, nose_up, dx, dz, rate = swing.knots.T
    turn, rate = np.radians(nose_up), np.radians(rate)
    whole = np.exp(1j * turn)
    shift = x + 1j * z + (whole - 1) * about
    d_shift = dx + 1j * dz + 1j * rate * whole * about
    if spins:
        d_shift = (d_shift - 1j * rate * shift) / whole
        shift, turn, rate = shift / whole, 0 * turn, 0 * rate
    spacing = swing.travel / (len(turn) - 1)
    p1, p2 = _steepest(spacing, turn[:, None], rate[:, None])
    at, slope = (np.stack((c.real, c.imag), axis=1) for c in (shift, d_shift))
    bounds = _steepest(spacing, at, slope)
    return _Table(spacing, float(np.sqrt(p1**2 + p2)), bounds, turn, rate, at, slope)


@lru_cache(maxsize=256)
def _against(forward: Swing | None, back: Swing | None) -> Swing:
    """Return the motion of one link against another, either of which may stand still.

    In the side view, with complex numbers x + i z, a link takes a point w to e w + c with e = exp(i
    p). So against another link (p', c', e') it takes it to (e w + c - c')/e' = exp(i (p - p')) w + (c
    - c')/e'.
    """
    first = forward if forward is not None else back
    assert first is not None

    def rows(travels: Array) -> Array:
        p, c, dp, dc = _moved(forward, travels)
        q, b, dq, db = _moved(back, travels)
        shift = (c - b) * np.exp(-1j * q)
        d_shift = (dc - db) * np.exp(-1j * q) - 1j * dq * shift
        turn, rate = np.degrees(p - q), np.degrees(dp - dq)
        return np.stack((shift.real, shift.imag, turn, d_shift.real, d_shift.imag, rate), axis=1)

    return tabled(first.travel, rows)


def _place_of(tube: Tubular) -> complex:
    """Return a point near the drawn tube in the side view, x + i z [mm], on a grid of `NEAR`.

    A swing that is taken to turn about it shifts it by little more than the tube's points move.
    """
    x, _, z, _ = np.round(tube.bounding_spheres[len(tube.bounding_spheres) // 2] / NEAR) * NEAR
    return complex(x, z)


def _moved(swing: Swing | None, travels: Array) -> tuple[Array, Complex, Array, Complex]:
    """Return turn [rad] and shift x + i z [mm] of a link, and their derivatives by travel: four (n,)."""
    if swing is None:
        none = np.zeros(len(travels))
        return none, none.astype(complex), none, none.astype(complex)
    x, z, turn, dx, dz, d_turn = swing.over(travels).T
    return np.radians(turn), x + 1j * z, np.radians(d_turn), dx + 1j * dz


def _steepest(step: float, at: Array, rate: Array) -> tuple[float, float]:
    """Return bounds of the first and second derivative of Hermite cubics between rows.

    The second derivative of a cubic is linear, so its extremes are at the ends; those of the first
    are at the ends and where the second is 0.

    Args:
        step: from row to row.
        at: values, (n, k) float; the bounds are of the length of the k-vector.
        rate: slopes, (n, k) float.
    """
    p, q, v, w = at[:-1], at[1:], rate[:-1], rate[1:]
    low = (6 * (q - p) / step - 4 * v - 2 * w) / step
    high = (2 * v + 4 * w - 6 * (q - p) / step) / step
    with np.errstate(all="ignore"):
        u = np.clip(np.nan_to_num(low / (low - high), posinf=0.0, neginf=0.0), 0.0, 1.0)
    middle = v + step * (low * u + (high - low) * u**2 / 2)
    fastest = np.maximum(np.maximum(np.abs(v), np.abs(w)), np.abs(middle))
    bend = np.maximum(np.abs(low), np.abs(high))
    return float(np.linalg.norm(fastest, axis=1).max()), float(np.linalg.norm(bend, axis=1).max())


def _turns_tube_into_itself(tube: Tubular, step: Step) -> bool:
    """Return whether a tube's first step is a turn about its own straight axis (a head tube's)."""
    if step.kind != TURN or not (tube.axis.is_straight and tube.section.is_round):
        return False
    axis, point = vector(step.axis), vector(step.point)
    ends = np.array([tube.axis.start, tube.axis.end]) - point
    return bool(np.abs(ends - np.outer(ends @ axis, axis)).max() < 1e-9)


def _turns_into_itself(shape: PlacedShape, steps: Records) -> bool:
    """Return whether the last step before the shape's own axes is a turn about the shape's own axis."""
    step = steps[0]
    if step["kind"] != TURN or isinstance(shape.shape, Box):
        return False
    across = [0, 1] if isinstance(shape.shape, Capsule) else [0, 2]
    return bool(
        np.abs(step["axis"][across]).max() < 1e-12 and np.abs(step["point"][across]).max() < 1e-9
    )
