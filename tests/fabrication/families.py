"""Sizes of a bike for the order list's tests; all invented."""

from __future__ import annotations

from functools import cache

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import loads
from tests.fabrication.samples import SMALL

REACHES = {"S": 430, "M": 455, "L": 480}


@cache
def size(name: str, *changes: tuple[str, str]) -> Bike:
    """One size of the small bike, with texts of its file exchanged."""
    text = SMALL.replace("reach: 455", f"reach: {REACHES[name]}")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return solve(loads(text, "small.yaml"))


@cache
def family() -> tuple[tuple[str, Bike, int], ...]:
    """Two of S, one of M, none of L."""
    return (("S", size("S"), 2), ("M", size("M"), 1), ("L", size("L"), 0))
