"""Bikes that the tests of the fit look at; each is solved once."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from frame3d import variant
from frame3d.bike.bike import Bike

CONFIGS = Path(__file__).parents[3] / "configs"
HARDTAIL, FULL, RIGID = "trail_hardtail_29", "trail_full_140", "adventure_rigid"
FAMILY = "families/trail_hardtail"


@cache
def bike(name: str, *sets: str, size: str | None = None) -> Bike:
    """Return a demo with changes of its design."""
    return variant(CONFIGS / f"{name}.yaml", size=size, sets=sets)
