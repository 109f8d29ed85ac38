"""What was worked out before, by the values that it follows from and by nothing else."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Any, Final, TypeVar

T = TypeVar("T")
ROOM: Final = 512
"""Results that are kept: those of some ten bikes."""


class Cache:
    """Results that whoever solves one bike after the other need not work out anew.

    It belongs to whoever made it, and to one thread at a time.
    """

    def __init__(self, room: int = ROOM) -> None:
        """Begin with nothing.

        Args:
            room: how many results are kept; what was not asked for longest goes.
        """
        self._room = room
        self._known: OrderedDict[Hashable, Any] = OrderedDict()

    def recall(self, key: Hashable, make: Callable[[], T]) -> T:
        """Return what `make` gives, which has to follow from `key` alone and is never changed."""
        if key in self._known:
            self._known.move_to_end(key)
            found: T = self._known[key]
            return found
        made = self._known[key] = make()
        if len(self._known) > self._room:
            self._known.popitem(last=False)
        return made
