"""A cache of results, keyed by all values on which a result depends."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Any, Final, TypeVar

T = TypeVar("T")
ROOM: Final = 512
"""Number of results that are kept: those of about ten bikes."""


class Cache:
    """Results of earlier solutions, least recently used first (LRU). Not thread-safe."""

    def __init__(self, room: int = ROOM) -> None:
        """Create an empty cache.

        Args:
            room: largest number of results; the least recently used one is dropped.
        """
        self._room = room
        self._known: OrderedDict[Hashable, Any] = OrderedDict()

    def get_or_compute(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return the result for `key`, from `make` where it is not cached.

        The result must depend on `key` alone, and nobody may change it.
        """
        if key in self._known:
            self._known.move_to_end(key)
            found: T = self._known[key]
            return found
        made = self._known[key] = make()
        if len(self._known) > self._room:
            self._known.popitem(last=False)
        return made
