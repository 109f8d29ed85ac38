"""Marching squares on an unrolled tube: the zero contours of the largest of several fields.

Metal is where all fields are negative. A grid covers the tube's outside (phi around, periodic; s along):

      s
      |   m----m----m-x--.        grid points: m on metal, . cut away
      |   |    |    |/   |
      |   m----m-x--.----.        x: the contour crosses a grid edge, found by bisection
      |   |    |/   |    |
      |   m-x--.----.----.        corners of the contour, where two fields are 0, are found by
      |   |/   |    |    |        Newton's method
      |   .----.----.----.
      +----------------------- phi
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from frame3d.geometry.arrays import Array, Ints, Mask
from frame3d.tubes.cuts.pieces import grown, loose

Field = Callable[[Array, Array], Array]
Found = tuple[Array, Array, Ints, bool]
"""A contour: phi without jumps [degrees], s [mm], index of the field that is 0 there, and whether the
contour goes around the tube."""
TURNS = 360
"""Number of grid lines around the tube."""
_PAIRS = {
    1: ((3, 0),), 2: ((0, 1),), 3: ((3, 1),), 4: ((1, 2),), 6: ((0, 2),), 7: ((3, 2),),
    8: ((2, 3),), 9: ((2, 0),), 11: ((2, 1),), 12: ((1, 3),), 13: ((1, 0),), 14: ((0, 3),),
    5: ((3, 0), (1, 2)), 10: ((0, 1), (2, 3)),
}  # fmt: skip
"""Sides of a cell that the contour joins, by the sum of its corners on metal (1, 2, 4, 8,
anticlockwise). Sides are numbered anticlockwise from the lower one."""


def contours(fields: Sequence[Field], s: Array, border: int | None) -> list[Found]:
    """Return the contours of one connected piece of the metal that all fields leave.

    Points are on the zero of the largest field within 1e-9 mm; corners between two fields are included.

    Args:
        fields: positive where they take metal away.
        s: grid along the tube, (m,), increasing [mm].
        border: index into `s`; the piece connected to that row is taken. None takes the largest piece.
    """
    phi: Array = np.arange(TURNS, dtype=np.float64) * (360.0 / TURNS)
    turns, along = np.repeat(phi, len(s)), np.tile(s, TURNS)
    values = _most(fields, turns, along).reshape(TURNS, len(s))
    metal = values < 0 if border is None else _joined_to(values < 0, border)
    if border is None:
        metal &= ~loose(metal, np.ones(metal.shape), around=0)
    chains = _chains(metal)
    if not chains:
        return []
    keys = [key for chain, _ in chains for key in chain]
    points = dict(zip(keys, _roots(fields, keys, phi, s).tolist(), strict=True))
    return [_loop(fields, [points[key] for key in chain], closed) for chain, closed in chains]


Key = tuple[int, int, int]
"""A grid edge: 0 (along phi) or 1 (along s), then the indices (i, j) of its lower corner."""


def _most(fields: Sequence[Field], phi: Array, s: Array) -> Array:
    return np.asarray(np.max([field(phi, s) for field in fields], axis=0))


def _joined_to(metal: Mask, border: int) -> Mask:
    """Return the metal connected to a row of the grid."""
    kept = np.zeros_like(metal)
    kept[:, border] = metal[:, border]
    return grown(kept, metal, around=0)


def _chains(metal: Mask) -> list[tuple[list[Key], bool]]:
    """Return the contours as lists of grid edges that they cross, each with whether it is closed."""
    n, m = metal.shape
    right = np.roll(metal, -1, axis=0)
    corners = (metal[:, :-1], right[:, :-1], right[:, 1:], metal[:, 1:])
    kinds = sum(
        (corner.astype(int) << i for i, corner in enumerate(corners)), np.zeros((n, m - 1), int)
    )
    joined: dict[Key, list[Key]] = {}
    for i, j in np.argwhere((kinds > 0) & (kinds < 15)).tolist():
        sides = ((0, i, j), (1, (i + 1) % n, j), (0, i, j + 1), (1, i, j))
        for a, b in _PAIRS[int(kinds[i, j])]:
            joined.setdefault(sides[a], []).append(sides[b])
            joined.setdefault(sides[b], []).append(sides[a])
    chains = []
    left = dict.fromkeys(sorted(joined))
    while left:
        first = next(iter(left))
        chain, here, before = [first], first, None
        del left[first]
        while True:
            ahead = [key for key in joined[here] if key in left]
            if not ahead:
                break
            before, here = here, ahead[0]
            chain.append(here)
            del left[here]
        chains.append((chain, before is not None and first in joined[here]))
    return chains


def _roots(fields: Sequence[Field], keys: Sequence[Key], phi: Array, s: Array) -> Array:
    """Return where the largest field is 0 on each grid edge, by bisection: (k, 3) phi, s, field."""
    rows = np.array(keys)
    a = np.stack([phi[rows[:, 1]], s[rows[:, 2]]], axis=1)
    step = np.where(rows[:, :1] == 0, [[360.0 / TURNS, 0.0]], [[0.0, float(s[1] - s[0])]])
    out = _most(fields, *a.T) >= 0
    low, high = np.zeros(len(a)), np.ones(len(a))
    for _ in range(44):
        middle = (low + high) / 2
        same = (_most(fields, *(a + middle[:, None] * step).T) >= 0) == out
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    at = a + ((low + high) / 2)[:, None] * step
    active = np.argmax([field(*at.T) for field in fields], axis=0)
    return np.column_stack([at, active])


def _loop(fields: Sequence[Field], points: list[list[float]], closed: bool) -> Found:
    """Return a contour with corners between fields inserted, and phi without jumps."""
    if closed:
        points = [*points, points[0]]
    out = [points[0]]
    for p, ahead in pairwise(points):
        here = out[-1]
        phi = here[0] + (ahead[0] - here[0] + 180.0) % 360.0 - 180.0
        q = [phi, ahead[1], ahead[2]]
        if p[2] != q[2]:
            corner = _corner(fields[int(p[2])], fields[int(q[2])], here, q)
            if corner is not None:
                out.append([*corner, p[2]] if p[2] else [*corner, q[2]])
        out.append(q)
    rows = np.array(out)
    around = abs(rows[-1, 0] - rows[0, 0]) > 180.0
    return rows[:, 0], rows[:, 1], rows[:, 2].astype(np.int64), bool(around)


def _corner(f: Field, g: Field, p: Sequence[float], q: Sequence[float]) -> list[float] | None:
    """Return where two fields are 0, by Newton's method from the midpoint of p and q; None if far."""
    x = np.array([(p[0] + q[0]) / 2, (p[1] + q[1]) / 2])
    h = 1e-3
    steps = np.array([[0.0, h, 0.0], [0.0, 0.0, h]])
    for _ in range(12):
        at = x[:, None] + steps
        values = np.array([f(at[0], at[1]), g(at[0], at[1])])
        slope = (values[:, 1:] - values[:, :1]) / h
        if abs(float(np.linalg.det(slope))) < 1e-9:
            return None
        move = np.linalg.solve(slope, values[:, 0])
        x = x - np.clip(move, -1.0, 1.0)
        if abs(move).max() < 1e-9:
            near = abs(x[0] - (p[0] + q[0]) / 2) < 3 and abs(x[1] - (p[1] + q[1]) / 2) < 3
            return [float(v) for v in x] if near else None
    return None
