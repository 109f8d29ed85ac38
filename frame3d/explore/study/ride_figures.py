"""Figures of the ride that a study names, held against those that the bike has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from difflib import get_close_matches
from typing import Any

from frame3d.bike.solve import solve
from frame3d.explore.study.measured import number_at
from frame3d.explore.study.quantities import RIDE
from frame3d.parameters.models.frame import FrameSpec
from frame3d.ride.ride import Ride, ride_of


class RideFigures:
    """The figures of one bike's ride, worked out when first asked for."""

    def __init__(self, spec: FrameSpec) -> None:
        self._spec = spec
        self._ride: Ride | None = None

    def lack(self, name: str) -> tuple[str, str] | None:
        """Return why the bike has no such figure, and what to do; None where it has.

        Args:
            name: dotted, without ``ride.`` before it.

        Raises:
            FrameError: the bike cannot be made.
        """
        if self._ride is None:
            self._ride = ride_of(solve(self._spec))
        if number_at(self._ride, name) is not None:
            return None
        known = tuple(_numbers(self._ride, ""))
        near = get_close_matches(name, known, n=3, cutoff=0.6)
        last = name.rpartition(".")[2]
        near += [k for k in known if k.rpartition(".")[2] == last]
        names = [RIDE + k for k in dict.fromkeys(near)][:3]
        way = f"did you mean {' or '.join(names)}? " if names else ""
        if _is_field(self._ride, name):
            topic = getattr(self._ride, name.partition(".")[0], None)
            missing = () if topic is None else topic.left_out
            return (
                "this bike has no such figure",
                f"its file leaves out: {'; '.join(missing)}" if missing else way + _LISTED,
            )
        return "there is no such figure of the ride", way + _LISTED


_LISTED = "frame3d solve --ride --json FILE lists all of them"


def _numbers(value: Any, path: str) -> Iterator[str]:
    """Yield the dotted paths of numbers in a result, of lists only the short ones."""
    if is_dataclass(value):
        for field in fields(value):
            if not field.name.startswith("_"):
                yield from _numbers(getattr(value, field.name), f"{path}{field.name}.")
    elif isinstance(value, Mapping):
        for key, item in value.items():
            yield from _numbers(item, f"{path}{key}.")
    elif isinstance(value, list | tuple) and len(value) < 8:
        for i, item in enumerate(value):
            yield from _numbers(item, f"{path}{i}.")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path[:-1]


def _is_field(value: Any, path: str) -> bool:
    """Return whether a dotted path leads through fields that a result has, up to one that is None."""
    here = value
    for key in path.split("."):
        if here is None:
            return True
        if is_dataclass(here) and key in {field.name for field in fields(here)}:
            here = getattr(here, key)
        else:
            return False
    return here is None
