"""What is known of a design: its values, how far it misses, how far it came."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Final

from frame3d.explore.study.study import Design

DIGITS: Final = 9
"""Significant digits, and decimals at most, to which figures are rounded: the processors' last bits
differ from one to the next."""
NOT_REACHED: Final = 10_000.0
"""What each stage that was not reached adds to the total."""
FAULT: Final = 100.0
"""Shortfall of a bike that cannot be made, to which its distance from one that can is added [mm]."""


def rounded(value: float) -> float:
    """Return a value rounded to `DIGITS`, never -0."""
    return float(f"{round(value, DIGITS):.{DIGITS}g}") + 0.0


@dataclass(frozen=True, slots=True)
class Evaluation:
    """A design as far as it was evaluated."""

    design: Design
    values: Mapping[str, float]
    """Label of a wish or preference -> its value, of the size with the worst one; only those that are
    known at the stage that was reached."""
    shortfalls: Mapping[str, float]
    """Label of a wish or check, or the code of a fault -> how far it misses, scaled; 0 where it is
    met; only those of stages that were reached."""
    stage: str
    """The last stage that was reached: ``file`` or one of `frame3d.explore.study.study.STAGES`."""
    rejected_by: str | None
    """The greatest shortfall of the stage at which it stopped; None for a design that is feasible."""
    fault: str | None
    """Why the bike cannot be made."""
    feasible: bool
    """Whether every wish is met and every check passes, in every size."""
    total: float
    """`total_of`; 0 if and only if it is feasible."""

    def text(self) -> str:
        """Return it as JSON on one line, the same for the same evaluation."""
        return json.dumps(asdict(self), sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def total_of(shortfalls: Mapping[str, float], not_reached: int) -> float:
    """Return one number for how far a design is from a feasible one.

    Of two designs the one that came further has the smaller total. In the last stage it is
    s / (1 + s / 10000), s the sum of the shortfalls, so nearly that sum while it is small.

    Args:
        shortfalls: of the stages that were reached.
        not_reached: how many stages were not.
    """
    missed = sum(shortfalls.values())
    return rounded(NOT_REACHED * (not_reached + missed / (NOT_REACHED + missed)))
