"""Find the earlier bodies that a tube runs into, so that it is cut by them."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from frame3d.chart.cache import Cache
from frame3d.geometry.arrays import Array, Mask
from frame3d.tubes.cuts.mitre import MitreCut, level
from frame3d.tubes.cuts.straight_lines import Outside
from frame3d.tubes.hardware import Housing
from frame3d.tubes.tube import Shell, Tube

AROUND = 24
"""Samples around a tube."""
STEP = 4.0
"""Distance of samples along a tube [mm]."""
CLOSE = 1.5
"""Distance of a sample from a body from which the patch around it is refined [mm]."""
TOUCH = 0.01
"""Depth above which bodies overlap, and do not only touch [mm]."""


@dataclass(frozen=True)
class Envelope:
    """Outside of a body between its own ends, with a bounding box."""

    name: str
    body: Outside
    low: float
    high: float
    box: tuple[Array, Array]

    @classmethod
    def of(cls, body: Tube | Shell | Housing, name: str) -> Envelope:
        """Return the envelope of a tube between its long points, or of the whole shell or housing."""
        low, high = 0.0, body.axis.length
        if isinstance(body, Tube):
            low, high = body.start.long_point, high - body.end.long_point
        size = body.section.furthest
        points = body.axis.points(np.linspace(low, high, 2 if body.axis.is_straight else 33))
        return cls(name, body, low, high, (points.min(axis=0) - size, points.max(axis=0) + size))

    @property
    def values(self) -> tuple[Hashable, ...]:
        """All values that it is made of, as a key for a cache."""
        return self.name, self.body.axis, self.body.section, self.low, self.high

    def depth(self, points: Array) -> Array:
        """Return how far inside points lie: (n, 3) -> (n,) [mm]; negative outside."""
        outside, s = level(self.body, points)
        return np.asarray(-np.maximum(outside, np.maximum(self.low - s, s - self.high)))

    def near(self, points: Array, within: float = 0.0) -> Mask:
        """Which points lie in the box or `within` mm of it: (n, 3) -> (n,)."""
        low, high = self.box[0] - within, self.box[1] + within
        return np.asarray(((points >= low) & (points <= high)).all(axis=1))


def cut_by(
    tube: Outside,
    mitres: Sequence[MitreCut | None],
    targets: Sequence[str | None],
    earlier: Iterable[Envelope],
    memory: Cache,
) -> tuple[str, ...]:
    """Return the bodies that cut a tube: its mitres' targets, then others that it overlaps.

    The outside is sampled beyond its mitres; where a sample lies close to a body, the patch around it
    is refined.

    Args:
        tube: its axis and outside.
        mitres: of start and end.
        targets: bodies of those mitres.
        earlier: bodies before it in the build order.
        memory: cache of earlier results.
    """
    names = tuple(dict.fromkeys(t for t, m in zip(targets, mitres, strict=True) if t and m))
    cuts = tuple(None if m is None else (m.target.axis, m.target.section) for m in mitres)
    shape = ("outside", tube.axis, tube.section, cuts)
    outside = memory.get_or_compute(shape, lambda: _Outside(tube, mitres))
    close = [other for other in earlier if other.name not in names and outside.is_near(other)]
    more = memory.get_or_compute(
        ("cut by", shape, tuple(other.values for other in close)),
        lambda: _overlapping(tube, outside, close),
    )
    return (*names, *more)


class _Outside:
    """Samples of a tube's outside between its mitres."""

    def __init__(self, tube: Outside, mitres: Sequence[MitreCut | None]) -> None:
        self.phi, self.s = _samples(tube, mitres)
        self.points = surface(tube, self.phi, self.s)
        self.metal = (min(0.0, float(self.s.min())), max(tube.axis.length, float(self.s.max())))
        """Least and most s: past the axis' ends where a mitre misses its target in part [mm]."""
        self._low, self._high = self.points.min(axis=0).tolist(), self.points.max(axis=0).tolist()

    def is_near(self, other: Envelope) -> bool:
        """Whether a sample may lie close to the box of a body."""
        low, high = (other.box[0] - CLOSE).tolist(), (other.box[1] + CLOSE).tolist()
        return all(self._low[i] <= high[i] and low[i] <= self._high[i] for i in range(3))


def _overlapping(tube: Outside, outside: _Outside, close: Iterable[Envelope]) -> tuple[str, ...]:
    """Return the names of the bodies that the tube overlaps."""
    names: list[str] = []
    phi, s, points = outside.phi, outside.s, outside.points
    for other in close:
        if not len(points):
            break
        near = other.near(points, CLOSE)
        if not near.any():
            continue
        depth = other.depth(points[near])
        deepest = int(np.argmax(depth))
        if depth[deepest] > TOUCH or (
            depth[deepest] > -CLOSE
            and _refined(tube, other, phi[near][deepest], s[near][deepest], outside.metal) > TOUCH
        ):
            names.append(other.name)
            keep = ~near
            keep[near] = depth <= TOUCH
            points, phi, s = points[keep], phi[keep], s[keep]
    return tuple(names)


def _samples(tube: Outside, mitres: Sequence[MitreCut | None]) -> tuple[Array, Array]:
    """Return angles [degrees] and distances along the axis [mm] of samples on the outside."""
    around: Array = np.arange(AROUND, dtype=np.float64) * (360.0 / AROUND)
    length = tube.axis.length
    low, high = np.zeros(AROUND), np.full(AROUND, length)
    if mitres[0] is not None:
        low = _edge(mitres[0])
    if mitres[1] is not None:
        high = length - _edge(mitres[1])
    n = max(2, int(np.ceil(length / STEP)) + 1)
    share = np.linspace(0.0, 1.0, n)
    s = low + (high - low) * share[:, None]
    return np.broadcast_to(around, s.shape).ravel(), s.ravel()


def _edge(mitre: MitreCut) -> Array:
    """Return the z of a mitre's outer edge at each sampled angle, square where it misses its target."""
    phi, z = mitre.coarse
    z = z[:: len(phi) // AROUND]
    return np.where(np.isnan(z), min(0.0, mitre.extremes()[0]), z)


def surface(tube: Outside, phi: Array, s: Array, depth: Array | float = 0.0) -> Array:
    """Points of the outside, or `depth` of the way through the wall: (n,), (n,) -> (n, 3) [mm]."""
    centre, up, across = tube.axis.frames(s)
    y, x = tube.section.place(phi, s, depth)
    return np.asarray(centre + y[:, None] * up + x[:, None] * across)


def _refined(
    tube: Outside, other: Envelope, phi: float, s: float, metal: tuple[float, float]
) -> float:
    """Return the greatest depth in the patch around one sample, `metal` its least and most s [mm]."""
    fan = np.linspace(-1.0, 1.0, 7)
    turn, run = 360.0 / AROUND, STEP
    best = -np.inf
    for _ in range(4):
        phis = np.repeat(phi + turn * fan, 7)
        along = np.tile(np.clip(s + run * fan, *metal), 7)
        depth = other.depth(surface(tube, phis, along))
        i = int(np.argmax(depth))
        if depth[i] <= best:
            break
        best, phi, s = float(depth[i]), float(phis[i]), float(along[i])
        turn, run = turn / 3, run / 3
    return best
