"""Smallest gaps that were found before, for bodies that are exactly the same on another bike."""

from __future__ import annotations

import marshal
from collections.abc import Callable, Sequence
from dataclasses import fields, is_dataclass
from hashlib import blake2b
from typing import Any, Final, TypeAlias

import numpy as np

from frame3d.bodies import Body
from frame3d.clearance.certify.distance import Gap
from frame3d.clearance.certify.motion import Range

MOST: Final = 20_000
"""Most results that are kept; the oldest go first."""

Found: TypeAlias = tuple[Gap, int] | None
"""A smallest gap and the index of its pair; None if it is above the cutoff."""


class PairMemory:
    """Results of searches by every number that they depend on.

    Bikes of one family, a search and what would mend a check measure many pairs that did not change.
    A result is taken from here only where names, outlines, motions and limits are the same to the
    last bit: it is then what the search would find.
    """

    def __init__(self) -> None:
        self._found: dict[bytes, Found] = {}
        self._owner: object | None = None
        self._later: list[tuple[Sequence[Found], Callable[[], Sequence[bytes]]]] = []
        """Results of `_owner` that have no keys yet: these take longer than most searches."""
        self.hits = 0
        """How many results were taken from it."""

    def is_new_to(self, owner: object) -> bool:
        """Return whether it holds nothing but what this owner has kept for later."""
        return not self._found and (self._owner is None or self._owner is owner)

    def keep_for_later(
        self, owner: object, found: Sequence[Found], keys: Callable[[], Sequence[bytes]]
    ) -> None:
        """Remember results of the only owner so far; their keys are asked for when another one comes."""
        self._owner = owner
        self._later.append((found, keys))

    def __contains__(self, key: bytes) -> bool:
        """Return whether a result is known."""
        self._settle()
        return key in self._found

    def found(self, key: bytes) -> Found:
        """Return a known result."""
        self.hits += 1
        return self._found[key]

    def _settle(self) -> None:
        later, self._later, self._owner = self._later, [], None
        for found, keys in later:
            for key, one in zip(keys(), found, strict=True):
                self.keep(key, one)

    def keep(self, key: bytes, found: Found) -> None:
        """Remember a result."""
        if len(self._found) >= MOST:
            del self._found[next(iter(self._found))]
        self._found[key] = found


def fingerprint(body: Body) -> bytes:
    """Return a digest of all that the gaps of a body depend on: its name, outlines and mount."""
    return _digest((body.name, body.tubes, body.shapes, body.hull))


def key_of(
    pairs: Sequence[tuple[bytes, bytes]],
    ranges: Sequence[Range],
    tolerance: float,
    cutoff: float | None,
) -> bytes:
    """Return the key of a search.

    Args:
        pairs: the fingerprints of both bodies of each pair, in order.
        ranges: limits of the motions.
        tolerance: width of the certificate [mm].
        cutoff: largest gap of interest; None for any [mm].
    """
    return _digest((tuple(pairs), tuple(ranges), tolerance, cutoff))


def _digest(value: object) -> bytes:
    # Version 2 writes values only, and not which of them are one object.
    return blake2b(marshal.dumps(_plain(value), 2), digest_size=32).digest()


def _plain(value: Any) -> Any:
    """Return a value as nested tuples of numbers, texts and bytes.

    Raises:
        TypeError: it holds something else.
    """
    kind = type(value)
    if kind in (float, int, str, bool, bytes) or value is None:
        return value
    if kind is tuple:
        return tuple([_plain(one) for one in value])
    if isinstance(value, np.ndarray):
        return str(value.dtype), value.shape, value.tobytes()
    if isinstance(value, np.generic):
        return value.item()
    if is_dataclass(value):
        return kind.__name__, *[_plain(getattr(value, name)) for name in _names(kind)]
    raise TypeError(f"{kind.__name__} has no fingerprint")


def _names(kind: type[Any]) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))
