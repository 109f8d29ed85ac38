"""Whom a page is for, and which checks concern them."""

from __future__ import annotations

import re
from typing import Final, Literal, get_args

from frame3d.clearance.result import Report, Result
from frame3d.report.texts import Texts

Audience = Literal["builder", "rider"]
"""The builder sees everything; the rider what they ride by, in plain words without file keys."""
AUDIENCES: Final[tuple[Audience, ...]] = get_args(Audience)

RIDERS_CHECKS: Final = frozenset(
    {
        "rear_tyre_to_frame",
        "front_tyre_to_frame",
        "front_tyre_to_fork",
        "heel_to_frame",
        "saddle_to_rear_tyre",
        "toe_to_front_tyre",
        "pedal_to_ground",
        "chainring_to_ground",
        "standover_room",
        "front_load",
    }
)
"""Checks of what a rider meets while riding: mud, feet, ground, standing over, weight in front."""


def riders_results(report: Report) -> tuple[tuple[int, Result], ...]:
    """Return the tightest result of each check that concerns the rider, with its place in the report."""
    tightest: dict[str, tuple[int, Result]] = {}
    for i, result in enumerate(report.results):
        known = tightest.get(result.name)
        if result.name in RIDERS_CHECKS and (known is None or result.margin < known[1].margin):
            tightest[result.name] = (i, result)
    return tuple(sorted(tightest.values(), key=lambda one: one[1].margin))


_KEY: Final = r"[a-z_]+(?:\.[a-z0-9_]+)+"


def without_keys(said: str) -> str:
    """Return a sentence without its hints at keys of the file."""
    return re.sub(rf"; {_KEY} gives it|; {_KEY}, measured[^;]*| \({_KEY}\)", "", said)


def plain_source(result: Result, texts: Texts) -> str:
    """Return where a requirement comes from, without a line of the file."""
    own = result.source.startswith("the file's own")
    return texts("checks.by_shop") if own else result.source
