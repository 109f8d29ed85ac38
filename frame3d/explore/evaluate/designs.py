"""Put a design's values into the bike's file: parsed once, and checked where it changes."""

from __future__ import annotations

import re
from collections import OrderedDict
from collections.abc import Callable
from typing import Final

from frame3d.errors import SourceLocation, SpecError
from frame3d.explore.study.study import Design, Study, Value
from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.reading import scalars, tree
from frame3d.parameters.reading.change import changed_together
from frame3d.parameters.reading.data import places
from frame3d.parameters.reading.putting import steps_of
from frame3d.parameters.reading.reader import loads

_NUMBER: Final = re.compile(r"-?[0-9]+(\.[0-9]+)?%?")
_ROOM: Final = 64
"""How many whole readings are kept, one for each combination of names."""


class Designs:
    """The bike's file of a study with the values of its designs."""

    def __init__(self, study: Study) -> None:
        """Parse the file.

        Raises:
            SpecError: it is not well-formed.
        """
        self._study = study
        self._text = study.bike_text.removeprefix("\ufeff")
        self._parsed = tree.parse(self._text, places(self._text, study.bike_source))
        self._bases: OrderedDict[tuple[str | None, tuple[str, ...]], FrameSpec | None] = (
            OrderedDict()
        )

    def spec(self, design: Design, size: str | None = None) -> FrameSpec:
        """Return the file of a design, its settings made.

        It equals what is read from the whole file with these values.

        Raises:
            SpecError: a file with these values would be refused; with every fault.
        """
        sets = self._study.sets(design)
        if self._study.settings:
            return self.whole(sets, size)
        quick = self._quick(sets, size)
        return self.whole(sets, size) if quick is None else quick

    def drawn(self, design: Design, size: str | None = None) -> FrameSpec:
        """Return the file of a design as its frame is drawn, without settings.

        Raises:
            SpecError: as `spec`.
        """
        if not self._study.settings:
            return self.spec(design, size)
        return self.whole(self._study.sets(design), size, with_settings=False)

    def whole(
        self, sets: tuple[str, ...], size: str | None, *, with_settings: bool = True
    ) -> FrameSpec:
        """Return the file with changes, all of it read and checked.

        Raises:
            SpecError: as `spec`.
        """
        study = self._study
        settings = study.settings if with_settings else ()
        return loads(
            self._text, study.bike_source, sets, parse=self._parse, size=size, settings=settings
        )

    def _parse(self, text: str, place: Callable[[int, int], SourceLocation]) -> tree.Parsed:
        return self._parsed

    def _quick(self, sets: tuple[str, ...], size: str | None) -> FrameSpec | None:
        """Return the file with changed numbers, only these checked; None where that will not do."""
        pairs = [typed.partition("=")[::2] for typed in sets]
        numbers = {path: text for path, text in pairs if _NUMBER.fullmatch(text)}
        names = tuple(
            typed for typed, (path, _) in zip(sets, pairs, strict=True) if path not in numbers
        )
        base = self._base(names, size)
        values = {}
        for path, text in numbers.items():
            value = scalars.value(text)
            if isinstance(value, int | float) and 0 < abs(value) < scalars.LEAST:
                return None
            values[".".join(steps_of(path))] = value
        if base is None or len(values) < len(numbers):
            return None
        start = self._study.sets(start_of(self._study))
        sources = {f"--set {old}": f"--set {new}" for old, new in zip(start, sets, strict=True)}
        return changed_together(base, values, sources)

    def _base(self, names: tuple[str, ...], size: str | None) -> FrameSpec | None:
        """Return the file with the names of a design and the numbers of the start; None if refused."""
        key = (size, names)
        if key in self._bases:
            self._bases.move_to_end(key)
            return self._bases[key]
        given = {typed.partition("=")[0]: typed for typed in names}
        start = self._study.sets(start_of(self._study))
        sets = tuple(given.get(typed.partition("=")[0], typed) for typed in start)
        try:
            base: FrameSpec | None = self.whole(sets, size)
        except SpecError:
            base = None
        self._bases[key] = base
        if len(self._bases) > _ROOM:
            self._bases.popitem(last=False)
        return base


def start_of(study: Study) -> Design:
    """Return the file's own values; where it has none, the least of a range or the first of a list."""

    def first(low: float | None, values: tuple[Value, ...]) -> Value:
        return values[0] if values else 0.0 if low is None else low

    return tuple(
        first(one.low, one.values) if one.start is None else one.start for one in study.varied
    )
