"""Stations of a tube's outside from what the file says: tapers, thick ends, dimples."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from frame3d.geometry.ellipse import girth, other_size
from frame3d.parameters.models.profiles import (
    DimpleSpec,
    DSpec,
    Outside,
    RectangleSpec,
    Size,
    StationsSpec,
    SteppedSpec,
    TaperSpec,
    height_and_width,
)
from frame3d.parameters.models.tubes import TubeSpec


@dataclass(frozen=True, slots=True)
class Station:
    """The outside at one place along a tube; between two of them sizes are linear."""

    s: float
    """From the long point of the tube's start [mm]."""
    height: float
    width: float
    corner: float = 0.0
    """Radius of a rectangle's corners, or of those at a D's flat [mm]; of others 0."""


def outside_stations(tube: TubeSpec, length: float) -> tuple[Station, ...]:
    """Return at least two stations of a tube's outside, in order; the first and the last size go on.

    Args:
        tube: what the file says.
        length: between its long points [mm]. Where places do not fit on it (`outside_faults`) they
            are moved together.
    """
    stations = _ordered(_plain(tube.od, length))
    for dimple in tube.dimples:
        stations = _pressed(stations, dimple)
    return stations


def outside_faults(tube: TubeSpec, length: float) -> Iterator[tuple[str, str, str]]:
    """Yield what of an outside does not fit on a tube of `length` mm: key, what is wrong, what to do."""
    od = tube.od
    if isinstance(od, TaperSpec) and od.after + (od.over or 0.0) > length + 1e-9:
        yield (
            "od.after" if od.over is None else "od.over",
            f"the taper begins after {od.after:g} mm"
            + ("" if od.over is None else f" and runs over {od.over:g} mm")
            + f", and the tube is cut to {length:.1f} mm",
            f"at most {length:.1f} in all",
        )
    if isinstance(od, SteppedSpec):
        needed = sum(od.lengths) + od.transition * len(od.lengths)
        if needed > length + 1e-9:
            yield (
                "od",
                f"ends and transitions take {needed:.1f} mm of a tube that is cut to {length:.1f} mm",
                f"shorten them by {needed - length:.1f} mm in all",
            )
    if isinstance(od, StationsSpec):
        for i, (one, other) in enumerate(pairwise(_plain(od, length)), 1):
            if one.s >= other.s:
                yield (
                    f"od.stations.{i}",
                    f"lies {other.s:.1f} mm from the start of a tube that is cut to {length:.1f} mm, "
                    f"not behind the station before it, at {one.s:.1f} mm",
                    "move one of them",
                )
    base = _ordered(_plain(od, length))
    behind = 0.0
    for i, dimple in enumerate(tube.dimples):
        low, high = _extent(dimple)
        if low < behind - 1e-9 or high > length + 1e-9:
            yield (
                f"dimples.{i}",
                f"it runs from {low:.1f} to {high:.1f} mm along the tube, "
                + (
                    f"which is cut to {length:.1f} mm"
                    if high > length or i == 0
                    else f"into the dimple before it, which ends at {behind:.1f} mm"
                ),
                "move it (at), or make it shorter (over, transition)",
            )
        behind = high
        own = _at(base, dimple.at)
        flat = (("height", dimple.height, own.height), ("width", dimple.width, own.width))
        given = [(key, size, before) for key, size, before in flat if size is not None]
        if not any(size < before - 1e-9 for _, size, before in given):
            key, size, before = given[0]
            yield (
                f"dimples.{i}.{key}",
                f"{size:g} mm is no dimple: the tube is {before:.1f} mm across there",
                f"less than {before:.1f}",
            )
        elif min(_flattened(own, dimple)) <= 0.0:
            yield (
                f"dimples.{i}.{given[0][0]}",
                f"{given[0][1]:g} mm is more than half of the {girth(own.height, own.width):.1f} mm "
                "that the tube measures around",
                "less, or give both height and width",
            )


def _plain(od: Outside, length: float) -> tuple[Station, ...]:
    """Return the stations without dimples, where the file has them."""

    def station(s: float, size: Size) -> Station:
        corner = size.corner if isinstance(size, RectangleSpec | DSpec) else 0.0
        return Station(s, *height_and_width(size), corner)

    if isinstance(od, TaperSpec):
        over = length - od.after if od.over is None else od.over
        return station(od.after, od.start), station(od.after + over, od.end)
    if isinstance(od, SteppedSpec):
        first = od.lengths[0]
        made = [station(first, od.steps[0]), station(first + od.transition, od.steps[1])]
        if len(od.steps) == 3:
            last = length - od.lengths[1]
            made += [station(last - od.transition, od.steps[1]), station(last, od.steps[2])]
        return tuple(made)
    if isinstance(od, StationsSpec):
        return tuple(station(s if s >= 0 else length + s, size) for s, size in od.stations)
    return station(0.0, od), station(length, od)


def _ordered(stations: tuple[Station, ...]) -> tuple[Station, ...]:
    """Return stations at places that rise by a thousandth of a millimetre or more."""
    made = [stations[0]]
    for one in stations[1:]:
        made.append(replace(one, s=max(one.s, made[-1].s + 1e-3)))
    return tuple(made)


def _at(stations: tuple[Station, ...], s: float) -> Station:
    """Return the outside at one place."""
    places = [one.s for one in stations]  # of round and oval tubes, which alone are pressed
    height, width = (
        float(np.interp(s, places, sizes))
        for sizes in ([one.height for one in stations], [one.width for one in stations])
    )
    return Station(s, height, width)


def _extent(dimple: DimpleSpec) -> tuple[float, float]:
    """Return where a dimple begins and ends, with its transitions [mm]."""
    half = dimple.over / 2 + dimple.transition
    return dimple.at - half, dimple.at + half


def _flattened(own: Station, dimple: DimpleSpec) -> tuple[float, float]:
    """Return height and width in a dimple; the one left out keeps the circumference."""
    around = girth(own.height, own.width)
    height, width = dimple.height, dimple.width
    if height is None:
        assert width is not None  # held by the spec
        return other_size(width, around), width
    return height, other_size(height, around) if width is None else width


def _pressed(stations: tuple[Station, ...], dimple: DimpleSpec) -> tuple[Station, ...]:
    """Return stations with a dimple between them."""
    low, high = _extent(dimple)
    size = _flattened(_at(stations, dimple.at), dimple)
    first, last = dimple.at - dimple.over / 2, dimple.at + dimple.over / 2
    made = [_at(stations, low), Station(first, *size), Station(last, *size), _at(stations, high)]
    kept = [one for one in stations if one.s < low - 1e-6 or one.s > high + 1e-6]
    return tuple(sorted([*kept, *made], key=lambda one: one.s))
