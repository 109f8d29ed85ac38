"""Which chains a range of chainstay lengths tensions: half links, and whole chains round one gear."""

from __future__ import annotations

import math
from dataclasses import dataclass

from frame3d.parameters.models.frame import FrameSpec
from frame3d.parameters.sizes.chains import PITCH, distance_for, links_around

HALF_LINK = PITCH / 2
"""Of chainstay length that takes up one pitch, a half link: a chain runs there and back [mm]."""


@dataclass(frozen=True, slots=True)
class ChainFit:
    """A chain that is taut somewhere in the range."""

    links: int
    """An odd number asks for a half link."""
    chainstay_length: float
    """Where it is taut [mm]."""


def gear_of(spec: FrameSpec) -> tuple[int, int] | None:
    """Return the teeth of ring and cog on a bike that has one of each; else None."""
    ring, cassette = spec.build.chainring, spec.build.cassette
    if ring is None or ring.inner_teeth is not None or cassette is None or len(cassette.cogs) != 1:
        return None
    return ring.teeth, cassette.cogs[0]


def chain_fits(spec: FrameSpec, shortest: float, longest: float) -> tuple[ChainFit, ...]:
    """Return the chains that are taut within a range of chainstay lengths, shortest first.

    None where the bike has not just one gear.

    Args:
        spec: the bike's file.
        shortest: chainstay length [mm].
        longest: chainstay length [mm].
    """
    gear = gear_of(spec)
    if gear is None:
        return ()
    first = math.ceil(links_around(shortest, *gear) - 1e-9)
    last = math.floor(links_around(longest, *gear) + 1e-9)
    return tuple(
        ChainFit(links, distance_for(links, *gear, shortest, longest))
        for links in range(first, last + 1)
    )


def tension_text(span: float) -> str:
    """Return what a range of chainstay lengths is enough for, in words.

    Args:
        span: from the shortest to the longest [mm].
    """
    said = f"{span:.2f} mm of chainstay, {span / HALF_LINK:.2f} half links"
    if span >= 2 * HALF_LINK:
        return f"{said}: some chain without a half link always fits"
    if span >= HALF_LINK:
        return f"{said}: some chain always fits, but maybe only one with a half link"
    return f"{said}: less than the {HALF_LINK:g} mm of one, so some gears have no chain that fits"
