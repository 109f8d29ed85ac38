"""A plate square to y whose outline is the hull of discs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Disc = tuple[float, float, float]
"""x, z and radius [mm]."""


@dataclass(frozen=True, slots=True)
class Rim:
    """A piece of the outline that lies on a disc; straight edges join one rim to the next."""

    x: float
    z: float
    radius: float
    start: float
    """Angle from x toward z where it starts [radians], anticlockwise."""
    end: float
    """Larger than `start`."""

    def at(self, turn: float) -> tuple[float, float]:
        """X and z at an angle [mm]."""
        return self.x + self.radius * float(np.cos(turn)), self.z + self.radius * float(
            np.sin(turn)
        )


@dataclass(frozen=True)
class Flat:
    """The hull of discs in the side view, between two lateral positions.

    The hull's edge in each direction u is where c·u + r is largest over the discs (the support function
    of a hull of discs), so it changes from one disc to another where two of those are equal.
    """

    discs: tuple[Disc, ...]
    low: float
    """y of one face [mm]."""
    high: float
    """y of the other face, larger [mm]."""

    @property
    def thickness(self) -> float:
        """[mm]"""
        return self.high - self.low

    @property
    def size(self) -> float:
        """Diameter of the largest disc [mm]."""
        return 2 * max(r for _, _, r in self.discs)

    @cached_property
    def rims(self) -> tuple[Rim, ...]:
        """The outline's arcs in order, anticlockwise in (x, z); one of a full turn for a single disc."""
        discs = np.array(sorted(set(self.discs), key=lambda d: -d[2]))
        turns = {0.0}
        for a, b in combinations(discs, 2):
            along = a[:2] - b[:2]
            far = float(np.hypot(*along))
            if far > abs(float(b[2] - a[2])):
                middle = float(np.arctan2(along[1], along[0]))
                half = float(np.arccos((b[2] - a[2]) / far))
                turns |= {(middle + half) % (2 * np.pi), (middle - half) % (2 * np.pi)}
        marks = [*sorted(turns), 2 * np.pi]
        found: list[tuple[int, float, float]] = []
        for start, end in pairwise(marks):
            if end - start < 1e-12:
                continue
            u = (start + end) / 2
            which = int(np.argmax(discs[:, :2] @ [np.cos(u), np.sin(u)] + discs[:, 2]))
            if found and found[-1][0] == which:
                found[-1] = (which, found[-1][1], end)
            else:
                found.append((which, start, end))
        if len(found) > 1 and found[0][0] == found[-1][0]:
            which, start, _ = found.pop()
            found[0] = (which, start - 2 * np.pi, found[0][2])
        turned = [(discs[which].tolist(), start, end) for which, start, end in found]
        return tuple(Rim(x, z, r, start, end) for (x, z, r), start, end in turned)

    @property
    def edges(self) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
        """The outline's straight edges: (x, z) to (x, z), after each rim in turn."""
        if len(self.rims) == 1:
            return ()
        following = (*self.rims[1:], self.rims[0])
        return tuple(
            (a.at(a.end), b.at(b.start)) for a, b in zip(self.rims, following, strict=True)
        )

    @property
    def area(self) -> float:
        """Of a face [mm²]: ½∮(x dz − z dx) along arcs and edges, in closed form."""
        total = 0.0
        for rim in self.rims:
            (x0, z0), (x1, z1) = rim.at(rim.start), rim.at(rim.end)
            total += rim.radius**2 * (rim.end - rim.start)
            total += rim.x * (z1 - z0) - rim.z * (x1 - x0)
        for (x0, z0), (x1, z1) in self.edges:
            total += x0 * z1 - x1 * z0
        return total / 2

    @property
    def volume(self) -> float:
        """[mm³]"""
        return self.area * self.thickness

    def depth(self, points: Array) -> Array:
        """How far inside points lie: (n, 3) -> (n,) [mm]; negative outside, where it is a bound."""
        turn = np.linspace(0.0, 2 * np.pi, 180, endpoint=False)
        u = np.stack((np.cos(turn), np.sin(turn)))
        discs = np.array(self.discs)
        reach = (discs[:, :2] @ u + discs[:, 2:]).max(axis=0)
        side = (reach - points[:, [0, 2]] @ u).min(axis=1)
        return np.asarray(
            np.minimum(side, np.minimum(points[:, 1] - self.low, self.high - points[:, 1]))
        )

    def resized(self, by: float) -> Flat:
        """Return the same, larger across by `by` [mm]; as thick as it was."""
        discs = tuple((x, z, max(r + by / 2, 0.01)) for x, z, r in self.discs)
        return replace(self, discs=discs)

    def mirrored(self) -> Flat:
        """Return the same on the other side of the centre plane."""
        return Flat(self.discs, -self.high + 0.0, -self.low + 0.0)

    def is_same(self, other: object) -> bool:
        """Whether both enclose the same space [to 1e-7 mm]."""
        if not isinstance(other, Flat) or len(self.discs) != len(other.discs):
            return False
        ours, theirs = ([(*d, f.low, f.high) for d in sorted(f.discs)] for f in (self, other))
        return bool(np.allclose(ours, theirs, rtol=0, atol=1e-7))
