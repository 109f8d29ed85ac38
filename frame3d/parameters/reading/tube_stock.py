"""Read a file of the shop's own tubes; report all its faults at once, each with its line."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from pydantic import ValidationError

from frame3d.errors import SourceLocation, SpecError
from frame3d.parameters.models.shop.tube_stock import TubeStockSpec
from frame3d.parameters.reading import tree
from frame3d.parameters.reading.data import (
    Reading,
    first_of_each,
    in_order,
    no_mapping,
    places,
    refuse_unprintable,
)
from frame3d.parameters.reading.explain import explain
from frame3d.parameters.reading.reader import read_text

BEGINS = "a list of tubes begins with format: 1, name: … and tubes: [{name: …, od: …, …}]"


@dataclass(frozen=True)
class TubeStock:
    """A file of tubes, traceable to its lines."""

    source: str
    """The file's name as given."""
    spec: TubeStockSpec
    places: Mapping[str, SourceLocation]

    def line(self, index: int) -> int | None:
        """Return the line on which a tube begins."""
        place = self.places.get(f"tubes.{index}")
        return None if place is None else place.line


def read_tube_stock(path: str | Path) -> TubeStock:
    """Read a file of tubes.

    Raises:
        SpecError: with every fault that was found.
    """
    source = os.fspath(path)
    try:
        text = read_text(source)
    except SpecError as error:
        raise SpecError(
            replace(f, hint="name a file of tubes, as configs/stock/ has one") for f in error.faults
        ) from None
    return loads_tube_stock(text, source)


def loads_tube_stock(text: str, source: str = "<text>") -> TubeStock:
    """Read a file of tubes from its text.

    Raises:
        SpecError: with every fault that was found.
    """
    whole = SourceLocation(source)
    text = text.removeprefix("\ufeff")
    place = places(text, source)
    refuse_unprintable(text, place)
    parsed = tree.parse(text, place)
    if not isinstance(parsed.root, tree.Mapping):
        raise SpecError((*parsed.faults, no_mapping(parsed.root, whole, BEGINS)))
    reading = Reading(whole)
    data = reading.mapping(parsed.root, "")
    spec, found = None, []
    try:
        spec = TubeStockSpec.model_validate(data)
    except ValidationError as error:
        found = explain(error, reading.values, reading.keys)
    faults = first_of_each(parsed.faults, reading.faults, found, reading.words)
    if faults or spec is None:
        raise SpecError(sorted(faults, key=in_order))
    return TubeStock(source, spec, reading.values)
