"""Motion of a tube's points against a moving shape, as rows of numbers for the compiled search."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from frame3d.bodies.motion.mounts import CIRCLE, SWING, TRAVELS, TURN, Mount, Name, Step
from frame3d.bodies.motion.swing import Swing, tabled
from frame3d.bodies.shapes import BOX, CAPSULE, DISC, RING, TORUS, PlacedShape, Tubular
from frame3d.geometry.arrays import Array, Complex
from frame3d.geometry.vector import vector

Chain = tuple[tuple[Step, float], ...]
"""Steps, each forward (1) or inverted (-1)."""

ROUND = (TORUS, RING, DISC)
"""Kinds of shapes that are solids of revolution about their own y axis."""

STEP = 10
"""Numbers of a step's row.

0 kind; 1 index of its motion or -1; 2:5 point of a turn's axis; 5:8 direction of the axis or shift; 8
fixed value; 9 factor of the motion. A CIRCLE has two vectors instead of point and direction, both as
long as its radius; the step subtracts cos·first + sin·second. A SWING has the point and axis that it
turns about, and instead of the factor the number of rows of its table. These follow after a row of
four numbers: travel from row to row; bounds of √(p'² + |p''|), |d'| and |d''| (see `positions`). A
table's row: turn p [rad], p', shift d (3), d' (3)."""


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

    steps: Array
    """(k, 10) float, in the shape's axes."""
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
    while chain and _turns_into_itself(shape, blocks[-1]):
        blocks.pop()
        chain = chain[:-1]
    moving = tuple(r for r in ranges if any(s.name == r.name for s, _ in chain))
    index = {r.name: float(i) for i, r in enumerate(moving)}
    for block, (step, _) in zip(blocks, chain, strict=True):
        block[:1, 1] = index.get(step.name, -1.0)
    limits = np.array([r.held() for r in moving]).reshape(-1, 2)
    return PairMotion(
        np.concatenate([np.zeros((0, STEP)), *blocks]),
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


def _block(step: Step, factor: float, about: complex, shape: PlacedShape, is_last: bool) -> Array:
    """Return a step, forward (1) or inverted (-1), in a shape's axes, its index open: (n, 10)."""
    if step.kind == SWING:
        forward, back = (step.swing, None) if factor > 0 else (None, step.swing)
        return _swung(forward, back, about, shape, is_last)
    origin, axes = vector(shape.origin), np.array(shape.axes)
    row = np.zeros(STEP)
    row[0] = step.kind
    if step.kind == CIRCLE:
        # Forward adds radius·(cos q, 0, -sin q): clockwise seen from the right side.
        radius = factor * step.point[0]
        row[2:5] = -radius * axes[:, 0]
        row[5:8] = radius * axes[:, 2]
        row[9] = 1.0
    else:
        row[2:5] = axes @ (vector(step.point) - origin)
        row[5:8] = axes @ vector(step.axis)
        row[9] = factor
    return row[None]


def _swung(
    forward: Swing | None, back: Swing | None, about: complex, shape: PlacedShape, is_last: bool
) -> Array:
    """Return the motion of one link against another in a shape's axes, index open: (n, 10).

    Args and conventions as `_table`; `is_last` tells that no step follows before the shape's own
    axes.
    """
    directions, origin = np.array(shape.axes), vector(shape.origin)
    spins = is_last and shape.shape.kind in ROUND and abs(shape.axes[1][1]) > 1 - 1e-12
    table = _table(forward, back, complex(origin[0], origin[2]) if spins else about, spins)
    in_view = directions[:, [0, 2]]
    rows = np.zeros((1 + len(table), STEP))
    rows[0, 0] = SWING
    if not spins:
        rows[0, 2:5] = in_view @ [about.real - origin[0], about.imag - origin[2]]
    rows[0, 5:8] = -directions[:, 1]  # nose up
    rows[0, 9] = len(table) - 1
    rows[1:, :2] = table[:, :2]
    rows[1, 2:4] = table[0, 2:4]
    rows[2:, 2:5], rows[2:, 5:8] = table[1:, 2:4] @ in_view.T, table[1:, 4:] @ in_view.T
    return rows


@lru_cache(maxsize=4096)
def _table(forward: Swing | None, back: Swing | None, about: complex, spins: bool) -> Array:
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

    Returns:
        (1 + n, 6) float. First a row with the travel from row to row and three bounds, as in `STEP`;
        then rows of turn p [rad], p', shift x, z and their derivatives.
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
    table = np.zeros((1 + len(turn), 6))
    table[1:] = np.stack((turn, rate, shift.real, shift.imag, d_shift.real, d_shift.imag), axis=1)
    step = swing.travel / (len(turn) - 1)
    p1, p2 = _steepest(step, table[1:, :1], table[1:, 1:2])
    table[0, :4] = step, np.sqrt(p1**2 + p2), *_steepest(step, table[1:, 2:4], table[1:, 4:])
    table.setflags(write=False)
    return table


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


def _turns_into_itself(shape: PlacedShape, block: Array) -> bool:
    """Return whether the last step before the shape's own axes is a turn about the shape's own axis."""
    row = block[0]
    if row[0] != TURN or shape.shape.kind == BOX:
        return False
    across = [0, 1] if shape.shape.kind == CAPSULE else [0, 2]
    return bool(np.abs(row[5:8][across]).max() < 1e-12 and np.abs(row[2:5][across]).max() < 1e-9)
