"""Bikes with springs: the single pivot of the suspension's tests and its fork; invented."""

from __future__ import annotations

from frame3d.bike.bike import Bike
from frame3d.bike.solve import solve
from frame3d.parameters.reading.reader import loads
from tests.bike.single import MINIMAL, SINGLE

FORK = "fork: {travel: 140, sag: 20%}"
COIL = "spring: {coil: {}}"
FORK_AIR = "air: {piston: 35, volume_cm3: 190, negative: {volume_cm3: 60}}"
REAR_AIR = "air: {piston: 40, volume_cm3: 130, negative: {volume_cm3: 18}}"


def text(fork: str = "", rear: str = "", *changes: tuple[str, str]) -> str:
    """The bike's file with other springs: what stands in `spring: {}` of fork and rear."""
    out = MINIMAL + SINGLE
    if fork:
        changes = ((FORK, f"fork: {{travel: 140, sag: 20%, spring: {{{fork}}}}}"), *changes)
    if rear:
        changes = ((COIL, f"spring: {{{rear}}}"), *changes)
    for old, new in changes:
        assert out.count(old) == 1, old
        out = out.replace(old, new)
    return out


def bike(fork: str = "", rear: str = "", *changes: tuple[str, str]) -> Bike:
    """That bike, solved."""
    return solve(loads(text(fork, rear, *changes), "bike.yaml"))
