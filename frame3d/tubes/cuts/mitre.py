"""Cut edge of a tube's end (mitre) on the outside of what it meets.

Side view. z is counted from the end's point along the tube, phi around it::

            /     /_________________________   z = short point, where the tube is shortest
           /     /
          /  o- / - - - - - - - - - - - -> z   o: `End.point`, on the target's axis or beside it
         /     /
        /     /_____________________________   z = long point, where the tube is longest
         target          tube

The edge is z(phi), the last crossing of each straight line on the tube's surface with the target.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from frame3d.geometry.arrays import Array, Mask
from frame3d.geometry.rounded import last_in
from frame3d.geometry.section import Section
from frame3d.tubes.cuts.straight_lines import (
    Outside,
    StraightLines,
    cones_about,
    stations_from,
    straight_run,
)

FEATHER = 15.0
"""Angle between a tube's side and what it is cut to below which the metal's edge is a feather
[degrees]; common practice, no source."""


def mitre_curve(r: float, R: float, angle: float, offset: float, phi: Array) -> Array:
    """Return the cut edge of a round branch on a round, straight main tube.

    The branch (radius `r`) runs along z, away from the junction. The main tube's axis (radius `R`)
    passes through (0, offset, 0) in the direction (sin angle, 0, cos angle); `phi` turns from x
    (the side to which the main axis leans) to y. The point of the branch's surface at `phi` and
    height z is (r cos phi, r sin phi, z); its distance from the main axis is R where ::

        (r sin phi - offset)² + (r cos phi cos angle - z sin angle)² = R²

    The edge is the larger root: ``z = (r cos phi cos angle + √(R² - (r sin phi - offset)²)) / sin
    angle``. For the bore's edge give the inner radius as `r`.

    Args:
        r: radius of the branch [mm].
        R: radius of the main tube [mm].
        angle: between the axes, see above [degrees], over 0 and under 180.
        offset: distance between the axes, signed [mm].
        phi: around the branch, any shape [degrees].

    Returns:
        z, shaped as `phi` [mm]; nan where the line on the branch's surface misses the main tube (none
        does if and only if r + |offset| ≤ R).
    """
    theta, turn = np.radians(angle), np.radians(np.asarray(phi, dtype=np.float64))
    under = R * R - (r * np.sin(turn) - offset) ** 2
    root = np.sqrt(np.where(under >= 0, under, np.nan))
    return np.asarray((r * np.cos(turn) * np.cos(theta) + root) / np.sin(theta))


def level(body: Outside, points: Array) -> tuple[Array, Array]:
    """Return how far points lie outside a body that continues past its ends.

    Args:
        body: any tube or shell.
        points: (n, 3) float [mm].

    Returns:
        (n,) level as `Section.level` has it; and (n,) `s`, where each point is nearest to the axis
        [mm].
    """
    s, distance = body.axis.approach(points)
    if body.section.is_round:
        return distance - body.section.height_at(s) / 2, s
    centre, up, across = body.axis.frames(s)
    d = points - centre
    return body.section.level(np.sum(d * up, axis=1), np.sum(d * across, axis=1), s), s


@dataclass(frozen=True, slots=True)
class Edge:
    """The cut edge of one end of a tube, point by point around it.

    `phi` turns from the section's height direction to its width direction (`Centreline.frame`), the
    same way at both ends of a tube, so that two templates share their zero line.
    """

    phi: Array
    """(n,) [degrees], as `Section.place` takes it."""
    z: Array
    """(n,) along the axis from `End.point` into the tube [mm]."""
    meets: Mask
    """(n,) whether the edge is on the target; elsewhere the cut is square, see `End`."""
    points: Array
    """(n, 3) [mm]"""
    abscissa: Array
    """(n,) length around the section from phi = 0, for the flat template [mm]."""


@dataclass(frozen=True, slots=True)
class Break:
    """A corner of an edge: there it runs along the tube from one z to another."""

    phi: float
    """[degrees]"""
    z: tuple[float, float]
    """Below this phi and above it [mm]."""


class MitreCut:
    """Cut of one end of a tube by the outside of its target: z around the tube.

    Where tube and target are straight near the end, and the target is round or of constant section
    there, each line on the tube's surface is straight, and z is the root of a quadratic (for round ones
    of constant section `mitre_curve`; for tapers the lines lean, or the target is a cone). Otherwise the
    surface of the tube is followed toward its end until it enters the target, and the crossing is
    refined to 1e-9 mm.
    """

    def __init__(self, tube: Outside, at: Literal["start", "end"], target: Outside) -> None:
        self.tube, self.at, self.target = tube, at, target
        self.length = tube.axis.length
        s = 0.0 if at == "start" else self.length
        self.point, self.along = tube.axis.at(s), tube.axis.tangent(s)
        if at == "end":
            self.along = -self.along
        self.up, self.across = tube.axis.frame(s)
        self.where = float(target.axis.nearest(self.point[None])[0])
        """Where on the target's axis the end's point is nearest [mm]."""
        start, (up, across) = target.axis.at(self.where), target.axis.frame(self.where)
        a, b = (float(x) for x in target.section.radii_at(self.where))
        # The target's section there as the unit circle in (u/a, v/b); a rounded outline as it is.
        self._rounded = bool(target.section.rounds)
        self._sizes = (a, b)
        sides = (up, across) if self._rounded else (up / a, across / b)
        basis = np.stack((*sides, target.axis.tangent(self.where)), axis=1)
        self._narrow = min(a, b)
        flat = np.stack((self.point - start, self.up, self.across, self.along)) @ basis
        self._flat: list[list[float]] = flat.tolist()
        self._same = _even_run(tube.section, at, self.length)
        """How far from the end the section stays constant [mm]."""
        self._straight = straight_run(tube.axis, at)
        """How far from the end the axis stays straight [mm]."""
        self.even = min(self._same, self._straight)
        """The smaller of the two [mm]."""
        self._plain_target = target.axis.is_straight and target.section.is_straight_sided
        self._cones = () if tube.section.rounds else cones_about(target, self.where)

    def surface(self, phi: Array, z: Array, depth: Array | float = 0.0) -> Array:
        """Return points of the tube `depth` of the way through its wall: (n,), (n,) -> (n, 3) [mm].

        Args:
            phi: around the section [degrees].
            z: along the axis from the end's point into the tube [mm].
            depth: 0 outside, 1 inside of the wall; one for all, or one each.
        """
        s = z if self.at == "start" else self.length - z
        furthest = float(z.max(initial=-np.inf))
        y, x = self.tube.section.place(phi, s if furthest > self._same else s[:1], depth)
        y, x = y[:, None], x[:, None]
        if furthest <= self._straight:
            return np.asarray(self.point + z[:, None] * self.along + y * self.up + x * self.across)
        centre, up, across = self.tube.axis.frames(s)
        return np.asarray(centre + y * up + x * across)

    def z(self, phi: Array, depth: Array | float = 0.0) -> Array:
        """Return where the cut is at each `phi`: (n,) [degrees] -> (n,) [mm]; nan where it misses.

        `depth` is as for `surface`.
        """
        phi = np.asarray(phi, dtype=np.float64)
        z = self._closed(phi, depth)
        if self._plain_target and not np.any(z > self.even + 1e-9):
            return z
        on_lines = self._lines.z(phi, depth) if self._cones else None
        if on_lines is not None:
            z = on_lines
            if self.target.axis.is_straight:
                return z
        elif "coarse" in self.__dict__:
            # Correct the closed form by its error outside, where that is known already.
            known, _ = self.coarse
            off = self._off
            if not np.isnan(off).any():
                z = z + np.interp(phi % 360.0, np.append(known, 360.0), np.append(off, off[0]))
        near = self._corrected(phi, z, depth)
        return self._traced(phi, depth) if near is None else near

    @cached_property
    def _lines(self) -> StraightLines:
        return StraightLines(self.tube, self.at, self._cones, self._flat)

    @cached_property
    def _off(self) -> Array:
        """How far the closed form is off from `coarse` [mm]."""
        known, by = self.coarse
        return by - self._closed(known, 0.0)

    @cached_property
    def coarse(self) -> tuple[Array, Array]:
        """The outer edge every 5 degrees: phi [degrees] and z [mm], nan where it misses the target."""
        phi: Array = np.arange(0.0, 360.0, 5.0)
        return phi, self.z(phi)

    def edge(self, count: int = 360, depth: float = 0.0) -> Edge:
        """Return the edge at `count` equal steps of phi from 0, the last one short of the full turn."""
        phi: Array = np.arange(count, dtype=np.float64) * (360.0 / count)
        return self.edge_at(phi, depth)

    def edge_at(self, phi: Array, depth: float = 0.0) -> Edge:
        """Return the edge at given `phi`: (n,) [degrees], rising from 0.

        Raises:
            MissError: the tube misses its target.
        """
        z = self.z(phi, depth)
        meets = ~np.isnan(z)
        z = self.squared(z)
        return Edge(phi, z, meets, self.surface(phi, z, depth), self._developed(phi, z, depth))

    def edge_z(self, phi: Array, depth: Array | float = 0.0) -> Array:
        """Return z of the edge at given `phi`, as `edge_at` has it: (n,) [degrees] -> (n,) [mm].

        Raises:
            MissError: the tube misses its target.
        """
        return self.squared(self.z(phi, depth))

    def squared(self, z: Array) -> Array:
        """Return z with the square cut where it is nan, as the mitre misses its target there.

        Raises:
            MissError: the tube misses its target.
        """
        meets = ~np.isnan(z)
        return z if meets.all() else np.where(meets, z, min(0.0, self.extremes()[0]))

    def breaks(self, depth: float = 0.0) -> list[Break]:
        """Return where the edge jumps from the mitre to the square cut, or back, in the order of phi.

        Found only where z has a closed form: tube and target straight and of constant section there.
        """
        phi: Array = np.arange(721, dtype=np.float64) / 2
        z = self.z(phi, depth)
        met = ~np.isnan(z)
        i = np.flatnonzero(met[1:] != met[:-1])
        if not len(i) or not self._plain_target or np.nanmax(z) > self.even:
            return []
        on, off = (np.where(met[i] == side, phi[i], phi[i + 1]) for side in (True, False))
        for _ in range(36):  # to 1e-10 degrees, as the mitre is steep there
            middle = (on + off) / 2
            hits = ~np.isnan(self.z(middle, depth))
            on, off = np.where(hits, middle, on), np.where(hits, off, middle)
        z, square = self.z(on, depth), min(0.0, self.extremes()[0])
        return [
            Break(float(at), (square, float(x)) if side < at else (float(x), square))
            for at, x, side in zip(on, z, off, strict=True)
        ]

    def extremes(self) -> tuple[float, float]:
        """Return long and short point: least and greatest z of the outer edge [mm].

        Raises:
            MissError: the tube misses its target.
        """
        return self._extremes

    @cached_property
    def past(self) -> float:
        """How far the outer edge reaches past either end of the target [mm]; negative within."""
        phi, z = self.coarse
        meets = ~np.isnan(z)
        axis = self.target.axis
        s = axis.nearest(self.surface(phi[meets], z[meets]))
        return max(-float(s.min()), float(s.max()) - axis.length)

    @cached_property
    def feather(self) -> float:
        """Length of the longest stretch of the outer edge that is a feather, along the axis [mm]."""
        phi, z = self.coarse
        step = 1e-3
        rise = (self._level(phi, z + step, 0.0) - self._level(phi, z, 0.0)) / step
        return feather_of(z, rise)

    @cached_property
    def _extremes(self) -> tuple[float, float]:
        _, z = self.coarse
        meets = ~np.isnan(z)
        if not meets.any():
            raise MissError("the tube passes its target by")
        least, most = self._least()
        return (least if meets.all() else min(least, 0.0)), most

    def _least(self) -> tuple[float, float]:
        """Return least and most z, refined about each valley and peak of the coarse edge."""
        phi, coarse = self.coarse
        best = {sign: float(np.nanmin(sign * coarse)) for sign in (1.0, -1.0)}
        tops, kinks = [], []
        for sign in best:
            z = sign * coarse
            for i in _valleys(z):
                if _kinked(z, i):
                    kinks.append((sign, i))
                else:
                    tops.append((sign, i, *_peak(_around(z, i))))
        if self._plain_target and tops:  # z is exact and cheap here: once more, closer
            fans = [float(phi[i]) + 5 * at + 0.5 * np.arange(-2.0, 3.0) for _, i, at, _ in tops]
            closer = self.z(np.concatenate(fans)).reshape(-1, 5)
            tops = [(x, i, *_peak(x * z)) for (x, i, *_), z in zip(tops, closer, strict=True)]
        for sign, i, at, low in tops:
            if abs(at) < 1:
                best[sign] = min(best[sign], low)
            else:
                kinks.append((sign, i))
        for sign, i in kinks:
            best[sign] = min(best[sign], self._zoomed(float(phi[i]), sign))
        return best[1.0], -best[-1.0]

    def _zoomed(self, at: float, sign: float) -> float:
        """Return the least of `sign` × z within 5 degrees of `at`, on finer and finer grids."""
        n, zooms = (65, 3) if self._plain_target else (17, 2)
        fan, step, least = np.linspace(-1.0, 1.0, n), 5.0, np.inf
        for _ in range(zooms):
            z = sign * self.z(at + step * fan)
            z = np.where(np.isnan(z), np.inf, z)
            i = int(z.argmin())
            least, at = min(least, float(z[i])), at + step * float(fan[i])
            step *= 2 / (n - 1)
        return least

    def _closed(self, phi: Array, depth: Array | float) -> Array:
        """Return where each line leaves the target's outside, for constant sections.

        Of an ellipse that is the larger root of (u/a)² + (v/b)² = 1.
        """
        (u, v), (du, dv) = self._ray(phi, depth)
        square = du * du + dv * dv
        if square < 1e-18:
            return np.full(len(phi), np.nan)
        if self._rounded:
            (radii,) = self.target.section.rounds_at(np.array([self.where])).tolist()
            return last_in(u, v, du, dv, *self._sizes, radii)
        middle = -(u * du + v * dv) / square
        # One minus the square of the distance from the axis: exact for tangent lines too.
        under = (1.0 - (u * dv - v * du) ** 2 / square) / square
        return np.asarray(middle + np.sqrt(np.where(under >= 0, under, np.nan)))

    def _ray(
        self, phi: Array, depth: Array | float
    ) -> tuple[tuple[Array, Array], tuple[float, float]]:
        """Return each line of the tube's surface in the target's section: start and direction.

        In the coordinates of `_flat`, where that section is the unit circle unless it is rounded.
        """
        s = 0.0 if self.at == "start" else self.length
        (u0, v0, _), (u1, v1, _), (u2, v2, _), (du, dv, _) = self._flat
        cos, sin = self.tube.section.place(phi, np.array([s]), depth)
        return (u0 + u1 * cos + u2 * sin, v0 + v1 * cos + v2 * sin), (du, dv)

    def _corrected(self, phi: Array, z: Array, depth: Array | float) -> Array | None:
        """Return the root near `z` on the true surfaces, by the secant method; None if unsure."""
        if np.isnan(z).any():
            return None
        level_at = self._levels(phi, depth)
        before, f_before = z, level_at(z)
        if np.max(np.abs(f_before)) < 1e-10:
            return z
        slope = self._slope(phi, z, depth)
        now = z - np.clip(f_before / slope, -20.0, 20.0)
        for _ in range(20):
            f = level_at(now)
            if np.max(np.abs(f)) < 1e-10:
                return now
            moved = now - before
            far = np.abs(moved) > 1e-6  # shorter steps give no slope
            slope = np.where(far, (f - f_before) / np.where(far, moved, 1.0), slope)
            if np.any(slope < 0.02):
                return None
            before, f_before = now, f
            now = now - np.where(np.abs(f) < 1e-12, 0.0, np.clip(f / slope, -20.0, 20.0))
        return None

    def _slope(self, phi: Array, z: Array, depth: Array | float) -> Array:
        """Return roughly how fast the level rises along each line at `z`, for constant sections."""
        if self._rounded:
            rise = self._level(phi, z + 1e-3, depth) - self._level(phi, z, depth)
            return np.maximum(rise / 1e-3, 0.05)
        (u, v), (du, dv) = self._ray(phi, depth)
        u, v = u + z * du, v + z * dv
        return np.maximum(self._narrow * (u * du + v * dv) / np.hypot(u, v), 0.05)

    def _traced(self, phi: Array, depth: Array | float) -> Array:
        """Return the crossing nearest to the tube's middle, found by steps and refined."""
        low, high = self._reach
        steps = np.linspace(high, low, 49)
        n, m = len(phi), len(steps)
        each = np.repeat(depth, m) if isinstance(depth, np.ndarray) else depth
        grid = self._level(np.repeat(phi, m), np.tile(steps, n), each).reshape(n, m)
        inside = grid <= 0
        first = np.argmax(inside, axis=1)
        found = inside.any(axis=1) & (first > 0)
        z = np.full(n, np.nan)
        rows = np.flatnonzero(found)
        if len(rows):
            j = first[rows]
            own = depth[rows] if isinstance(depth, np.ndarray) else depth
            z[rows] = _refined(
                lambda x: self._level(phi[rows], x, own),
                (steps[j], grid[rows, j]),
                (steps[j - 1], grid[rows, j - 1]),
            )
        return z

    def _levels(self, phi: Array, depth: Array | float) -> Callable[[Array], Array]:
        """Return `_level` as a function of z: what is beside the axis is worked out once."""
        s = np.array([0.0 if self.at == "start" else self.length])
        y, x = (each[:, None] for each in self.tube.section.place(phi, s, depth))
        up, across = y * self.up, x * self.across

        def level_at(z: Array) -> Array:
            if float(z.max(initial=-np.inf)) > self.even:
                return self._level(phi, z, depth)
            return level(self.target, self.point + z[:, None] * self.along + up + across)[0]

        return level_at

    def _level(self, phi: Array, z: Array, depth: Array | float) -> Array:
        return level(self.target, self.surface(phi, z, depth))[0]

    @property
    def _reach(self) -> tuple[float, float]:
        """Range of z in which the edge can lie [mm]."""
        other = self.target.axis.tangent(self.where)
        cos = float(self.along @ other)
        sin = max(float(np.sqrt(max(1 - cos * cos, 0.0))), 0.05)
        gap = self.point - self.target.axis.at(self.where)
        middle = -float(gap @ (self.along - cos * other)) / sin**2
        big, own = self.target.section.furthest, self.tube.section.furthest
        reach = 1.1 * (big + own) / sin + 2.0
        return middle - reach, min(middle + reach, max(self.length, middle + 1.0))

    def _developed(self, phi: Array, z: Array, depth: float) -> Array:
        """Return the length around the section at the edge's mean z from phi = 0 to each phi [mm]."""
        mean = float(np.mean(z))
        s = mean if self.at == "start" else self.length - mean
        section = self.tube.section
        if section.rounds:  # phi is even along each quarter of the outline
            turns: Array = np.arange(0.0, 361.0, 90.0)
            inner = section if depth == 0.0 else section.bore()  # depth 1
            return np.interp(phi, turns, inner.quarters(s))
        a, b = (float(x) for x in section.radii_at(s, depth))
        if a == b:
            return np.asarray(a * np.radians(phi))
        fine = np.linspace(0.0, 2 * np.pi, 4097)
        speed = np.hypot(a * np.sin(fine), b * np.cos(fine))
        length = np.concatenate(([0.0], np.cumsum((speed[1:] + speed[:-1]) / 2 * np.diff(fine))))
        return np.interp(np.radians(phi), fine, length)


def feather_of(z: Array, rise: Array) -> float:
    """Return the longest stretch along the axis of an edge that is a feather (`FEATHER`) [mm].

    Args:
        z: (n,) where the edge lies, once around; nan where there is none [mm].
        rise: (n,) how fast the distance from the cutting body grows along the tube there: the sine of
            the angle between the two surfaces.
    """
    thin = np.abs(rise) < np.sin(np.radians(FEATHER))  # not where nan
    if thin.all():
        return float(np.ptp(z))
    if not thin.any():
        return 0.0
    start = int(np.argmin(thin))  # starting at a thick place, no run wraps around
    z, thin = np.roll(z, -start), np.roll(thin, -start)
    ends = np.flatnonzero(np.diff(np.concatenate(([0], thin.astype(int), [0]))))
    return max(float(np.ptp(z[a:b])) for a, b in zip(ends[::2], ends[1::2], strict=True))


class MissError(ValueError):
    """Fault of a tube that does not meet its target."""


def _around(z: Array, i: int, reach: int = 2) -> Array:
    """Return samples of a closed curve about the i-th, `reach` to either side."""
    return z[np.arange(i - reach, i + reach + 1) % len(z)]


def _valleys(z: Array) -> list[int]:
    """Return samples of a closed curve below both neighbours that may lie beside its least value."""
    filled = np.where(np.isnan(z), np.inf, z)
    before, after = np.roll(filled, 1), np.roll(filled, -1)
    low = np.flatnonzero((filled <= before) & (filled < after) & np.isfinite(filled))
    if not len(low):
        return [int(filled.argmin())]
    # The least lies below the sample by no more than the sample lies below its neighbours.
    drop = np.maximum(before[low], after[low]) - filled[low]
    return [int(i) for i in low[filled[low] - drop <= filled.min()]]


def _kinked(z: Array, i: int) -> bool:
    """Return whether the curve turns sharply at its extreme, as between equal tubes, or ends there."""
    bends = np.abs(np.diff(_around(z, i, 3), 2))
    return bool(np.isnan(bends).any() or bends[1:4].max() > 2 * max(bends[0], bends[4]))


def _peak(z: Array) -> tuple[float, float]:
    """Return place (in samples from the middle) and value of the extreme of a quartic through five."""
    a, b, c, d, e = z.tolist()
    c1, c2 = (a - 8 * b + 8 * d - e) / 12, (-a + 16 * b - 30 * c + 16 * d - e) / 24
    c3, c4 = (-a + 2 * b - 2 * d + e) / 12, (a - 4 * b + 6 * c - 4 * d + e) / 24
    x = 0.0
    for _ in range(6):  # Newton on the slope, from the middle sample
        bend = 2 * c2 + 6 * c3 * x + 12 * c4 * x * x
        if bend == 0:
            break
        x = min(max(x - (c1 + 2 * c2 * x + 3 * c3 * x * x + 4 * c4 * x**3) / bend, -1.0), 1.0)
    return x, c + x * (c1 + x * (c2 + x * (c3 + x * c4)))


def _even_run(section: Section, at: Literal["start", "end"], length: float) -> float:
    """Return how far from an end the section stays constant [mm]; infinite if it never changes."""
    s, even = stations_from(section, at, length)
    return float("inf") if even + 1 == len(s) else s[even]


def _refined(
    level_at: Callable[[Array], Array], inside: tuple[Array, Array], outside: tuple[Array, Array]
) -> Array:
    """Return zeros between brackets, all at once, to 1e-9 mm: regula falsi with halving (Illinois)."""
    (a, fa), (b, fb) = (inside[0].copy(), inside[1].copy()), (outside[0].copy(), outside[1].copy())
    x = b
    for _ in range(60):
        x = np.where(fb == fa, (a + b) / 2, b - fb * (b - a) / np.where(fb == fa, 1.0, fb - fa))
        fx = level_at(x)
        if np.max(np.abs(fx)) < 1e-10 or np.max(np.abs(b - a)) < 1e-10:
            break
        # Opposite signs: the last point becomes the other end; same sign: halve that end's value.
        opposite = fx * fb < 0
        a, fa = np.where(opposite, b, a), np.where(opposite, fb, fa / 2)
        b, fb = x, fx
    return x
