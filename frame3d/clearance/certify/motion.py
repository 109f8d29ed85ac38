"""Motion of a tube's points against a moving shape, as records for the compiled search."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple, TypeAlias

import numpy as np

from frame3d.bodies.motion.mounts import CIRCLE, SWING, TURN, TURNS, Mount, Name, Step
from frame3d.bodies.motion.swing import Swing, all_over, all_tabled
from frame3d.bodies.shapes import Disc, Ring, Torus, Tubular
from frame3d.clearance.certify.records import STEP, Records
from frame3d.geometry.arrays import Array, Complex, Ints
from frame3d.geometry.vector import Point

Swings: TypeAlias = tuple[Swing | None, Swing | None]
"""A link, and another that it is seen from; None for what stands still."""
Table: TypeAlias = tuple[float, float, Array]
"""Travel from row to row of a link's table, travel of the first one, and the rows, (n, 8)."""
_Some: TypeAlias = tuple[list[Swing | None], Ints, Ints]
"""Links, and which of them move against which."""

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
        """Whether the motion is an angle that steps turn by: the search takes those in radians."""
        return self.name in TURNS

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


@lru_cache(maxsize=4096)
def chain_of(a: Mount, b: Mount, names: tuple[Name, ...]) -> Chain:
    """Return the steps from what mount `a` carries to what mount `b` carries, of these motions."""
    forward, back = _apart(a.steps, b.steps)
    chain = [(s, 1.0) for s in forward] + [(s, -1.0) for s in reversed(back)]
    # A turn or shift at 0 does nothing; a circle at 0 still shifts by its radius.
    return tuple((s, f) for s, f in chain if s.name in names or s.kind == CIRCLE)


def _apart(a: Sequence[Step], b: Sequence[Step]) -> tuple[Sequence[Step], Sequence[Step]]:
    """Return both without the last steps that they share, e.g. the steering of a crown and its wheel."""
    common = 0
    while common < min(len(a), len(b)) and a[-1 - common] == b[-1 - common]:
        common += 1
    return a[: len(a) - common], b[: len(b) - common]


def against(both: Sequence[Swings]) -> list[Swing]:
    """Return the motion of links against other links, either of which may stand still.

    In the side view, with complex numbers x + i z, a link takes a point w to e w + c with e = exp(i
    p). So against another link (p', c', e') it takes it to (e w + c - c')/e' = exp(i (p - p')) w + (c
    - c')/e'.

    Args:
        both: of each a link, and another that it is seen from; one of them may be None.
    """
    found: dict[int, Swing] = {}
    by_travel: dict[tuple[float, float], list[int]] = {}
    for i, (forward, back) in enumerate(both):
        first = forward if forward is not None else back
        assert first is not None
        if back is None:
            found[i] = first
        else:
            by_travel.setdefault((first.travel, first.start), []).append(i)
    for (travel, start), some in by_travel.items():
        links = list(dict.fromkeys(link for i in some for link in both[i]))
        number = {link: k for k, link in enumerate(links)}
        ours, theirs = np.array([[number[link] for link in both[i]] for i in some]).T

        def rows(which: Ints, travels: Array, of: _Some = (links, ours, theirs)) -> Array:
            links, ours, theirs = of
            p, c, dp, dc = _moved(links, travels)
            ours, theirs = ours[which], theirs[which]
            back = np.exp(-1j * p)[theirs]
            turn, rate = p[ours] - p[theirs], dp[ours] - dp[theirs]
            shift = (c[ours] - c[theirs]) * back
            d_shift = (dc[ours] - dc[theirs]) * back - 1j * dp[theirs] * shift
            out = np.empty((*shift.shape, 6))
            out[..., 0], out[..., 1], out[..., 2] = shift.real, shift.imag, np.degrees(turn)
            out[..., 3], out[..., 4], out[..., 5] = d_shift.real, d_shift.imag, np.degrees(rate)
            return out

        found |= zip(some, all_tabled(travel, len(some), rows, start), strict=True)
    return [found[i] for i in range(len(both))]


def _moved(links: Sequence[Swing | None], travels: Array) -> tuple[Array, Complex, Array, Complex]:
    """Return turns [rad] and shifts x + i z [mm] of links, and their rates by travel: four (n, k)."""
    rows = np.zeros((len(links), len(travels), 6))
    moving = [i for i, link in enumerate(links) if link is not None]
    rows[moving] = all_over([link for link in links if link is not None], travels)
    x, z, turn, dx, dz, d_turn = np.moveaxis(rows, 2, 0)
    return np.radians(turn), x + 1j * z, np.radians(d_turn), dx + 1j * dz


def place_of(tube: Tubular) -> complex:
    """Return a point near the drawn tube in the side view, x + i z [mm], on a grid of `NEAR`.

    A swing that is taken to turn about it shifts it by little more than the tube's points move.
    """
    x, _, z = tube.middle.tolist()
    return complex(NEAR * round(x / NEAR), NEAR * round(z / NEAR))


def turns_tube_into_itself(tube: Tubular, step: Step) -> bool:
    """Return whether a tube's first step is a turn about its own straight axis (a head tube's)."""
    if step.kind != TURN or not (tube.axis.is_straight and tube.section.is_round):
        return False
    return all(_is_on_axis(end, step) for end in (tube.axis.start, tube.axis.end))


def _is_on_axis(place: Point, step: Step) -> bool:
    """Return whether a point lies on the axis of a turn; in plain numbers, as it is asked of many."""
    apart = [p - q for p, q in zip(place, step.point, strict=True)]
    along = sum(p * way for p, way in zip(apart, step.axis, strict=True))
    return all(abs(p - along * way) < 1e-9 for p, way in zip(apart, step.axis, strict=True))


class Template(NamedTuple):
    """The steps from what one mount carries to what another carries, before they are in any axes."""

    steps: Records
    """`records.MotionStep`s in the frame's axes, each with the index of its range."""
    rows: Array
    """(n, 8) float: the tables of links, as `into_axes` takes them."""


def swings_of(chain: Chain) -> list[Swings]:
    """Return the links of a chain's steps, each with the one that it is seen from."""
    if _is_of_links(chain):
        # One motion, of the tube's link against the shape's.
        return [(chain[0][0].swing, chain[1][0].swing)]
    return [
        (s.swing, None) if factor > 0 else (None, s.swing) for s, factor in chain if s.kind == SWING
    ]


def _is_of_links(chain: Chain) -> bool:
    """Return whether both, a chain's tube and its shape, are on links of the rear suspension."""
    return [(s.kind, s.name, factor) for s, factor in chain] == [
        (SWING, "rear", 1),
        (SWING, "rear", -1),
    ]


def template_of(chain: Chain, names: Sequence[Name], tables: Sequence[Table]) -> Template:
    """Return a chain of steps as records.

    Args:
        chain: the steps.
        names: of the ranges that they are indexed by.
        tables: of `swings_of` the chain, in order.
    """
    if _is_of_links(chain):
        chain = chain[:1]
    steps, begin = np.zeros(len(chain), STEP), 0
    left = iter(tables)
    for row, (step, factor) in zip(steps, chain, strict=True):
        row["kind"] = step.kind
        row["motion"] = names.index(step.name) if step.name in names else -1
        if step.kind == SWING:
            row["spacing"], row["value"], rows = next(left)
            row["knots"] = begin, begin + len(rows)
            begin += len(rows)
        else:
            row["point"], row["axis"], row["factor"] = step.point, step.axis, factor
    if len(tables) == 1:
        return Template(steps, tables[0][2])
    return Template(steps, np.concatenate([np.zeros((0, 8)), *(rows for _, _, rows in tables)]))


def tables_of(swings: Sequence[Swing]) -> list[Table]:
    """Return the tables of links as `into_axes` takes them; those with as many rows at once."""
    alike: dict[int, list[int]] = {}
    for i, swing in enumerate(swings):
        alike.setdefault(len(swing.knots), []).append(i)
    found: dict[int, Table] = {}
    for count, some in alike.items():
        x, z, nose_up, dx, dz, rate = np.moveaxis(np.array([swings[i].knots for i in some]), 2, 0)
        turn = np.radians(nose_up)
        columns = x, z, turn, dx, dz, np.radians(rate), np.cos(turn), np.sin(turn)
        for i, rows in zip(some, np.stack(columns, axis=2), strict=True):
            found[i] = swings[i].travel / (count - 1), swings[i].start, rows
    return [found[i] for i in range(len(swings))]
