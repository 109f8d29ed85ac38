r"""A flat plate normal to y whose outline is the convex hull of discs.

The outline alternates between rims (arcs on discs) and straight edges (common tangents):

             edge
         .-----------------.
      .-'                    '-.
     (     o disc           o   ) rim
      '-.                    .-'
         '-----------------'
             edge                    x to the right, z up, both faces at constant y
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, pairwise

import numpy as np

from frame3d.geometry.arrays import Array

Disc = tuple[float, float, float]
"""x, z and radius [mm]."""
_TURNS = np.linspace(0.0, 2 * np.pi, 180, endpoint=False)
_WAYS = np.stack((np.cos(_TURNS), np.sin(_TURNS)))
"""Directions in which an outline is sampled: (2, 180)."""


@dataclass(frozen=True, slots=True)
class Rim:
    """An arc of the outline on a disc; a straight edge joins it to the next rim."""

    x: float
    z: float
    radius: float
    start: float
    """Angle at which it starts, from x toward z [rad]."""
    end: float
    """Angle at which it ends, larger than `start` [rad]."""

    def at(self, turn: float) -> tuple[float, float]:
        """Return x and z at an angle [rad -> mm]."""
        return self.x + self.radius * float(np.cos(turn)), self.z + self.radius * float(
            np.sin(turn)
        )


@dataclass(frozen=True)
class Flat:
    """The convex hull of discs in the side view, between two lateral positions.

    The support function of the hull in a unit direction u is the largest c·u + r over the discs, with
    centre c and radius r. The outline passes from one disc to another in directions where two of these
    values are equal.
    """

    discs: tuple[Disc, ...]
    low: float
    """y of one face [mm]."""
    high: float
    """y of the other face, larger [mm]."""

    @property
    def thickness(self) -> float:
        """Thickness [mm]."""
        return self.high - self.low

    @property
    def size(self) -> float:
        """Diameter of the largest disc [mm]."""
        return 2 * max(r for _, _, r in self.discs)

    @cached_property
    def rims(self) -> tuple[Rim, ...]:
        """Arcs of the outline, anticlockwise in (x, z); for a single disc one arc of a full turn."""
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
        """Straight edges of the outline, the one after each rim: ((x, z), (x, z)) [mm]."""
        if len(self.rims) == 1:
            return ()
        following = (*self.rims[1:], self.rims[0])
        return tuple(
            (a.at(a.end), b.at(b.start)) for a, b in zip(self.rims, following, strict=True)
        )

    @property
    def area(self) -> float:
        """Area of a face [mm²]: ½∮(x dz − z dx) along arcs and edges, in closed form."""
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
        """Volume [mm³]."""
        return self.area * self.thickness

    def depth(self, points: Array) -> Array:
        """Return how deep points lie inside: (n, 3) -> (n,) [mm].

        Negative outside, where the distance is at least its absolute value. The outline is sampled in
        180 directions.
        """
        side = (self._reach - points[:, [0, 2]] @ _WAYS).min(axis=1)
        return np.asarray(
            np.minimum(side, np.minimum(points[:, 1] - self.low, self.high - points[:, 1]))
        )

    @cached_property
    def _reach(self) -> Array:
        """How far it reaches in each of `_WAYS`: (180,) [mm]."""
        discs = np.array(self.discs)
        return np.asarray((discs[:, :2] @ _WAYS + discs[:, 2:]).max(axis=0))

    def resized(self, by: float) -> Flat:
        """Return the plate with discs larger in diameter by `by` [mm], of the same thickness."""
        discs = tuple((x, z, max(r + by / 2, 0.01)) for x, z, r in self.discs)
        return replace(self, discs=discs)

    def mirrored(self) -> Flat:
        """Return the mirror image in the centre plane."""
        return Flat(self.discs, -self.high + 0.0, -self.low + 0.0)

    def is_same(self, other: object) -> bool:
        """Whether both have the same discs and faces, within 1e-7 mm."""
        if not isinstance(other, Flat) or len(self.discs) != len(other.discs):
            return False
        ours, theirs = ([(*d, f.low, f.high) for d in sorted(f.discs)] for f in (self, other))
        return bool(np.allclose(ours, theirs, rtol=0, atol=1e-7))
