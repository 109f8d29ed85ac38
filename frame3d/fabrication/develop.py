"""Development of a tube's outside: unroll it into the plane with true lengths."""

from __future__ import annotations

import numpy as np

from frame3d.geometry.arrays import Array, Complex, Ints
from frame3d.geometry.rounded import arc_shares
from frame3d.geometry.section import Section

STRIPS = 1440
"""Number of strips around the tube; their chords are shorter than the arcs by a factor of 1e-6."""


class Development:
    r"""The outside between two sections unrolled, seen from outside, with the tube's end at the top.

          seam                centre                 seam
      high +---------------------+---------------------+
           |                     |                     |     y = s, x = turn to the right of the centre
           |  <---- phi          |          turn ----> |     turn = centre - phi [degrees]
      low  +---------------------+---------------------+
         turn -180               0                   180

    A tube of constant section gives a rectangle, a rectangular or D tube in closed form. A taper is
    unrolled in strips between its generators, which is exact for cones (a circular one gives a sector of
    a circle); for an oval that changes its shape the error is that of each strip's twist. A tapering
    rectangle or D is made of planes, and of cones at its corners: its generators join points of one
    normal there, which lie at another phi in every section (`_generators`).
    """

    def __init__(self, section: Section, low: float, high: float, centre: float) -> None:
        """Unroll the outside from s = `low` to `high` [mm], with phi = `centre` [degrees] at x = 0."""
        self.low, self.high, self.centre = low, high, centre
        turn: Array = np.linspace(-180.0, 180.0, STRIPS + 1)
        self._section = section
        self._by_generator = False
        if section.rounds:
            rows = (section.height_at(self._ends), section.width_at(self._ends))
            corners = section.rounds_at(self._ends)
            if max(float(np.ptp(row)) for row in (*rows, *corners.T)) < 1e-12:
                self._unroll_rounded(section, turn)
            else:
                self._by_generator = True
                self._unroll_corners(section)
            return
        phi = np.radians(centre - turn)
        rims = []
        for s in (low, high):
            a, b = (float(x) for x in section.radii_at(s))
            rims.append(np.column_stack([a * np.cos(phi), b * np.sin(phi), np.full(len(phi), s)]))
        self.turn = turn
        self.even = bool(np.allclose(rims[0][:, :2], rims[1][:, :2], rtol=0, atol=1e-12))
        if self.even:
            x = _lengths(rims[0])
            middle = STRIPS // 2
            x = x - x[middle]
            self._flat = (
                np.column_stack([x, np.full(len(x), low)]),
                np.column_stack([x, np.full(len(x), high)]),
            )
        else:
            self._flat = _laid_flat(rims[0], rims[1], low, STRIPS // 2)

    def _unroll_rounded(self, section: Section, turn: Array) -> None:
        """Unroll a rounded outside, the same all along, whose phi is even along each quarter of it."""
        quarters = section.quarters(self.low)
        kinks = self.centre - 90.0 * np.arange(-8.0, 9.0)
        self.turn = np.union1d(turn, kinks[np.abs(kinks) < 180.0])
        self.even = True

        def around(phi: Array) -> Array:
            whole = np.floor(phi / 360.0)
            marks: Array = np.arange(0.0, 361.0, 90.0)
            return np.asarray(
                whole * quarters[-1] + np.interp(phi - 360.0 * whole, marks, quarters)
            )

        x = around(np.array([self.centre])) - around(self.centre - self.turn)
        self._flat = (
            np.column_stack([x, np.full(len(x), self.low)]),
            np.column_stack([x, np.full(len(x), self.high)]),
        )

    def _unroll_corners(self, section: Section) -> None:
        """Unroll a tapering rounded outside between generators, in planes and cones."""
        (self._middle,) = self._generators(np.array([self.centre]), self._ends[:1]).tolist()
        # Steps to either side of the centre; each half of a side and each arc begins with one.
        kinks = self._middle - np.arange(np.ceil(self._middle - 6.0), self._middle + 6.0)
        self.turn = np.union1d(np.linspace(-6.0, 6.0, STRIPS + 1), kinks)
        self.even = False
        rims = []
        for s in self._ends:
            along = np.full(len(self.turn), s)
            y, x = section.place(self._phi(self._middle - self.turn, along), along)
            rims.append(np.column_stack([y, x, along]))
        # Along a side of no length all numbers are one generator.
        moves = np.linalg.norm(np.diff(np.hstack(rims), axis=0), axis=1) > 1e-9
        own = np.concatenate(([0], np.cumsum(moves)))
        low, high = (rim[np.concatenate(([True], moves))] for rim in rims)
        laid = _laid_flat(low, high, self.low, int(own[np.searchsorted(self.turn, 0.0)]))
        self._flat = laid[0][own], laid[1][own]

    @property
    def _ends(self) -> Array:
        return np.array([self.low, self.high])

    def _marks(self, quarter: Ints, s: Array) -> tuple[Array, Array]:
        """Return at which shares of a quarter of the outline its arc begins and ends: (n,) each."""
        section = self._section
        first, last = arc_shares(*section.radii_at(s), section.rounds_at(s))
        row = np.arange(len(s))
        return first[row, quarter], last[row, quarter]

    def _generators(self, phi: Array, s: Array) -> Array:
        """Return which generator each place of the outside lies on: (n,) each -> (n,).

        Numbers count half sides and arcs around, three to each quarter of phi, evenly within each.
        """
        turns = phi / 90.0
        k = np.floor(turns).astype(np.int64)
        share = turns - k
        first, last = self._marks(k % 4, s)
        with np.errstate(divide="ignore", invalid="ignore"):
            before = np.where(share > 0.0, share / first, 0.0)
            after = 2.0 + (share - last) / (1.0 - last)
        arc = np.where(share > 0.0, 1.0 + (share - first) / (last - first), 0.0)
        arc = np.where(share < first, before, arc)
        return np.asarray(3.0 * k + np.where(share > last, after, arc))

    def _phi(self, number: Array, s: Array) -> Array:
        """Return phi of generators at s, as `_generators` numbers them: (n,) each -> (n,) [degrees]."""
        k = np.floor(number / 3.0).astype(np.int64)
        part = number - 3.0 * k
        first, last = self._marks(k % 4, s)
        ends = np.clip(part, 0.0, 1.0) * first, np.clip(part - 1.0, 0.0, 1.0) * (last - first)
        share = ends[0] + ends[1] + np.clip(part - 2.0, 0.0, 1.0) * (1.0 - last)
        return np.asarray(90.0 * (k + share))

    def at(self, turn: Array, s: Array) -> Array:
        """Return points in the plane: turn (n,) [degrees], s (n,) [mm] -> x, y (n, 2) [mm].

        Places beyond `low` and `high` lie on the generators that they would if the outside went on so.
        """
        turn, s = np.asarray(turn), np.asarray(s)
        if self._by_generator:
            turn = self._middle - self._generators(self.centre - turn, np.clip(s, *self._ends))
        share = ((s - self.low) / (self.high - self.low))[:, None]
        low, high = (
            np.column_stack([np.interp(turn, self.turn, rim[:, i]) for i in (0, 1)])
            for rim in self._flat
        )
        return np.asarray(low + share * (high - low))

    def right_of_centre(self, phi: Array) -> Array:
        """Return the turn of phi to the right of the centre line, without jumps [degrees]."""
        return self.centre - np.asarray(phi)

    @property
    def width(self) -> float:
        """Largest width [mm]."""
        flat = np.vstack(self._flat)
        return float(flat[:, 0].max() - flat[:, 0].min())


def _lengths(rim: Array) -> Array:
    """Return arc lengths along a rim from its first point: (n, 3) -> (n,) [mm]."""
    chords = np.linalg.norm(np.diff(rim, axis=0), axis=1)
    # An arc of angle t is t / (2 sin(t/2)) times its chord.
    step = 2 * np.pi / STRIPS
    return np.asarray(np.concatenate(([0.0], np.cumsum(chords))) * (step / 2 / np.sin(step / 2)))


def _laid_flat(low: Array, high: Array, at: float, middle: int) -> tuple[Array, Array]:
    """Unroll the strips between two rims, triangle by triangle from the middle to both sides.

    Each strip is laid beside its left generator, in complex numbers with that generator along the
    imaginary axis. Cumulative products (rotations) and sums (translations) chain the strips.

    Args:
        low: lower rim, (n, 3) [mm].
        high: upper rim, (n, 3) [mm].
        at: y of the lower rim in the middle [mm].
        middle: which generator that is.

    Returns:
        both rims in the plane, (n, 2) each [mm].
    """
    right = _one_way(low[middle:], high[middle:])
    mirror, up = np.array([-1.0, 1.0]), np.array([0.0, at])
    left = _one_way(low[middle::-1], high[middle::-1])
    return (
        np.vstack([left[0][:0:-1] * mirror, right[0]]) + up,
        np.vstack([left[1][:0:-1] * mirror, right[1]]) + up,
    )


def _one_way(low: Array, high: Array) -> tuple[Array, Array]:
    """Unroll the strips to the right of the first generator, whose foot is the origin."""

    def apart(a: Array, b: Array) -> Array:
        return np.asarray(np.linalg.norm(a - b, axis=1))

    along = apart(low, high)
    feet = _third(along[:-1], apart(low[:-1], low[1:]), apart(high[:-1], low[1:]))
    # The second triangle of a strip is on its diagonal, from the new foot to the old tip.
    tips = 1j * along[:-1]
    diagonal = tips - feet
    tips = feet + diagonal / 1j / np.abs(diagonal) * _third(
        np.abs(diagonal), along[1:], apart(high[:-1], high[1:])
    )
    turns = (tips - feet) / 1j / np.abs(tips - feet)
    facing = np.concatenate(([1.0], np.cumprod(turns)))
    foot = np.concatenate(([0.0], np.cumsum(feet * facing[:-1])))
    tip = foot + facing * 1j * along
    return np.column_stack([foot.real, foot.imag]), np.column_stack([tip.real, tip.imag])


def _third(base: Array, to_foot: Array, to_tip: Array) -> Complex:
    """Return the third corners, on the right, of triangles with corners 0 and i·`base`.

    Args:
        base: length of the side from 0 to i·`base`, (k,).
        to_foot: distance of the third corner from 0, (k,).
        to_tip: distance of the third corner from i·`base`, (k,).
    """
    up = (base**2 + to_foot**2 - to_tip**2) / (2 * base)
    return np.asarray(np.sqrt(np.maximum(to_foot**2 - up**2, 0.0)) + 1j * up)
