"""Which pairs of bodies each check is of: made once for all bikes whose bodies go by the same names."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Final, NamedTuple

import numpy as np

from frame3d.bodies import Body
from frame3d.bodies.motion.mounts import Mount
from frame3d.chart.cache import Cache
from frame3d.clearance.certify.broad_phase import can_meet
from frame3d.clearance.table import kind_of, start_of
from frame3d.geometry.arrays import Ints

ROOM: Final = 16
"""Sets of bodies that are remembered: those of a study's sizes, as they are drawn and set."""


class PairList(NamedTuple):
    """The pairs of one check, by the numbers of their bodies."""

    both: Ints
    """(n, 2)."""
    lines: tuple[int, ...]
    """The line of the list that each pair is in; see `Scene.lines`."""
    codes: Ints
    """(n,) one number for each two bodies, in rising order."""
    order: Ints
    """(n,) the pair that each of the codes is of."""

    def places(self, others: Ints) -> Ints:
        """Return which pairs of the list some others are, in either order: (m,); -1 for none.

        Args:
            others: (m, 2), numbers of bodies; negative for none.
        """
        wanted = _codes(others)
        at = np.minimum(np.searchsorted(self.codes, wanted), len(self.codes) - 1)
        return np.where(self.codes[at] == wanted, self.order[at], -1)


class Listed:
    """The pairs of every check among some bodies, each check's when it is first asked for."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        kinds: dict[str, list[int]] = {}
        for i, body in enumerate(bodies):
            kinds.setdefault(kind_of(body), []).append(i)
        self.kinds = {kind: tuple(own) for kind, own in kinds.items()}
        """Kind, as in `table.KINDS` -> numbers of its bodies."""
        self.lines = {body.name: start_of(body) for body in bodies}
        """Name of a body -> name of its line in the list, see `start_of`."""
        self._known: dict[tuple[tuple[tuple[str, str], ...], bool], PairList] = {}

    def of(
        self, kinds: tuple[tuple[str, str], ...], bodies: Sequence[Body], *, on_axle: bool
    ) -> PairList:
        """Return all pairs of bodies of some kinds that are not joined on purpose.

        Args:
            kinds: every two kinds, in the order of the pairs.
            bodies: the bike's own.
            on_axle: whether the pairs are those that turn side by side on one axle, or the others.
        """
        known = self._known.get((kinds, on_axle))
        if known is None:
            known = self._known[kinds, on_axle] = self._made(kinds, bodies, on_axle=on_axle)
        return known

    def _made(
        self, kinds: tuple[tuple[str, str], ...], bodies: Sequence[Body], *, on_axle: bool
    ) -> PairList:
        found: list[tuple[int, int]] = []
        lines: dict[tuple[str, str], int] = {}
        of_lines: list[int] = []
        seen: set[frozenset[int]] = set()
        for one, other in kinds:
            for i, j in product(self.kinds.get(one, ()), self.kinds.get(other, ())):
                a, b, pair = bodies[i], bodies[j], frozenset((i, j))
                if i == j or pair in seen or not can_meet(a, b):
                    continue
                seen.add(pair)
                if set(a.axles).isdisjoint(b.axles) is not on_axle and not joined(a, b):
                    found.append((i, j))
                    names = self.lines[a.name], self.lines[b.name]
                    of_lines.append(lines.setdefault(names, len(lines)))
        both = np.array(found, dtype=np.int64).reshape(-1, 2)
        codes = _codes(both)
        order = np.argsort(codes)
        return PairList(both, tuple(of_lines), codes[order], order)


class PairLists:
    """The pairs of every check, by all that they depend on: what bodies are called and belong to.

    Bikes of one study differ in sizes and places alone, so that most share one list.
    """

    def __init__(self) -> None:
        self._known = Cache(ROOM)

    def of(self, bodies: Sequence[Body]) -> Listed:
        """Return the pairs among some bodies."""
        numbers: dict[Mount, int] = {}
        by_identity: dict[int, int] = {}
        key = []
        for body in bodies:
            mount = body.mount
            number = by_identity.get(id(mount))
            if number is None:
                number = by_identity[id(mount)] = numbers.setdefault(mount, len(numbers))
            forms = bool(body.tubes), bool(body.shapes), bool(body.hull)
            where = body.family, body.touches, body.axles, bool(mount.steps), number
            key.append((body.name, body.part, where, forms))
        return self._known.get_or_compute(tuple(key), lambda: Listed(bodies))


def joined(a: Body, b: Body) -> bool:
    """Return whether two bodies touch by design.

    So do a bottle and its tube, the tubes of one link, a body of the file's own and what it is fixed
    to.
    """
    if b.name in a.touches or a.name in b.touches or a.family == b.family != "frame":
        return True
    return a.family == b.family and a.mount == b.mount


def _codes(both: Ints) -> Ints:
    """Return one number for each two bodies, whatever their order: (n,); negative where one is."""
    low, high = both.min(axis=1), both.max(axis=1)
    return np.where(low < 0, -1, (low << 32) + high)
